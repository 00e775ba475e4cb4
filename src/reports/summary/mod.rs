//! What some days came to, and what comes next: sentences for a listener, each with
//! the question that a verb answers the same.
//!
//! Every figure is another report's. Nothing is computed a second time here.

mod figures;
mod next_steps;

use std::collections::BTreeSet;

use jiff::civil::Date;

use crate::entry::{Context, Entry};
use crate::ledger::{Ledger, PlaceState};
use crate::reports::needs::OpenNeed;
use crate::reports::spending::Posting;
use crate::vocabulary::words::fold;

pub use figures::{Figure, figures};
pub use next_steps::{NextStep, next_steps};

/// What is summed up: a vehicle, or a system or parts of it, on some days.
#[derive(Clone, Copy, Debug)]
pub struct SummaryScope<'s> {
    /// The vehicle's slug.
    pub vehicle: &'s str,
    /// Only this system.
    pub system: Option<&'s str>,
    /// The part that was asked about, as it was typed.
    pub part: Option<&'s str>,
    /// Only these parts, by vehicle and label.
    pub parts: Option<&'s BTreeSet<(String, String)>>,
    /// The first and the last day.
    pub days: (Date, Date),
    /// The day at whose end the figures are taken, as the ledger is.
    pub as_of: Date,
    /// How many things to name where many could be.
    pub most: usize,
}

/// What it is taken from.
#[derive(Clone, Copy)]
pub struct SummarySource<'s> {
    /// The entries.
    pub entries: &'s [Entry],
    /// Their ledger on the day of the figures.
    pub ledger: &'s Ledger,
    /// With what the entries are read.
    pub context: &'s Context,
}

impl SummaryScope<'_> {
    /// What is asked about, as options of a verb.
    #[must_use]
    fn options(&self) -> String {
        let mut options = format!("--vehicle {}", self.vehicle);
        if let Some(system) = self.system {
            options.push_str(&format!(" --system \"{system}\""));
        }
        if let Some(part) = self.part {
            options.push_str(&format!(" --part \"{part}\""));
        }
        options
    }

    /// Whether a day is one of these.
    #[must_use]
    pub fn has_day(&self, date: Date) -> bool {
        date >= self.days.0 && date <= self.days.1
    }

    /// Whether a place is asked about.
    fn has(&self, state: &PlaceState) -> bool {
        let (vehicle, system) = (Some(&state.vehicle), state.system.as_ref());
        self.names(vehicle, system, || Some(state.label()))
    }

    /// Whether a need is of what is asked about.
    fn has_need(&self, need: &OpenNeed) -> bool {
        self.names(need.vehicle.as_ref(), need.system.as_ref(), || need.label())
    }

    /// Whether time or money is of what is asked about, and of these days.
    fn has_posting(&self, posting: &Posting) -> bool {
        let (vehicle, system) = (posting.vehicle.as_ref(), posting.system.as_ref());
        posting.date.is_some_and(|date| self.has_day(date))
            && self.names(vehicle, system, || posting.part.clone())
    }

    /// Whether something of this vehicle, system and part is asked about.
    fn names(
        &self,
        vehicle: Option<&String>,
        system: Option<&String>,
        label: impl Fn() -> Option<String>,
    ) -> bool {
        let is_system = |wanted| system.is_some_and(|system| fold(system) == fold(wanted));
        let is_part = |parts: &BTreeSet<(String, String)>| {
            label().is_some_and(|label| parts.contains(&(self.vehicle.to_owned(), label)))
        };
        vehicle.is_some_and(|vehicle| vehicle == self.vehicle)
            && self.system.is_none_or(is_system)
            && self.parts.is_none_or(is_part)
    }
}
