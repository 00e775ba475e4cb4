//! What was replaced: every place whose unit changed.
//!
//! The yardstick is what aviation asks of a maintenance record (14 CFR 43.9):
//! what was done, when, by whom, on what.

use std::collections::BTreeMap;

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use crate::entry::{Entry, Fact, Fate, Record, ReplacementKind, UnitOrigin};
use crate::ledger::{Aliases, Dated, Ledger, PlaceKey, PlaceState, Unit, key};
use crate::vocabulary::money::Money;
use crate::vocabulary::name::Name;
use crate::vocabulary::position::{Position, places};
use crate::vocabulary::status::Status;
use crate::vocabulary::system_source::marked;

/// One change of a unit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReplacedRow {
    /// The vehicle.
    pub vehicle: String,
    /// The system.
    pub system: Option<String>,
    /// Whether nobody said that system.
    pub system_assumed: bool,
    /// The part.
    pub part: String,
    /// Where it sits; empty where there is only one.
    pub at: String,
    /// The day in the shop.
    pub date: Date,
    /// What was there, and why it went.
    pub old: String,
    /// What is there now, as written.
    pub what: String,
    /// Its kind.
    pub kind: Option<ReplacementKind>,
    /// Its number.
    pub number: Option<String>,
    /// Where it came from.
    pub from: Option<String>,
    /// What it cost.
    pub cost: Option<Money>,
    /// What became of the old one.
    pub fate: Option<String>,
    /// Photos and receipts of the record that says so.
    pub photos: Vec<String>,
    /// The entry.
    pub entry: String,
    /// The line in it.
    pub line: u32,
    /// The commit that first recorded it.
    pub recorded: Option<RecordCommit>,
    /// The commit that last changed the record.
    pub changed: Option<RecordCommit>,
}

impl ReplacedRow {
    /// The system for a person, marked where nobody said it.
    #[must_use]
    pub fn system_words(&self) -> Option<String> {
        marked(self.system.as_deref(), self.system_assumed)
    }
}

/// A commit that holds a record.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RecordCommit {
    /// Its number, shortened.
    pub commit: String,
    /// The day it was made.
    pub date: Date,
    /// Who made it.
    pub by: String,
}

/// One kept version of an entry, oldest first.
#[derive(Clone, Debug)]
pub struct EntryVersion {
    /// The commit.
    pub recorded: RecordCommit,
    /// What its records that replace a unit said there.
    pub says: Vec<Replacing>,
    /// Whether what came before is not known: a shallow clone begins here.
    pub is_cut_off: bool,
}

/// A record that replaces a unit, whatever its part is called by now.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Replacing {
    vehicle: String,
    name: Name,
    at: Vec<Position>,
    words: Vec<(String, String)>,
}

/// The records of an entry that replace a unit.
#[must_use]
pub fn replacing(entry: &Entry) -> Vec<Replacing> {
    let replaces = |record: &&Record| {
        let mut facts = record.facts.iter();
        facts.any(|stated| matches!(stated.fact, Fact::ReplacedBy(_)))
    };
    let said = |record: &Record| {
        let facts = record.facts.iter();
        let words = facts.map(|stated| (stated.key.word().to_owned(), stated.written.clone()));
        let prose = entry.prose_text(&record.passage).to_owned();
        Some(Replacing {
            vehicle: record.vehicle.clone()?,
            name: record.name.clone(),
            at: record.at.clone(),
            words: words.chain([(String::new(), prose)]).collect(),
        })
    };
    entry
        .records
        .iter()
        .filter(replaces)
        .filter_map(said)
        .collect()
}

/// The changes of units, by day. `versions` gives the kept versions of an
/// entry by its path.
#[must_use]
pub fn replaced(
    ledger: &Ledger,
    wanted: &dyn Fn(&PlaceState) -> bool,
    versions: &BTreeMap<String, Vec<EntryVersion>>,
) -> Vec<ReplacedRow> {
    let mut rows = Vec::new();
    for (place, state) in ledger.recorded().filter(|(_, state)| wanted(state)) {
        for pair in state.units.windows(2) {
            let [old, new] = pair else { continue };
            let (Some(date), Some(spot)) = (new.from, &new.brought) else {
                continue;
            };
            let (recorded, changed) = commits(
                place,
                versions.get(&spot.file).map_or(&[], Vec::as_slice),
                &ledger.aliases,
            );
            rows.push(ReplacedRow {
                vehicle: state.vehicle.clone(),
                system: state.system.clone(),
                system_assumed: state.system_is_assumed(),
                part: state.name.clone(),
                at: state.at.to_string(),
                date,
                old: old_words(state, old, date),
                what: new.what.clone(),
                kind: new.kind,
                number: new.code.clone(),
                from: new.source.as_ref().map(origin_words),
                cost: new.cost,
                fate: fate_words(old),
                photos: state
                    .photos
                    .iter()
                    .filter(|photo| photo.spot.file == spot.file)
                    .map(|photo| photo.value.clone())
                    .collect(),
                entry: spot.file.clone(),
                line: spot.line,
                recorded,
                changed,
            });
        }
    }
    rows.sort_by(|a, b| (a.date, &a.entry, a.line, &a.at).cmp(&(b.date, &b.entry, b.line, &b.at)));
    rows
}

/// What was there, and what was last found wrong with it.
fn old_words(state: &PlaceState, old: &Unit, date: Date) -> String {
    let unit = if old.number == 1 {
        "as it came".to_owned()
    } else {
        match (old.what.is_empty(), old.kind) {
            (false, _) => format!("unit {}: {}", old.number, old.what),
            (true, Some(kind)) => format!("unit {}: {}", old.number, kind.word()),
            (true, None) => format!("unit {}", old.number),
        }
    };
    // What is found in the record that brings the new unit speaks of the old one
    // only if that was still on the vehicle; what was found before always does.
    let was_on = state
        .timeline
        .iter()
        .rev()
        .find(|moment| moment.unit == old.number)
        .and_then(|moment| moment.status)
        .is_none_or(Status::is_on);
    let of_old = |found: &&Dated<String>| old.from.is_none_or(|since| found.date >= since);
    let mut found = state.found.iter().rev().filter(of_old);
    let why = found
        .clone()
        .find(|found| found.date < date)
        .or_else(|| found.find(|found| was_on && found.date == date));
    match why {
        Some(why) => format!("{unit}; {}", why.value),
        None => unit,
    }
}

/// Where a unit came from, in words.
#[must_use]
pub fn origin_words(origin: &UnitOrigin) -> String {
    match origin {
        UnitOrigin::Someone(name) => name.clone(),
        UnitOrigin::Donor { vehicle, part } => format!("{vehicle}, {}", part.written()),
    }
}

fn fate_words(old: &Unit) -> Option<String> {
    old.fate
        .map(|fate| fate.word().to_owned())
        .or_else(|| match old.status {
            Some(Status::Scrapped) => Some(Fate::Scrapped.word().to_owned()),
            Some(Status::Sold) => Some(Fate::Sold.word().to_owned()),
            Some(Status::Missing) => Some(Status::Missing.word().to_owned()),
            Some(
                Status::Fitted
                | Status::Loose
                | Status::Undone
                | Status::Removed
                | Status::Apart
                | Status::Out
                | Status::Ready
                | Status::LeftOff
                | Status::Replaced,
            )
            | None => None,
        })
}

/// The first version that says so, under whatever name, and the last that changed what
/// it says; neither is a version before which nothing is known.
fn commits(
    place: &PlaceKey,
    versions: &[EntryVersion],
    aliases: &Aliases,
) -> (Option<RecordCommit>, Option<RecordCommit>) {
    let mut first = None;
    let mut last = None;
    let mut before = None;
    for (version, now) in versions.iter().zip(followed(place, versions, aliases)) {
        let recorded = (!version.is_cut_off).then(|| version.recorded.clone());
        if now.is_some() && first.is_none() {
            first = Some(recorded.clone());
        }
        if now.is_some() && now != before {
            last = recorded;
        }
        before = now;
    }
    (first.flatten(), last)
}

/// What each version says of a place, back under the names it had before.
fn followed<'v>(
    place: &PlaceKey,
    versions: &'v [EntryVersion],
    aliases: &Aliases,
) -> Vec<Option<Vec<&'v (String, String)>>> {
    let mut place = place.clone();
    let mut newer: Option<(&EntryVersion, Vec<&(String, String)>)> = None;
    let mut followed = Vec::new();
    for version in versions.iter().rev() {
        let mut now = said(&version.says, &place, aliases);
        if now.is_none()
            && let Some((newer, words)) = &newer
            && let Some(older) = renamed_from(&place, version, newer, words, aliases)
        {
            place = older;
            now = said(&version.says, &place, aliases);
        }
        newer = now.clone().map(|words| (version, words));
        followed.push(now);
    }
    followed.reverse();
    followed
}

/// The place of which a version says the very words that the next one says of
/// `place`, if the next one no longer speaks of it.
fn renamed_from(
    place: &PlaceKey,
    version: &EntryVersion,
    newer: &EntryVersion,
    words: &[&(String, String)],
    aliases: &Aliases,
) -> Option<PlaceKey> {
    let same = |record: &&Replacing| record.words.iter().eq(words.iter().copied());
    let keys = version.says.iter().filter(same).flat_map(|record| {
        let places = places(&record.at).iter();
        places.map(|at| key(&record.vehicle, &record.name, at, aliases))
    });
    let mut gone: Vec<PlaceKey> = keys
        .filter(|key| said(&newer.says, key, aliases).is_none())
        .collect();
    // Of several places the one on the same side.
    gone.sort_by_key(|key| key.at != place.at);
    gone.into_iter().next()
}

/// What the records that replace the unit of `place` say; `None` if none does.
fn said<'v>(
    says: &'v [Replacing],
    place: &PlaceKey,
    aliases: &Aliases,
) -> Option<Vec<&'v (String, String)>> {
    let speaks = |record: &&Replacing| {
        let mut places = places(&record.at).iter();
        places.any(|at| key(&record.vehicle, &record.name, at, aliases) == *place)
    };
    let words = says.iter().filter(speaks).flat_map(|record| &record.words);
    let words: Vec<_> = words.collect();
    (!words.is_empty()).then_some(words)
}
