//! The problems of written entries, with what the index knows of their places.
//!
//! Shows nothing; `keep` and `write` do.

use std::collections::BTreeSet;

use super::fresh_index::Fresh;
use super::kept_states::HardwareScope;
use super::world::World;
use crate::entry::Entry;
use crate::journal::Journal;
use crate::ledger::{events, names, near_names};
use crate::problem::Problem;
use crate::reports::check;
use crate::reports::refit::{asked, may_ask};

/// What is wrong with some entries, with what the index knows of their places.
pub(super) fn entry_problems(
    entries: &[Entry],
    read: Vec<Problem>,
    journal: &Journal,
    fresh: &Fresh,
    world: &World,
) -> Vec<Problem> {
    let mut problems = read;
    let mut places: Vec<_> = entries
        .iter()
        .flat_map(|entry| events(entry, &fresh.aliases))
        .map(|event| event.place)
        .collect();
    places.sort();
    places.dedup();
    let paths: BTreeSet<&str> = entries.iter().map(|entry| entry.path.as_str()).collect();
    let ours = |problem: &Problem| paths.contains(problem.spot.file.as_str());
    for place in &places {
        if let Some(state) = fresh.place(place) {
            problems.extend(state.problems.into_iter().filter(ours));
        }
    }
    let is_new = names(entries)
        .into_iter()
        .any(|(vehicle, name)| !is_known(fresh, vehicle, name, &paths));
    if is_new {
        // Only a name nobody wrote before can be a slip, and only then is it
        // worth looking at all the others.
        let known = fresh.keys().unwrap_or_default();
        problems.extend(near_names(entries, &known));
    }
    if entries.iter().any(may_ask)
        && let Ok(whole) = fresh.whole_journal(HardwareScope::Taken)
    {
        let all = asked(&whole.ledger, entries, &journal.settings().systems);
        problems.extend(all.into_iter().filter(ours));
    }
    check::of_the_day(
        entries,
        world.today(),
        &|path| journal.has(path),
        &mut problems,
    );
    check::sort(&mut problems, entries);
    problems
}

/// Whether an entry besides these speaks of a part of this name.
fn is_known(fresh: &Fresh, vehicle: &str, name: &str, ours: &BTreeSet<&str>) -> bool {
    let places = fresh.keys_named(vehicle, name);
    places.iter().any(|place| {
        let files = fresh.index.files_of_place(place).unwrap_or_default();
        files.iter().any(|file| !ours.contains(file.as_str()))
    })
}
