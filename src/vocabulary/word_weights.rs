//! Tables of learned weights: what each word, and each pair of words, speaks for.
//!
//! The plainest model there is: the weights of all that a text has, added up, are the
//! logarithm of the odds. What is learned, and what counts as a word, is not known here.

use std::cmp::Ordering;
use std::collections::HashSet;

/// The line with which every text begins: no word is empty.
const START: &str = "";

/// A table of weights, by feature: a word, or a pair of words.
#[derive(Clone, Copy, Debug)]
pub struct WordWeights {
    /// Its lines, in order of feature.
    lines: &'static str,
}

impl WordWeights {
    /// Takes a table: in each line a feature, a tab, and weights as `class:hundredths`,
    /// parted by spaces, in order. The line of the empty feature is the first, and where
    /// every text starts; before it stand comments.
    #[must_use]
    pub const fn of(table: &'static str) -> WordWeights {
        WordWeights { lines: table }
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
            let feature = feature.as_ref();
            let mut weights = self.weights(feature).peekable();
            if weights.peek().is_some() && met.insert(feature.to_owned()) {
                weights.for_each(|(class, weight)| add(class, weight, Some(&place)));
            }
        }
    }

    /// The weights of one class by feature, without the start: a map of them is quicker
    /// where a great many are asked for.
    pub fn of_class(&self, class: usize) -> impl Iterator<Item = (&'static str, f32)> {
        let rows = self.rows().lines();
        rows.filter_map(|row| row.split_once('\t'))
            .filter(|(feature, _)| *feature != START)
            .flat_map(move |(feature, weights)| {
                let own = read(weights).filter(move |(of, _)| *of == class);
                own.map(move |(_, weight)| (feature, weight))
            })
    }

    fn weights(&self, feature: &str) -> impl Iterator<Item = (usize, f32)> + use<> {
        read(self.line(feature).unwrap_or_default())
    }

    /// The rows, without the comments above them.
    fn rows(&self) -> &'static str {
        let begins = self.lines.find("\n\t").map_or(0, |end| end + 1);
        &self.lines[begins..]
    }

    /// The weights of a feature, as written. The few that a text asks for are found by
    /// halving sooner than a map of all could be made.
    fn line(&self, feature: &str) -> Option<&'static str> {
        let mut rows = self.rows();
        while !rows.is_empty() {
            let half = &rows.as_bytes()[..rows.len() / 2];
            let end = half.iter().rposition(|byte| *byte == b'\n');
            let at = end.map_or(0, |end| end + 1);
            let (row, after) = rows[at..].split_once('\n').unwrap_or((&rows[at..], ""));
            let (known, weights) = row.split_once('\t')?;
            match feature.cmp(known) {
                Ordering::Less => rows = &rows[..at],
                Ordering::Equal => return Some(weights),
                Ordering::Greater => rows = after,
            }
        }
        None
    }
}

/// The classes and weights of one row.
fn read(weights: &'static str) -> impl Iterator<Item = (usize, f32)> + use<> {
    weights.split_ascii_whitespace().filter_map(|weight| {
        let (class, hundredths) = weight.split_once(':')?;
        let weight = hundredths.parse::<f32>().ok()? / 100.0;
        Some((class.parse().ok()?, weight))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn weights_are_added_up_once_each() {
        let weights = WordWeights::of("//! none\n\t0:-100 1:50\noff\t0:300\noff now\t1:25");
        let mut sums = [0.0; 2];
        let features = ["off", "off", "unknown", "off now"].into_iter().zip(0..);
        weights.each(features, |class, weight, _: Option<&i32>| {
            sums[class] += weight;
        });
        assert_eq!(sums, [2.0, 0.75]);
    }

    #[test]
    fn the_weights_of_a_class_are_listed() {
        let weights =
            WordWeights::of("//! none\n\t0:-100 1:50\noff\t0:300\noff now\t1:25\nso\t0:10 1:20");
        let of_class: Vec<(&str, f32)> = weights.of_class(1).collect();
        assert_eq!(of_class, [("off now", 0.25), ("so", 0.2)]);
    }

    #[test]
    fn each_line_is_found() {
        let features: Vec<String> = (0..99).map(|number| format!("w{number:02}")).collect();
        for count in 0..features.len() {
            let rows = features[..count]
                .iter()
                .map(|known| format!("\n{known}\t0:{}", known.len()));
            let table: String = rows.collect();
            let weights = WordWeights::of(format!("//! none\n\t0:1{table}").leak());
            for (number, feature) in features.iter().enumerate() {
                assert_eq!(
                    weights.line(feature).is_some(),
                    number < count,
                    "{feature} of {count}"
                );
            }
        }
    }
}
