//! Tables of learned weights: what each word, and each pair of words, speaks for.
//!
//! The plainest model there is: the weights of all that a text has, added up, are the
//! logarithm of the odds. What is learned, and what counts as a word, is not known here.

use std::collections::{HashMap, HashSet};

/// The line with which every text begins: no word is empty.
const START: &str = "";

/// A table of weights, by feature: a word, or a pair of words.
#[derive(Debug)]
pub struct WordWeights {
    lines: HashMap<&'static str, &'static str>,
}

impl WordWeights {
    /// Reads a table: in each line a feature, a tab, and weights as `class:hundredths`,
    /// parted by spaces. The line of the empty feature is where every text starts; lines
    /// without a tab are comments.
    #[must_use]
    pub fn read(table: &'static str) -> WordWeights {
        let lines = table.lines().filter_map(|line| line.split_once('\t'));
        WordWeights {
            lines: lines.collect(),
        }
    }

    /// Calls `add` with each class and weight that the features of a text bring, and with
    /// where the feature stands; the start has no place. Each feature counts once.
    pub fn each<F: AsRef<str>, P>(
        &self,
        features: impl Iterator<Item = (F, P)>,
        mut add: impl FnMut(usize, f32, Option<&P>),
    ) {
        for (class, weight) in self.weights(START) {
            add(class, weight, None);
        }
        let mut met = HashSet::new();
        for (feature, place) in features {
            if let Some((known, _)) = self.lines.get_key_value(feature.as_ref())
                && met.insert(*known)
            {
                for (class, weight) in self.weights(known) {
                    add(class, weight, Some(&place));
                }
            }
        }
    }

    fn weights(&self, feature: &str) -> impl Iterator<Item = (usize, f32)> + use<> {
        let line = self.lines.get(feature).copied().unwrap_or_default();
        line.split_ascii_whitespace().filter_map(|weight| {
            let (class, hundredths) = weight.split_once(':')?;
            let weight = hundredths.parse::<f32>().ok()? / 100.0;
            Some((class.parse().ok()?, weight))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn weights_are_added_up_once_each() {
        let weights = WordWeights::read("//! none\n\t0:-100 1:50\noff\t0:300\noff now\t1:25");
        let mut sums = [0.0; 2];
        let features = ["off", "off", "unknown", "off now"].into_iter().zip(0..);
        weights.each(features, |class, weight, _: Option<&i32>| {
            sums[class] += weight;
        });
        assert_eq!(sums, [2.0, 0.75]);
    }
}
