//! Where records of several places do not agree: names one slip apart, a bag
//! of two vehicles, references that could mean several parts.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use super::bags::BagLedger;
use super::fitting::{Fitted, fit_reference, named};
use super::near_names::NearNames;
use super::{Ledger, PlaceKey};
use crate::entry::{Entry, Key, Record, Stated};
use crate::problem::{Problem, Spot};
use crate::vocabulary::name::Name;
use crate::vocabulary::position::{Position, places};
use crate::vocabulary::reference::Reference;

/// All such problems.
pub(super) fn problems(ledger: &Ledger, entries: &[Entry]) -> Vec<Problem> {
    let names = VehicleNames::collect(ledger, entries);
    let mut problems: Vec<Problem> = names.values().flat_map(VehicleNames::slips).collect();
    for entry in entries {
        for record in &entry.records {
            references(ledger, &names, entry, record, &mut problems);
        }
        for bag in &entry.bags {
            let names = bag.vehicle.as_deref().and_then(|of| names.get(of));
            for (part, spot) in &bag.holds {
                let near = names.and_then(|names| names.near_reference(part));
                problems.extend(near.map(|known| near_problem(entry, spot, part, known)));
            }
        }
        bare_headings(ledger, entry, &mut problems);
    }
    problems.extend(BagLedger::reckon(ledger).problems);
    problems
}

/// Names in these entries that are one slip from the name of a known place: for
/// a look at a few entries without folding all.
#[must_use]
pub fn near_names(entries: &[Entry], known: &[PlaceKey]) -> Vec<Problem> {
    let known: BTreeSet<(&str, &str)> = known
        .iter()
        .map(|key| (key.vehicle.as_str(), key.name.as_str()))
        .collect();
    let mut problems = Vec::new();
    let vehicles: BTreeSet<&str> = known.iter().map(|(vehicle, _)| *vehicle).collect();
    for vehicle in vehicles {
        let headings: BTreeSet<&str> = records_of(entries, vehicle)
            .map(|(_, record)| record.name.key())
            .collect();
        let named: BTreeSet<&str> = records_of(entries, vehicle)
            .flat_map(|(_, record)| &record.facts)
            .flat_map(Stated::parts)
            .map(|part| part.name.key())
            .filter(|key| !known.contains(&(vehicle, *key)))
            .chain(headings.iter().copied())
            .collect();
        // The few names of these entries are indexed and the many known ones
        // are looked up, not the other way round.
        let index = NearNames::new(named.iter().copied());
        let mut likely: BTreeMap<&str, &str> = BTreeMap::new();
        for (_, name) in known
            .iter()
            .filter(|(of, name)| *of == vehicle && !headings.contains(name))
        {
            for slip in index.near(name) {
                likely.entry(index.name(slip)).or_insert(name);
            }
        }
        for (entry, record) in records_of(entries, vehicle) {
            if let Some(name) = likely.get(record.name.key()) {
                problems.push(
                    Problem::warning(
                        in_file(entry, &record.spot),
                        format!(
                            "`{}` is one slip away from a known part",
                            record.name.written()
                        ),
                    )
                    .hint(format!("did you mean `{name}`?")),
                );
            }
            let facts = record.facts.iter();
            for stated in facts.filter(|stated| stated.key != Key::HoldsUp) {
                for part in stated.parts() {
                    if let Some(name) = likely.get(part.name.key()) {
                        problems.push(near_problem(entry, &stated.spot, part, name));
                    }
                }
            }
        }
    }
    problems
}

/// The names of parts in these entries, with their vehicles: those of records
/// and those in relations, each once.
#[must_use]
pub fn names(entries: &[Entry]) -> BTreeSet<(&str, &str)> {
    let mut names = BTreeSet::new();
    for record in entries.iter().flat_map(|entry| &entry.records) {
        let Some(vehicle) = record.vehicle.as_deref() else {
            continue;
        };
        names.insert((vehicle, record.name.key()));
        let named = record.facts.iter().flat_map(Stated::parts);
        names.extend(named.map(|part| (vehicle, part.name.key())));
    }
    names
}

fn records_of<'e>(
    entries: &'e [Entry],
    vehicle: &str,
) -> impl Iterator<Item = (&'e Entry, &'e Record)> {
    entries.iter().flat_map(move |entry| {
        entry
            .records
            .iter()
            .filter(move |record| record.vehicle.as_deref() == Some(vehicle))
            .map(move |record| (entry, record))
    })
}

/// The names that records of one vehicle stand under, those written most often
/// first; of those written equally often, the earliest first.
struct VehicleNames<'l> {
    written: Vec<WrittenName<'l>>,
    by_key: HashMap<&'l str, usize>,
    near: NearNames<'l>,
}

/// A name as records write it.
struct WrittenName<'l> {
    key: &'l str,
    name: &'l str,
    times: usize,
    first: Spot,
}

impl<'l> VehicleNames<'l> {
    /// The names in these entries, by vehicle.
    fn collect(ledger: &'l Ledger, entries: &'l [Entry]) -> BTreeMap<&'l str, VehicleNames<'l>> {
        let mut headings: BTreeMap<&str, BTreeMap<&str, WrittenName<'_>>> = BTreeMap::new();
        for entry in entries {
            for record in &entry.records {
                let Some(vehicle) = record.vehicle.as_deref() else {
                    continue;
                };
                let key = ledger.aliases.resolve(vehicle, record.name.key());
                let of_vehicle = headings.entry(vehicle).or_default();
                let written = of_vehicle.entry(key).or_insert_with(|| WrittenName {
                    key,
                    name: record.name.written(),
                    times: 0,
                    first: in_file(entry, &record.spot),
                });
                written.times += 1;
            }
        }
        let of_vehicle = |names: BTreeMap<&'l str, WrittenName<'l>>| {
            let mut written: Vec<WrittenName<'_>> = names.into_values().collect();
            written.sort_by(|a, b| (b.times, &a.first).cmp(&(a.times, &b.first)));
            let keys = written.iter().map(|written| written.key);
            VehicleNames {
                near: NearNames::new(keys.clone()),
                by_key: keys.enumerate().map(|(rank, key)| (key, rank)).collect(),
                written,
            }
        };
        headings
            .into_iter()
            .map(|(vehicle, names)| (vehicle, of_vehicle(names)))
            .collect()
    }

    /// Each name that is one slip from a likelier one, with the likeliest such.
    fn slips(&self) -> impl Iterator<Item = Problem> {
        self.written.iter().enumerate().filter_map(|(rank, slip)| {
            let likelier = self.near.near(slip.key).filter(|other| *other < rank);
            Some(slip_problem(slip, &self.written[likelier.min()?]))
        })
    }

    /// The likeliest name one slip from a reference that names nothing known.
    fn near_reference(&self, part: &Reference) -> Option<&'l str> {
        let key = part.name.key();
        if self.by_key.contains_key(key) {
            return None;
        }
        Some(self.written[self.near.near(key).min()?].name)
    }
}

/// A name one slip from a likelier one.
fn slip_problem(slip: &WrittenName<'_>, likely: &WrittenName<'_>) -> Problem {
    Problem::warning(
        slip.first.clone(),
        format!("`{}` is one slip away from `{}`", slip.name, likely.name),
    )
    .hint(format!(
        "if it is the same part, write `{}`; if both exist, all is well",
        likely.name
    ))
}

fn in_file(entry: &Entry, spot: &Spot) -> Spot {
    Spot {
        file: entry.path.clone(),
        ..spot.clone()
    }
}

fn near_problem(entry: &Entry, spot: &Spot, part: &Reference, known: &str) -> Problem {
    Problem::warning(
        in_file(entry, spot),
        format!("no part is called `{}`", part.name.written()),
    )
    .hint(format!("did you mean `{known}`?"))
}

/// References of one record: near names, and names that fit several parts.
fn references(
    ledger: &Ledger,
    names: &BTreeMap<&str, VehicleNames<'_>>,
    entry: &Entry,
    record: &Record,
    problems: &mut Vec<Problem>,
) {
    let Some(vehicle) = &record.vehicle else {
        return;
    };
    let names = names.get(vehicle.as_str());
    let places = places(&record.at);
    // What `holds up` says may be a system as well: it is asked about with the plan.
    let facts = record.facts.iter();
    for stated in facts.filter(|stated| stated.key != Key::HoldsUp) {
        for part in stated.parts() {
            if let Some(known) = names.and_then(|names| names.near_reference(part)) {
                problems.push(near_problem(entry, &stated.spot, part, known));
                continue;
            }
            for at in places {
                let Fitted::Places(found) = fit_reference(ledger, vehicle, at, part) else {
                    continue;
                };
                let several =
                    found.len() > 1 && part.at.is_empty() && !one_for_each(&found, places);
                if several {
                    problems.push(several_problem(entry, &stated.spot, part, &found));
                    break;
                }
            }
        }
    }
}

/// Whether each of several places of a record has its own among the found.
fn one_for_each(found: &[&PlaceKey], places: &[Position]) -> bool {
    places.len() > 1
        && places
            .iter()
            .all(|at| found.iter().any(|key| key.at == at.to_string()))
}

fn several_problem(entry: &Entry, spot: &Spot, part: &Reference, found: &[&PlaceKey]) -> Problem {
    let positions: Vec<&str> = found.iter().map(|key| key.at.as_str()).collect();
    Problem::note(
        in_file(entry, spot),
        format!(
            "`{}` could be several parts and was taken for all of them",
            part.name.written()
        ),
    )
    .hint(format!(
        "add the position behind a comma: {}",
        positions.join("; ")
    ))
}

/// Headings without facts that name a known part.
fn bare_headings(ledger: &Ledger, entry: &Entry, problems: &mut Vec<Problem>) {
    let Some(vehicle) = &entry.vehicle else {
        return;
    };
    for (title, spot) in &entry.bare_headings {
        let (name, _) =
            crate::entry::split_name(title, crate::vocabulary::position::Driven::Unsaid);
        let name = Name::new(&name);
        let key = ledger.aliases.resolve(vehicle, name.key());
        if named(ledger, vehicle, key).next().is_some() {
            problems.push(
                Problem::note(
                    in_file(entry, spot),
                    format!("`{title}` is a known part, but there are no facts under its heading"),
                )
                .hint("add a line like `- found: ...` right under the heading, or all is well if it is only a mention"),
            );
        }
    }
}
