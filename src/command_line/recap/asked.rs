//! What an episode is asked to tell, and what episodes have told.

use std::collections::{BTreeMap, BTreeSet};

use crate::command_line::arguments::Recap;
use crate::command_line::failure::Failure;
use crate::command_line::find::{system, vehicle};
use crate::command_line::scope::{Span, parts_named};
use crate::command_line::world::World;
use crate::entry::{Context, Entry};
use crate::journal::{Contents, Episode, Journal};
use crate::ledger::{Ledger, key};
use crate::recap::Source;
use crate::vocabulary::name::Name;
use crate::vocabulary::position::places;
use crate::vocabulary::words::fold;

/// What is asked, understood.
pub(super) struct Asked {
    pub(super) vehicle: String,
    pub(super) vehicle_name: String,
    pub(super) system: Option<String>,
    pub(super) span: Span,
    pub(super) parts: Option<BTreeSet<(String, String)>>,
}

impl Asked {
    pub(super) fn read(
        verb: &Recap,
        journal: &Journal,
        contents: &Contents,
        ledger: &Ledger,
        world: &World,
    ) -> Result<Asked, Failure> {
        let vehicle = match vehicle(verb.only.vehicle.as_ref(), journal)? {
            Some(vehicle) => vehicle,
            None => last_written_about(contents)?,
        };
        let vehicle_name = name_of(&vehicle, contents);
        let parts = match &verb.only.part {
            Some(part) => Some(parts_named(part, Some(&vehicle), journal, ledger)?),
            None => None,
        };
        Ok(Asked {
            vehicle,
            vehicle_name,
            system: system(verb.only.system.as_ref(), journal)?,
            span: Span::typed(&verb.days, world)?,
            parts,
        })
    }

    /// What is asked about, for a person.
    pub(super) fn in_words(&self) -> String {
        let mut words = self.vehicle_name.clone();
        if let Some(system) = &self.system {
            words.push_str(&format!(", {system}"));
        }
        if let Some(since) = self.span.since {
            words.push_str(&format!(", since {since}"));
        }
        if let Some(until) = self.span.until {
            words.push_str(&format!(", until {until}"));
        }
        words
    }

    /// Whether a source is asked about.
    pub(super) fn wants(&self, source: &Source, ledger: &Ledger) -> bool {
        self.span.has(source.when.date)
            && self
                .system
                .as_ref()
                .is_none_or(|system| source.system.as_deref().map(fold) == Some(fold(system)))
            && self
                .parts
                .as_ref()
                .is_none_or(|parts| self.is_of(source, parts, ledger))
    }

    fn is_of(&self, source: &Source, parts: &BTreeSet<(String, String)>, ledger: &Ledger) -> bool {
        let places = places(&source.at);
        !source.is_session()
            && places.iter().any(|at| {
                let place = key(&self.vehicle, &Name::new(&source.name), at, &ledger.aliases);
                ledger
                    .places
                    .get(&place)
                    .is_some_and(|state| parts.contains(&(self.vehicle.clone(), state.label())))
            })
    }
}

/// What was told of a vehicle.
pub(super) struct Told<'c> {
    vehicle: &'c str,
    episodes: &'c [Episode],
    entries: BTreeMap<&'c str, &'c Entry>,
    context: &'c Context,
}

impl<'c> Told<'c> {
    pub(super) fn new(vehicle: &'c str, contents: &'c Contents, context: &'c Context) -> Told<'c> {
        let entries = contents.entries.iter();
        Told {
            vehicle,
            episodes: &contents.episodes,
            entries: entries.map(|entry| (entry.path.as_str(), entry)).collect(),
            context,
        }
    }

    /// The episodes that tell a source.
    pub(super) fn by(&self, source: &Source) -> Vec<&'c Episode> {
        let Some(entry) = self.entries.get(source.when.entry.as_str()) else {
            return Vec::new();
        };
        let name = source.record_name();
        self.episodes
            .iter()
            .filter(|episode| episode.tells(&name, self.vehicle, entry, self.context))
            .collect()
    }
}

/// The full name of a vehicle.
pub(super) fn name_of(vehicle: &str, contents: &Contents) -> String {
    contents
        .vehicles
        .iter()
        .find(|known| known.slug == vehicle)
        .map_or_else(|| vehicle.to_owned(), |known| known.name.clone())
}

/// The vehicle of the latest entry.
pub(super) fn last_written_about(contents: &Contents) -> Result<String, Failure> {
    contents
        .entries
        .iter()
        .filter_map(|entry| Some((entry.date?, &entry.path, entry.vehicle.clone()?)))
        .max()
        .map(|(_, _, vehicle)| vehicle)
        .ok_or_else(|| {
            Failure::misuse(
                "there is nothing to tell yet",
                "`matchmark write` writes the first entry",
            )
        })
}
