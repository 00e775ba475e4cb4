//! What someone typed, as words and quoted phrases.
//!
//! Never fails: what is not a word is passed over, and a quotation mark without
//! its partner, or after a figure (inches), is none. What the words are looked
//! for as is decided in `wanted`.

use super::tokens::{Chunk, chunks};
use crate::vocabulary::words::{fold, is_stop_word, straighten};

/// More words than this are not read: a pasted page is no question.
const MOST: usize = 64;
/// Nor is a question read further than this.
const LONGEST: usize = 4_000;

/// One thing asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum QueryTerm {
    Word(QueryWord),
    /// Literally these words in a row.
    Phrase {
        shown: String,
        words: Vec<String>,
    },
}

/// A word, a size, a part number.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct QueryWord {
    /// Folded.
    pub shown: String,
    pub pieces: Vec<String>,
    pub wholes: Vec<String>,
}

impl QueryWord {
    /// A word of letters only, as it stands in the dictionary.
    pub(super) fn plain(word: &str) -> Self {
        Self {
            shown: word.to_owned(),
            pieces: vec![word.to_owned()],
            wholes: Vec::new(),
        }
    }

    /// Whether a slip of the finger in it may be set right: not in a size or a
    /// part number, where another digit is another thing.
    pub(super) fn may_be_a_slip(&self) -> bool {
        self.pieces.len() == 1
            && self.shown.chars().count() > 2
            && self.shown.chars().all(char::is_alphabetic)
    }
}

/// Reads a question. Words that only join others are left out unless there is
/// nothing else.
pub(super) fn parse(text: &str) -> Vec<QueryTerm> {
    let text: String = straighten(text).chars().take(LONGEST).collect();
    let mut asked = Vec::new();
    let mut rest = text.as_str();
    while let Some((before, quoted, after)) = next_quoted(rest) {
        read_words(before, &mut asked);
        let mut words = Vec::new();
        let shown = fold(quoted);
        chunks(&shown, |chunk| words.extend(piece_texts(&chunk)));
        if !words.is_empty() {
            asked.push(QueryTerm::Phrase { shown, words });
        }
        rest = after;
    }
    read_words(rest, &mut asked);
    asked.truncate(MOST);
    let joins = |asked: &QueryTerm| match asked {
        QueryTerm::Word(word) => is_stop_word(&word.shown),
        QueryTerm::Phrase { .. } => false,
    };
    if !asked.iter().all(joins) {
        asked.retain(|asked| !joins(asked));
    }
    asked
}

/// The next quotation: it opens before a word and has an end.
fn next_quoted(text: &str) -> Option<(&str, &str, &str)> {
    let mut before = ' ';
    for (at, c) in text.char_indices() {
        if c == '"' && before.is_whitespace() {
            let (quoted, after) = text[at + 1..].split_once('"')?;
            return Some((&text[..at], quoted, after));
        }
        before = c;
    }
    None
}

fn read_words(text: &str, asked: &mut Vec<QueryTerm>) {
    let folded = fold(text);
    chunks(&folded, |chunk| {
        let (first, last) = (&chunk.pieces[0], &chunk.pieces[chunk.pieces.len() - 1]);
        asked.push(QueryTerm::Word(QueryWord {
            shown: folded[first.start..last.end].to_owned(),
            pieces: piece_texts(&chunk).collect(),
            wholes: chunk.wholes,
        }));
    });
}

fn piece_texts<'c>(chunk: &'c Chunk<'_>) -> impl Iterator<Item = String> + use<'c> {
    chunk.pieces.iter().map(|piece| piece.text.to_string())
}
