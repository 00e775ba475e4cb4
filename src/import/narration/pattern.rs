//! A small language of patterns over words and named things, so that rules are rows
//! of a table.
//!
//! | in a pattern | matches |
//! |---|---|
//! | `off\|out` | one of these words |
//! | `BE` | a word of the class of that name |
//! | `PART`, `THING` | a named part, a part or a fastener; the first is what the rule is about |
//! | `NEW` | a named thing that is said to be a new one |
//! | `IT` | it, that, this, they, them, those, these, she, he, him, her |
//! | `word?` | the word, or nothing |
//! | `~3` | up to three words that name nothing |
//! | `!a\|an` | no such word next; takes nothing |
//! | `^`, `$` | the beginning, the end of a clause, or a comma there |

use std::collections::HashMap;

use super::mentions::Mention;

/// A word, a comma or a named thing in a clause.
#[derive(Clone, Copy, Debug)]
pub enum SpokenItem<'s> {
    /// A word that names nothing.
    Word(&'s str),
    /// A comma.
    Comma,
    /// A named thing, by its number.
    Thing(usize),
}

#[derive(Clone, Debug, PartialEq, Eq)]
enum PatternPiece {
    Words(Vec<&'static str>),
    Maybe(Vec<&'static str>),
    Part,
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
    pieces: Vec<PatternPiece>,
}

/// What a pattern matched.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RuleSpan {
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
                "PART" => PatternPiece::Part,
                "THING" => PatternPiece::Thing,
                "NEW" => PatternPiece::New,
                "IT" => PatternPiece::It,
                "^" => PatternPiece::Begin,
                "$" => PatternPiece::End,
                skip if skip.starts_with('~') => {
                    PatternPiece::Skip(skip[1..].parse().map_err(|_| token)?)
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
                        (true, _) => PatternPiece::Unless(all),
                        (false, true) => PatternPiece::Maybe(all),
                        (false, false) => PatternPiece::Words(all),
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
    pub fn matches(&self, items: &[SpokenItem<'_>], mentions: &[Mention]) -> Vec<RuleSpan> {
        let begin = |from: usize| {
            let mut thing = None;
            let to = step(&self.pieces, items, from, mentions, &mut thing)?;
            (to > from).then_some(RuleSpan { from, to, thing })
        };
        (0..items.len()).filter_map(begin).collect()
    }
}

const PRONOUNS: [&str; 11] = [
    "it", "that", "this", "they", "them", "those", "she", "these", "he", "him", "her",
];

/// The item behind a list of things that begins here, and its last thing.
fn list_behind(items: &[SpokenItem<'_>], at: usize) -> (usize, usize) {
    let mut end = (at, 0);
    let mut next = at;
    let mut joined = true;
    while let Some(item) = items.get(next) {
        match item {
            SpokenItem::Thing(number) if joined => {
                end = (next + 1, *number);
                joined = false;
            }
            SpokenItem::Comma | SpokenItem::Word("and") => joined = true,
            SpokenItem::Word("the" | "a" | "its" | "both" | "all" | "that" | "two") if joined => {}
            SpokenItem::Thing(_) | SpokenItem::Word(_) => break,
        }
        next += 1;
    }
    end
}

fn step(
    pieces: &[PatternPiece],
    items: &[SpokenItem<'_>],
    at: usize,
    mentions: &[Mention],
    thing: &mut Option<usize>,
) -> Option<usize> {
    let Some((piece, rest)) = pieces.split_first() else {
        return Some(at);
    };
    let word = match items.get(at) {
        Some(SpokenItem::Word(word)) => Some(*word),
        Some(SpokenItem::Comma | SpokenItem::Thing(_)) | None => None,
    };
    let named = match items.get(at) {
        Some(SpokenItem::Thing(number)) => Some(*number),
        Some(SpokenItem::Comma | SpokenItem::Word(_)) | None => None,
    };
    match piece {
        PatternPiece::Words(words) => {
            let word = word?;
            words
                .contains(&word)
                .then(|| step(rest, items, at + 1, mentions, thing))?
        }
        PatternPiece::Maybe(words) => {
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
        PatternPiece::Unless(words) => {
            let is_there = word.is_some_and(|word| words.contains(&word));
            (!is_there).then(|| step(rest, items, at, mentions, thing))?
        }
        PatternPiece::It => {
            let word = word?;
            PRONOUNS
                .contains(&word)
                .then(|| step(rest, items, at + 1, mentions, thing))?
        }
        PatternPiece::Part | PatternPiece::Thing | PatternPiece::New => {
            let number = named?;
            let mention = &mentions[number];
            let fits = (*piece != PatternPiece::Part || mention.is_part())
                && (*piece != PatternPiece::New || mention.is_new && !mention.is_definite);
            if !fits {
                return None;
            }
            let before = *thing;
            // A list of things stands for its last: "the top and the needle".
            for (to, last) in [list_behind(items, at), (at + 1, number)] {
                if before.is_none() {
                    *thing = Some(last);
                }
                if let Some(to) = step(rest, items, to, mentions, thing) {
                    return Some(to);
                }
                *thing = before;
            }
            None
        }
        PatternPiece::Skip(most) => {
            let mut skipped = 0;
            loop {
                let before = *thing;
                if let Some(to) = step(rest, items, at + skipped, mentions, thing) {
                    return Some(to);
                }
                *thing = before;
                match items.get(at + skipped) {
                    Some(SpokenItem::Word(_)) if skipped < *most => skipped += 1,
                    Some(_) | None => return None,
                }
            }
        }
        PatternPiece::Begin => {
            let begins = at == 0
                || matches!(items[at - 1], SpokenItem::Comma)
                || items[..at].iter().all(|item| {
                    matches!(
                        item,
                        SpokenItem::Word(
                            "so" | "and"
                                | "but"
                                | "then"
                                | "okay"
                                | "right"
                                | "now"
                                | "well"
                                | "oh"
                                | "yep"
                                | "yes"
                                | "yeah"
                        ) | SpokenItem::Comma
                    )
                });
            begins.then(|| step(rest, items, at, mentions, thing))?
        }
        PatternPiece::End => {
            let ends = at >= items.len() || matches!(items[at], SpokenItem::Comma);
            ends.then(|| step(rest, items, at, mentions, thing))?
        }
    }
}
