//! The fold of hardware: what came off with a part, into which bag it went,
//! and when it was used again.
//!
//! A part sees its own pieces only. What a whole bag comes to is reckoned from
//! all of them in `bags`.

use std::collections::BTreeSet;

use super::event::PlaceRecord;
use super::fold::only;
use super::needs::best_match;
use super::place::RecordTime;
use super::state::{Bagged, Counted, InSection, Pieces, PlaceState};
use crate::entry::Fact;
use crate::problem::{Problem, Spot};
use crate::vocabulary::fastener::Fastener;
use crate::vocabulary::hardware::{Hardware, PurchaseMark};
use crate::vocabulary::label::BagLabel;
use crate::vocabulary::status::Status;

impl PlaceState {
    /// Pieces that hold the part.
    pub(super) fn hold_with(
        &mut self,
        hardware: &Hardware,
        record: &PlaceRecord,
        spot: &Spot,
        when: &RecordTime,
    ) {
        // What is said of a part that goes on was in no bag any more: it says
        // what holds it now.
        let goes_on = goes_on(record);
        let bag = match (&hardware.bag, hardware.to_buy() || goes_on) {
            (_, true) => None,
            (Some(bag), false) => Some(bag.clone()),
            (None, false) => only_bag(record),
        };
        if let Some(bag) = &bag {
            self.note_bag(bag, spot, when);
        }
        let broke = hardware.marks.iter().any(|mark| *mark != PurchaseMark::New);
        self.hardware.push(Pieces {
            hardware: hardware.clone(),
            bag,
            date: when.date,
            spot: spot.clone(),
            kept: when.clone(),
            counted_in: None,
            used: (goes_on && !broke).then(|| when.clone()),
        });
    }

    fn note_bag(&mut self, bag: &BagLabel, spot: &Spot, when: &RecordTime) {
        let known = self.bagged.iter().any(|bagged| {
            bagged.bag == *bag && bagged.emptied.is_none() && bagged.section.is_none()
        });
        if !known {
            self.bagged.push(Bagged {
                bag: bag.clone(),
                when: when.clone(),
                spot: spot.clone(),
                emptied: None,
                section: None,
            });
        }
    }

    /// `bag`: also the bag of hardware written down earlier.
    pub(super) fn put_in_bag(
        &mut self,
        bag: &BagLabel,
        record: &PlaceRecord,
        spot: &Spot,
        when: &RecordTime,
    ) {
        if goes_on(record) || self.needs_no_bag() {
            return;
        }
        self.note_bag(bag, spot, when);
        let only = only(record, |fact| {
            if let Fact::Bag(label) = fact {
                Some(label)
            } else {
                None
            }
        });
        if only.is_none() {
            // Two bags and pieces in neither: nobody can tell.
            return;
        }
        for pieces in self.loose_pieces(when) {
            pieces.bag = Some(bag.clone());
            pieces.kept = when.clone();
        }
    }

    /// A section about a whole bag says that the place's hardware is in it; these
    /// kinds are counted there.
    pub(super) fn put_in_section(
        &mut self,
        (bag, kinds): (&BagLabel, &BTreeSet<Fastener>),
        spot: &Spot,
        section: &InSection,
        when: &RecordTime,
    ) {
        if self.needs_no_bag() {
            return;
        }
        self.bagged.push(Bagged {
            bag: bag.clone(),
            when: when.clone(),
            spot: spot.clone(),
            emptied: None,
            section: Some(Box::new(section.clone())),
        });
        for pieces in self.loose_pieces(when) {
            pieces.bag = Some(bag.clone());
            pieces.kept = when.clone();
            // Written down at the vehicle, and counted again into the bag.
            pieces.counted_in = kinds
                .contains(&pieces.hardware.fastener())
                .then(|| section.spot.clone());
        }
    }

    /// Pieces written down by then that are in no bag and hold nothing.
    fn loose_pieces(&mut self, when: &RecordTime) -> impl Iterator<Item = &mut Pieces> {
        self.hardware.iter_mut().filter(move |pieces| {
            pieces.bag.is_none()
                && pieces.used.is_none()
                && pieces.date <= when.date
                && !pieces.hardware.to_buy()
        })
    }

    /// Whether its hardware holds it, as a record said.
    fn needs_no_bag(&self) -> bool {
        self.is_on() && self.unit().said && self.unit().status != Some(Status::Undone)
    }

    /// The part goes on, with all that holds it.
    pub(super) fn use_hardware(&mut self, was_off: bool, when: &RecordTime) {
        self.went_on.push(when.clone());
        for bagged in &mut self.bagged {
            bagged.emptied.get_or_insert_with(|| when.clone());
        }
        for pieces in &mut self.hardware {
            pieces.used.get_or_insert_with(|| when.clone());
        }
        if was_off {
            // What was missing the time before is of no account any more.
            for counted in &mut self.counted {
                counted.closed.get_or_insert(when.date);
            }
        }
    }

    pub(super) fn count(
        &mut self,
        left: bool,
        hardware: &Hardware,
        spot: &Spot,
        when: &RecordTime,
    ) {
        let word = if left { "leftover" } else { "short" };
        if !self.is_on() {
            let text = format!("`{word}` is counted at refit, and {} is off", self.label());
            self.problems.push(
                Problem::warning(spot.clone(), text)
                    .hint("add `- status: fitted` if it went back on"),
            );
        } else if left {
            self.too_many(hardware, spot);
        }
        self.counted.push(Counted {
            left,
            hardware: hardware.clone(),
            when: when.clone(),
            spot: spot.clone(),
            closed: None,
        });
    }

    /// More pieces left over than ever came off.
    fn too_many(&mut self, hardware: &Hardware, spot: &Spot) {
        let in_section = self.bagged.iter().any(|bagged| bagged.section.is_some());
        let used: u32 = self
            .hardware
            .iter()
            .filter(|pieces| pieces.used.is_some() && !pieces.hardware.to_buy())
            .fold(0, |sum, pieces| sum.saturating_add(pieces.hardware.count()));
        if used > 0 && !in_section && hardware.count() > used {
            let text = format!(
                "{} pieces left over, but only {used} came off {}",
                hardware.count(),
                self.label()
            );
            self.problems
                .push(Problem::warning(spot.clone(), text).hint("count them again"));
        }
    }

    /// Missing pieces that `text` says are there now; whether there are any.
    pub(super) fn missing_came(&mut self, text: &str, date: jiff::civil::Date) -> bool {
        let open: Vec<usize> = (0..self.counted.len())
            .filter(|at| !self.counted[*at].left && self.counted[*at].closed.is_none())
            .collect();
        let texts: Vec<&str> = open
            .iter()
            .map(|at| self.counted[*at].hardware.what.as_str())
            .collect();
        let Some(found) = best_match(text, &texts) else {
            return false;
        };
        self.counted[open[found]].closed = Some(date);
        true
    }
}

/// Whether a record puts its part on the vehicle.
fn goes_on(record: &PlaceRecord) -> bool {
    record
        .facts
        .iter()
        .any(|stated| matches!(stated.fact, Fact::Status(Status::Fitted | Status::Loose)))
}

/// The bag of a record that names exactly one: under `bag`, or beside some of
/// its pieces.
fn only_bag(record: &PlaceRecord) -> Option<BagLabel> {
    let one = |pick: &dyn Fn(&Fact) -> Option<&BagLabel>| -> Result<Option<BagLabel>, ()> {
        let mut found: Option<&BagLabel> = None;
        for label in record.facts.iter().filter_map(|stated| pick(&stated.fact)) {
            if found.is_some_and(|found| found != label) {
                return Err(());
            }
            found = Some(label);
        }
        Ok(found.cloned())
    };
    let under_bag = one(&|fact| {
        if let Fact::Bag(label) = fact {
            Some(label)
        } else {
            None
        }
    });
    match under_bag {
        Ok(None) => one(&Fact::bag).ok().flatten(),
        Ok(found) => found,
        Err(()) => None,
    }
}
