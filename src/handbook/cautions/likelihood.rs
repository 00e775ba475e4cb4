//! How likely a sentence raises a hazard, by weights learned from labelled texts.
//!
//! Each word, and each pair of neighbours, has a weight for some hazards. The weights stand
//! in `weights.txt`, with the numbers of the hazards in the order of [`Hazard`]. A test that
//! only runs when it is asked for learns them from the lists in `tests/data`.

use std::borrow::Cow;
use std::collections::BTreeSet;
use std::ops::Range;

use super::hazard::{ALL, Hazard};
use super::sentences::{TextWord, sentences};
use crate::handbook::shop_words::first_of_group;
use crate::vocabulary::word_weights::WordWeights;

/// The learned weights.
const WEIGHTS: WordWeights = WordWeights::of(include_str!("weights.txt"));

/// Logarithm of the odds from which a hazard is raised: 1 to 5.
const LIKELY: f32 = -1.6;

/// How likely a sentence raises each hazard.
pub(super) struct Likelihood {
    /// The logarithm of the odds, by hazard.
    odds: [f32; ALL.len()],
    /// What the word weighs that speaks most for it, and its place or that of its pair.
    shown: [(f32, Range<usize>); ALL.len()],
}

impl Likelihood {
    /// Of a sentence about a part, where each word counts once.
    pub(super) fn of(words: &[TextWord], part: &[TextWord]) -> Likelihood {
        let mut found = Likelihood {
            odds: [0.0; ALL.len()],
            shown: [const { (0.0, 0..0) }; ALL.len()],
        };
        // What each word weighs alone, and beside the one that is shown: the words come
        // before the pairs.
        let mut alone = vec![[0.0; ALL.len()]; words.len()];
        let mut beside = [0.0; ALL.len()];
        let said = features(words).map(|(feature, at)| (feature, Some(at)));
        let named = features(part).map(|(feature, _)| (feature, None));
        WEIGHTS.each(said.chain(named), |hazard, weight, at| {
            found.odds[hazard] += weight;
            let Some(Some(at)) = at else { return };
            let (most, shown) = &mut found.shown[hazard];
            if at.len() == 1 {
                alone[at.start][hazard] = weight;
                if weight > *most {
                    (*most, *shown) = (weight, at.clone());
                }
                return;
            }
            // "Axle stands", but neither "on axle" nor "jacked it".
            let pair: f32 = at.clone().map(|word| alone[word][hazard]).sum();
            let other = pair - *most;
            if alone[at.clone()].iter().any(|word| word[hazard] == *most) && other > beside[hazard]
            {
                (beside[hazard], *shown) = (other, at.clone());
            }
        });
        found
    }

    /// The hazards that are likely, with the place of the words that speak most for each;
    /// none for what the part's name alone says.
    pub(super) fn likely(&self) -> impl Iterator<Item = (Hazard, &Range<usize>)> {
        ALL.iter().filter_map(|caution| {
            let hazard = caution.hazard as usize;
            let (speaks, at) = &self.shown[hazard];
            (self.odds[hazard] > LIKELY && *speaks > 0.0).then_some((caution.hazard, at))
        })
    }
}

/// The stems of a sentence, and each pair of neighbours with no comma between them, with
/// their places among the words. Of words for one thing the first stands for all.
fn features(words: &[TextWord]) -> impl Iterator<Item = (Cow<'_, str>, Range<usize>)> {
    let alone = words.iter().enumerate();
    let alone = alone.map(|(at, word)| (Cow::Borrowed(meant(word)), at..at + 1));
    let pairs = words.windows(2).enumerate();
    let pairs = pairs.filter(|(_, pair)| !pair[1].apart);
    alone.chain(pairs.map(|(at, pair)| {
        let both = format!("{} {}", meant(&pair[0]), meant(&pair[1]));
        (Cow::Owned(both), at..at + 2)
    }))
}

fn meant(word: &TextWord) -> &str {
    first_of_group(&word.stem).unwrap_or(&word.stem)
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
