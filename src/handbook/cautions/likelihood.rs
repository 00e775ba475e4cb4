//! How likely a sentence raises a hazard, by weights learned from labelled texts.
//!
//! The plainest model there is: each word, and each pair of neighbours, has a weight for
//! some hazards; their sum, and a start for each hazard, are the logarithm of the odds. The
//! weights stand in `weights.txt`: a line for each word or pair, with numbers of hazards in
//! the order of [`Hazard`] and the weights in hundredths. A test that only runs when it is
//! asked for learns them from the lists in `tests/data`.

use std::borrow::Cow;
use std::collections::{BTreeSet, HashMap, HashSet};
use std::ops::Range;
use std::sync::OnceLock;

use super::hazard::{ALL, Hazard};
use super::pattern::{TextWord, sentences};

/// The learned weights.
const TABLE: &str = include_str!("weights.txt");

/// The line with the start of each hazard: no word is empty.
const START: &str = "";

/// Logarithm of the odds below which a rule is not believed: 1 to 99.
const DENIED: f32 = -4.6;

/// Logarithm of the odds above which no rule is needed: 3 to 7.
const LIKELY: f32 = -0.85;

/// How likely a sentence raises each hazard.
pub(super) struct Likelihood {
    /// The logarithm of the odds, by hazard.
    odds: [f32; ALL.len()],
    /// The greatest weight for it, and which words of the sentence have it.
    shown: [(f32, Range<usize>); ALL.len()],
}

impl Likelihood {
    /// Of a sentence, where each word counts once.
    pub(super) fn of(words: &[TextWord]) -> Likelihood {
        let mut found = Likelihood {
            odds: [0.0; ALL.len()],
            shown: [const { (0.0, 0..0) }; ALL.len()],
        };
        found.add(line(START).map_or("", |(_, weights)| weights), &(0..0));
        let mut met = HashSet::new();
        for (feature, at) in features(words) {
            if let Some((known, weights)) = line(&feature)
                && met.insert(known)
            {
                found.add(weights, &at);
            }
        }
        found
    }

    fn add(&mut self, weights: &str, at: &Range<usize>) {
        for (hazard, weight) in read(weights) {
            self.odds[hazard] += weight;
            if weight > self.shown[hazard].0 {
                self.shown[hazard] = (weight, at.clone());
            }
        }
    }

    /// Whether it is too unlikely for a rule of several words to be believed.
    pub(super) fn denies(&self, hazard: Hazard) -> bool {
        self.odds[hazard as usize] < DENIED
    }

    /// The hazards that are likely even where no rule knows the words, with the place of
    /// those that speak most for each.
    pub(super) fn likely(&self) -> impl Iterator<Item = (Hazard, &Range<usize>)> {
        ALL.iter().filter_map(|caution| {
            let hazard = caution.hazard as usize;
            let (weight, at) = &self.shown[hazard];
            (self.odds[hazard] > LIKELY && *weight > 0.0).then_some((caution.hazard, at))
        })
    }
}

/// The stems of a sentence, and each pair of neighbours with no comma between them, with
/// their places among the words.
fn features(words: &[TextWord]) -> impl Iterator<Item = (Cow<'_, str>, Range<usize>)> {
    let alone = words.iter().enumerate();
    let alone = alone.map(|(at, word)| (Cow::Borrowed(word.stem.as_str()), at..at + 1));
    let pairs = words.windows(2).enumerate();
    let pairs = pairs.filter(|(_, pair)| !pair[1].apart);
    alone.chain(pairs.map(|(at, pair)| {
        let both = format!("{} {}", pair[0].stem, pair[1].stem);
        (Cow::Owned(both), at..at + 2)
    }))
}

/// What the model sees of each sentence of a text.
#[must_use]
pub fn seen(text: &str) -> Vec<BTreeSet<String>> {
    let all = sentences(text).into_iter();
    all.map(|words| {
        let features = features(&words);
        features.map(|(feature, _)| feature.into_owned()).collect()
    })
    .collect()
}

/// The line of a word or a pair: what stands before its weights, and those.
fn line(feature: &str) -> Option<(&'static str, &'static str)> {
    static LINES: OnceLock<HashMap<&str, &str>> = OnceLock::new();
    let lines = LINES.get_or_init(|| {
        let lines = TABLE.lines();
        lines.filter_map(|line| line.split_once('\t')).collect()
    });
    lines
        .get_key_value(feature)
        .map(|(known, weights)| (*known, *weights))
}

/// Weights, by number of the hazard.
fn read(weights: &str) -> impl Iterator<Item = (usize, f32)> {
    weights.split_ascii_whitespace().filter_map(|weight| {
        let (hazard, hundredths) = weight.split_once(':')?;
        let at = hazard.parse().ok().filter(|at| *at < ALL.len())?;
        Some((at, hundredths.parse::<f32>().ok()? / 100.0))
    })
}
