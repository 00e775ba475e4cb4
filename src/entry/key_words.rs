//! Keys of facts in other words: what people write who know the thing and not
//! the word for it here.
//!
//! The words stand in `key_words.txt`. Slips of the finger are for `key`.

use std::collections::HashMap;
use std::sync::OnceLock;

use super::key::Key;
use crate::vocabulary::words::{fold, one_slip};

/// A key that was meant by a word.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct KeyWord {
    /// The key.
    pub key: Key,
    /// A word that belongs before the value: `to buy: hose` is `needs: buy hose`.
    pub before: Option<&'static str>,
    /// Whether another key may have been meant.
    pub is_guess: bool,
}

/// The key that is meant by a word: the key itself, or another word for it.
#[must_use]
pub(super) fn read(word: &str) -> Option<KeyWord> {
    if word.is_ascii() && word.split_ascii_whitespace().nth(MOST_WORDS).is_some() {
        return None;
    }
    let folded = fold(word).replace(['-', '_', '#', '.', '/'], " ");
    let bare = folded.split_whitespace().collect::<Vec<_>>().join(" ");
    let bare = bare.trim_matches(['*', '`', '"', '\'', ' ']);
    if let Some(key) = Key::read(bare) {
        return Some(KeyWord {
            key,
            before: None,
            is_guess: false,
        });
    }
    words().get(bare).copied()
}

/// No key and no other word for one has more words, with marks between them.
const MOST_WORDS: usize = 8;

/// The key of facts that a word means: the key itself, or another word for it.
#[must_use]
pub fn key_meant(word: &str) -> Option<Key> {
    read(word).map(|found| found.key)
}

/// Whether a word asks for who sold something, which no key of its own holds.
#[must_use]
pub fn is_seller(word: &str) -> bool {
    matches!(
        fold(word).as_str(),
        "supplier"
            | "supplied by"
            | "seller"
            | "vendor"
            | "dealer"
            | "shop"
            | "source"
            | "bought from"
            | "bought at"
            | "purchased from"
            | "from"
    )
}

/// The key that was meant by a word with one slip in it; short words have too many
/// neighbours.
#[must_use]
pub(super) fn near(word: &str) -> Option<KeyWord> {
    let folded = fold(word);
    let guessed = |key: Key, before| KeyWord {
        key,
        before,
        is_guess: true,
    };
    if folded.len() < 5 {
        return None;
    }
    if let Some(key) = Key::near(&folded) {
        return Some(guessed(key, None));
    }
    // "hardwear": another ending of the same sound.
    let mut ended = Key::ALL.iter().filter(|key| {
        let (known, stem) = (key.word(), key.word().len().saturating_sub(3));
        known.len() >= 8
            && folded.len() == known.len()
            && folded.is_char_boundary(stem)
            && folded[..stem] == known[..stem]
            && strsim::osa_distance(&folded, known) <= 2
    });
    if let Some(key) = ended.next() {
        return Some(guessed(*key, None));
    }
    let mut meant = words()
        .iter()
        .filter(|(known, _)| known.len() >= 6 && one_slip(&folded, known))
        .map(|(_, word)| guessed(word.key, word.before));
    let first = meant.next()?;
    meant.all(|other| other.key == first.key).then_some(first)
}

fn words() -> &'static HashMap<&'static str, KeyWord> {
    static WORDS: OnceLock<HashMap<&'static str, KeyWord>> = OnceLock::new();
    WORDS.get_or_init(|| {
        let mut words = HashMap::new();
        let mut meant = None;
        for line in include_str!("key_words.txt").lines() {
            if line.starts_with(['#', '/']) || line.is_empty() {
                continue;
            }
            let list = match line.split_once(':') {
                Some((head, list)) => {
                    meant = key_word(head);
                    list
                }
                None => line,
            };
            for word in list
                .split(',')
                .map(str::trim)
                .filter(|word| !word.is_empty())
            {
                words.extend(meant.map(|meant| (word, meant)));
            }
        }
        words
    })
}

fn key_word(head: &'static str) -> Option<KeyWord> {
    let (head, is_guess) = match head.strip_suffix(" ?") {
        Some(head) => (head, true),
        None => (head, false),
    };
    let (key, before) = match head.split_once(" + ") {
        Some((key, before)) => (key, Some(before)),
        None => (head, None),
    };
    Some(KeyWord {
        key: Key::read(key)?,
        before,
        is_guess,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_in_other_words() {
        for (word, key) in [
            ("Location", Key::Stored),
            ("price", Key::Cost),
            ("To-do", Key::Needs),
            ("**Bag", Key::Bag),
            ("part no.", Key::Number),
            ("Condition", Key::Found),
        ] {
            assert_eq!(read(word).map(|word| word.key), Some(key), "{word}");
        }
        assert_eq!(read("to buy").and_then(|word| word.before), Some("buy"));
        assert!(read("Notes").is_some_and(|word| word.is_guess));
    }

    #[test]
    fn slips_at_the_end_of_a_long_key() {
        assert_eq!(near("hardwear").map(|word| word.key), Some(Key::Hardware));
        assert_eq!(near("hardwood"), None);
        assert_eq!(near("needless"), None);
    }

    #[test]
    fn other_words_are_no_keys() {
        for word in ["upholstery", "colour", "in box", "Bert", ""] {
            assert_eq!(read(word), None, "{word}");
        }
    }

    #[test]
    fn no_word_for_a_key_is_longer_than_what_is_looked_at() {
        let known = words().keys().copied();
        for word in known.chain(Key::ALL.iter().map(|key| key.word())) {
            assert!(word.split_whitespace().count() < MOST_WORDS - 2, "{word}");
        }
    }

    #[test]
    fn every_line_of_the_table_has_a_key() {
        for line in include_str!("key_words.txt").lines() {
            if let Some((head, _)) = line.split_once(':')
                && !line.starts_with(['#', '/', ' '])
            {
                assert!(key_word(head).is_some(), "{head}");
            }
        }
    }
}
