//! What an episode is asked to tell, and what episodes have told.

use std::collections::{BTreeMap, BTreeSet};

use crate::command_line::arguments::RecapArgs;
use crate::command_line::failure::Failure;
use crate::command_line::scope::{DateSpan, parts_named};
use crate::command_line::scope::{system, vehicle};
use crate::command_line::world::World;
use crate::entry::{Context, Entry, Record};
use crate::journal::{Contents, Episode, Journal};
use crate::ledger::{Ledger, key};
use crate::recap::{RecapSource, material};
use crate::vocabulary::position::{Position, places};
use crate::vocabulary::words::fold;

/// What is asked, understood.
pub(super) struct RecapRequest {
    pub(super) vehicle: String,
    pub(super) vehicle_name: String,
    pub(super) system: Option<String>,
    pub(super) span: DateSpan,
    pub(super) parts: Option<BTreeSet<(String, String)>>,
}

impl RecapRequest {
    pub(super) fn read(
        verb: &RecapArgs,
        journal: &Journal,
        contents: &Contents,
        (public, ledger): (&[Entry], &Ledger),
        (told, named): (&ToldEpisodes<'_>, Option<&String>),
        world: &World,
    ) -> Result<RecapRequest, Failure> {
        let named = verb.only.vehicle.as_ref().or(named);
        let vehicle = match vehicle(named, journal)? {
            Some(vehicle) => vehicle,
            None => vehicle_with_untold(journal, public, ledger, told)?,
        };
        let vehicle_name = name_of(&vehicle, contents);
        let parts = match &verb.only.part {
            Some(part) => Some(parts_named(part, Some(&vehicle), journal, ledger)?),
            None => None,
        };
        Ok(RecapRequest {
            vehicle,
            vehicle_name,
            system: system(verb.only.system.as_ref(), journal)?,
            span: DateSpan::typed(&verb.days, world)?,
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
    pub(super) fn wants(&self, source: &RecapSource<'_>, ledger: &Ledger) -> bool {
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

    fn is_of(
        &self,
        source: &RecapSource<'_>,
        parts: &BTreeSet<(String, String)>,
        ledger: &Ledger,
    ) -> bool {
        let is_named = |record: &Record, at: &Position| {
            let place = key(&self.vehicle, &record.name, at, &ledger.aliases);
            let state = ledger.places.get(&place);
            state.is_some_and(|state| parts.contains(&(self.vehicle.clone(), state.label())))
        };
        source.record.is_some_and(|record| {
            let places = places(&record.at);
            places.iter().any(|at| is_named(record, at))
        })
    }
}

/// What was told, by the entries that it names.
pub(super) struct ToldEpisodes<'c> {
    by_entry: BTreeMap<&'c str, Vec<&'c Episode>>,
    entries: BTreeMap<&'c str, &'c Entry>,
    context: &'c Context,
}

impl<'c> ToldEpisodes<'c> {
    pub(super) fn new(contents: &'c Contents, context: &'c Context) -> ToldEpisodes<'c> {
        let mut by_entry: BTreeMap<&str, Vec<&Episode>> = BTreeMap::new();
        for episode in &contents.episodes {
            let named: BTreeSet<&str> = episode.told.iter().map(|one| one.entry.as_str()).collect();
            for entry in named {
                by_entry.entry(entry).or_default().push(episode);
            }
        }
        let entries = contents.entries.iter();
        ToldEpisodes {
            by_entry,
            entries: entries.map(|entry| (entry.path.as_str(), entry)).collect(),
            context,
        }
    }

    /// The episodes that tell a source of a vehicle.
    pub(super) fn by(&self, source: &RecapSource<'_>, vehicle: &str) -> Vec<&'c Episode> {
        let path = source.when.entry.as_str();
        let Some((entry, episodes)) = self.entries.get(path).zip(self.by_entry.get(path)) else {
            return Vec::new();
        };
        let name = source.record_name();
        let tells = |episode: &&&Episode| episode.tells(&name, vehicle, entry, self.context);
        episodes.iter().filter(tells).copied().collect()
    }
}

/// The vehicle that is meant where none is named: the only one of which something is
/// left to tell, or the only one there is.
fn vehicle_with_untold(
    journal: &Journal,
    entries: &[Entry],
    ledger: &Ledger,
    told: &ToldEpisodes<'_>,
) -> Result<String, Failure> {
    let context = journal.context();
    let known: BTreeSet<&str> = entries
        .iter()
        .flat_map(|entry| {
            let records = entry.records.iter();
            let of_records = records.filter_map(|record| record.vehicle.as_deref());
            of_records.chain(entry.vehicle.as_deref())
        })
        .collect();
    let known: Vec<&str> = known.into_iter().collect();
    if let [only] = known[..] {
        return Ok(only.to_owned());
    }
    let mut left: Vec<&str> = known
        .iter()
        .copied()
        .filter(|vehicle| {
            let material = material(vehicle, entries, ledger, &context);
            let is_untold = |source| told.by(source, vehicle).is_empty();
            material.sayable().any(is_untold)
        })
        .collect();
    match (left.pop(), left.is_empty()) {
        (Some(only), true) => Ok(only.to_owned()),
        (Some(last), false) => Err(Failure::misuse(
            format!(
                "of which vehicle? There is something to tell of {} and {last}",
                left.join(", ")
            ),
            format!("say `--vehicle {last}`"),
        )),
        (None, _) => last_written_about(entries),
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
pub(super) fn last_written_about(entries: &[Entry]) -> Result<String, Failure> {
    entries
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
