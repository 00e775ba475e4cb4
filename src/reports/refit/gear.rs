//! What to have at hand for a step: hardware, new pieces, figures, pages.
//!
//! No figure comes from anywhere but the records.

use crate::handbook::parts::{KnownPart, known_part};
use crate::handbook::restricted::field;
use crate::ledger::{Pieces, PlaceState};
use crate::vocabulary::hardware::{Hardware, PurchaseMark};
use crate::vocabulary::words::{stem, words};

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

/// Said of a part whose figure is missing, wherever the part is offered.
pub const FIGURE_MISSING: &str = "the manual's figure is missing";

/// Where a missing figure comes from.
pub const WHOM_TO_ASK: &str = "take it from the service manual; without one, ask someone licensed";

/// Whether the manual's figure is missing: a life hangs on the part, it is held
/// by bolts, nuts or studs, or nobody wrote down by what, and no record gives a torque
/// with a figure: "hand tight" is none. None is ever made up for it.
#[must_use]
pub fn lacks_torque(state: &PlaceState, system: Option<&str>) -> bool {
    let restricted = field(&state.name, system.unwrap_or_default()).is_some()
        || known_part(&state.name).is_some_and(KnownPart::only_manual);
    let has_figure = |written: &str| written.contains(|c: char| c.is_ascii_digit());
    if !restricted || state.torques.iter().any(|dated| has_figure(&dated.value)) {
        return false;
    }
    let to_buy = state.hardware.iter();
    let to_buy = to_buy.filter(|pieces| pieces.hardware.to_buy());
    let mut pieces = hardware(state).into_iter().chain(to_buy).peekable();
    pieces.peek().is_none() || pieces.any(|pieces| is_tightened(&pieces.hardware))
}

/// Whether a piece is one that manuals give a torque for. Small screws with a
/// slot or a cross have none (common practice, no source).
fn is_tightened(hardware: &Hardware) -> bool {
    let kind = hardware.fastener().kind;
    let stems: Vec<String> = words(kind.written()).map(|word| stem(&word)).collect();
    let has = |wanted: &[&str]| stems.iter().any(|stem| wanted.contains(&stem.as_str()));
    let small = [
        "round",
        "pan",
        "cheese",
        "countersunk",
        "coach",
        "wood",
        "wing",
    ];
    has(&["bolt", "nut", "stud", "setscrew", "screw"]) && !has(&small)
}

/// A piece as one would ask for it: "4 hex nut 1/2-13, sheared".
#[must_use]
pub fn piece_words(hardware: &Hardware) -> String {
    let mut words = match hardware.quantity {
        Some(count) => format!("{count} {}", hardware.what),
        None => hardware.what.clone(),
    };
    let broken = hardware
        .marks
        .iter()
        .filter(|mark| **mark != PurchaseMark::New);
    for mark in broken {
        words.push_str(&format!(" (the old one {})", broken_word(*mark)));
    }
    if let Some(note) = &hardware.note {
        words.push_str(&format!(" ({note})"));
    }
    words
}

fn broken_word(mark: PurchaseMark) -> &'static str {
    match mark {
        PurchaseMark::New => "was single use",
        PurchaseMark::Cut => "was cut",
        PurchaseMark::Sheared => "sheared",
        PurchaseMark::Stripped => "is stripped",
        PurchaseMark::Lost => "is lost",
    }
}
