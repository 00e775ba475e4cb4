//! Learns how much each word speaks for a hazard, from the labelled texts in `tests/data`
//! that may be learned from.

use std::collections::BTreeSet;

use matchmark::handbook::cautions::{Hazard, seen};

use crate::cautions::{LABELS, lists, rows};
use crate::learned_weights::{Features, LEAST};

const HEADER: &str = "\
//! How much each word and each pair of words speaks for a hazard, learned from the lists in
//! tests/data by tests/suite/caution_weights.rs, which writes this file. Stems; the number of
//! a hazard as in `Hazard`, and the weight in hundredths; first what every text begins with.
";

/// A text as numbers of what is seen in it.
struct Sample {
    /// In all of it.
    whole: Vec<usize>,
    /// In each sentence.
    sentences: Vec<Vec<usize>>,
    hazards: BTreeSet<Hazard>,
}

#[test]
#[ignore = "writes src/handbook/cautions/weights.txt"]
fn the_weights_of_words_are_learned() {
    let first = rows().into_iter().map(|row| (row.text, row.hazards));
    let texts = first.chain(lists("cautions-later.csv"));
    let texts: Vec<(Vec<BTreeSet<String>>, BTreeSet<Hazard>)> = texts
        .map(|(text, hazards)| (seen(&text), hazards))
        .collect();
    let all = texts.iter().map(|(sentences, _)| {
        let words = sentences.iter().flatten();
        words.map(String::as_str).collect()
    });
    let features = Features::of(3, all);
    let samples = texts.iter().map(|(sentences, hazards)| {
        let whole: BTreeSet<&String> = sentences.iter().flatten().collect();
        Sample {
            whole: features.numbers(whole),
            sentences: sentences.iter().map(|s| features.numbers(s)).collect(),
            hazards: hazards.clone(),
        }
    });
    let samples: Vec<Sample> = samples.collect();
    let classes = LABELS.iter().map(|(_, hazard)| {
        // Where a text raises nothing, none of its sentences does.
        let of_hazard = samples.iter().map(|sample| {
            let raises = sample.hazards.contains(hazard);
            match raises {
                true => (std::slice::from_ref(&sample.whole), raises),
                false => (&sample.sentences[..], raises),
            }
        });
        let of_hazard: Vec<(&[Vec<usize>], bool)> = of_hazard.collect();
        (*hazard as usize, features.learned(&of_hazard, 0.0))
    });
    let classes: Vec<(usize, Vec<f64>)> = classes.collect();
    features.write("src/handbook/cautions/weights.txt", HEADER, &classes, LEAST);
}
