//! Words of a text with their places, and patterns of words laid over them.
//!
//! What a pattern means is not known here.

use std::fmt;
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
}

/// The sentences of a text, each as its words. One of a word or two is joined
/// to the next: "A/C. Not cold." is one thought.
pub(super) fn sentences(text: &str) -> Vec<Vec<TextWord>> {
    let mut all: Vec<Vec<TextWord>> = Vec::new();
    let mut current: Vec<TextWord> = Vec::new();
    let mut start: Option<usize> = None;
    let mut chars = text.char_indices().peekable();
    while let Some((at, c)) = chars.next() {
        let next = chars.peek().map(|(_, next)| *next);
        let joins = c == '\'' || c == '\u{2019}';
        let inside = start.is_some() && joins && next.is_some_and(char::is_alphanumeric);
        if c.is_alphanumeric() || inside || is_mark(c) && start.is_some() {
            start.get_or_insert(at);
            continue;
        }
        if let Some(start) = start.take() {
            current.push(word(text, start..at));
        }
        let ends = matches!(c, '.' | '!' | '?') && next.is_none_or(char::is_whitespace);
        let paragraph = c == '\n' && matches!(next, Some('\n' | '-' | '*'));
        if (ends || paragraph) && current.len() > 2 {
            all.push(std::mem::take(&mut current));
        }
    }
    if let Some(start) = start {
        current.push(word(text, start..text.len()));
    }
    match all.last_mut() {
        // The rest of a text in short sentences belongs to what stands before.
        Some(last) if current.len() <= 2 => last.append(&mut current),
        Some(_) | None => all.push(current),
    }
    all
}

/// A mark that stands over the letter before it.
fn is_mark(c: char) -> bool {
    unicode_normalization::char::is_combining_mark(c)
}

fn word(text: &str, bytes: Range<usize>) -> TextWord {
    let folded = fold(&text[bytes.clone()]);
    let folded = folded.strip_suffix("'s").unwrap_or(&folded).to_owned();
    TextWord {
        stem: stem(&folded),
        folded,
        bytes,
    }
}

/// One word of a phrase.
#[derive(Clone, Debug, PartialEq, Eq)]
struct PatternWord {
    /// The word.
    word: String,
    /// Its stem, which any form of it has; `None` if no other form will do.
    stem: Option<String>,
}

/// Words that stand side by side.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct PatternPhrase(Vec<PatternWord>);

impl PatternPhrase {
    /// A phrase from its words; one written `=blew` means that form alone.
    pub(super) fn new(words: &str) -> PatternPhrase {
        let wanted = |word: &str| match word.strip_prefix('=') {
            Some(exact) => PatternWord {
                word: exact.to_owned(),
                stem: None,
            },
            None => PatternWord {
                word: word.to_owned(),
                stem: Some(stem(word)),
            },
        };
        PatternPhrase(words.split(' ').map(wanted).collect())
    }

    /// Where it stands among some words.
    pub(super) fn find(&self, words: &[TextWord]) -> Option<Range<usize>> {
        self.find_all(words).next()
    }

    /// Everywhere it stands.
    pub(super) fn find_all<'w>(
        &'w self,
        words: &'w [TextWord],
    ) -> impl Iterator<Item = Range<usize>> + 'w {
        words
            .windows(self.0.len())
            .enumerate()
            .filter(|(_, window)| self.0.iter().zip(*window).all(|(a, b)| a.is(b)))
            .map(|(at, _)| at..at + self.0.len())
    }
}

impl fmt::Display for PatternPhrase {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let words: Vec<&str> = self.0.iter().map(|wanted| wanted.word.as_str()).collect();
        f.write_str(&words.join(" "))
    }
}

impl PatternWord {
    fn is(&self, word: &TextWord) -> bool {
        match &self.stem {
            Some(stem) => *stem == word.stem,
            None => self.word == word.folded,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_keep_their_places() {
        let text = "Wörter’s éß a/c. Aircon. Not cold!";
        let found = sentences(text);
        let said: Vec<Vec<&str>> = found
            .iter()
            .map(|words| words.iter().map(|word| &text[word.bytes.clone()]).collect())
            .collect();
        assert_eq!(
            said,
            [
                vec!["Wörter’s", "éß", "a", "c"],
                vec!["Aircon", "Not", "cold"]
            ]
        );
    }

    #[test]
    fn a_phrase_is_found_in_any_form_of_its_words() {
        let words = sentences("both axle stands went under").remove(0);
        assert_eq!(PatternPhrase::new("axle stand").find(&words), Some(1..3));
        assert_eq!(PatternPhrase::new("=axles stand").find(&words), None);
    }
}
