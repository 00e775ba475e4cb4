//! What is said behind the pieces of a line: of their form, number, size.
//!
//! It changes pieces that were read; new ones are read in `pieces`.

use super::Reading;
use super::doubts::HardwareDoubt;
use super::tool_size::tool_size;
use crate::vocabulary::fastener::Fastener;
use crate::vocabulary::hardware::Hardware;
use crate::vocabulary::hardware_words::{
    begins_note, is_condition, is_kind, is_side, only_describes,
};
use crate::vocabulary::phrases::PhraseJoin;
use crate::vocabulary::piece_count::{Count, leading_count, trailing_count};

impl Reading {
    /// A phrase behind the pieces that only says more about them.
    pub(super) fn describes(&mut self, text: &str, words: &[&str], joined: PhraseJoin) -> bool {
        if let Some((size, rest)) = tool_size(words)
            && rest.is_empty()
        {
            self.note(&size);
            return true;
        }
        let (count, used) = leading_count(words);
        let read = Fastener::read(&words[used..].join(" "));
        let sized = read.size.is_some() || read.grade.is_some();
        if sized && read.kind.written().is_empty() {
            return self.further_size(text, joined);
        }
        if count == Count::Unsaid && self.begins_with_size(words) {
            return true;
        }
        let rest: Vec<String> = words[used..]
            .iter()
            .map(|word| word.to_lowercase())
            .collect();
        if let Count::Exactly(count) = count
            && rest.is_empty()
            && self.counts_last(count)
        {
            return true;
        }
        let of_them = rest.first().is_some_and(|word| {
            matches!(
                word.trim_matches('\''),
                "them" | "em" | "these" | "which" | "those"
            )
        });
        // "fine nut, 8 of them"
        if let Count::Exactly(count) = count
            && of_them
            && rest.len() == 1
            && self.counts_last(count)
        {
            return true;
        }
        if count != Count::Unsaid && of_them {
            self.note(text);
            return true;
        }
        if count != Count::Unsaid {
            let nothing_named = rest.is_empty()
                || rest
                    .iter()
                    .all(|word| only_describes(word) || is_side(word))
                || rest.first().is_some_and(|word| begins_note(word));
            if nothing_named {
                self.doubt(HardwareDoubt::OfThoseOrMore(text.to_owned()));
            }
            return nothing_named;
        }
        let named = words.iter().any(|word| is_kind(&word.to_lowercase()));
        let counted_behind = trailing_count(words).is_some();
        if (named && !rest.iter().any(|word| begins_note(word) && !is_kind(word))
            || joined == PhraseJoin::Plus)
            && !is_note(&rest)
            || counted_behind
        {
            return false;
        }
        if words.len() <= 2
            && !rest
                .iter()
                .any(|word| word.ends_with("able") || is_condition(word))
            && !words.iter().any(|word| begins_note(&word.to_lowercase()))
            && !rest.iter().any(|word| begins_note(word))
            && !rest
                .iter()
                .any(|word| word.bytes().any(|b| b.is_ascii_digit()))
        {
            // "zinc", "countersunk": materials and forms stay with the kind.
            if let Some(last) = self.line.pieces.last_mut() {
                last.what = format!("{}, {text}", last.what);
            }
        } else {
            // "5/16-24 1 1/8 grade 8 at 0.85": a size or a price among words.
            let figured = text.bytes().any(|b| b.is_ascii_digit());
            if figured && words.len() > 1 && !rest.iter().any(|word| begins_note(word)) {
                self.doubt(HardwareDoubt::LeftOver(text.to_owned()));
            }
            self.note(text);
        }
        true
    }

    /// "4 bolts, M8 x 25 from the top": the size of pieces that had none, and what is told
    /// behind it.
    fn begins_with_size(&mut self, words: &[&str]) -> bool {
        let is_size = |until: &usize| {
            let read = Fastener::read(&words[..*until].join(" "));
            read.size.is_some() && read.kind.written().is_empty()
        };
        let names = |words: &[&str]| words.iter().any(|word| is_kind(&word.to_lowercase()));
        let Some(until) = (1..words.len()).rev().find(is_size) else {
            return false;
        };
        let Some(last) = self.line.pieces.last_mut() else {
            return false;
        };
        if names(&words[until..]) || Fastener::read(&last.what).size.is_some() {
            return false;
        }
        last.what = format!("{} {}", last.what, words[..until].join(" "));
        let told = words[until..].join(" ");
        if told.bytes().any(|b| b.is_ascii_digit()) {
            self.doubt(HardwareDoubt::LeftOver(told.clone()));
        }
        self.note(&told);
        true
    }

    /// "bolt and nut, 3 of each": the number of every piece that had none.
    pub(super) fn of_each(&mut self, words: &[&str]) -> bool {
        let (Count::Exactly(count), used) = leading_count(words) else {
            return false;
        };
        if !matches!(&words[used..], ["each"] | ["each", "kind" | "sort"]) {
            return false;
        }
        let guess = |doubt: &HardwareDoubt| {
            matches!(
                doubt,
                HardwareDoubt::Uncounted(_) | HardwareDoubt::CountedAsOne(_)
            )
        };
        let guesses = self.line.doubts.iter().filter(|doubt| guess(doubt)).count();
        let all = guesses > 0 && self.line.pieces.len() > 1;
        if all {
            for piece in &mut self.line.pieces {
                piece.quantity = Some(count);
            }
            self.line.doubts.retain(|doubt| !guess(doubt));
        }
        all
    }

    /// "bolts M8x25 - 6 pcs": the number of a piece that had none.
    pub(super) fn counts_last(&mut self, count: u32) -> bool {
        let guess = |doubt: &HardwareDoubt| {
            matches!(
                doubt,
                HardwareDoubt::Uncounted(_) | HardwareDoubt::CountedAsOne(_)
            )
        };
        let uncounted = self.line.doubts.last().is_some_and(guess);
        if let Some(last) = self.line.pieces.last_mut()
            && uncounted
        {
            last.quantity = Some(count);
            self.line.doubts.pop();
        }
        uncounted
    }

    /// A size alone: of the last piece, or "2 M8 x 30" of a further one.
    pub(super) fn further_size(&mut self, text: &str, joined: PhraseJoin) -> bool {
        let Some(last) = self.line.pieces.last_mut() else {
            return false;
        };
        let words: Vec<&str> = text.split_whitespace().collect();
        let (count, used) = leading_count(&words);
        let own = Fastener::read(&last.what);
        // "bolts, four off M8x20"
        let guess = |doubt: &HardwareDoubt| matches!(doubt, HardwareDoubt::Uncounted(_));
        if let Count::Exactly(count) = count
            && own.size.is_none()
            && last.quantity.is_none()
            && self.line.doubts.last().is_some_and(guess)
        {
            self.line.doubts.pop();
            last.quantity = Some(count);
            last.what = format!("{} {}", last.what, words[used..].join(" "));
            return true;
        }
        if let Count::Exactly(count) = count {
            let kind = own.kind.written().to_owned();
            let piece = Hardware {
                quantity: Some(count),
                what: format!("{kind} {}", words[used..].join(" ")),
                note: None,
                ..last.clone()
            };
            let piece = Hardware {
                bag: None,
                marks: Vec::new(),
                ..piece
            };
            self.line.pieces.push(piece);
            return true;
        }
        if own.size.is_none() || Fastener::read(text).size.is_none() {
            last.what = format!("{} {text}", last.what);
            return true;
        }
        if last.quantity == Some(2) && joined != PhraseJoin::Start {
            let kind = own.kind.written().to_owned();
            let mut other = last.clone();
            last.quantity = Some(1);
            other.quantity = Some(1);
            other.what = format!("{kind} {text}");
            self.line.pieces.push(other);
            return true;
        }
        self.doubt(HardwareDoubt::OfThoseOrMore(text.to_owned()));
        true
    }

    pub(super) fn note(&mut self, text: &str) {
        if let Some(last) = self.line.pieces.last_mut() {
            last.note = Some(match &last.note {
                Some(note) => format!("{note}, {text}"),
                None => text.to_owned(),
            });
        }
    }
}

/// Whether words behind a comma tell something instead of naming a piece.
pub(super) fn is_note(small: &[String]) -> bool {
    small.first().is_some_and(|word| begins_note(word))
}
