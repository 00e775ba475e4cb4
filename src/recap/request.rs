//! What a draft is asked for, and what its figures and next steps are about.
//!
//! Chooses nothing and words nothing.

use std::collections::BTreeSet;

use jiff::civil::Date;

use super::draft::StatementOrigin;
use super::source::RecapSource;
use crate::entry::{Context, Entry};
use crate::ledger::{Ledger, PlaceState};
use crate::reports::needs::OpenNeed;
use crate::reports::spending::Posting;
use crate::vocabulary::words::fold;

/// What a draft says beside the moments, unless a person unticks it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Surroundings {
    /// Who is in it.
    pub people: bool,
    /// The figures.
    pub numbers: bool,
    /// What comes next.
    pub next: bool,
}

impl Surroundings {
    /// All of it.
    pub const ALL: Surroundings = Surroundings {
        people: true,
        numbers: true,
        next: true,
    };

    /// The names by which a sheet lists it, each with the place to tick.
    pub fn named(&mut self) -> [(&'static str, &mut bool); 3] {
        [
            ("people", &mut self.people),
            ("numbers", &mut self.numbers),
            ("next", &mut self.next),
        ]
    }
}

/// What is asked for.
pub struct Request<'r> {
    /// The vehicle's slug.
    pub vehicle: &'r str,
    /// The vehicle's name.
    pub vehicle_name: &'r str,
    /// The first paragraph of the vehicle's page, and where it stands.
    pub vehicle_about: Option<(&'r str, StatementOrigin)>,
    /// Only this system.
    pub system: Option<&'r str>,
    /// The part that was asked about, as it was typed.
    pub part: Option<&'r str>,
    /// Only these parts, by vehicle and label.
    pub parts: Option<&'r BTreeSet<(String, String)>>,
    /// Which sources are asked about, told or not.
    pub asked: &'r (dyn Fn(&RecapSource<'_>) -> bool + Sync),
    /// Which of them may be told.
    pub may: &'r (dyn Fn(&RecapSource<'_>) -> bool + Sync),
    /// The first and the last day of what may be told.
    pub days: (Date, Date),
    /// The day at whose end the figures are taken, as the ledgers are.
    pub as_of: Date,
    /// How long the draft should be.
    pub minutes: u32,
    /// Words said in a minute.
    pub pace: u32,
    /// What is said beside the moments.
    pub surroundings: Surroundings,
    /// The entries as anyone may read them, and their ledger on that day.
    pub public: (&'r [Entry], &'r Ledger),
    /// All entries and their ledger on that day, if anything in them is private.
    pub all: Option<(&'r [Entry], &'r Ledger)>,
}

impl Request<'_> {
    /// Whether a day is one of those that are told of.
    pub fn has_day(&self, date: Date) -> bool {
        date >= self.days.0 && date <= self.days.1
    }

    /// What is asked about, as options of a verb.
    #[must_use]
    pub fn which(&self) -> String {
        let mut options = format!("--vehicle {}", self.vehicle);
        if let Some(system) = self.system {
            options.push_str(&format!(" --system \"{system}\""));
        }
        if let Some(part) = self.part {
            options.push_str(&format!(" --part \"{part}\""));
        }
        options
    }
}

/// What figures and next steps are taken of.
pub struct Extent<'e> {
    /// What was asked.
    pub request: &'e Request<'e>,
    /// With what the entries are read.
    pub context: &'e Context,
    /// The entries.
    pub entries: &'e [Entry],
    /// Their ledger.
    pub ledger: &'e Ledger,
}

impl Extent<'_> {
    /// How many things to name where many could be.
    pub fn most(&self) -> usize {
        let minutes = usize::try_from(self.request.minutes).unwrap_or(usize::MAX);
        (minutes / 2).clamp(2, 8)
    }

    /// Whether a place is asked about.
    #[must_use]
    pub fn has(&self, state: &PlaceState) -> bool {
        let (vehicle, system) = (Some(&state.vehicle), state.system.as_ref());
        self.names(vehicle, system, || Some(state.label()))
    }

    /// Whether a need is of what is asked about.
    #[must_use]
    pub fn has_need(&self, need: &OpenNeed) -> bool {
        self.names(need.vehicle.as_ref(), need.system.as_ref(), || need.label())
    }

    /// Whether time or money is of what is asked about, and of these days.
    #[must_use]
    pub fn has_posting(&self, posting: &Posting) -> bool {
        let (vehicle, system) = (posting.vehicle.as_ref(), posting.system.as_ref());
        posting.date.is_some_and(|date| self.request.has_day(date))
            && self.names(vehicle, system, || posting.part.clone())
    }

    /// Whether something of this vehicle, system and part is asked about.
    fn names(
        &self,
        vehicle: Option<&String>,
        system: Option<&String>,
        label: impl Fn() -> Option<String>,
    ) -> bool {
        let own = self.request;
        let is_system = |wanted| system.is_some_and(|system| fold(system) == fold(wanted));
        let is_part = |parts: &BTreeSet<(String, String)>| {
            label().is_some_and(|label| parts.contains(&(own.vehicle.to_owned(), label)))
        };
        vehicle.is_some_and(|vehicle| vehicle == own.vehicle)
            && own.system.is_none_or(is_system)
            && own.parts.is_none_or(is_part)
    }
}
