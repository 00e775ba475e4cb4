//! A small language of patterns over words and named things, so that rules are rows
//! of a table.
//!
//! | in a pattern | matches |
//! |---|---|
//! | `off\|out` | one of these words |
//! | `BE` | a word of the class of that name |
//! | `PART`, `FAST`, `THING` | a named part, fastener, either; the first is what the rule is about |
//! | `NEW` | a named thing that is said to be a new one |
//! | `IT` | it, that, this, they, them, those, she, he |
//! | `word?` | the word, or nothing |
//! | `~3` | up to three words that name nothing |
//! | `!a\|an` | no such word next; takes nothing |
//! | `^`, `$` | the beginning, the end of a clause, or a comma there |

use std::collections::HashMap;

use super::mentions::Mention;

/// A word, a comma or a named thing in a clause.
#[derive(Clone, Copy, Debug)]
pub enum Item<'s> {
    /// A word that names nothing, with its number in the stream.
    Word(&'s str, usize),
    /// A comma.
    Comma,
    /// A named thing, by its number.
    Thing(usize),
}

#[derive(Clone, Debug, PartialEq, Eq)]
enum Piece {
    Words(Vec<&'static str>),
    Maybe(Vec<&'static str>),
    Part,
    Fastener,
    Thing,
    New,
    It,
    Skip(usize),
    Unless(Vec<&'static str>),
    Begin,
    End,
}

/// A pattern, ready to be matched.
#[derive(Clone, Debug)]
pub struct Pattern {
    pieces: Vec<Piece>,
}

/// What a pattern matched.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Match {
    /// Its first item.
    pub from: usize,
    /// The item behind its last.
    pub to: usize,
    /// The thing it is about; `None` where it says "it" or nothing.
    pub thing: Option<usize>,
}

/// Classes of words by their names.
pub type Classes = HashMap<&'static str, Vec<&'static str>>;

impl Pattern {
    /// Reads a pattern.
    ///
    /// # Errors
    /// The piece that names no class.
    pub fn read(text: &'static str, classes: &Classes) -> Result<Pattern, &'static str> {
        let mut pieces = Vec::new();
        for token in text.split_whitespace() {
            let (token, is_maybe) = match token.strip_suffix('?') {
                Some(token) => (token, true),
                None => (token, false),
            };
            let piece = match token {
                "PART" => Piece::Part,
                "FAST" => Piece::Fastener,
                "THING" => Piece::Thing,
                "NEW" => Piece::New,
                "IT" => Piece::It,
                "^" => Piece::Begin,
                "$" => Piece::End,
                skip if skip.starts_with('~') => {
                    Piece::Skip(skip[1..].parse().map_err(|_| token)?)
                }
                words => {
                    let (words, is_unless) = match words.strip_prefix('!') {
                        Some(words) => (words, true),
                        None => (words, false),
                    };
                    let mut all = Vec::new();
                    for word in words.split('|') {
                        if word.chars().all(|c| c.is_uppercase() || c == '_') && word.len() > 1 {
                            all.extend(classes.get(word).ok_or(token)?);
                        } else {
                            all.push(word);
                        }
                    }
                    match (is_unless, is_maybe) {
                        (true, _) => Piece::Unless(all),
                        (false, true) => Piece::Maybe(all),
                        (false, false) => Piece::Words(all),
                    }
                }
            };
            pieces.push(piece);
        }
        Ok(Pattern { pieces })
    }

    /// All places where the pattern matches; of those that begin at one item, the
    /// first found.
    #[must_use]
    pub fn matches(&self, items: &[Item<'_>], mentions: &[Mention]) -> Vec<Match> {
        let begin = |from: usize| {
            let mut thing = None;
            let to = step(&self.pieces, items, from, mentions, &mut thing)?;
            (to > from).then_some(Match { from, to, thing })
        };
        (0..items.len()).filter_map(begin).collect()
    }
}

const PRONOUNS: [&str; 10] = [
    "it", "that", "this", "they", "them", "those", "she", "he", "these", "him",
];

fn step(
    pieces: &[Piece],
    items: &[Item<'_>],
    at: usize,
    mentions: &[Mention],
    thing: &mut Option<usize>,
) -> Option<usize> {
    let Some((piece, rest)) = pieces.split_first() else {
        return Some(at);
    };
    let word = match items.get(at) {
        Some(Item::Word(word, _)) => Some(*word),
        Some(Item::Comma | Item::Thing(_)) | None => None,
    };
    let named = match items.get(at) {
        Some(Item::Thing(number)) => Some(*number),
        Some(Item::Comma | Item::Word(..)) | None => None,
    };
    match piece {
        Piece::Words(words) => {
            let word = word?;
            words.contains(&word).then(|| step(rest, items, at + 1, mentions, thing))?
        }
        Piece::Maybe(words) => {
            if let Some(word) = word
                && words.contains(&word)
            {
                let before = *thing;
                if let Some(to) = step(rest, items, at + 1, mentions, thing) {
                    return Some(to);
                }
                *thing = before;
            }
            step(rest, items, at, mentions, thing)
        }
        Piece::Unless(words) => {
            let is_there = word.is_some_and(|word| words.contains(&word));
            (!is_there).then(|| step(rest, items, at, mentions, thing))?
        }
        Piece::It => {
            let word = word?;
            PRONOUNS.contains(&word).then(|| step(rest, items, at + 1, mentions, thing))?
        }
        Piece::Part | Piece::Fastener | Piece::Thing | Piece::New => {
            let number = named?;
            let mention = &mentions[number];
            let fits = match piece {
                Piece::Part => mention.is_part(),
                Piece::Fastener => mention.is_hardware(),
                Piece::New => mention.is_new && !mention.is_definite,
                _ => true,
            };
            if !fits {
                return None;
            }
            let before = *thing;
            if thing.is_none() {
                *thing = Some(number);
            }
            let to = step(rest, items, at + 1, mentions, thing);
            if to.is_none() {
                *thing = before;
            }
            to
        }
        Piece::Skip(most) => {
            let mut skipped = 0;
            loop {
                let before = *thing;
                if let Some(to) = step(rest, items, at + skipped, mentions, thing) {
                    return Some(to);
                }
                *thing = before;
                match items.get(at + skipped) {
                    Some(Item::Word(..)) if skipped < *most => skipped += 1,
                    Some(_) | None => return None,
                }
            }
        }
        Piece::Begin => {
            let begins = at == 0
                || matches!(items[at - 1], Item::Comma)
                || items[..at].iter().all(|item| {
                    matches!(item, Item::Word("so" | "and" | "but" | "then" | "okay" | "right" | "now" | "well" | "oh" | "yep" | "yes" | "yeah", _) | Item::Comma)
                });
            begins.then(|| step(rest, items, at, mentions, thing))?
        }
        Piece::End => {
            let ends = at >= items.len() || matches!(items[at], Item::Comma);
            ends.then(|| step(rest, items, at, mentions, thing))?
        }
    }
}
