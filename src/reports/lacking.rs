//! Hardware that parts lack to go back: single-use, broken, lost, missing.
//!
//! One answer for the plan and for the shopping list. Nothing is summed here.

use jiff::civil::Date;

use super::parts::standing;
use crate::ledger::{Ledger, PlaceState, RecordTime, held_places};
use crate::problem::Spot;
use crate::vocabulary::hardware::{Hardware, PurchaseMark};
use crate::vocabulary::status::Status;

/// Pieces that a part lacks.
#[derive(Clone, Copy, Debug)]
pub struct Lacking<'l> {
    /// The part; of a bag for several parts, the first that still goes back.
    pub state: &'l PlaceState,
    /// Which pieces.
    pub hardware: &'l Hardware,
    /// Why they are not there.
    pub why: PurchaseReason,
    /// Where it is said.
    pub spot: &'l Spot,
    /// The day.
    pub date: Date,
}

/// Why a piece has to be got.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum PurchaseReason {
    /// Marked so.
    Marked(PurchaseMark),
    /// It was missing at refit.
    Short,
}

impl PurchaseReason {
    /// In words.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            PurchaseReason::Marked(PurchaseMark::New) => "single use",
            PurchaseReason::Marked(mark) => mark.word(),
            PurchaseReason::Short => "short",
        }
    }
}

/// All that wanted parts lack.
#[must_use]
pub fn lacking<'l>(ledger: &'l Ledger, wanted: &dyn Fn(&PlaceState) -> bool) -> Vec<Lacking<'l>> {
    let mut all: Vec<Lacking<'l>> = Vec::new();
    for (_, state) in ledger.recorded().filter(|(_, state)| wanted(state)) {
        of_place(state, goes_back(ledger, state), &mut all);
    }
    for section in &ledger.bag_sections {
        let Some(vehicle) = &section.vehicle else {
            continue;
        };
        let mut marked = section
            .hardware
            .iter()
            .filter_map(|(hardware, spot)| Some((hardware, spot, why(hardware)?)))
            .peekable();
        if marked.peek().is_none() {
            continue;
        }
        let waiting = section
            .holds
            .iter()
            .flat_map(|(part, _)| held_places(ledger, vehicle, part))
            .map(|(_, state)| state)
            .find(|state| {
                wanted(state) && goes_back(ledger, state) && state.on_after(&section.when).is_none()
            });
        let Some(state) = waiting else { continue };
        all.extend(marked.map(|(hardware, spot, why)| Lacking {
            state,
            hardware,
            why,
            spot,
            date: section.when.date,
        }));
    }
    all.retain(|found| found.hardware.count() > 0);
    all
}

/// What the records of one place say that it lacks.
fn of_place<'l>(state: &'l PlaceState, off: bool, all: &mut Vec<Lacking<'l>>) {
    for pieces in &state.hardware {
        let Some(why) = why(&pieces.hardware) else {
            continue;
        };
        // Of a part that is on, what broke in putting it on is missing still.
        let broke =
            why != PurchaseReason::Marked(PurchaseMark::New) && state.is_on() && state.unit().said;
        let open = pieces.used.is_none() && (off || broke);
        if open || (off && comes_again(state, &pieces.used, why)) {
            all.push(Lacking {
                state,
                hardware: &pieces.hardware,
                why,
                spot: &pieces.spot,
                date: pieces.date,
            });
        }
    }
    let missing = state.counted.iter();
    let missing = missing.filter(|counted| !counted.left && counted.closed.is_none());
    all.extend(missing.map(|counted| Lacking {
        state,
        hardware: &counted.hardware,
        why: PurchaseReason::Short,
        spot: &counted.spot,
        date: counted.when.date,
    }));
}

/// Why these pieces have to be got; `None` if they lie in a bag.
fn why(hardware: &Hardware) -> Option<PurchaseReason> {
    let broke = hardware
        .marks
        .iter()
        .find(|mark| **mark != PurchaseMark::New);
    broke
        .or(hardware.marks.first())
        .map(|mark| PurchaseReason::Marked(*mark))
}

/// Whether a place is off and will have something in it again.
fn goes_back(ledger: &Ledger, state: &PlaceState) -> bool {
    match standing(state, ledger).known {
        None
        | Some(
            Status::Undone
            | Status::Removed
            | Status::Apart
            | Status::Out
            | Status::Ready
            // A new one has to be found, and goes on with the same hardware.
            | Status::Scrapped
            | Status::Sold
            | Status::Missing,
        ) => true,
        Some(Status::Fitted | Status::Loose | Status::LeftOff | Status::Replaced) => false,
    }
}

/// Whether single-use pieces that went on once are needed once more: the part
/// is off again, and nobody wrote down what holds it.
fn comes_again(state: &PlaceState, used: &Option<RecordTime>, why: PurchaseReason) -> bool {
    let nothing_new = state.hardware.iter().all(|pieces| pieces.used.is_some());
    let last = state.went_on.last();
    why == PurchaseReason::Marked(PurchaseMark::New)
        && nothing_new
        && used.is_some()
        && used.as_ref() == last
}
