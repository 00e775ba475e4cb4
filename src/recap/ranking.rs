//! How much a moment promises, by six measures of equal weight.
//!
//! Each is the z-score of one figure over the moments of the span. Five are simple; the
//! sixth is what the words speak for, learned from journals of which editors said what
//! they would tell. Its weights stand in `weights.txt`; a test that only runs when it is
//! asked for learns them from `tests/data/told.csv`. What all this reaches on journals of
//! others, and what was left out, stands in `docs/episodes.md`.

use std::collections::{BTreeSet, HashMap, HashSet};

use super::material::{Material, READERS};
use super::moments::{Moment, SHORT, Voice};
use crate::parallel;
use crate::vocabulary::word_weights::WordWeights;
use crate::vocabulary::words::{fold, is_stop_word, stem};

/// The measures, as a person reads them.
const MEASURES: [&str; 6] = [
    "its length",
    "told as it happened",
    "he and she",
    "words of the title",
    "first or last of the span",
    "its words",
];

/// A figure for each of the measures.
type Measured = [f64; MEASURES.len()];

/// What the words of a moment speak for.
const WEIGHTS: WordWeights = WordWeights::of(include_str!("weights.txt"));

/// Moments in the order of what they promise.
#[derive(Clone, Debug, Default)]
pub struct Ranking {
    /// The sum of the measures, by moment.
    pub sum: Vec<f64>,
    /// The measures, by moment.
    parts: Vec<Measured>,
    /// The moments that may be told, marked ones first, then the highest sum.
    pub order: Vec<usize>,
    /// The place of a moment in that order, from 1; 0 if it may not be told.
    pub rank: Vec<usize>,
}

impl Ranking {
    /// Ranks the moments of these sources: of those in the `span` the figures are
    /// taken, those that `may` be told get a rank.
    #[must_use]
    pub fn of(material: &Material<'_>, span: &[bool], may: &[bool]) -> Ranking {
        let mut parts = figures(material, may);
        let is_counted = |moment: &Moment| moment.voice == Voice::Prose && span[moment.source];
        let counted = material.moments.iter().zip(&parts);
        let counted = counted.filter(|(moment, _)| is_counted(moment));
        let counted: Vec<Measured> = counted.map(|(_, own)| *own).collect();
        let count = counted.len().max(1) as f64;
        for measure in 0..MEASURES.len() {
            let of = || counted.iter().map(|own| own[measure]);
            let mean = of().sum::<f64>() / count;
            let variance = of().map(|own| (own - mean).powi(2)).sum::<f64>() / count;
            let deviation = variance.sqrt();
            for part in &mut parts {
                // Where all are the same, the measure says nothing.
                part[measure] = match deviation > 0.0 {
                    true => (part[measure] - mean) / deviation,
                    false => 0.0,
                };
            }
        }
        let sum: Vec<f64> = parts.iter().map(|part| part.iter().sum()).collect();
        let mut order: Vec<usize> = (0..sum.len())
            .filter(|index| {
                let moment = &material.moments[*index];
                may[moment.source] && moment.voice != Voice::Caution
            })
            .collect();
        // Facts are short, and come after all prose.
        let class = |index: usize| {
            let own = &material.moments[index];
            (!own.worth, own.voice != Voice::Prose)
        };
        order.sort_by(|a, b| {
            let by_class = class(*a).cmp(&class(*b));
            by_class.then(sum[*b].total_cmp(&sum[*a]))
        });
        let mut rank = vec![0; sum.len()];
        for (place, moment) in order.iter().enumerate() {
            rank[*moment] = place + 1;
        }
        Ranking {
            sum,
            parts,
            order,
            rank,
        }
    }

    /// For each source its highest moment of those that `stand` for it.
    pub(super) fn best(
        &self,
        material: &Material<'_>,
        stands: impl Fn(Voice) -> bool,
    ) -> Vec<Option<usize>> {
        let mut best = vec![None; material.sources.len()];
        for moment in &self.order {
            let own = &material.moments[*moment];
            if stands(own.voice) && best[own.source].is_none() {
                best[own.source] = Some(*moment);
            }
        }
        best
    }

    /// Why a moment is where it is: its rank, and the measures in which it stands out.
    #[must_use]
    pub fn why(&self, moment: usize, is_marked: bool) -> String {
        let mut why = format!("{} of {}", self.rank[moment], self.order.len());
        let own = MEASURES.iter().zip(self.parts[moment]);
        let stands_out = own.filter(|(_, part)| *part > 1.0).map(|(name, _)| *name);
        let marked = is_marked.then_some("marked");
        for (index, name) in marked.into_iter().chain(stands_out).enumerate() {
            why.push_str(if index == 0 { ": " } else { ", " });
            why.push_str(name);
        }
        why
    }
}

/// The figures of each moment: the logarithm of its words; the share of its words in
/// the narrative past, and of those that stand for a person; how much of the entry's
/// title stands in it; whether its entry is the first or the last that may be told; what
/// its words speak for.
fn figures(material: &Material<'_>, may: &[bool]) -> Vec<Measured> {
    let mut allowed = material.sources.iter().zip(may).filter(|(_, may)| **may);
    let first = allowed.next();
    let ends = [first, allowed.next_back().or(first)];
    let ends = ends.map(|end| end.map(|(source, _)| &source.when.entry));
    let weights: HashMap<&str, f32> = WEIGHTS.of_class(0).collect();
    let mut promised: HashMap<&str, BTreeSet<String>> = HashMap::new();
    for title in material.sources.iter().filter_map(|source| source.title) {
        promised.entry(title).or_insert_with(|| {
            let title = fold(title);
            let words = words(&title).filter(|word| !is_stop_word(word));
            words.map(stem).collect()
        });
    }
    let nothing = BTreeSet::new();
    parallel::each(READERS, &material.moments, |moment| {
        let source = &material.sources[moment.source];
        let promised = source.title.and_then(|title| promised.get(title));
        let promised = promised.unwrap_or(&nothing);
        let (mut past, mut people, mut all) = (0_usize, 0_usize, 0_usize);
        let mut kept: BTreeSet<String> = BTreeSet::new();
        let mut met: HashSet<&str> = HashSet::new();
        let mut odds = 0.0;
        let mut count = |word: &str| {
            all += 1;
            if let Some((known, weight)) = weights.get_key_value(weighed(word))
                && met.insert(known)
            {
                odds += f64::from(*weight);
            }
            past += usize::from(is_past(word));
            people += usize::from(matches!(word, "he" | "she" | "him" | "her" | "his"));
            // A stem begins as its words do.
            let may_be = |stem: &String| stem.chars().next() == word.chars().next();
            if promised.iter().any(may_be) && !is_stop_word(word) {
                let stem = stem(word);
                if promised.contains(&stem) {
                    kept.insert(stem);
                }
            }
        };
        for sentence in &moment.sentences {
            words(&fold(&sentence.text)).for_each(&mut count);
        }
        // "Painted." is not all past: few words have no share to speak of.
        let share = |part: usize| part as f64 / all.max(SHORT) as f64;
        let is_end = ends.contains(&Some(&source.when.entry));
        [
            (all.max(1) as f64).ln(),
            share(past),
            share(people),
            kept.len() as f64 / promised.len().max(1) as f64,
            f64::from(u8::from(is_end)),
            odds,
        ]
    })
}

/// A word as it is weighed: of a number, only that it is one.
fn weighed(word: &str) -> &str {
    match word.starts_with(|c: char| c.is_ascii_digit()) {
        true => "0",
        false => word,
    }
}

/// What is weighed of a text.
#[must_use]
pub fn words_weighed(text: &str) -> BTreeSet<String> {
    let folded = fold(text);
    words(&folded)
        .map(|word| weighed(word).to_owned())
        .collect()
}

fn is_past(word: &str) -> bool {
    word.ends_with("ed") || matches!(word, "was" | "were" | "had" | "did")
}

/// The words of a folded text; "didn't" is one.
fn words(folded: &str) -> impl Iterator<Item = &str> {
    let pieces = folded.split(|c: char| !c.is_alphanumeric() && c != '\'');
    let pieces = pieces.map(|piece| piece.trim_matches('\''));
    pieces.filter(|piece| !piece.is_empty())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_words_speak_for_what_happened_and_against_what_was_measured() {
        let weights: HashMap<&str, f32> = WEIGHTS.of_class(0).collect();
        let odds = |text: &str| -> f32 {
            let words = words_weighed(text);
            let known = words.iter().filter_map(|word| weights.get(word.as_str()));
            known.sum()
        };
        let told = odds("She laughed and said she had never told anyone about the letters.");
        let noted = odds("Sanded the channel, new hoses and bearings ordered, 6 volts at 20 mm.");
        assert!(told > 1.0 && noted < -1.0, "{told} {noted}");
    }

    #[test]
    fn of_a_number_only_counts_that_it_is_one() {
        let found = words_weighed("Didn't fit: 3/8, 12mm and 40.");
        let found: Vec<&str> = found.iter().map(String::as_str).collect();
        assert_eq!(found, ["0", "and", "didn't", "fit"]);
    }
}
