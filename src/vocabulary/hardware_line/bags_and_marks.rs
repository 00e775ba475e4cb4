//! Bags and marks put to the pieces they are said of.
//!
//! Their words are read in `bag_phrase` and `mark_phrase`.

use super::doubts::HardwareDoubt;
use super::{Reading, last_kind};
use crate::vocabulary::bag_phrase::{BagDoubt, BagPhrase};
use crate::vocabulary::hardware::{Hardware, PurchaseMark};
use crate::vocabulary::label::BagLabel;
use crate::vocabulary::mark_phrase::MarkPhrase;

impl Reading {
    /// Marks pieces that were named before.
    pub(super) fn mark(&mut self, mark: &MarkPhrase, text: &str) {
        let found = mark.kind.as_ref().and_then(|kind| {
            self.line
                .pieces
                .iter()
                .rposition(|piece| last_kind(piece) == *kind)
        });
        let at = found.unwrap_or(self.line.pieces.len().saturating_sub(1));
        if mark.unsure {
            self.doubt(HardwareDoubt::OfThoseOrMore(text.to_owned()));
        } else if found.is_none() && !mark.all && self.line.pieces.len() > 1 {
            self.doubt(HardwareDoubt::WhichOnes(text.to_owned()));
        }
        let Some(count) = mark.count else {
            let from = if mark.all && found.is_none() { 0 } else { at };
            for piece in &mut self.line.pieces[from..=at] {
                add_mark(&mut piece.marks, mark.mark);
            }
            return;
        };
        let piece = &mut self.line.pieces[at];
        match piece.quantity {
            Some(all) if count < all => {
                piece.quantity = Some(all - count);
                let mut marked = piece.clone();
                marked.quantity = Some(count);
                marked.bag = None;
                marked.note = None;
                marked.marks = vec![mark.mark];
                self.line.pieces.insert(at + 1, marked);
            }
            Some(all) if count == all => add_mark(&mut piece.marks, mark.mark),
            Some(_) | None => {
                add_mark(&mut piece.marks, mark.mark);
                self.doubt(HardwareDoubt::OfThoseOrMore(text.to_owned()));
            }
        }
    }

    /// The bag of the pieces named before it, or of those that follow.
    pub(super) fn bag(&mut self, text: &str, found: BagPhrase, alone: bool) {
        let BagPhrase {
            label,
            doubt,
            for_all,
            ..
        } = found;
        match doubt {
            Some(BagDoubt::Several(said)) => self.doubt(HardwareDoubt::SeveralBags(said)),
            Some(BagDoubt::NoLabel) => self.doubt(HardwareDoubt::NoLabel),
            Some(BagDoubt::Slip(said)) => {
                let label = label.as_ref().map_or("", BagLabel::written).to_owned();
                self.doubt(HardwareDoubt::BagSlip(said, label));
            }
            None => {}
        }
        let Some(label) = label else {
            return;
        };
        let pieces = self.line.pieces.len();
        if for_all {
            self.line.bag_of_all = Some(label);
            return;
        }
        if pieces == 0 || alone && self.line.bag_before.is_some() {
            // "bag 4: 2 bolts, bag 5: 2 nuts": the next ones.
            self.fill_before();
            if self.bagged < pieces || pieces == 0 && self.line.bag_before.is_none() {
                self.bagged = pieces;
                self.line.bag_before = Some(label);
            } else {
                self.doubt(HardwareDoubt::SeveralBags(text.to_owned()));
            }
            return;
        }
        if self.said_bag && self.bagged == pieces {
            self.doubt(HardwareDoubt::SeveralBags(text.to_owned()));
            for piece in &mut self.line.pieces {
                piece.bag = Some(label.clone());
            }
            return;
        }
        let from = if self.line.bag_before.is_some() {
            pieces - 1
        } else {
            self.bagged
        };
        put(&mut self.line.pieces[from..], &label);
        if self.line.bag_before.is_none() {
            self.bagged = pieces;
            self.said_bag = true;
        }
    }

    /// Puts pieces without a bag into the one that was said before them.
    pub(super) fn fill_before(&mut self) {
        if let Some(label) = &self.line.bag_before {
            put(&mut self.line.pieces, label);
        }
    }
}

/// Puts pieces that have no bag into one; marked ones only where all are.
pub(super) fn put(pieces: &mut [Hardware], label: &BagLabel) {
    let whole = pieces.iter().all(|piece| !piece.marks.is_empty());
    for piece in pieces {
        if piece.bag.is_none() && (piece.marks.is_empty() || whole) {
            piece.bag = Some(label.clone());
        }
    }
}

pub(super) fn add_mark(marks: &mut Vec<PurchaseMark>, mark: PurchaseMark) {
    if !marks.contains(&mark) {
        marks.push(mark);
    }
}
