//! Learns how much each word speaks for a part coming off now, from the labelled moments
//! of talk in `tests/data/said.csv`.

use std::collections::BTreeSet;

use matchmark::import::narration::likelihood::weighed;

use crate::learned_weights::{Features, rows_of};

const HEADER: &str = "\
//! How much each word and each pair of words speaks for a part coming off, or being undone,
//! now, learned from tests/data/said.csv by tests/suite/said_weights.rs, which writes this
//! file. The weights are in hundredths; first what every clause begins with.
";

#[test]
#[ignore = "writes src/import/narration/weights.txt"]
fn the_weights_of_what_is_said_are_learned() {
    let rows = rows_of("said.csv").into_iter().map(|row| {
        let happens = matches!(&row[1], "off" | "loose");
        (weighed(&row[2], &row[3], &row[4]), happens)
    });
    let rows: Vec<(BTreeSet<String>, bool)> = rows.collect();
    let all = rows.iter().map(|(seen, _)| seen);
    let features = Features::of(3, all.map(|seen| seen.iter().map(String::as_str).collect()));
    let numbers = rows
        .iter()
        .map(|(seen, happens)| ([features.numbers(seen)], *happens));
    let numbers: Vec<([Vec<usize>; 1], bool)> = numbers.collect();
    let samples = numbers.iter().map(|(seen, happens)| (&seen[..], *happens));
    let samples: Vec<(&[Vec<usize>], bool)> = samples.collect();
    let weights = features.learned(&samples);
    features.write("src/import/narration/weights.txt", HEADER, &[(0, weights)]);
}
