//! Learns weights of words for tables that `WordWeights` reads.
//!
//! Logistic regression, a class at a time, by steps that become smaller the more a weight
//! has moved (AdaGrad: Duchi, Hazan and Singer 2011). Nothing is left to chance: the same
//! texts give the same weights.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;
use std::fs;
use std::path::Path;

use csv::StringRecord;

/// How often each text is met.
const TURNS: usize = 10;

const STEP: f64 = 0.3;

/// What weighs less is left out, in hundredths.
pub const LEAST: f64 = 20.0;

/// The rows of a table in `tests/data`.
pub fn rows_of(table: &str) -> Vec<StringRecord> {
    let file = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/data")
        .join(table);
    let reader = csv::ReaderBuilder::new().delimiter(b';').from_path(file);
    let rows = reader.expect("the table").into_records();
    rows.map(|row| row.expect("a row")).collect()
}

/// The features that are weighed, numbered. The start counts as one that every text has.
pub struct Features<'t> {
    names: Vec<&'t str>,
    numbers: BTreeMap<&'t str, usize>,
}

impl<'t> Features<'t> {
    /// Those of at least so many texts: in fewer, a word says nothing that can be relied on.
    pub fn of(least: usize, texts: impl Iterator<Item = BTreeSet<&'t str>>) -> Features<'t> {
        let mut count: BTreeMap<&str, usize> = BTreeMap::new();
        for text in texts {
            for feature in text {
                *count.entry(feature).or_default() += 1;
            }
        }
        count.retain(|_, texts| *texts >= least);
        let names: Vec<&str> = [""].into_iter().chain(count.into_keys()).collect();
        let numbers = names.iter().zip(0..).map(|(f, n)| (*f, n)).collect();
        Features { names, numbers }
    }

    /// The numbers of what is seen, in order, and of the start.
    pub fn numbers<'f>(&self, seen: impl IntoIterator<Item = &'f String>) -> Vec<usize> {
        let known = seen
            .into_iter()
            .filter_map(|feature| self.numbers.get(feature.as_str()));
        known.copied().chain([0]).collect()
    }

    /// The weights for one class. A sample is what is seen of it, in one or several pieces,
    /// and whether it is of the class. The `penalty` on the square of each weight keeps small
    /// what few samples speak for.
    pub fn learned(&self, samples: &[(&[Vec<usize>], bool)], penalty: f64) -> Vec<f64> {
        let mut weights = vec![0.0_f64; self.names.len()];
        let mut moved = vec![0.5_f64; self.names.len()];
        let mut counts = vec![0.0_f64; self.names.len()];
        for feature in samples.iter().flat_map(|(pieces, _)| *pieces).flatten() {
            counts[*feature] += 1.0;
        }
        let mut at = 0;
        for _ in 0..TURNS * samples.len() {
            // A prime that their number is no multiple of: each is met once a turn.
            at = (at + 7919) % samples.len();
            let (pieces, is) = samples[at];
            for features in pieces {
                let odds: f64 = features.iter().map(|feature| weights[*feature]).sum();
                let fault = 1.0 / (1.0 + (-odds).exp()) - f64::from(u8::from(is));
                for feature in features {
                    moved[*feature] += fault * fault;
                    let step = STEP / moved[*feature].sqrt();
                    let shrinking = 1.0 + step * penalty / counts[*feature];
                    weights[*feature] = (weights[*feature] - step * fault) / shrinking;
                }
            }
        }
        weights
    }

    /// Writes a table to a file of the sources: for each class its number and its weights,
    /// but for those that are less than `least` hundredths.
    pub fn write(&self, file: &str, header: &str, classes: &[(usize, Vec<f64>)], least: f64) {
        let mut table = header.to_owned();
        for (at, name) in self.names.iter().enumerate() {
            let mut line = format!("{name}\t");
            for (class, weights) in classes {
                let hundredths = (weights[at] * 100.0).round();
                if hundredths.abs() >= least {
                    let _ = write!(line, "{class}:{hundredths} ");
                }
            }
            if !line.ends_with('\t') {
                table.push_str(line.trim_end_matches(' '));
                table.push('\n');
            }
        }
        let file = Path::new(env!("CARGO_MANIFEST_DIR")).join(file);
        fs::write(file, table).expect("the weights");
    }
}
