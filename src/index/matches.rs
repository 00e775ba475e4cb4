//! Where in a text the things that were looked for stand.
//!
//! Agrees with the index because it cuts the text with the same function; what
//! is shown of it is `excerpt`'s business.

use super::terms::{RequiredTerm, TermMatch};
use super::tokens::chunks;
use crate::vocabulary::words::{fold_traced, stem};

/// A matched word, in characters of the record.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Match {
    pub start: usize,
    pub end: usize,
    /// Which of the things asked for.
    pub asked: usize,
}

/// A word of the record.
struct RecordToken {
    plain: String,
    wholes: Vec<String>,
    start: usize,
    end: usize,
    /// Where the chunk ends that begins here.
    chunk_end: usize,
}

impl RecordToken {
    fn is(&self, word: &str) -> bool {
        self.plain == word
    }

    /// Whether this is its stem. Every stem begins as its word does, so most words
    /// need not be stemmed to be told from it.
    fn has_stem(&self, wanted: &str) -> bool {
        self.plain.chars().next() == wanted.chars().next() && stem(&self.plain) == wanted
    }
}

/// Every place where something that was looked for stands, in order.
pub(super) fn matches(text: &str, units: &[RequiredTerm]) -> Vec<Match> {
    let tokens = tokens(text);
    let mut found = Vec::new();
    let mut asked = 0;
    for unit in units {
        let first = asked;
        // Words that together have another name still are several words.
        let several = if let TermMatch::All(several) = &unit.itself {
            several.as_slice()
        } else {
            std::slice::from_ref(&unit.itself)
        };
        for one in several {
            mark(one, asked, &tokens, &mut found);
            asked += 1;
        }
        for stems in &unit.instead {
            mark_row(stems, first, &tokens, &mut found, RecordToken::has_stem);
        }
    }
    found.sort();
    found.dedup();
    found
}

fn tokens(text: &str) -> Vec<RecordToken> {
    let (folded, origins) = fold_traced(text);
    let from = |byte: usize| origins.get(byte).copied().unwrap_or(0);
    // One past the character that the last byte came from.
    let to = |byte: usize| byte.checked_sub(1).map_or(0, |last| from(last) + 1);
    let mut tokens = Vec::new();
    chunks(&folded, |chunk| {
        let chunk_end = chunk.pieces.last().map_or(0, |last| to(last.end));
        let mut wholes = chunk.wholes;
        for piece in chunk.pieces {
            tokens.push(RecordToken {
                plain: piece.text.into_owned(),
                wholes: wholes.drain(..).map(|whole| stem(&whole)).collect(),
                start: from(piece.start),
                end: to(piece.end),
                chunk_end,
            });
        }
    });
    tokens
}

fn mark(wanted: &TermMatch, asked: usize, tokens: &[RecordToken], found: &mut Vec<Match>) {
    match wanted {
        TermMatch::Stems(stems) => mark_row(stems, asked, tokens, found, RecordToken::has_stem),
        TermMatch::Exactly(words) => mark_row(words, asked, tokens, found, RecordToken::is),
        TermMatch::Any(several) | TermMatch::All(several) => {
            for one in several {
                mark(one, asked, tokens, found);
            }
        }
        TermMatch::Bag(label) => {
            let mut words = vec!["bag".to_owned()];
            chunks(label, |chunk| {
                words.extend(chunk.pieces.iter().map(|piece| piece.text.to_string()));
            });
            mark_row(&words, asked, tokens, found, RecordToken::is);
        }
    }
}

fn mark_row(
    words: &[String],
    asked: usize,
    tokens: &[RecordToken],
    found: &mut Vec<Match>,
    is: impl Fn(&RecordToken, &str) -> bool,
) {
    if words.is_empty() {
        return;
    }
    for row in tokens.windows(words.len()) {
        if row.iter().zip(words).all(|(token, word)| is(token, word)) {
            let (start, end) = (row[0].start, row[row.len() - 1].end);
            found.push(Match { start, end, asked });
        }
    }
    if let [whole] = words {
        for token in tokens.iter().filter(|token| token.wholes.contains(whole)) {
            found.push(Match {
                start: token.start,
                end: token.chunk_end,
                asked,
            });
        }
    }
}
