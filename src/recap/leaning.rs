//! Whether a sentence stands by itself, or leans on the one before it.
//!
//! A guess from its words, for English: who guesses wrong brings one sentence too
//! many along, and none that was not written.

use crate::vocabulary::words::{fold, words};

/// First words of a sentence that speaks of the one before.
const LEANING: [&str; 42] = [
    "afterwards",
    "and",
    "another",
    "because",
    "behind",
    "both",
    "but",
    "either",
    "every",
    "he",
    "her",
    "here",
    "his",
    "it",
    "its",
    "it's",
    "neither",
    "nor",
    "now",
    "one",
    "or",
    "otherwise",
    "she",
    "so",
    "still",
    "such",
    "that",
    "that's",
    "the",
    "their",
    "then",
    "there",
    "these",
    "they",
    "third",
    "this",
    "those",
    "which",
    "who",
    "whoever",
    "yes",
    "yet",
];

/// A sentence of fewer words is the end of what was said before it.
const SHORT: usize = 7;

/// Behind "now", at the beginning, these turn to something else.
const TURNS: [&str; 5] = ["about", "for", "my", "the", "to"];

/// Words that stand for someone or something named before.
const STAND_INS: [&str; 14] = [
    "he", "her", "hers", "him", "his", "it", "its", "she", "their", "them", "these", "they",
    "this", "those",
];

/// So many words into a sentence, it has named what it is about.
const NAMED_BY: usize = 8;

/// Whether someone or something is meant, early on, that was named before.
fn speaks_of_another(sentence: &str) -> bool {
    words(sentence)
        .take(NAMED_BY)
        .any(|word| STAND_INS.contains(&word.as_str()))
}

/// Whether a sentence can hardly be understood without the one before it.
#[must_use]
pub fn leans(sentence: &str) -> bool {
    let folded = fold(sentence);
    let mut first = folded
        .split(|c: char| !c.is_alphanumeric() && c != '\'')
        .filter(|word| !word.is_empty());
    let Some(word) = first.next() else {
        return true;
    };
    // "The tank hangs ..." names what it is about; "The other one" does not.
    if word == "the" {
        return first.next().is_some_and(|next| {
            [
                "other", "others", "first", "second", "third", "rest", "same", "two", "three",
                "odd",
            ]
            .contains(&next)
        });
    }
    // "Now the wire" turns to something else; "Now it ran" goes on.
    if word == "now" && first.next().is_some_and(|next| TURNS.contains(&next)) {
        return false;
    }
    LEANING.contains(&word) || words(sentence).count() < SHORT || speaks_of_another(sentence)
}

/// Whether this is no sentence but a label with its value: "Depth: 3 cm".
#[must_use]
pub fn is_label(text: &str) -> bool {
    let mut words = text.split_whitespace();
    words.next().is_some_and(|first| first.ends_with(':')) && words.count() < 4
}

/// Whether two sentences begin with the same words: "I tried with two mirrors.
/// I tried from above."
#[must_use]
pub fn begin_alike(one: &str, other: &str) -> bool {
    let first = |text: &str| words(text).take(2).collect::<Vec<_>>();
    first(one).len() == 2 && first(one) == first(other)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sentence_that_speaks_of_another_leans() {
        for (text, expected) in [
            (
                "The tank hangs under the tail end of the load floor.",
                false,
            ),
            ("It turned over, slowly, like somebody getting up.", true),
            ("The other three I held with a screwdriver.", true),
            ("Nine weeks.", true),
            ("Now the thing about the wire.", false),
            ("Now it turned over.", true),
            ("Fourteen coach bolts came out without a fight.", false),
            ("That's what it was about all along.", true),
        ] {
            assert_eq!(leans(text), expected, "{text}");
        }
    }
}
