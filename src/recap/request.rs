//! What a draft is asked for, and what its figures and next steps are about.
//!
//! Chooses nothing and words nothing.

use std::collections::BTreeSet;

use jiff::civil::Date;

use super::draft::StatementOrigin;
use super::material::RecapSource;
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
    pub asked: &'r (dyn Fn(&RecapSource) -> bool + Sync),
    /// Which of them may be told.
    pub may: &'r (dyn Fn(&RecapSource) -> bool + Sync),
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

/// What a frame is made for.
pub struct Extent<'e> {
    /// What was asked.
    pub request: &'e Request<'e>,
    /// All entries.
    pub entries: &'e [Entry],
    /// With what they are read.
    pub context: &'e Context,
    /// The first and the last day.
    pub days: Option<(Date, Date)>,
    /// How many entries tell of these days.
    pub sessions: usize,
    /// How many things to name where many could be.
    pub most: usize,
}

impl Extent<'_> {
    /// Whether something of this vehicle, system and part is asked about.
    fn names(
        &self,
        vehicle: &str,
        system: Option<&str>,
        label: impl Fn() -> Option<String>,
    ) -> bool {
        let Request {
            system: wanted,
            parts,
            ..
        } = self.request;
        vehicle == self.request.vehicle
            && wanted.is_none_or(|wanted| system.is_some_and(|own| fold(own) == fold(wanted)))
            && parts.is_none_or(|parts| {
                label().is_some_and(|label| parts.contains(&(vehicle.to_owned(), label)))
            })
    }

    /// Whether a place is asked about.
    #[must_use]
    pub fn has(&self, state: &PlaceState) -> bool {
        self.names(&state.vehicle, state.system.as_deref(), || {
            Some(state.label())
        })
    }

    /// Whether a need is of what is asked about.
    #[must_use]
    pub fn has_need(&self, need: &OpenNeed) -> bool {
        let vehicle = need.vehicle.as_deref().unwrap_or_default();
        self.names(vehicle, need.system.as_deref(), || need.label())
    }

    /// Whether time or money is of what is asked about, and of these days.
    #[must_use]
    pub fn has_posting(&self, posting: &Posting) -> bool {
        let vehicle = posting.vehicle.as_deref().unwrap_or_default();
        let is_within = |date: Date| {
            self.days
                .is_some_and(|(first, last)| date >= first && date <= last)
        };
        posting.date.is_some_and(is_within)
            && self.names(vehicle, posting.system.as_deref(), || posting.part.clone())
    }

    /// What is asked about, as options of a verb.
    #[must_use]
    pub fn which(&self) -> String {
        let mut options = format!("--vehicle {}", self.request.vehicle);
        if let Some(system) = self.request.system {
            options.push_str(&format!(" --system \"{system}\""));
        }
        if let Some(part) = self.request.part {
            options.push_str(&format!(" --part \"{part}\""));
        }
        options
    }

    /// The same with the days.
    #[must_use]
    pub fn which_days(&self) -> String {
        let mut options = self.which();
        if let Some((first, last)) = self.days {
            options.push_str(&format!(" --since {first} --until {last}"));
        }
        options
    }
}
