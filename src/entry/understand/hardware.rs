//! Hardware as facts, and what people get wrong in writing it.

use super::{Reader, Value};
use crate::handbook::odd_sizes::{Odd, oddity};
use crate::vocabulary::hardware::{Hardware, MOST_PIECES};
use crate::vocabulary::words::straighten;

impl Reader<'_> {
    /// Reads one item of hardware; `None` when nothing of it can be counted.
    pub fn hardware(&mut self, value: &Value) -> Option<Hardware> {
        let mut hardware = Hardware::read(&value.text);
        let span = || value.span.clone();
        if second_item(&value.text) {
            self.warning(
                span(),
                format!("`{}` looks like several kinds in one", value.text),
                "part them with `;`: commas never separate",
            );
        }
        if without_label(&value.text) {
            self.warning(
                span(),
                format!("`{}` names no bag", value.text),
                "write the number or words of the label behind `bag`",
            );
        } else if bags(&value.text) > 1 {
            self.warning(
                span(),
                format!("`{}` names more than one bag", value.text),
                "the last one was taken; part the pieces with `;`, each with its bag",
            );
        }
        if let (Some(bag), Some(mark)) = (&hardware.bag, hardware.marks.first()) {
            let message = format!(
                "pieces marked `{}` are to be bought and do not go into bag {}",
                mark.word(),
                bag.written()
            );
            self.warning(span(), message, "drop the bag or the mark");
        }
        self.odd_size(value);
        match hardware.quantity {
            Some(0) => {
                self.warning(
                    span(),
                    format!("`{}` counts 0 pieces", value.text),
                    "write how many there are",
                );
            }
            Some(count) if count > MOST_PIECES => {
                self.warning(
                    span(),
                    format!("`{}` was counted as one piece", value.text),
                    "write how many there are",
                );
                hardware.quantity = None;
            }
            Some(_) if hardware.what.is_empty() => {
                self.warning(
                    span(),
                    format!("`{}` does not say what it is", value.text),
                    "write the kind behind the number: `4 hex nut 1/2-13`",
                );
            }
            Some(_) => {}
            None => {
                self.warning(
                    span(),
                    format!("`{}` does not say how many; counted as one", value.text),
                    "begin with the number: `4 hex nut 1/2-13`",
                );
            }
        }
        Some(hardware)
    }
}

impl Reader<'_> {
    /// Says what looks like a size and is none.
    fn odd_size(&mut self, value: &Value) {
        let plain = straighten(&value.text);
        let body = plain.split('(').next().unwrap_or_default();
        let Some(odd) = oddity(body) else {
            return;
        };
        let word = body[odd.span.clone()].to_owned();
        // Bytes of the value are bytes of the text only where nothing was
        // straightened and nothing lies between.
        let whole = value.span.clone();
        let same = plain == value.text && self.lines.text().get(whole.clone()) == Some(&plain);
        let span = if same {
            whole.start + odd.span.start..whole.start + odd.span.end
        } else {
            whole
        };
        let likely = odd.likely.join(", ");
        let write = match odd.likely.len() {
            0 => "write inch sizes as `7/16-20`, metric ones as `M8x1.25`".to_owned(),
            1 => format!("write `{likely}`"),
            _ => format!("the nearest of the standards: {likely}"),
        };
        match odd.kind {
            Odd::NoSize => {
                self.warning(
                    span,
                    format!("`{word}` looks like a size and is none"),
                    &write,
                );
            }
            Odd::NoThread => {
                self.warning(span, format!("no thread is `{word}`"), &write);
            }
            Odd::Comma => {
                let message = format!("the comma in `{word}` was read as the decimal mark");
                self.note(span, message, &write);
            }
            Odd::WrongFamily(real) => {
                self.warning(
                    span,
                    format!("`{word}` contradicts itself: `{likely}` is {real}"),
                    "correct the letters or the pitch",
                );
            }
            Odd::Special => {
                let message = format!("`{word}` is a special thread, in no standard series");
                self.note(span, message, &write);
            }
        }
    }
}

/// Whether a piece behind a comma begins a second item: "4 nut, 4 washer".
fn second_item(text: &str) -> bool {
    let plain = straighten(text);
    let body = plain.split('(').next().unwrap_or_default();
    body.split(',').skip(1).any(|piece| {
        let mut words = piece.split_whitespace();
        let counts = words
            .next()
            .is_some_and(|word| !word.is_empty() && word.bytes().all(|b| b.is_ascii_digit()));
        counts
            && words
                .next()
                .is_some_and(|word| word.starts_with(|c: char| c.is_alphabetic()) && word != "x")
    })
}

fn without_label(text: &str) -> bool {
    text.split([',', '('])
        .any(|piece| piece.trim().eq_ignore_ascii_case("bag"))
}

fn bags(text: &str) -> usize {
    text.split('(')
        .next()
        .unwrap_or_default()
        .split(',')
        .filter(|piece| piece.trim().to_lowercase().starts_with("bag "))
        .count()
}
