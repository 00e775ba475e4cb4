//! Hardware as facts, and what people get wrong in writing it.

use super::{FactContext, Value};
use crate::handbook::odd_sizes::{Odd, oddity};
use crate::vocabulary::hardware::{Hardware, MOST_PIECES};
use crate::vocabulary::hardware_line::{HardwareDoubt, HardwareLine, read_hardware};
use crate::vocabulary::words::straighten;

impl FactContext<'_> {
    /// Reads the items of one line of hardware; none where nothing of an item
    /// can be counted. A bag that stands before all items, or behind them as
    /// an item of its own, holds what has no other.
    pub fn hardware(&mut self, values: &[Value]) -> Vec<(usize, Hardware)> {
        let mut lines: Vec<HardwareLine> = values
            .iter()
            .map(|value| read_hardware(&value.text))
            .collect();
        if lines.iter().any(|line| !line.pieces.is_empty()) {
            share_bag(&mut lines);
            // An item that only names the bag of the others.
            for line in &mut lines {
                let named = line.bag_before.is_some() || line.bag_of_all.is_some();
                line.doubts
                    .retain(|doubt| !named || !matches!(doubt, HardwareDoubt::NoPieces(_)));
            }
        }
        let mut all = Vec::new();
        for (at, (line, value)) in lines.into_iter().zip(values).enumerate() {
            for doubt in &line.doubts {
                self.hardware_doubt(value, doubt);
            }
            self.odd_size(value);
            let mut asked = None;
            for mut piece in line.pieces {
                if let Some(bag) = piece
                    .bag
                    .as_ref()
                    .filter(|bag| asked.as_ref() != Some(*bag))
                {
                    self.ask_about_letters(bag, value);
                    asked = Some(bag.clone());
                }
                self.piece(value, &mut piece);
                all.push((at, piece));
            }
        }
        all
    }

    /// Says what is wrong with one piece.
    fn piece(&mut self, value: &Value, piece: &mut Hardware) {
        let span = || value.span.clone();
        if let (Some(bag), Some(mark)) = (&piece.bag, piece.marks.first()) {
            let message = format!(
                "pieces marked `{}` are to be bought and do not go into bag {}",
                mark.word(),
                bag.written()
            );
            self.warning(span(), message, "drop the bag or the mark");
        }
        match piece.quantity {
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
                piece.quantity = None;
            }
            Some(_) if piece.fastener().kind.written().is_empty() => {
                self.warning(
                    span(),
                    format!("`{}` does not say what it is", value.text),
                    "write the kind behind the number: `4 hex nut 1/2-13`",
                );
            }
            Some(_) | None => {}
        }
    }

    /// Asks about what a careful reader could not know.
    fn hardware_doubt(&mut self, value: &Value, doubt: &HardwareDoubt) {
        let span = value.span.clone();
        let begin = "begin with the number: `4 hex nut 1/2-13`";
        match doubt {
            HardwareDoubt::CountedAsOne(said) => {
                let message = format!("`{said}` does not say how many; counted as one");
                self.warning(span, message, begin);
            }
            HardwareDoubt::Uncounted(said) => {
                let message = format!("`{said}` does not say how many; counted as one");
                self.warning(span, message, begin);
            }
            HardwareDoubt::Vague(said) => {
                let message = format!("`{said}` is no number of pieces; counted as one");
                self.warning(span, message, begin);
            }
            HardwareDoubt::About(said) => {
                let message = format!("`{said}` was taken as the exact number");
                self.warning(span, message, "count them, and write the number alone");
            }
            HardwareDoubt::Range(said) => {
                let message = format!("`{said}` leaves open how many; counted as one");
                self.warning(span, message, "write one number, or a size as `10-32`");
            }
            HardwareDoubt::OddNumber(said) => {
                let message = format!("`{said}` is no number of pieces");
                self.warning(span, message, begin);
            }
            HardwareDoubt::NoPieces(said) => {
                let message = format!("`{said}` names no pieces; nothing was counted");
                self.warning(span, message, "write number and kind: `4 hex nut 1/2-13`");
            }
            HardwareDoubt::SeveralBags(said) => {
                let message = format!("`{said}`: more than one bag for the same pieces");
                let hint = "part the pieces with `;`, each with its bag";
                self.warning(span, message, hint);
            }
            HardwareDoubt::NoLabel => {
                let message = format!("`{}` names no bag", value.text);
                let hint = "write the number or words of the label behind `bag`";
                self.warning(span, message, hint);
            }
            HardwareDoubt::BagSlip(said, label) => {
                let message = format!("`{said} {label}` was read as bag {label}");
                self.warning(span, message, &format!("write `bag {label}`"));
            }
            HardwareDoubt::OfThoseOrMore(said) => {
                let message =
                    format!("`{said}`: part of the pieces counted before, or further ones?");
                let hint = "write each kind with its own number: `3 bolt; 1 bolt, sheared`";
                self.warning(span, message, hint);
            }
            HardwareDoubt::WhichOnes(said) => {
                let message = format!("`{said}`: all of the pieces before it, or only the last?");
                let hint = "part the pieces with `;`, each with its mark";
                self.warning(span, message, hint);
            }
            HardwareDoubt::NoBagSaid(said) => {
                let message = format!("`{said}`: in the bag named before it, or in none?");
                let hint = "part the pieces with `;`, each with its bag";
                self.warning(span, message, hint);
            }
            HardwareDoubt::LeftOver(said) => {
                let message = format!("`{said}` was not read in full");
                let hint = "write each kind as `4 hex nut 1/2-13`, parted with `;`";
                self.warning(span, message, hint);
            }
            HardwareDoubt::LengthOrCount(said) => {
                let message = format!("`{said}`: a length, or the number of pieces?");
                let hint = "begin with the number, and write the length as `M8 x 30`";
                self.warning(span, message, hint);
            }
        }
    }
}

impl FactContext<'_> {
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

/// A bag said for several items: of those that follow it, or of all where it
/// is an item of its own at the end, or said of "all".
fn share_bag(lines: &mut [HardwareLine]) {
    let alone = |line: &HardwareLine| line.pieces.is_empty();
    let last = lines.last().and_then(|line| {
        let behind = line.bag_before.clone().filter(|_| alone(line));
        line.bag_of_all.clone().or(behind)
    });
    let mut before = None;
    for line in lines {
        if line.bag_before.is_some() {
            before.clone_from(&line.bag_before);
        }
        let Some(label) = before.as_ref().or(last.as_ref()) else {
            continue;
        };
        for piece in &mut line.pieces {
            if piece.bag.is_none() && piece.marks.is_empty() {
                piece.bag = Some(label.clone());
            }
        }
    }
}
