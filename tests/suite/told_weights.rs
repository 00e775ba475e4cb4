//! Learns how much each word speaks for a moment worth telling, from the paragraphs of
//! which editors said what they would tell, in `tests/data/told.csv`.

use std::collections::{BTreeMap, BTreeSet};

use matchmark::recap::words_weighed;

use crate::learned_weights::{Features, LEAST, rows_of};

const HEADER: &str = "\
//! How much each word speaks for a moment that an editor tells, learned from
//! tests/data/told.csv by tests/suite/told_weights.rs, which writes this file. The weights
//! are in hundredths; first what every moment begins with.
";

#[test]
#[ignore = "writes src/recap/weights.txt"]
fn the_weights_of_what_is_told_are_learned() {
    let rows = rows_of("told.csv").into_iter();
    // What is private says nothing about what is worth telling.
    let rows = rows.filter(|row| &row[3] != "private").map(|row| {
        let is_told = matches!(&row[3], "1" | "2" | "3");
        (row[0].to_owned(), words_weighed(&row[4]), is_told)
    });
    let rows: Vec<(String, BTreeSet<String>, bool)> = rows.collect();
    // A name that one writer uses is no word that tells.
    let mut journals: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
    for (journal, seen, _) in &rows {
        let all = journals.entry(journal).or_default();
        all.extend(seen.iter().map(String::as_str));
    }
    let least = journals.len() / 4;
    let features = Features::of(least, journals.into_values());
    let numbers = rows
        .iter()
        .map(|(_, seen, told)| ([features.numbers(seen)], *told));
    let numbers: Vec<([Vec<usize>; 1], bool)> = numbers.collect();
    let samples = numbers.iter().map(|(seen, told)| (&seen[..], *told));
    let samples: Vec<(&[Vec<usize>], bool)> = samples.collect();
    let weights = features.learned(&samples, 0.0);
    features.write("src/recap/weights.txt", HEADER, &[(0, weights)], LEAST);
}
