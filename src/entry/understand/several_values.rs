//! The values of one key, parted.
//!
//! What a value means is decided by its key.

use std::ops::Range;

use super::standing::{is_pictured, labels};
use super::{FactContext, Value};
use crate::entry::item::Item;
use crate::entry::key::{Key, Reads};
use crate::vocabulary::cost_reading::costs_in;

impl FactContext<'_> {
    /// The values of an item: its own, parted at semicolons where the key
    /// takes several, and the plain ones nested below.
    pub fn values(&self, key: Key, item: &Item) -> Vec<Value> {
        let mut values = Vec::new();
        // Names stand as they were typed.
        let is_read = matches!(
            key.reads(),
            Reads::Status | Reads::Bag | Reads::Hours | Reads::Cost | Reads::Pieces(_)
        );
        let mut add = |text: &str, span: &Range<usize>| {
            let source = self.lines.text().get(span.clone()).unwrap_or_default();
            let pieces = if key == Key::Bag {
                split_values(text).into_iter().flat_map(labels).collect()
            } else if key.takes_several() {
                split_values(text)
            } else if key == Key::Cost {
                costs_in(text, self.context.currency)
            } else {
                vec![text]
            };
            let mut from = 0;
            for piece in pieces {
                let mut piece = piece.trim();
                if is_read {
                    piece = piece.trim_end_matches(is_pictured);
                }
                if piece.is_empty() {
                    continue;
                }
                let span = match source.get(from..).and_then(|rest| rest.find(piece)) {
                    Some(at) => {
                        let start = span.start + from + at;
                        from += at + piece.len();
                        start..start + piece.len()
                    }
                    None => span.clone(),
                };
                values.push(Value {
                    text: piece.to_owned(),
                    span,
                });
            }
        };
        add(&item.value, &item.span);
        for child in &item.children {
            add(&child.whole(), &child.span);
        }
        values
    }
}

/// "12/13", "12-14": two figures with a mark between them.
pub(super) fn is_from_to(text: &str) -> bool {
    let two = text.split_once(['/', '-']);
    let figure = |text: &str| text.trim().parse::<u32>().ok();
    two.and_then(|(one, other)| Some(figure(one)? < figure(other)?))
        .unwrap_or_default()
}

/// Whether "none" under this key says nothing of the part: there is just none of it.
pub(super) fn says_none(key: Key) -> bool {
    matches!(
        key,
        Key::After
            | Key::OffAfter
            | Key::RefitAfter
            | Key::Of
            | Key::Undone
            | Key::Leftover
            | Key::Short
            | Key::Bag
            | Key::Number
            | Key::Also
            | Key::Lesson
            | Key::Caution
            | Key::Tool
            | Key::Photo
            | Key::Footage
            | Key::Manual
            | Key::Question
    )
}

/// Whether there is nothing to do.
pub(super) fn is_nothing(text: &str) -> bool {
    matches!(
        crate::vocabulary::words::fold(text).trim_end_matches('.'),
        "nothing"
            | "none"
            | "no"
            | "nil"
            | "-"
            | "--"
            | "n/a"
            | "na"
            | "nothing more"
            | "nothing else"
            | "no work"
            | "nothing to do"
            | "nothing open"
            | "nowt"
            | "nada"
            | "zero"
            | "nothing left"
            | "nothing for now"
            | "not a thing"
            | "no needs"
            | "no bag"
            | "none left"
            | "all done"
    )
}

/// Parts a text at semicolons outside brackets.
pub(super) fn split_values(text: &str) -> Vec<&str> {
    let mut pieces = Vec::new();
    let mut start = 0;
    let mut depth = 0_usize;
    let last_close = text.rfind(')').unwrap_or(0);
    for (at, c) in text.char_indices() {
        match c {
            '(' if at < last_close => depth += 1,
            ')' => depth = depth.saturating_sub(1),
            ';' | '；' if depth == 0 => {
                pieces.push(&text[start..at]);
                start = at + c.len_utf8();
            }
            _ => {}
        }
    }
    pieces.push(&text[start..]);
    pieces
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn semicolons_part_outside_brackets() {
        assert_eq!(
            split_values("2 nut (one bent; keep); 3 bolt"),
            ["2 nut (one bent; keep)", " 3 bolt"]
        );
        assert_eq!(split_values("a (b; c"), ["a (b", " c"]);
    }
}
