//! Where records of several places do not agree: names one slip apart, a bag
//! of two vehicles, references that could mean several parts.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use super::bags::Bags;
use super::fitting::{Fitted, fit_reference};
use super::{Ledger, PlaceKey};
use crate::entry::{Entry, Fact, Key, Record};
use crate::problem::{Problem, Spot};
use crate::vocabulary::name::Name;
use crate::vocabulary::position::{Position, places};
use crate::vocabulary::reference::Reference;
use crate::vocabulary::words::one_slip;

/// All such problems.
pub(super) fn problems(ledger: &Ledger, entries: &[Entry]) -> Vec<Problem> {
    let names = Names::collect(ledger, entries);
    let slips = names.slips();
    let mut problems = names.near();
    for entry in entries {
        for record in &entry.records {
            references(ledger, (&names, &slips), entry, record, &mut problems);
        }
        for bag in &entry.bags {
            for (part, spot) in &bag.holds {
                if let Some(vehicle) = &bag.vehicle {
                    let near = names.near_reference(&slips, vehicle, part);
                    problems.extend(near.map(|known| near_problem(entry, spot, part, known)));
                }
            }
        }
        bare_headings(ledger, entry, &mut problems);
    }
    problems.extend(Bags::reckon(ledger).problems);
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
            .flat_map(|stated| parts_named(&stated.fact))
            .map(|part| part.name.key())
            .filter(|key| !known.contains(&(vehicle, *key)))
            .chain(headings.iter().copied())
            .collect();
        // The few names of these entries are indexed and the many known ones
        // are looked up, not the other way round.
        let slips = Slips::new(named.iter().copied());
        let mut likely: BTreeMap<&str, &str> = BTreeMap::new();
        for (_, name) in known
            .iter()
            .filter(|(of, name)| *of == vehicle && !headings.contains(name))
        {
            for slip in slips.near(name) {
                likely.entry(slip).or_insert(name);
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
            for stated in &record.facts {
                for part in parts_named(&stated.fact) {
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
        let named = record
            .facts
            .iter()
            .flat_map(|stated| parts_named(&stated.fact));
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

/// Names in a form in which those one slip apart find each other at once: two
/// such names have a text in common once a letter is left out of either.
struct Slips<'k> {
    by_shortened: HashMap<String, Vec<&'k str>>,
}

impl<'k> Slips<'k> {
    fn new(keys: impl Iterator<Item = &'k str>) -> Slips<'k> {
        let mut by_shortened: HashMap<String, Vec<&str>> = HashMap::new();
        for key in keys {
            for shortened in shortened(key) {
                by_shortened.entry(shortened).or_default().push(key);
            }
        }
        Slips { by_shortened }
    }

    /// The names one slip from `key`, each once.
    fn near(&self, key: &str) -> BTreeSet<&'k str> {
        shortened(key)
            .iter()
            .filter_map(|shortened| self.by_shortened.get(shortened))
            .flatten()
            .copied()
            .filter(|other| is_near(key, other))
            .collect()
    }
}

/// How often and where each name is written, per vehicle.
struct Names {
    headings: BTreeMap<String, BTreeMap<String, Written>>,
}

/// A name as records write it.
struct Written {
    name: String,
    times: usize,
    first: Spot,
}

impl Names {
    fn collect(ledger: &Ledger, entries: &[Entry]) -> Names {
        let mut headings: BTreeMap<String, BTreeMap<String, Written>> = BTreeMap::new();
        for entry in entries {
            for record in &entry.records {
                let Some(vehicle) = &record.vehicle else {
                    continue;
                };
                let key = ledger.aliases.resolve(vehicle, record.name.key());
                headings
                    .entry(vehicle.clone())
                    .or_default()
                    .entry(key.to_owned())
                    .and_modify(|written| written.times += 1)
                    .or_insert_with(|| Written {
                        name: record.name.written().to_owned(),
                        times: 1,
                        first: in_file(entry, &record.spot),
                    });
            }
        }
        Names { headings }
    }

    /// Names of records that are one slip apart; the one written less often,
    /// or later, is taken for the slip.
    fn near(&self) -> Vec<Problem> {
        let mut problems = Vec::new();
        for names in self.headings.values() {
            let slips = Slips::new(names.keys().map(String::as_str));
            for (key, one) in names {
                // Each pair once.
                for other in slips
                    .near(key)
                    .into_iter()
                    .filter(|other| *other > key.as_str())
                {
                    problems.push(slip_problem(one, &names[other]));
                }
            }
        }
        problems
    }

    /// For each vehicle, the names that are known, ready to be found by slips.
    fn slips(&self) -> BTreeMap<&str, Slips<'_>> {
        self.headings
            .iter()
            .map(|(vehicle, names)| {
                let keys = names.keys().map(String::as_str);
                (vehicle.as_str(), Slips::new(keys))
            })
            .collect()
    }

    /// A known name one slip from a reference that names nothing known.
    fn near_reference(
        &self,
        slips: &BTreeMap<&str, Slips<'_>>,
        vehicle: &str,
        part: &Reference,
    ) -> Option<&str> {
        let names = self.headings.get(vehicle)?;
        let key = part.name.key();
        if names.contains_key(key) {
            return None;
        }
        let near = slips.get(vehicle)?.near(key).into_iter().next()?;
        Some(&names[near].name)
    }
}

/// Two names one slip apart, said at the one that is likely the slip.
fn slip_problem(one: &Written, other: &Written) -> Problem {
    let (likely, slip) = if (one.times, &other.first) >= (other.times, &one.first) {
        (one, other)
    } else {
        (other, one)
    };
    Problem::warning(
        slip.first.clone(),
        format!("`{}` is one slip away from `{}`", slip.name, likely.name),
    )
    .hint(format!(
        "if it is the same part, write `{}`; if both exist, all is well",
        likely.name
    ))
}

/// Names longer than this are sentences under the wrong marks: comparing them
/// letter by letter would take long and tell nobody anything.
const LONGEST_NAME: usize = 60;

/// A name with each of its letters left out in turn, and itself: two names one
/// slip apart have one of these in common.
fn shortened(key: &str) -> Vec<String> {
    if key.len() > LONGEST_NAME {
        return Vec::new();
    }
    let mut all = vec![key.to_owned()];
    for (at, c) in key.char_indices() {
        let mut shorter = key.to_owned();
        shorter.replace_range(at..at + c.len_utf8(), "");
        all.push(shorter);
    }
    // Of a letter that is written twice it is the same which one goes.
    all.dedup();
    all
}

/// Whether two names are so close that one may be a slip: short names and
/// names that differ in a number are not.
fn is_near(one: &str, other: &str) -> bool {
    let letters = |key: &str| -> String { key.chars().filter(|c| !c.is_ascii_digit()).collect() };
    one.len() >= 5 && other.len() >= 4 && one_slip(one, other) && letters(one) != letters(other)
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
    (names, slips): (&Names, &BTreeMap<&str, Slips<'_>>),
    entry: &Entry,
    record: &Record,
    problems: &mut Vec<Problem>,
) {
    let Some(vehicle) = &record.vehicle else {
        return;
    };
    let places = places(&record.at);
    for stated in &record.facts {
        for part in parts_named(&stated.fact) {
            if let Some(known) = names.near_reference(slips, vehicle, part) {
                problems.push(near_problem(entry, &stated.spot, part, known));
                continue;
            }
            if stated.key == Key::HoldsUp {
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

/// The parts a fact names.
fn parts_named(fact: &Fact) -> Vec<&Reference> {
    if let Fact::After(part)
    | Fact::OffAfter(part)
    | Fact::RefitAfter(part)
    | Fact::Of(part)
    | Fact::HoldsUp(part)
    | Fact::Holds(part) = fact
    {
        vec![part]
    } else if let Fact::Undone(link) = fact {
        std::iter::once(&link.what).chain(&link.to).collect()
    } else {
        Vec::new()
    }
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
        let known = ledger
            .recorded()
            .any(|(place, _)| place.vehicle == *vehicle && place.name == key);
        if known {
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
