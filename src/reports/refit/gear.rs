//! What to have at hand for a step: hardware, new pieces, figures, pages.
//!
//! No figure comes from anywhere but the records.

use crate::ledger::{Pieces, PlaceState};
use crate::vocabulary::hardware::{Hardware, Mark};
use crate::vocabulary::status::Status;

/// The pieces a part goes back with: what came off with it the last time that
/// pieces were written down.
#[must_use]
pub fn hardware(state: &PlaceState) -> Vec<&Pieces> {
    let kept = || {
        state
            .hardware
            .iter()
            .filter(|pieces| !pieces.hardware.to_buy())
    };
    let waiting: Vec<&Pieces> = kept().filter(|pieces| pieces.used.is_none()).collect();
    if !waiting.is_empty() {
        return waiting;
    }
    // Nothing was written when it came off again: the same pieces came with it.
    let last = kept().map(|pieces| pieces.date).max();
    kept().filter(|pieces| Some(pieces.date) == last).collect()
}

/// Pieces that have to be there new: single-use ones, and those that broke or
/// were lost since the part was on last.
#[must_use]
pub fn new_pieces(state: &PlaceState) -> Vec<&Pieces> {
    let fitted = state
        .timeline
        .iter()
        .rev()
        .find(|moment| matches!(moment.status, Some(Status::Fitted | Status::Loose)))
        .map(|moment| moment.date);
    state
        .hardware
        .iter()
        .filter(|pieces| pieces.hardware.to_buy())
        .filter(|pieces| {
            pieces.hardware.marks.contains(&Mark::New)
                || fitted.is_none_or(|fitted| pieces.date > fitted)
        })
        .collect()
}

/// A piece as one would ask for it: "4 hex nut 1/2-13, sheared".
#[must_use]
pub fn piece_words(hardware: &Hardware) -> String {
    let mut words = match hardware.quantity {
        Some(count) => format!("{count} {}", hardware.what),
        None => hardware.what.clone(),
    };
    let broken = hardware.marks.iter().filter(|mark| **mark != Mark::New);
    for mark in broken {
        words.push_str(&format!(" (the old one {})", broken_word(*mark)));
    }
    if let Some(note) = &hardware.note {
        words.push_str(&format!(" ({note})"));
    }
    words
}

fn broken_word(mark: Mark) -> &'static str {
    match mark {
        Mark::New => "was single use",
        Mark::Cut => "was cut",
        Mark::Sheared => "sheared",
        Mark::Stripped => "is stripped",
        Mark::Lost => "is lost",
    }
}
