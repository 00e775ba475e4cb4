//! A line of hardware as people type it: several kinds, a bag for all of
//! them, marks in words.
//!
//! Reads the words only; what is told to the person about a doubt is decided
//! where entries are read, and sizes stay text in each piece.

mod bags_and_marks;
mod behind;
mod brackets;
mod doubts;
mod kind_words;
mod pieces;
mod several_counts;
mod tool_size;

use bags_and_marks::put;
pub use doubts::HardwareDoubt;
use doubts::{either_size, left_over};
use kind_words::without_slips;

use super::bag_phrase::bag_phrase;
use super::fastener::Fastener;
use super::hardware::Hardware;
use super::hardware_words::{is_bag, is_container, is_kind, mark_word, singular};
use super::label::BagLabel;
use super::mark_phrase::{MarkPhrase, denies_mark, mark_phrase};
use super::phrases::{Phrase, PhraseJoin, phrases};
use super::piece_count::{Count, leading_count};
use super::size_text::plain_sizes;
use super::words::straighten;

/// What a line of hardware says.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct HardwareLine {
    /// The pieces, kind by kind.
    pub pieces: Vec<Hardware>,
    /// What of it a careful reader could not know.
    pub doubts: Vec<HardwareDoubt>,
    /// The last bag that was said before pieces: it holds those that follow,
    /// on the next lines too.
    pub bag_before: Option<BagLabel>,
    /// The bag that is said of all pieces: "all in bag 9".
    pub bag_of_all: Option<BagLabel>,
}

/// Reads a line of hardware. Never fails: what is no piece, bag or mark stays
/// with its piece, as a note or in its kind.
#[must_use]
pub fn read_hardware(text: &str) -> HardwareLine {
    if text.len() > LONGEST_LINE {
        return too_long(text);
    }
    let plain = straighten(text.trim().trim_end_matches('.'))
        .replace('!', " ")
        .replace(['[', '{'], "(")
        .replace([']', '}'], ")");
    let plain = bare_counts(&plain);
    let plain = plain_sizes(&without_slips(&one_word_bags(&plain)));
    let mut line = Reading::default();
    let phrases = phrases(&plain);
    for (place, phrase) in phrases.iter().enumerate() {
        line.phrase(phrase, phrases.get(place + 1));
        if let Some(sizes) = either_size(&phrase.text) {
            line.doubt(HardwareDoubt::LeftOver(sizes));
        }
    }
    line.finish(text)
}

/// "(2) M8 bolts (2) washers": counts in brackets before each kind, in plain writing.
fn bare_counts(text: &str) -> String {
    let is_count = |word: &str| {
        let inner = word
            .strip_prefix('(')
            .and_then(|word| word.strip_suffix(')'));
        inner.is_some_and(|inner| inner.parse::<u32>().is_ok())
    };
    let words: Vec<&str> = text.split_whitespace().collect();
    if !words.first().is_some_and(|first| is_count(first)) || words.len() < 2 {
        return text.to_owned();
    }
    let mut out = String::with_capacity(text.len());
    for (at, word) in words.iter().enumerate() {
        let counts = is_count(word) && at + 1 < words.len();
        match (at, counts) {
            (0, _) => {}
            (_, true) => out.push_str(", "),
            (_, false) => out.push(' '),
        }
        out.push_str(if counts {
            word.trim_matches(['(', ')'])
        } else {
            word
        });
    }
    out
}

/// "Zip lock 31", "zip-lock bag 3" with the bag in one word.
fn one_word_bags(text: &str) -> String {
    let lower = text.to_ascii_lowercase();
    let mut out = String::with_capacity(text.len());
    let mut from = 0;
    for (at, said) in lower.match_indices("zip") {
        let tail = &lower[at + said.len()..];
        if let Some(rest) = tail.strip_prefix([' ', '-'])
            && rest.starts_with("lock")
        {
            out.push_str(&text[from..at]);
            out.push_str("ziplock");
            from = at + "zip lock".len();
        }
    }
    out.push_str(&text[from..]);
    out
}

/// Bytes of the longest line that is read kind by kind: far more than anyone
/// writes about the hardware of one part.
const LONGEST_LINE: usize = 500;

/// A line that is too long to be read: one piece of nobody knows what.
fn too_long(text: &str) -> HardwareLine {
    let beginning: String = text.chars().take(40).collect();
    HardwareLine {
        pieces: vec![Hardware {
            quantity: None,
            each: false,
            what: text.to_owned(),
            bag: None,
            marks: Vec::new(),
            note: None,
        }],
        doubts: vec![HardwareDoubt::LeftOver(format!("{beginning} ..."))],
        ..HardwareLine::default()
    }
}

/// The reading of one line, phrase by phrase.
#[derive(Default)]
struct Reading {
    line: HardwareLine,
    /// Pieces before this one are in a bag that was said behind them.
    bagged: usize,
    /// The bag that was said last.
    said_bag: bool,
    /// "2 sets", "2 each": so many of every kind that follows.
    of_every: Option<u32>,
    /// "all M8": the size of every piece that has none of its own.
    size_of_all: Option<String>,
    /// "none": there is no hardware, and that is no problem.
    none: bool,
}

impl Reading {
    fn doubt(&mut self, doubt: HardwareDoubt) {
        if !self.line.doubts.contains(&doubt) {
            self.line.doubts.push(doubt);
        }
    }

    fn phrase(&mut self, phrase: &Phrase, next: Option<&Phrase>) {
        let text = phrase.text.as_str();
        if self.none {
            return;
        }
        if let Some(found) = bag_phrase(text) {
            let before = Phrase {
                text: found.before.clone(),
                brackets: phrase.brackets.clone(),
                joined: phrase.joined,
            };
            if !found.before.is_empty() {
                self.words(&before, next);
            }
            let alone = found.before.is_empty();
            let after = found.after.clone();
            self.bag(text, found, alone);
            if alone {
                self.brackets(&phrase.brackets);
            }
            let words: Vec<&str> = after.split_whitespace().collect();
            // "tray 3 row B": what is no piece and no mark says where the bag is.
            let elsewhere = words.len() > 1
                && mark_phrase(&after).is_none()
                && leading_count(&words).0 == Count::Unsaid
                && !words.iter().any(|word| is_kind(&word.to_lowercase()));
            let leads = ["on ", "in ", "at "]
                .iter()
                .any(|lead| after.starts_with(lead));
            if leads || elsewhere {
                self.doubt(HardwareDoubt::LeftOver(after));
            } else if !after.is_empty() {
                let after = Phrase {
                    text: after,
                    brackets: Vec::new(),
                    joined: PhraseJoin::Comma,
                };
                self.words(&after, next);
            }
            return;
        }
        self.words(phrase, next);
    }

    /// A phrase without a bag.
    fn words(&mut self, phrase: &Phrase, next: Option<&Phrase>) {
        let text = phrase.text.trim();
        if text.is_empty() {
            return self.brackets(&phrase.brackets);
        }
        let words: Vec<&str> = text.split_whitespace().collect();
        let first = self.line.pieces.is_empty();
        // An item of its own that counts pieces of the one before it.
        if first
            && words.get(1).is_some_and(|word| *word == "of")
            && words
                .get(2)
                .is_some_and(|word| matches!(*word, "them" | "these" | "those"))
        {
            self.doubt(HardwareDoubt::OfThoseOrMore(text.to_owned()));
        }
        // "4 bolts 4 nuts all M8"
        if let Some(at) = (0..words.len()).find(|at| size_of_all(&words[*at..]).is_some())
            && !(first && at == 0)
        {
            self.size_of_all = size_of_all(&words[at..]);
            if at > 0 {
                let before = Phrase {
                    text: words[..at].join(" "),
                    ..phrase.clone()
                };
                self.words(&before, None);
            }
            return;
        }
        if first && says_none(&words) {
            self.none = true;
            return;
        }
        if text.eq_ignore_ascii_case("each") && !first {
            if let Some(last) = self.line.pieces.last_mut() {
                last.each = true;
            }
            return self.brackets(&phrase.brackets);
        }
        if !first && denies_mark(text) {
            self.note(text);
            return self.brackets(&phrase.brackets);
        }
        if !first && self.of_each(&words) {
            return self.brackets(&phrase.brackets);
        }
        if let Some(mark) = self.mark_of(text) {
            self.mark(&mark, text);
            return self.brackets(&phrase.brackets);
        }
        if !first && self.describes(text, &words, phrase.joined) {
            return self.brackets(&phrase.brackets);
        }
        self.pieces(text, &words, phrase, next);
        self.brackets(&phrase.brackets);
    }

    /// The mark that a phrase gives pieces named before; it may call them by their whole
    /// name: "use new split pin".
    fn mark_of(&self, text: &str) -> Option<MarkPhrase> {
        let known = |mark: &MarkPhrase| self.is_about_known(mark);
        if let Some(mark) = mark_phrase(text).filter(known) {
            return Some(mark);
        }
        let names: Vec<String> = self
            .line
            .pieces
            .iter()
            .flat_map(|piece| {
                piece
                    .fastener()
                    .kind
                    .written()
                    .to_lowercase()
                    .split(' ')
                    .map(str::to_owned)
                    .collect::<Vec<_>>()
            })
            .filter(|word| !is_kind(word) && mark_word(word).is_none())
            .collect();
        let bare: Vec<&str> = text
            .split_whitespace()
            .filter(|word| !names.contains(&word.to_lowercase()))
            .collect();
        mark_phrase(&bare.join(" ")).filter(known)
    }

    /// Whether a mark is said of pieces that were named before.
    fn is_about_known(&self, mark: &MarkPhrase) -> bool {
        let known = |kind: &String| {
            self.line
                .pieces
                .iter()
                .any(|piece| last_kind(piece) == *kind)
        };
        !self.line.pieces.is_empty() && mark.kind.as_ref().is_none_or(known)
    }

    /// Gives the size that was said of all pieces to each; where some have another one it
    /// is asked about.
    fn one_size_for_all(&mut self) {
        let Some(size) = self.size_of_all.take() else {
            return;
        };
        if self
            .line
            .pieces
            .iter()
            .any(|piece| piece.fastener().size.is_some())
        {
            self.doubt(HardwareDoubt::WhichOnes(format!("all {size}")));
        }
        for piece in &mut self.line.pieces {
            if piece.fastener().size.is_none() {
                piece.what = format!("{} {size}", piece.what);
            }
        }
    }

    /// The line as it was read, with its bags in all pieces that have none.
    fn finish(mut self, text: &str) -> HardwareLine {
        self.fill_before();
        self.one_size_for_all();
        let last = self.line.bag_before.clone();
        if let Some(label) =
            last.filter(|_| self.bagged > 0 && self.bagged == self.line.pieces.len())
        {
            // "bag 4: 2 bolts, bag 5"
            self.doubt(HardwareDoubt::SeveralBags(format!(
                "bag {}",
                label.written()
            )));
        }
        if let Some(label) = &self.line.bag_of_all {
            put(&mut self.line.pieces, label);
        } else if self.said_bag {
            let bare = self
                .line
                .pieces
                .iter()
                .find(|piece| piece.bag.is_none() && piece.marks.is_empty());
            if let Some(what) = bare.map(|piece| piece.what.clone()) {
                self.doubt(HardwareDoubt::NoBagSaid(what));
            }
        }
        for piece in self.line.pieces.clone() {
            // "1 bolt short": a short one, or one too few?
            let kind = piece.fastener().kind;
            if kind.written().to_lowercase().ends_with(" short") {
                self.doubt(HardwareDoubt::OfThoseOrMore(kind.written().to_owned()));
            }
            if let Some(left) = left_over(&piece) {
                self.doubt(HardwareDoubt::LeftOver(left));
            }
        }
        let unnamed = |doubt: &HardwareDoubt| matches!(doubt, HardwareDoubt::NoPieces(_));
        if self.line.doubts.iter().any(unnamed) {
            self.line.pieces.clear();
        } else if self.line.pieces.is_empty() && !self.none && self.line.doubts.is_empty() {
            self.doubt(HardwareDoubt::NoPieces(text.to_owned()));
        }
        self.line
    }
}

/// The size in "all M8", "all of them 5/16", and nothing else.
fn size_of_all(words: &[&str]) -> Option<String> {
    let small: Vec<String> = words.iter().map(|word| word.to_lowercase()).collect();
    let from = match small
        .iter()
        .map(String::as_str)
        .collect::<Vec<_>>()
        .as_slice()
    {
        ["all", "of", "them" | "these", _, ..] => 3,
        ["all", "are", _, ..] => 2,
        ["all" | "everything", _, ..] => 1,
        _ => return None,
    };
    let text = words[from..].join(" ");
    let read = Fastener::read(&text);
    (read.kind.written().is_empty() && (read.size.is_some() || read.grade.is_some()))
        .then_some(text)
}

/// "none, it was only glued".
fn says_none(words: &[&str]) -> bool {
    let small: Vec<String> = words.iter().map(|word| word.to_lowercase()).collect();
    match small.first().map(|word| word.trim_matches(['.', ':', '-'])) {
        Some("none" | "nothing" | "nil" | "n/a") => true,
        Some("no") => small.get(1).is_some_and(|word| {
            matches!(
                word.as_str(),
                "hardware" | "fasteners" | "fixings" | "bolts" | "screws"
            )
        }),
        Some(_) | None => false,
    }
}

/// The last word of a piece's kind, for one.
fn last_kind(piece: &Hardware) -> String {
    let kind = Fastener::read(&piece.what).kind;
    let words: Vec<String> = kind
        .written()
        .to_lowercase()
        .split(' ')
        .map(singular)
        .collect();
    let named = words.iter().rev().find(|word| is_kind(word));
    named.or(words.last()).cloned().unwrap_or_default()
}

/// "4", "x4", "4 off", "4 pcs" and nothing more.
fn count_alone(text: &str) -> Option<u32> {
    let small = text.to_lowercase();
    let words: Vec<&str> = small.split_whitespace().collect();
    match leading_count(&words) {
        (Count::Exactly(count), used) if used == words.len() => Some(count),
        _ => None,
    }
}

/// Whether a word names where hardware lies.
pub(super) fn holds_hardware(word: &str) -> bool {
    is_bag(word) || is_container(word) || word == "bags"
}

#[cfg(test)]
mod tests;
