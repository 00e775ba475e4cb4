//! What stands in brackets behind a phrase: a number, a bag, a mark, sizes, forms.
//!
//! Brackets are taken out of the text in `phrases`.

use super::doubts::HardwareDoubt;
use super::{Reading, count_alone};
use crate::vocabulary::bag_phrase::bag_phrase;
use crate::vocabulary::fastener::{Fastener, says_left_hand};
use crate::vocabulary::hardware::Hardware;
use crate::vocabulary::hardware_words::{is_kind, mark_word};
use crate::vocabulary::piece_count::{Count, leading_count};
use crate::vocabulary::size::Size;

impl Reading {
    /// What stands in brackets behind a phrase.
    pub(super) fn brackets(&mut self, brackets: &[String]) {
        for inner in brackets {
            let words: Vec<&str> = inner.split_whitespace().collect();
            if count_alone(inner).is_some() {
                let counted = self.line.pieces.last().and_then(|piece| piece.quantity);
                if counted != count_alone(inner) {
                    self.doubt(HardwareDoubt::OfThoseOrMore(format!("({inner})")));
                }
            } else if counts_some_of(&words) {
                self.doubt(HardwareDoubt::OfThoseOrMore(format!("({inner})")));
            } else if let Some(found) = bag_phrase(inner).filter(|found| found.before.is_empty()) {
                let after = found.after.clone();
                self.bag(inner, found, false);
                if !after.is_empty() {
                    self.note(&after);
                }
            } else if let Some(mark) = self.mark_of(inner) {
                self.mark(&mark, inner);
            } else if says_left_hand(inner)
                && let Some(last) = self.line.pieces.last_mut()
            {
                // Another thread is another piece, whatever else stands there.
                last.what = format!("{} ({inner})", last.what);
            } else if !self.sizes(inner) && !self.kinds_of_one(inner) && !self.explains(inner) {
                self.note(inner);
            }
        }
    }

    /// The kind in brackets behind a word that names none here: "4 mutter (nuts)".
    /// The word stays as a note.
    pub(super) fn explains(&mut self, inner: &str) -> bool {
        let words: Vec<&str> = inner.split_whitespace().collect();
        let known = words
            .last()
            .is_some_and(|last| is_kind(&last.to_lowercase()));
        let named = words.len() <= 3
            && words
                .iter()
                .all(|word| word.chars().all(char::is_alphabetic));
        let Some(piece) = self.line.pieces.last_mut() else {
            return false;
        };
        let kind = piece.fastener().kind;
        let written = kind.written();
        let nameless = written
            .split(' ')
            .all(|word| !is_kind(&word.to_lowercase()) && word.chars().all(char::is_alphabetic));
        if !known || !named || !nameless || written.is_empty() || !piece.what.contains(written) {
            return false;
        }
        piece.what = piece.what.replacen(written, inner, 1);
        let written = written.to_owned();
        self.note(&written);
        true
    }

    /// Numbers of each form in brackets: "6 bolts (2 long, 4 short)".
    pub(super) fn kinds_of_one(&mut self, inner: &str) -> bool {
        let parts: Vec<Vec<&str>> = inner
            .split([',', ';'])
            .flat_map(|part| part.split(" and "))
            .map(|part| part.split_whitespace().collect())
            .collect();
        let counts: Vec<(Count, usize)> = parts.iter().map(|words| leading_count(words)).collect();
        let numbers: Option<Vec<u32>> = counts
            .iter()
            .map(|(count, _)| match count {
                Count::Exactly(count) => Some(*count),
                Count::About(..)
                | Count::Vague(_)
                | Count::Range(_)
                | Count::Odd(_)
                | Count::Unsaid => None,
            })
            .collect();
        let (Some(numbers), Some(last)) = (
            numbers.filter(|all| all.len() > 1),
            self.line.pieces.last().cloned(),
        ) else {
            return false;
        };
        if Some(numbers.iter().sum()) != last.quantity {
            self.doubt(HardwareDoubt::OfThoseOrMore(format!("({inner})")));
            return false;
        }
        self.line.pieces.pop();
        for ((words, (_, used)), number) in parts.iter().zip(&counts).zip(numbers) {
            let form = words[*used..].join(" ");
            let first = form.split(' ').next().unwrap_or_default().to_lowercase();
            let mark = mark_word(&first);
            let form = if mark.is_some()
                || matches!(first.as_str(), "ok" | "good" | "fine" | "sound" | "of")
            {
                String::new()
            } else {
                form
            };
            let what = if is_kind(form.rsplit(' ').next().unwrap_or_default()) {
                form
            } else {
                format!("{form} {}", last.what)
            };
            self.line.pieces.push(Hardware {
                quantity: Some(number),
                what: what.trim().to_owned(),
                marks: mark.into_iter().chain(last.marks.iter().copied()).collect(),
                ..last.clone()
            });
        }
        true
    }

    /// Sizes in brackets: one for each piece, or one for all.
    pub(super) fn sizes(&mut self, inner: &str) -> bool {
        let sizes: Vec<&str> = inner
            .split([',', ';'])
            .flat_map(|size| size.split(" and "))
            .map(str::trim)
            .collect();
        let is_size = |text: &&str| {
            let read = Fastener::read(text);
            read.kind.written().is_empty() && (read.size.is_some() || read.grade.is_some())
        };
        if !sizes.iter().all(is_size) {
            return false;
        }
        let Some(last) = self.line.pieces.last_mut() else {
            return false;
        };
        if Size::find(&last.what).is_some() {
            return false;
        }
        match sizes.as_slice() {
            [one] => last.what = format!("{} {one}", last.what),
            several => {
                let all = u32::try_from(several.len()).ok();
                if last.quantity != all {
                    self.doubt(HardwareDoubt::OfThoseOrMore(format!("({inner})")));
                    return false;
                }
                let Some(piece) = self.line.pieces.pop() else {
                    return false;
                };
                for size in several {
                    self.line.pieces.push(Hardware {
                        quantity: Some(1),
                        what: format!("{} {size}", piece.what),
                        ..piece.clone()
                    });
                }
            }
        }
        true
    }
}

/// "of 6", "1 short": a number that says something of pieces that were counted already.
pub(super) fn counts_some_of(words: &[&str]) -> bool {
    let [first, second, rest @ ..] = words else {
        return false;
    };
    let of_all = first.eq_ignore_ascii_case("of") && second.parse::<u32>().is_ok();
    let too_few = rest.is_empty() && matches!(*second, "short" | "left" | "over" | "more");
    of_all || too_few && leading_count(words).0 != Count::Unsaid
}
