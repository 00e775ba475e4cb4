//! Where records of several places do not agree: names one slip apart, a bag
//! of two vehicles, references that could mean several parts.

use std::collections::{BTreeMap, BTreeSet};

use super::fitting::{Fitted, fit_reference};
use super::{Ledger, PlaceKey};
use crate::entry::{Entry, Fact, Key, Record};
use crate::problem::{Problem, Spot};
use crate::vocabulary::label::Label;
use crate::vocabulary::name::Name;
use crate::vocabulary::position::Position;
use crate::vocabulary::reference::Reference;
use crate::vocabulary::words::one_slip;

/// All such problems.
pub(super) fn problems(ledger: &Ledger, entries: &[Entry]) -> Vec<Problem> {
    let names = Names::collect(ledger, entries);
    let mut problems = names.near();
    for entry in entries {
        for record in &entry.records {
            references(ledger, &names, entry, record, &mut problems);
        }
        for bag in &entry.bags {
            for (part, spot) in &bag.holds {
                if let Some(vehicle) = &bag.vehicle {
                    let near = names.near_reference(vehicle, part);
                    problems.extend(near.map(|known| near_problem(entry, spot, part, &known)));
                }
            }
        }
        bare_headings(ledger, entry, &mut problems);
    }
    bags(entries, &mut problems);
    problems
}

/// Names in these entries that are one slip from a name of `known` places and
/// are not known themselves beyond these entries' own mention: for a look at a
/// few entries without folding all.
#[must_use]
pub fn near_names(entries: &[Entry], known: &[PlaceKey]) -> Vec<Problem> {
    let mut problems = Vec::new();
    let names: BTreeSet<(&str, &str)> = known
        .iter()
        .map(|key| (key.vehicle.as_str(), key.name.as_str()))
        .collect();
    let own: BTreeSet<&str> = entries
        .iter()
        .flat_map(|entry| &entry.records)
        .map(|record| record.name.key())
        .collect();
    let mut slips = Slips::default();
    for (vehicle, name) in &names {
        slips.add(vehicle, name);
    }
    let near = |vehicle: &str, key: &str| {
        slips
            .beside(vehicle, key)
            .into_iter()
            .find(|known| is_near(key, known) && !own.contains(known))
            .map(str::to_owned)
    };
    for entry in entries {
        for record in &entry.records {
            let Some(vehicle) = record.vehicle.as_deref() else {
                continue;
            };
            if let Some(known) = near(vehicle, record.name.key()) {
                problems.push(
                    Problem::warning(
                        in_file(entry, &record.spot),
                        format!(
                            "`{}` is one slip away from a known part",
                            record.name.written()
                        ),
                    )
                    .hint(format!("did you mean `{known}`?")),
                );
            }
            for stated in &record.facts {
                for part in parts_named(&stated.fact) {
                    let key = part.name.key();
                    if !names.contains(&(vehicle, key))
                        && let Some(known) = near(vehicle, key)
                    {
                        problems.push(near_problem(entry, &stated.spot, part, &known));
                    }
                }
            }
        }
    }
    problems
}

/// How often and where each name is written, per vehicle.
struct Names {
    headings: BTreeMap<String, BTreeMap<String, Written>>,
    slips: Slips,
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
        let mut slips = Slips::default();
        for (vehicle, names) in &headings {
            for key in names.keys() {
                slips.add(vehicle, key);
            }
        }
        Names { headings, slips }
    }

    /// Names of records that are one slip apart; the one written less often,
    /// or later, is taken for the slip.
    fn near(&self) -> Vec<Problem> {
        let mut problems = Vec::new();
        for (vehicle, names) in &self.headings {
            let mut pairs: BTreeSet<(&str, &str)> = BTreeSet::new();
            for one in names.keys() {
                for other in self.slips.beside(vehicle, one) {
                    if one.as_str() < other && is_near(one, other) {
                        pairs.insert((one, other));
                    }
                }
            }
            for (one, other) in pairs {
                let (one, other) = (&names[one], &names[other]);
                let (likely, slip) = if (one.times, &other.first) >= (other.times, &one.first) {
                    (one, other)
                } else {
                    (other, one)
                };
                problems.push(
                    Problem::warning(
                        slip.first.clone(),
                        format!("`{}` is one slip away from `{}`", slip.name, likely.name),
                    )
                    .hint(format!(
                        "if it is the same part, write `{}`; if both exist, all is well",
                        likely.name
                    )),
                );
            }
        }
        problems
    }

    /// A known name one slip from a reference that names nothing known.
    fn near_reference(&self, vehicle: &str, part: &Reference) -> Option<String> {
        let names = self.headings.get(vehicle)?;
        let key = part.name.key();
        if names.contains_key(key) {
            return None;
        }
        let known = self.slips.beside(vehicle, key);
        let near = known.into_iter().find(|known| is_near(key, known))?;
        names.get(near).map(|written| written.name.clone())
    }
}

/// Known names, laid out so that those one slip from another are found without
/// comparing all with all.
#[derive(Default)]
struct Slips {
    /// By vehicle and [`shortened`] name.
    names: BTreeMap<String, BTreeMap<String, Vec<String>>>,
}

impl Slips {
    fn add(&mut self, vehicle: &str, name: &str) {
        if name.len() > LONGEST_NAME {
            return;
        }
        let names = self.names.entry(vehicle.to_owned()).or_default();
        for shortened in shortened(name) {
            names.entry(shortened).or_default().push(name.to_owned());
        }
    }

    /// The names that may be one slip from this one, in alphabetical order.
    fn beside(&self, vehicle: &str, name: &str) -> BTreeSet<&str> {
        let Some(names) = self.names.get(vehicle) else {
            return BTreeSet::new();
        };
        if name.len() > LONGEST_NAME {
            return BTreeSet::new();
        }
        shortened(name)
            .iter()
            .filter_map(|shortened| names.get(shortened))
            .flatten()
            .map(String::as_str)
            .collect()
    }
}

/// A name with each of its letters left out in turn, and itself: two names one
/// slip apart have one of these in common.
fn shortened(key: &str) -> Vec<String> {
    let mut all = vec![key.to_owned()];
    for (at, c) in key.char_indices() {
        let mut shorter = key.to_owned();
        shorter.replace_range(at..at + c.len_utf8(), "");
        all.push(shorter);
    }
    all
}

/// Names longer than this are sentences under the wrong marks; comparing them
/// letter by letter would take more memory than they are worth.
const LONGEST_NAME: usize = 200;

/// Whether two names are so close that one may be a slip: short names and
/// names that differ in a number are not.
fn is_near(one: &str, other: &str) -> bool {
    let letters = |key: &str| -> String { key.chars().filter(|c| !c.is_ascii_digit()).collect() };
    one.len() >= 5
        && other.len() >= 4
        && one.len() <= LONGEST_NAME
        && one_slip(one, other)
        && letters(one) != letters(other)
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
    names: &Names,
    entry: &Entry,
    record: &Record,
    problems: &mut Vec<Problem>,
) {
    let Some(vehicle) = &record.vehicle else {
        return;
    };
    let alone = [Position::default()];
    let places = if record.at.is_empty() {
        &alone[..]
    } else {
        &record.at[..]
    };
    for stated in &record.facts {
        for part in parts_named(&stated.fact) {
            if let Some(known) = names.near_reference(vehicle, part) {
                problems.push(near_problem(entry, &stated.spot, part, &known));
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
        let (name, _) = crate::vocabulary::position::split_name(
            title,
            crate::vocabulary::position::Driven::Unsaid,
        );
        let name = Name::new(&name);
        let key = ledger.aliases.resolve(vehicle, name.key());
        let from = PlaceKey {
            vehicle: vehicle.clone(),
            name: key.to_owned(),
            at: String::new(),
        };
        let known = ledger
            .places
            .range(from..)
            .take_while(|(place, _)| place.vehicle == *vehicle && place.name == key)
            .any(|(_, state)| state.recorded);
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

/// Bags that hold hardware of two vehicles.
fn bags(entries: &[Entry], problems: &mut Vec<Problem>) {
    let mut owners: BTreeMap<String, (String, String)> = BTreeMap::new();
    let mut said: Vec<(&Label, &str, Spot, jiff::civil::Date)> = Vec::new();
    for entry in entries {
        for record in &entry.records {
            let (Some(vehicle), Some(date)) = (record.vehicle.as_deref(), record.date) else {
                continue;
            };
            for stated in &record.facts {
                if let Some(label) = stated.fact.bag() {
                    said.push((label, vehicle, in_file(entry, &stated.spot), date));
                }
            }
        }
        for bag in &entry.bags {
            if let (Some(vehicle), Some(date)) = (bag.vehicle.as_deref(), bag.date) {
                said.push((&bag.label, vehicle, in_file(entry, &bag.spot), date));
            }
        }
    }
    said.sort_by(|a, b| (a.3, &a.2).cmp(&(b.3, &b.2)));
    for (label, vehicle, spot, _) in said {
        let (owner, place) = owners
            .entry(label.key().to_owned())
            .or_insert_with(|| (vehicle.to_owned(), format!("{}:{}", spot.file, spot.line)))
            .clone();
        if owner != vehicle {
            problems.push(
                Problem::warning(
                    spot,
                    format!(
                        "bag {} holds hardware of {vehicle}, and of {owner} before",
                        label.written()
                    ),
                )
                .hint(format!(
                    "it was {owner}'s in {place}; give one of the two another label"
                )),
            );
        }
    }
}
