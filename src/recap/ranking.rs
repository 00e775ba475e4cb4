//! How much a moment promises, by five general measures of equal weight.
//!
//! Each is the z-score of one simple figure over the moments of the span, so that
//! no constant is learned. What they reach on journals of others, and what was left
//! out, stands in `docs/episodes.md`.

use std::collections::{BTreeMap, BTreeSet};

use super::material::Material;
use super::moments::{Moment, SHORT, Voice};
use crate::vocabulary::words::{fold, is_stop_word, stem};

/// The measures, as a person reads them.
pub const MEASURES: [&str; 5] = [
    "its length",
    "told as it happened",
    "he and she",
    "words of the title",
    "first or last of the span",
];

/// Moments in the order of what they promise.
#[derive(Clone, Debug, Default)]
pub struct Ranking {
    /// The sum of the measures, by moment.
    pub sum: Vec<f64>,
    /// The measures, by moment.
    parts: Vec<[f64; 5]>,
    /// The moments that may be told, marked ones first, then the highest sum.
    pub order: Vec<usize>,
    /// The place of a moment in that order, from 1; 0 if it may not be told.
    pub rank: Vec<usize>,
}

impl Ranking {
    /// Ranks the moments of these sources: of those in the `span` the figures are
    /// taken, those that `may` be told get a rank.
    #[must_use]
    pub fn of(material: &Material, span: &[bool], may: &[bool]) -> Ranking {
        let figures = figures(material, may);
        let counts: Vec<usize> = (0..figures.len())
            .filter(|index| {
                let moment = &material.moments[*index];
                moment.voice == Voice::Prose && span[moment.source]
            })
            .collect();
        let count = counts.len().max(1) as f64;
        let mut parts = vec![[0.0; 5]; figures.len()];
        for measure in 0..MEASURES.len() {
            let of = |index: &usize| figures[*index][measure];
            let mean = counts.iter().map(of).sum::<f64>() / count;
            let variance = counts
                .iter()
                .map(|one| (of(one) - mean).powi(2))
                .sum::<f64>()
                / count;
            let deviation = variance.sqrt();
            if deviation > 0.0 {
                for (part, own) in parts.iter_mut().zip(&figures) {
                    part[measure] = (own[measure] - mean) / deviation;
                }
            }
        }
        let sum: Vec<f64> = parts.iter().map(|part| part.iter().sum()).collect();
        let mut order: Vec<usize> = (0..figures.len())
            .filter(|index| {
                let moment = &material.moments[*index];
                may[moment.source] && moment.voice != Voice::Caution
            })
            .collect();
        let key = |index: usize| {
            let own = &material.moments[index];
            // Facts are short, and come after all prose.
            let class = (!own.worth, own.voice != Voice::Prose);
            (class, -sum[index])
        };
        order.sort_by(|a, b| {
            let (a, b) = (key(*a), key(*b));
            a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))
        });
        let mut rank = vec![0; figures.len()];
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

    /// The sum in hundredths, for people and programs.
    #[must_use]
    pub fn points(&self, moment: usize) -> i32 {
        (self.sum[moment] * 100.0).round() as i32
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
/// title stands in it; whether its entry is the first or the last that may be told.
fn figures(material: &Material, may: &[bool]) -> Vec<[f64; 5]> {
    let allowed = || material.sources.iter().zip(may).filter(|(_, may)| **may);
    let first = allowed().map(|(source, _)| &source.when).min();
    let last = allowed().map(|(source, _)| &source.when).max();
    let ends: Vec<&str> = [first, last]
        .into_iter()
        .flatten()
        .map(|when| when.entry.as_str())
        .collect();
    let mut titles: BTreeMap<&str, BTreeSet<String>> = BTreeMap::new();
    let figures = material.moments.iter().map(|moment| {
        let source = &material.sources[moment.source];
        let title = source.title.as_deref().unwrap_or_default();
        let promised = titles.entry(title).or_insert_with(|| {
            let all = fold(title);
            let words = words(&all).filter(|word| !is_stop_word(word));
            words.map(stem).collect()
        });
        let (mut past, mut people, mut all) = (0_usize, 0_usize, 0_usize);
        let mut kept: BTreeSet<String> = BTreeSet::new();
        for_each_word(moment, |word| {
            all += 1;
            past += usize::from(is_past(word));
            people += usize::from(matches!(word, "he" | "she" | "him" | "her" | "his"));
            if !promised.is_empty() && !is_stop_word(word) {
                let stem = stem(word);
                if promised.contains(&stem) {
                    kept.insert(stem);
                }
            }
        });
        // "Painted." is not all past: few words have no share to speak of.
        let share = |part: usize| part as f64 / all.max(SHORT) as f64;
        let is_end = ends.contains(&source.when.entry.as_str());
        [
            (all.max(1) as f64).ln(),
            share(past),
            share(people),
            kept.len() as f64 / promised.len().max(1) as f64,
            f64::from(u8::from(is_end)),
        ]
    });
    figures.collect()
}

fn is_past(word: &str) -> bool {
    word.ends_with("ed") || matches!(word, "was" | "were" | "had" | "did")
}

fn for_each_word(moment: &Moment, mut each: impl FnMut(&str)) {
    for sentence in &moment.sentences {
        let folded = fold(&sentence.text);
        words(&folded).for_each(&mut each);
    }
}

/// The words of a folded text; "didn't" is one.
fn words(folded: &str) -> impl Iterator<Item = &str> {
    let pieces = folded.split(|c: char| !c.is_alphanumeric() && c != '\'');
    let pieces = pieces.map(|piece| piece.trim_matches('\''));
    pieces.filter(|piece| !piece.is_empty())
}
