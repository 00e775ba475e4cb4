//! The words of a text with their places, sentence by sentence.
//!
//! What they mean is not known here.

use std::ops::Range;

use crate::vocabulary::words::{fold, stem};

/// A word of a text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct TextWord {
    /// As folded.
    pub folded: String,
    /// Its stem.
    pub stem: String,
    /// Its bytes in the text.
    pub bytes: Range<usize>,
    /// Whether a comma or the like stands before it: no phrase goes across one.
    pub apart: bool,
}

/// The most words of a sentence that is joined to the next: "A/C. Not cold." is one
/// thought.
const SHORT_SENTENCE: usize = 4;

/// The sentences of a text, each as its words; short ones are joined to the next.
pub(super) fn sentences(text: &str) -> Vec<Vec<TextWord>> {
    let mut all: Vec<Vec<TextWord>> = Vec::new();
    let mut current: Vec<TextWord> = Vec::new();
    let mut start: Option<usize> = None;
    let mut apart = false;
    let mut chars = text.char_indices().peekable();
    while let Some((at, c)) = chars.next() {
        let next = chars.peek().map(|(_, next)| *next);
        let joins = c == '\'' || c == '\u{2019}';
        let inside = start.is_some() && joins && next.is_some_and(char::is_alphanumeric);
        // "'88" is a year.
        let cut_year = start.is_none() && joins && next.is_some_and(|next| next.is_ascii_digit());
        if c.is_alphanumeric() || inside || cut_year || is_mark(c) && start.is_some() {
            start.get_or_insert(at);
            continue;
        }
        if let Some(start) = start.take() {
            current.push(word(text, start..at, std::mem::take(&mut apart)));
        }
        apart |= matches!(c, ',' | ';' | ':' | '(' | ')' | '.' | '!' | '?');
        let ends = matches!(c, '.' | '!' | '?') && next.is_none_or(char::is_whitespace);
        let paragraph = c == '\n' && matches!(next, Some('\n' | '-' | '*'));
        if (ends || paragraph) && current.len() > SHORT_SENTENCE {
            all.push(std::mem::take(&mut current));
        }
    }
    if let Some(start) = start {
        current.push(word(text, start..text.len(), apart));
    }
    match all.last_mut() {
        // The rest of a text in short sentences belongs to what stands before.
        Some(last) if current.len() <= SHORT_SENTENCE => last.append(&mut current),
        Some(_) | None => all.push(current),
    }
    all
}

/// A mark that stands over the letter before it.
fn is_mark(c: char) -> bool {
    unicode_normalization::char::is_combining_mark(c)
}

fn word(text: &str, bytes: Range<usize>, apart: bool) -> TextWord {
    let folded = fold(&text[bytes.clone()]);
    // "the car's", "tig'd".
    let whole = ["'s", "'d"].iter().find_map(|end| folded.strip_suffix(end));
    let folded = whole.unwrap_or(&folded).to_owned();
    TextWord {
        stem: stem(&folded),
        folded,
        bytes,
        apart,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_keep_their_places() {
        let text = "Wörter’s éß a/c anew. Aircon. Not cold at all!";
        let found = sentences(text);
        let said: Vec<Vec<&str>> = found
            .iter()
            .map(|words| words.iter().map(|word| &text[word.bytes.clone()]).collect())
            .collect();
        assert_eq!(
            said,
            [
                vec!["Wörter’s", "éß", "a", "c", "anew"],
                vec!["Aircon", "Not", "cold", "at", "all"]
            ]
        );
    }

    #[test]
    fn a_short_sentence_is_one_thought_with_its_neighbour() {
        for (text, sizes) in [
            ("Pulled the old sender. Stank the whole place out.", vec![9]),
            ("It stank the place out. Pulled the sender.", vec![8]),
            (
                "It stank the place out. I pulled the old sender.",
                vec![5, 5],
            ),
        ] {
            let found: Vec<usize> = sentences(text).iter().map(Vec::len).collect();
            assert_eq!(found, sizes, "{text}");
        }
    }
}
