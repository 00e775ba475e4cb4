//! How likely a sentence raises a hazard, by weights learned from labelled texts.
//!
//! Each word, and each pair of neighbours, has a weight for some hazards. The weights stand
//! in `weights.txt`, with the numbers of the hazards in the order of [`Hazard`]. A test that
//! only runs when it is asked for learns them from the lists in `tests/data`.

use std::borrow::Cow;
use std::collections::BTreeSet;
use std::ops::Range;
use std::sync::OnceLock;

use super::hazard::{ALL, Hazard};
use super::pattern::{TextWord, sentences};
use crate::vocabulary::word_weights::WordWeights;

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
        weights().each(features(words), |hazard, weight, at| {
            found.odds[hazard] += weight;
            if let Some(at) = at
                && weight > found.shown[hazard].0
            {
                found.shown[hazard] = (weight, at.clone());
            }
        });
        found
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

/// The learned weights.
fn weights() -> &'static WordWeights {
    static WEIGHTS: OnceLock<WordWeights> = OnceLock::new();
    WEIGHTS.get_or_init(|| WordWeights::read(include_str!("weights.txt")))
}
