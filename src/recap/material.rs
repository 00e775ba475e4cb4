//! Everything of a vehicle that could be told: its records with their prose
//! and the facts that are sentences, in the order of the work.
//!
//! How a text is cut into moments is said in `moments`, how much any of it
//! promises in `ranking`.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use super::moments::{Moment, Voice, moments};
use super::source::RecapSource;
use crate::entry::{
    Context, Entry, LeftOut, Lines, Passage, Record, Telling, asked_for, is_private_title, telling,
};
use crate::ledger::{Ledger, key, when};
use crate::parallel;
use crate::reports::whole;
use crate::vocabulary::position::places;
use crate::vocabulary::record_name::SESSION;
use crate::vocabulary::short_name::short_name;
use crate::vocabulary::words::fold;
use jiff::civil::Date;

/// What there is of one vehicle.
#[derive(Clone, Debug, Default)]
pub struct Material<'e> {
    /// Records and entries, in the order of the work.
    pub sources: Vec<RecapSource<'e>>,
    /// Moments, in the order of the work and of the text.
    pub moments: Vec<Moment>,
    /// The sources of each entry.
    by_entry: BTreeMap<&'e str, Vec<usize>>,
}

impl<'e> Material<'e> {
    /// The source of a moment.
    #[must_use]
    pub fn source(&self, moment: usize) -> &RecapSource<'e> {
        &self.sources[self.moments[moment].source]
    }

    /// For each source, whether it is one of these.
    #[must_use]
    pub fn marked(&self, which: &dyn Fn(&RecapSource<'_>) -> bool) -> Vec<bool> {
        self.sources.iter().map(which).collect()
    }

    /// The first and the last day on which one of these sources happened.
    #[must_use]
    pub fn days(&self, which: &dyn Fn(&RecapSource<'_>) -> bool) -> Option<(Date, Date)> {
        let sources = self.sources.iter().filter(|source| which(source));
        let days: BTreeSet<Date> = sources.map(|source| source.when.date).collect();
        days.first().copied().zip(days.last().copied())
    }

    /// The sources of which anything but a caution can be said.
    pub fn sayable(&self) -> impl Iterator<Item = &RecapSource<'e>> {
        let sayable = self
            .moments
            .iter()
            .filter(|moment| moment.voice != Voice::Caution);
        sayable.map(|moment| &self.sources[moment.source])
    }

    /// The moments by the ids that an outline gives them.
    #[must_use]
    pub fn by_id(&self) -> HashMap<&str, usize> {
        let ids = self.moments.iter().map(|moment| moment.id.as_str());
        ids.zip(0..).collect()
    }

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
}

/// Threads that take entries apart: most people have two processors.
pub(super) const READERS: usize = 2;

/// A title shared by this many entries is ignored: it tells none of them apart.
const COMMON: usize = 3;

/// Collects all that these entries say of a vehicle. What has no day counts
/// for nothing, here as everywhere.
#[must_use]
pub fn material<'e>(
    vehicle: &str,
    entries: &'e [Entry],
    ledger: &Ledger,
    context: &Context,
) -> Material<'e> {
    let mut titles: HashMap<&str, usize> = HashMap::new();
    for title in entries.iter().filter_map(|entry| entry.title.as_deref()) {
        *titles.entry(title).or_default() += 1;
    }
    let found = parallel::each(READERS, entries, |entry| {
        let title = entry.title.as_deref();
        let own = title.filter(|title| titles.get(title).is_some_and(|count| *count < COMMON));
        of_entry(vehicle, own, entry, (ledger, context))
    });
    let mut all: Vec<(RecapSource, Vec<Moment>)> = found.into_iter().flatten().collect();
    // A record with a day of its own happened then, wherever it is written.
    all.sort_by(|a, b| a.0.when.cmp(&b.0.when));
    let mut material = Material::default();
    let mut twins: HashMap<String, usize> = HashMap::new();
    for (index, (source, moments)) in all.into_iter().enumerate() {
        let own = material.by_entry.entry(&source.entry.path).or_default();
        own.push(index);
        material.sources.push(source);
        for mut moment in moments {
            moment.source = index;
            // Moments that have the same short name are numbered.
            let twins = twins.entry(moment.id.clone()).or_default();
            *twins += 1;
            if *twins > 1 {
                moment.id = format!("{}-{twins}", moment.id);
            }
            material.moments.push(moment);
        }
    }
    material
}

/// What an entry says of a vehicle, source by source, in the order of its text.
fn of_entry<'e>(
    vehicle: &str,
    title: Option<&'e str>,
    entry: &'e Entry,
    known: (&Ledger, &Context),
) -> Vec<(RecapSource<'e>, Vec<Moment>)> {
    let own = entry.records.iter();
    let own: Vec<&Record> = own
        .filter(|record| record.vehicle.as_deref() == Some(vehicle))
        .collect();
    let systems: Vec<Option<String>> = own
        .iter()
        .map(|record| system_of(record, vehicle, known))
        .collect();
    let main = main_system(&systems);
    let labels: Vec<String> = own.iter().map(|record| record.label()).collect();
    let twins = twins(&labels);
    let lines = Lines::new(&entry.text);
    let is_worth = telling(&entry.facts) == Some(Telling::Worth);
    let is_private = entry.title.as_deref().is_some_and(is_private_title);
    let session = (entry.vehicle.as_deref() == Some(vehicle))
        .then_some(((None, SESSION.to_owned()), (main, None)));
    let records = own.into_iter().map(Some).zip(labels);
    let records = records.zip(systems.into_iter().zip(twins));
    let sources = session.into_iter().chain(records);
    let found = sources.filter_map(|((record, label), (system, twin))| {
        let (date, line, facts, passages) = match record {
            None => (entry.date, 0, &entry.facts, &entry.prose[..]),
            Some(record) => (
                record.date,
                record.spot.line,
                &record.facts,
                own_passages(record),
            ),
        };
        let source = RecapSource {
            when: when(entry, date, line)?,
            entry,
            record,
            title,
            label,
            twin,
            system,
        };
        let stated = facts
            .iter()
            .filter(|stated| record.is_none() || !stated.inherited);
        let mut moments = moments(entry, &lines, stated, passages);
        hold_back(&mut moments, is_private);
        let is_worth = is_worth || telling(facts) == Some(Telling::Worth);
        for moment in &mut moments {
            moment.worth |= is_worth && moment.voice == Voice::Prose;
            // Made of where it stands and of its words, so that it stays whatever is
            // written elsewhere.
            moment.id = short_name(&[&entry.path, &source.label, &moment.text()]);
        }
        Some((source, moments))
    });
    found.collect()
}

/// The passage of a record: the parts of a short form share one, and the first has it.
fn own_passages(record: &Record) -> &[Passage] {
    match record.short {
        Some((part, _)) if part > 0 => &[],
        Some(_) | None => std::slice::from_ref(&record.passage),
    }
}

/// Holds back the paragraphs in which a sentence asks for that, or all moments if the
/// title or a sentence asks for all.
fn hold_back(moments: &mut [Moment], is_private: bool) {
    let asks = |moment: &Moment| {
        let sentences = moment.sentences.iter();
        sentences.filter_map(|one| asked_for(&one.text)).max()
    };
    let all = is_private || moments.iter().any(|one| asks(one) == Some(LeftOut::All));
    for paragraph in moments.chunk_by_mut(|_, next| next.goes_on) {
        let is_held = all || paragraph.iter().any(|one| asks(one).is_some());
        for moment in paragraph {
            moment.held_back = is_held;
        }
    }
}

/// The number of each record among those with the same label.
fn twins(labels: &[String]) -> Vec<Option<u32>> {
    let mut all: HashMap<String, Vec<usize>> = HashMap::new();
    for (index, label) in labels.iter().enumerate() {
        all.entry(fold(label)).or_default().push(index);
    }
    let mut numbers = vec![None; labels.len()];
    for same in all.values().filter(|same| same.len() > 1) {
        for (index, number) in same.iter().zip(1..) {
            numbers[*index] = Some(number);
        }
    }
    numbers
}

/// The system of a record's part, as the whole journal knows it.
fn system_of(
    record: &Record,
    vehicle: &str,
    (ledger, context): (&Ledger, &Context),
) -> Option<String> {
    let places = places(&record.at);
    let known = places.iter().find_map(|at| {
        let place = key(vehicle, &record.name, at, &ledger.aliases);
        whole::system_of(ledger.places.get(&place)?, context)
    });
    known.or_else(|| record.system.as_ref().map(|(system, _)| system.clone()))
}

/// The system of more than half of the records, if there is one.
fn main_system(systems: &[Option<String>]) -> Option<String> {
    let mut counts: HashMap<&String, usize> = HashMap::new();
    for system in systems.iter().flatten() {
        *counts.entry(system).or_default() += 1;
    }
    let mut counts = counts.into_iter();
    let main = counts.find(|(_, count)| count * 2 > systems.len());
    main.map(|(system, _)| system.clone())
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
