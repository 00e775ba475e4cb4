//! Everything of a vehicle that could be told: its records with their prose
//! and the facts that are sentences, in the order of the work.
//!
//! How a text is cut into moments is said in `moments`, how much any of it
//! promises in `ranking`.

use std::collections::{BTreeMap, HashMap};

use super::held_back::{LeftOut, asked_for, is_private_title};
use super::moments::{LineEnds, Moment, Voice, moments};
use crate::entry::{Context, Entry, Fact, Passage, Record, Stated, Telling, telling};
use crate::ledger::{Ledger, RecordTime, key, when};
use crate::parallel;
use crate::reports::whole;
use crate::vocabulary::position::{Position, places};
use crate::vocabulary::record_name::{RecordName, SESSION};
use crate::vocabulary::short_name::short_name;
use crate::vocabulary::status::Status;
use crate::vocabulary::words::fold;

/// What one entry says about one part, or apart from its parts.
#[derive(Clone, Debug)]
pub struct RecapSource {
    /// When, and where it stands.
    pub when: RecordTime,
    /// The entry's title.
    pub title: Option<String>,
    /// The part as an episode names it, or [`SESSION`].
    pub label: String,
    /// Which record of its entry it is; `None` for the entry's own words.
    pub record: Option<usize>,
    /// Its number among the records of its vehicle that its entry calls so;
    /// `None` for the only one.
    pub twin: Option<u32>,
    /// The part's name, empty for the entry's own words.
    pub name: String,
    /// Its places.
    pub at: Vec<Position>,
    /// Its system: what the ledger knows, or that of most of its entry.
    pub system: Option<String>,
    /// The facts of the record, or of the entry as a whole.
    pub facts: Vec<Fact>,
    /// Who helped.
    pub helpers: Vec<String>,
    /// Who must agree before it is told.
    pub asks: Vec<String>,
    /// Whether the part came off here, by a word of the record's own.
    pub came_off: bool,
}

impl RecapSource {
    /// Whether these are the entry's own words.
    #[must_use]
    pub fn is_session(&self) -> bool {
        self.record.is_none()
    }

    /// As an episode names it.
    #[must_use]
    pub fn record_name(&self) -> RecordName {
        RecordName {
            entry: self.when.entry.clone(),
            part: Some(self.label.clone()),
            record: self.twin,
        }
    }

    /// Whether one of these names means it.
    #[must_use]
    pub fn is_among(&self, told: &[RecordName]) -> bool {
        let own = self.record_name();
        told.iter().any(|told| told.means(&own))
    }
}

/// What there is of one vehicle.
#[derive(Clone, Debug, Default)]
pub struct Material {
    /// Records and entries, in the order of the work.
    pub sources: Vec<RecapSource>,
    /// Moments, in the order of the work and of the text.
    pub moments: Vec<Moment>,
    /// The sources of each entry.
    by_entry: BTreeMap<String, Vec<usize>>,
}

impl Material {
    /// The sources of an entry. Those of one entry may lie apart, as records have days.
    pub fn of_entry(&self, entry: &str) -> impl Iterator<Item = usize> {
        self.by_entry.get(entry).into_iter().flatten().copied()
    }

    /// The moments of a source.
    #[must_use]
    pub fn of_source(&self, source: usize) -> std::ops::Range<usize> {
        let start = self.moments.partition_point(|one| one.source < source);
        let end = self.moments.partition_point(|one| one.source <= source);
        start..end
    }

    /// Numbers the moments that have the same short name.
    fn part_twins(&mut self) {
        let mut taken: HashMap<String, usize> = HashMap::new();
        for moment in &mut self.moments {
            let twins = taken.entry(moment.id.clone()).or_default();
            *twins += 1;
            if *twins > 1 {
                moment.id = format!("{}-{twins}", moment.id);
            }
        }
    }
}

/// Threads that take entries apart: most people have two processors.
pub(super) const READERS: usize = 2;

/// A title shared by this many entries is ignored: it tells none of them apart.
const COMMON: usize = 3;

/// Collects all that these entries say of a vehicle. What has no day counts
/// for nothing, here as everywhere.
#[must_use]
pub fn material(vehicle: &str, entries: &[Entry], ledger: &Ledger, context: &Context) -> Material {
    let mut titles: BTreeMap<&str, usize> = BTreeMap::new();
    for title in entries.iter().filter_map(|entry| entry.title.as_deref()) {
        *titles.entry(title).or_default() += 1;
    }
    let found = parallel::each(READERS, entries, |entry| {
        let title = entry.title.as_deref();
        let own = title.filter(|title| titles.get(title).is_some_and(|count| *count < COMMON));
        let mut found = of_entry(vehicle, own, entry, (ledger, context));
        for (source, moments) in &mut found {
            name(source, moments);
        }
        found
    });
    let mut all: Vec<(RecapSource, Vec<Moment>)> = found.into_iter().flatten().collect();
    // A record with a day of its own happened then, wherever it is written.
    all.sort_by(|a, b| a.0.when.cmp(&b.0.when));
    let mut material = Material::default();
    let mut passages = 0;
    for (index, (source, moments)) in all.into_iter().enumerate() {
        let first = passages;
        let own = material.by_entry.entry(source.when.entry.clone());
        own.or_default().push(index);
        material.sources.push(source);
        for mut moment in moments {
            moment.source = index;
            moment.passage += first;
            passages = passages.max(moment.passage + 1);
            material.moments.push(moment);
        }
    }
    material.part_twins();
    material
}

/// What an entry says of a vehicle, source by source, in the order of its text.
fn of_entry(
    vehicle: &str,
    title: Option<&str>,
    entry: &Entry,
    known: (&Ledger, &Context),
) -> Vec<(RecapSource, Vec<Moment>)> {
    let own: Vec<(usize, &Record)> = entry
        .records
        .iter()
        .enumerate()
        .filter(|(_, record)| record.vehicle.as_deref() == Some(vehicle))
        .collect();
    let systems: Vec<Option<String>> = own
        .iter()
        .map(|(_, record)| system_of(record, vehicle, known))
        .collect();
    let twins = twins(&own);
    let mut found = Vec::new();
    let lines = LineEnds::of(&entry.text);
    let is_worth = telling(&entry.facts) == Some(Telling::Worth);
    let is_private = entry.title.as_deref().is_some_and(is_private_title);
    let is_ours = entry.vehicle.as_deref() == Some(vehicle);
    if let Some(when) = when(entry, entry.date, 0).filter(|_| is_ours) {
        let session = RecapSource {
            when,
            title: title.map(str::to_owned),
            label: SESSION.to_owned(),
            record: None,
            twin: None,
            name: String::new(),
            at: Vec::new(),
            system: main_system(&systems),
            facts: facts(&entry.facts),
            helpers: entry.helpers.clone(),
            asks: asks(&entry.facts).collect(),
            came_off: false,
        };
        let mut moments = moments(entry, &lines, entry.facts.iter(), &entry.prose);
        mark(&mut moments, is_worth);
        hold_back(&mut moments, is_private);
        found.push((session, moments));
    }
    for (((index, record), system), twin) in own.into_iter().zip(systems).zip(twins) {
        let Some(when) = when(entry, record.date, record.spot.line) else {
            continue;
        };
        // The parts of a short form share their passage; the first has it.
        let passages: &[Passage] = match record.short {
            Some((part, _)) if part > 0 => &[],
            Some(_) | None => std::slice::from_ref(&record.passage),
        };
        let source = RecapSource {
            when,
            title: title.map(str::to_owned),
            label: record.label(),
            record: Some(index),
            twin,
            name: record.name.written().to_owned(),
            at: record.at.clone(),
            system,
            facts: facts(&record.facts),
            helpers: entry.helpers.clone(),
            asks: asks(&entry.facts).chain(asks(&record.facts)).collect(),
            came_off: record.status().is_some_and(|(status, inherited)| {
                status == Status::Removed && (!inherited || record.short.is_some())
            }),
        };
        let own = record.facts.iter().filter(|stated| !stated.inherited);
        let mut moments = moments(entry, &lines, own, passages);
        mark(
            &mut moments,
            is_worth || telling(&record.facts) == Some(Telling::Worth),
        );
        hold_back(&mut moments, is_private);
        found.push((source, moments));
    }
    found
}

/// Gives each moment its short name: made of where it stands and of its words, so that it
/// stays whatever is written elsewhere.
fn name(source: &RecapSource, moments: &mut [Moment]) {
    for moment in moments {
        moment.id = short_name(&[&source.when.entry, &source.label, &moment.text()]);
    }
}

/// Holds back the paragraphs in which a sentence asks for that, or all moments if the
/// title or a sentence asks for all.
fn hold_back(moments: &mut [Moment], is_private: bool) {
    let asks = |moment: &Moment| {
        moment
            .sentences
            .iter()
            .filter_map(|one| asked_for(&one.text))
            .max()
    };
    let all = is_private || moments.iter().any(|one| asks(one) == Some(LeftOut::All));
    let paragraphs = moments.chunk_by_mut(|_, next| next.goes_on);
    for paragraph in paragraphs {
        let is_held = all || paragraph.iter().any(|one| asks(one).is_some());
        for moment in paragraph {
            moment.held_back = is_held;
        }
    }
}

/// Takes a mark on a record or an entry over to its prose.
fn mark(moments: &mut [Moment], is_worth: bool) {
    for moment in moments.iter_mut().filter(|one| one.voice == Voice::Prose) {
        moment.worth |= is_worth;
    }
}

/// The number of each record among those with the same label.
fn twins(records: &[(usize, &Record)]) -> Vec<Option<u32>> {
    let labels: Vec<String> = records
        .iter()
        .map(|(_, record)| fold(&record.label()))
        .collect();
    let mut all: BTreeMap<&str, u32> = BTreeMap::new();
    for label in &labels {
        *all.entry(label).or_default() += 1;
    }
    let mut so_far: BTreeMap<&str, u32> = BTreeMap::new();
    labels
        .iter()
        .map(|label| {
            let number = so_far.entry(label).or_default();
            *number += 1;
            let is_twin = all.get(label.as_str()).is_some_and(|count| *count > 1);
            is_twin.then_some(*number)
        })
        .collect()
}

fn facts(stated: &[Stated]) -> Vec<Fact> {
    stated.iter().map(|stated| stated.fact.clone()).collect()
}

/// The system of a record's part, as the whole journal knows it.
fn system_of(
    record: &Record,
    vehicle: &str,
    (ledger, context): (&Ledger, &Context),
) -> Option<String> {
    let places = places(&record.at);
    places
        .iter()
        .find_map(|at| {
            let place = key(vehicle, &record.name, at, &ledger.aliases);
            whole::system_of(ledger.places.get(&place)?, context)
        })
        .or_else(|| record.system.as_ref().map(|(system, _)| system.clone()))
}

/// The system of more than half of the records, if there is one.
fn main_system(systems: &[Option<String>]) -> Option<String> {
    let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
    for system in systems.iter().flatten() {
        *counts.entry(system).or_default() += 1;
    }
    counts
        .into_iter()
        .find(|(_, count)| count * 2 > systems.len())
        .map(|(system, _)| system.to_owned())
}

/// Whom these facts name as to be asked.
fn asks(facts: &[Stated]) -> impl Iterator<Item = String> {
    facts.iter().filter_map(|stated| {
        if let Fact::Ask(name) = &stated.fact {
            Some(name.clone())
        } else {
            None
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::entry::read_file;
    use crate::vocabulary::money::Currency;

    #[test]
    fn records_come_in_the_order_of_the_work() {
        let context = Context {
            systems: Vec::new(),
            vehicles: Vec::new(),
            currency: Currency::EUR,
        };
        let entry = |path: &str, text: &str| read_file(path, text, &context).0;
        let entries = [
            entry(
                "entries/b.md",
                "---\ndate: 2026-03-20\ntime: 18:00\nvehicle: wren\n---\n\n# B\n\nWords.\n\n## Horn\n\n- date: 2026-03-02\n- status: removed\n\n## Coil\n\n- status: removed\n\n## Horn\n\n- found: bent\n\n## Coil\n\n- vehicle: other\n- status: removed\n",
            ),
            entry(
                "entries/a.md",
                "---\ndate: 2026-03-20\ntime: 9:00\nvehicle: wren\n---\n\n# A\n\nWords.\n",
            ),
        ];
        let ledger = Ledger::fold(&entries);
        let material = material("wren", &entries, &ledger, &context);
        let said: Vec<String> = material
            .sources
            .iter()
            .map(|source| format!("{} {}", source.when.date, source.record_name().written()))
            .collect();
        assert_eq!(
            said,
            [
                "2026-03-02 entries/b.md, Horn, record 1",
                "2026-03-20 entries/a.md, session",
                "2026-03-20 entries/b.md, session",
                "2026-03-20 entries/b.md, Coil",
                "2026-03-20 entries/b.md, Horn, record 2",
            ]
        );
        let order: Vec<usize> = material.moments.iter().map(|one| one.source).collect();
        assert!(order.is_sorted(), "{order:?}");
    }
}
