//! Learns how much each word speaks for a hazard, from the labelled texts in `tests/data`
//! that may be learned from.
//!
//! Logistic regression, a hazard at a time, by steps that become smaller the more a weight
//! has moved (AdaGrad: Duchi, Hazan and Singer 2011). Nothing is left to chance: the same
//! texts give the same weights.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;
use std::fs;
use std::path::Path;

use matchmark::handbook::cautions::{Hazard, seen};

use crate::cautions::{LABELS, lists, rows};

/// How often each text is met.
const TURNS: usize = 10;

const STEP: f64 = 0.3;

/// In fewer texts, a word says nothing that can be relied on.
const TEXTS: usize = 3;

/// What weighs less is left out, in hundredths.
const LEAST: f64 = 20.0;

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
    let mut count: BTreeMap<&str, usize> = BTreeMap::new();
    for (sentences, _) in &texts {
        let all: BTreeSet<&String> = sentences.iter().flatten().collect();
        all.iter()
            .for_each(|feature| *count.entry(feature).or_default() += 1);
    }
    count.retain(|_, texts| *texts >= TEXTS);
    // The start counts as a word that every text has.
    let names: Vec<&str> = [""].into_iter().chain(count.into_keys()).collect();
    let numbers: BTreeMap<&str, usize> = names.iter().zip(0..).map(|(f, n)| (*f, n)).collect();
    let number = |features: &BTreeSet<String>| -> Vec<usize> {
        let known = features
            .iter()
            .filter_map(|feature| numbers.get(&**feature));
        known.copied().chain([0]).collect()
    };
    let samples = texts.iter().map(|(sentences, hazards)| Sample {
        whole: number(&sentences.iter().flatten().cloned().collect()),
        sentences: sentences.iter().map(number).collect(),
        hazards: hazards.clone(),
    });
    let samples: Vec<Sample> = samples.collect();
    let mut lines: Vec<String> = names.iter().map(|name| format!("{name}\t")).collect();
    for (_, hazard) in LABELS {
        for (line, weight) in lines.iter_mut().zip(learned(hazard, &samples, names.len())) {
            let hundredths = (weight * 100.0).round();
            if hundredths.abs() >= LEAST {
                let _ = write!(line, "{}:{hundredths} ", hazard as usize);
            }
        }
    }
    let lines = lines.iter().filter(|line| !line.ends_with('\t'));
    let lines = lines.map(|line| format!("{}\n", line.trim_end_matches(' ')));
    let table: String = [HEADER.to_owned()].into_iter().chain(lines).collect();
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/handbook/cautions/weights.txt");
    fs::write(file, table).expect("the weights");
}

/// The weights of all that is seen for one hazard.
fn learned(hazard: Hazard, samples: &[Sample], features: usize) -> Vec<f64> {
    let mut weights = vec![0.0_f64; features];
    let mut moved = vec![0.5_f64; features];
    let mut at = 0;
    for _ in 0..TURNS * samples.len() {
        // A prime that their number is no multiple of: each is met once a turn.
        at = (at + 7919) % samples.len();
        let sample = &samples[at];
        let raises = sample.hazards.contains(&hazard);
        // Where a text raises nothing, none of its sentences does.
        let seen = match raises {
            true => std::slice::from_ref(&sample.whole),
            false => &sample.sentences,
        };
        for features in seen {
            let odds: f64 = features.iter().map(|feature| weights[*feature]).sum();
            let fault = 1.0 / (1.0 + (-odds).exp()) - f64::from(u8::from(raises));
            for feature in features {
                moved[*feature] += fault * fault;
                weights[*feature] -= STEP * fault / moved[*feature].sqrt();
            }
        }
    }
    weights
}
