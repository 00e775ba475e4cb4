//! Pairs of parts of the demo that a mechanic insists on, read from its texts
//! before there was a planner.

use std::collections::BTreeMap;
use std::path::Path;

use matchmark::entry::{Entry, read_file};
use matchmark::journal::Journal;
use matchmark::ledger::{Ledger, PlaceKey};
use matchmark::reports::parts::{Meant, NameContext};
use matchmark::reports::refit::{RefitPlan, plan};

/// The demo's journal.
fn demo() -> Journal {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-journal");
    Journal::open(&root).expect("the demo")
}

/// The pairs, each with its reason and its entry.
fn pairs() -> Vec<(String, String, String, String)> {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/demo/refit-pairs.csv");
    csv::Reader::from_path(file)
        .expect("a table")
        .deserialize()
        .map(|row| row.expect("a row"))
        .collect()
}

/// An entry in which everything that was ever off comes off once more, and
/// nothing is said about the order.
fn all_off(journal: &Journal, ledger: &Ledger) -> Entry {
    let labels: Vec<String> = ledger
        .recorded()
        .filter(|(key, state)| key.vehicle == "wren" && state.surface.is_none())
        .filter(|(_, state)| {
            state
                .timeline
                .iter()
                .any(|at| at.status.is_none_or(|s| !s.is_on()))
        })
        .map(|(_, state)| state.label())
        .collect();
    assert!(labels.len() > 100, "{}", labels.len());
    let text = format!(
        "---\ndate: 2026-11-24\nvehicle: wren\n---\n\n# All over again\n\n- removed: {}\n",
        labels.join("; ")
    );
    let (entry, problems) = read_file(
        "entries/2026/2026-11-24-again.md",
        &text,
        &journal.context(),
    );
    assert!(problems.is_empty(), "{problems:?}");
    entry
}

/// The place of the wren that is called so.
fn place(name: &str, ledger: &Ledger, journal: &Journal) -> PlaceKey {
    let names = NameContext {
        aliases: &ledger.aliases,
        context: &journal.context(),
        vehicle: Some("wren"),
    };
    let meant = names.meant(name, &ledger.places);
    let Meant::One(key) = meant else {
        panic!("{name}: {meant:?}");
    };
    key
}

fn position(plan: &RefitPlan<'_>, key: &PlaceKey) -> Option<usize> {
    let number = plan.places.number(key)?;
    plan.steps.iter().position(|step| *step == number)
}

/// Whether records order one before the other, directly or through others.
fn is_known(plan: &RefitPlan<'_>, first: &PlaceKey, then: &PlaceKey) -> bool {
    let mut after: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for known in &plan.order.known {
        after.entry(known.first).or_default().push(known.then);
    }
    let target = plan.places.number(then).expect("a place");
    let mut open = vec![plan.places.number(first).expect("a place")];
    let mut seen = open.clone();
    while let Some(node) = open.pop() {
        for next in after.get(&node).into_iter().flatten() {
            if *next == target {
                return true;
            }
            if !seen.contains(next) {
                seen.push(*next);
                open.push(*next);
            }
        }
    }
    false
}

#[test]
fn all_that_a_mechanic_insists_on_holds() {
    let journal = demo();
    let mut entries = journal.load().expect("texts").entries;
    let again = all_off(&journal, &Ledger::fold(&entries));
    entries.push(again);
    let ledger = Ledger::fold(&entries);
    let plan = plan(&ledger, "wren", &journal.settings().systems);
    assert!(plan.knots.loops.is_empty(), "a false loop");
    let pairs = pairs();
    assert!(pairs.len() >= 25);
    let mut wrong = Vec::new();
    for (first, then, why, _) in &pairs {
        let (one, other) = (
            place(first, &ledger, &journal),
            place(then, &ledger, &journal),
        );
        let (at, behind) = (position(&plan, &one), position(&plan, &other));
        if at.is_none() || at >= behind || !is_known(&plan, &one, &other) {
            wrong.push(format!(
                "{first} ({at:?}) before {then} ({behind:?}): {why}"
            ));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// As it stood when everything was off for the first time: what had been
/// written by then holds as well.
#[test]
fn a_plan_on_a_day_knows_what_was_known_by_then() {
    let journal = demo();
    let entries = journal.load().expect("texts").entries;
    let last = jiff::civil::date(2025, 12, 31);
    let ledger = Ledger::fold_until(&entries, Some(last));
    let plan = plan(&ledger, "wren", &journal.settings().systems);
    assert!(plan.knots.loops.is_empty(), "a false loop");
    let mut held = 0;
    for (first, then, why, entry) in pairs() {
        if entry.as_str() > "entries/2026" {
            continue;
        }
        let one = place(&first, &ledger, &journal);
        let other = place(&then, &ledger, &journal);
        let (at, behind) = (position(&plan, &one), position(&plan, &other));
        assert!(
            at.is_some() && at < behind,
            "{first} ({at:?}) before {then} ({behind:?}): {why}"
        );
        held += 1;
    }
    assert!(held >= 45, "{held}");
}
