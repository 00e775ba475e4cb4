//! What short notes say again and again: the pairs of words that most of them
//! have.
//!
//! Only where there are many and they are terse; a story has no such count.

use std::collections::{BTreeMap, BTreeSet};

use super::material::{Material, Source};
use super::moments::Voice;
use crate::vocabulary::words::{is_stop_word, words};

/// Fewer notes than this are not worth counting.
const MANY: usize = 60;

/// Notes with more words than this, in the mean, are a story.
const TERSE: usize = 12;

/// A pair in fewer notes is no habit.
const LEAST: usize = 5;

/// A pair of words, with how many passages have it.
pub type Often = (String, usize);

/// The pairs of words that are said most often in the prose of the sources
/// that are `asked` about, no word in two of them; none where a story is told.
#[must_use]
pub fn often(material: &Material, asked: &dyn Fn(&Source) -> bool, most: usize) -> Vec<Often> {
    let prose = || {
        let moments = material.moments.iter();
        moments.filter(|one| one.voice == Voice::Prose && asked(&material.sources[one.source]))
    };
    let passages: BTreeSet<usize> = prose().map(|moment| moment.passage).collect();
    let said: usize = prose().map(|moment| moment.words).sum();
    if passages.len() < MANY || said > passages.len() * TERSE {
        return Vec::new();
    }
    let mut pairs: BTreeMap<(String, String), BTreeSet<usize>> = BTreeMap::new();
    for moment in prose() {
        for sentence in &moment.sentences {
            let words: Vec<String> = words(&sentence.text).collect();
            for pair in words.windows(2) {
                if let [one, other] = pair
                    && tells(one)
                    && tells(other)
                {
                    let passages = pairs.entry((one.clone(), other.clone())).or_default();
                    passages.insert(moment.passage);
                }
            }
        }
    }
    let mut counted: Vec<((String, String), usize)> = pairs
        .into_iter()
        .map(|(pair, passages)| (pair, passages.len()))
        .collect();
    counted.retain(|(_, count)| *count >= LEAST);
    counted.sort_by(|a, b| b.1.cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
    let mut used: BTreeSet<String> = BTreeSet::new();
    let mut found = Vec::new();
    for ((one, other), count) in counted {
        if used.contains(&one) || used.contains(&other) {
            continue;
        }
        found.push((format!("{one} {other}"), count));
        used.insert(one);
        used.insert(other);
        if found.len() == most {
            break;
        }
    }
    found
}

/// Whether a word says something by itself: neither a joining word nor a letter
/// or a number.
fn tells(word: &str) -> bool {
    word.chars().count() > 1 && !is_stop_word(word) && word.chars().all(char::is_alphabetic)
}
