//! What happened to a filling of a bag, line by line.
//!
//! `bags` computes the sums.

use std::collections::BTreeSet;

use jiff::civil::Date;

use crate::ledger::{Filling, Holder, Ledger, holders};

/// Something that happened to a bag.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Happened {
    /// The day.
    pub date: Date,
    /// The entry.
    pub entry: String,
    /// The line in it.
    pub line: u32,
    /// What.
    pub what: String,
}

/// What happened to a filling, in its order.
pub(super) fn happened(ledger: &Ledger, filling: &Filling) -> Vec<Happened> {
    let mut happened: BTreeSet<Happened> = BTreeSet::new();
    let mut say = |date: Date, entry: &str, line: u32, what: String| {
        happened.insert(Happened {
            date,
            entry: entry.to_owned(),
            line,
            what,
        });
    };
    for lot in &filling.lots {
        if lot.put_in() > 0 {
            let of = some_of(ledger, &lot.holders);
            let what = format!("{} {} in{of}", lot.put_in(), lot.hardware.what);
            say(lot.kept.date, &lot.spot.file, lot.spot.line, what);
        }
    }
    let counted = holders(filling.lots.iter().filter(|lot| lot.put_in() > 0));
    for held in &filling.held {
        let label = label(ledger, &held.holder);
        if !counted.contains(&held.holder) {
            let what = format!("{label}: nothing counted");
            say(held.when.date, &held.spot.file, held.spot.line, what);
        }
        if let Some(on) = &held.emptied {
            say(on.date, &on.entry, on.line, format!("{label} is on again"));
        }
    }
    for (key, spot) in filling.lots.iter().flat_map(|lot| &lot.counts) {
        let Some(state) = ledger.places.get(key) else {
            continue;
        };
        for counted in state.counted.iter().filter(|said| said.spot == *spot) {
            let word = if counted.left { "left over" } else { "short" };
            let what = format!(
                "{} {} {word}, {}",
                counted.hardware.count(),
                counted.hardware.what,
                state.label()
            );
            say(counted.when.date, &spot.file, spot.line, what);
        }
    }
    happened.into_iter().collect()
}

/// ", wheel, left front", or as many as fit a line.
fn some_of(ledger: &Ledger, holders: &[Holder]) -> String {
    const MOST: usize = 3;
    let first = holders.iter().take(MOST);
    let parts: Vec<String> = first.map(|holder| label(ledger, holder)).collect();
    match (parts.first(), holders.len()) {
        (None, _) => String::new(),
        (Some(first), count) if count > MOST => format!(", {first} and {} more parts", count - 1),
        (Some(_), _) => format!(", {}", parts.join("; ")),
    }
}

/// Name and position of a part.
fn label(ledger: &Ledger, holder: &Holder) -> String {
    match holder {
        Holder::Place(key) => {
            let name = ledger
                .places
                .get(key)
                .map_or(&key.name, |state| &state.name);
            match key.at.is_empty() {
                true => name.clone(),
                false => format!("{name}, {}", key.at),
            }
        }
        Holder::Named { part, .. } => part.clone(),
    }
}
