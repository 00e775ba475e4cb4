//! Which rows of a table the journal has already.
//!
//! Every row of an entry counts once: where the table has a row twice and the
//! journal has it once, one is new. An entry that was corrected after it was
//! adopted still has the rows it had when it was first kept.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;

use super::super::failure::Failure;
use crate::entry::decode;
use crate::history::History;
use crate::import::brought_in::{RowCounts, content, contents};
use crate::import::row::ImportRow;
use crate::journal::{Journal, slug, walk_entries};
use crate::vocabulary::words::{fold, one_slip};

/// A day and a vehicle.
type DayAndVehicle = (Date, String);

/// How many of the rows the journal has, and the rows it does not have.
pub(super) fn part(
    rows: Vec<ImportRow>,
    journal: &Journal,
) -> Result<(usize, Vec<ImportRow>), Failure> {
    let count = rows.len();
    let session = |row: &ImportRow| -> DayAndVehicle {
        let vehicle = known_vehicle(&row.vehicle, journal).unwrap_or_else(|| slug(&row.vehicle));
        (row.date, vehicle)
    };
    let days: BTreeSet<Date> = rows.iter().map(|row| row.date).collect();
    let mut there: BTreeMap<DayAndVehicle, BTreeMap<String, RowCounts>> = BTreeMap::new();
    for file in walk_entries(&journal.root)? {
        let Some(day) = day_of(&file.path).filter(|day| days.contains(day)) else {
            continue;
        };
        let Ok((entry, _)) = journal.entry(&file.path) else {
            continue;
        };
        let vehicle = entry.vehicle.clone().unwrap_or_default();
        let vehicle = known_vehicle(&vehicle, journal).unwrap_or(vehicle);
        let files = there.entry((day, vehicle)).or_default();
        files.insert(file.path, contents(&entry));
    }
    let missing = |there: &BTreeMap<DayAndVehicle, BTreeMap<String, RowCounts>>| {
        let mut left: BTreeMap<&DayAndVehicle, RowCounts> = BTreeMap::new();
        for (session, files) in there {
            let left = left.entry(session).or_default();
            for (content, count) in files.values().flatten() {
                *left.entry(content.clone()).or_default() += count;
            }
        }
        let is_there = |row: &ImportRow| {
            let counts = left.get_mut(&session(row));
            match counts.and_then(|counts| counts.get_mut(&content(row))) {
                Some(count) if *count > 0 => {
                    *count -= 1;
                    true
                }
                Some(_) | None => false,
            }
        };
        rows.iter().map(is_there).collect::<Vec<bool>>()
    };
    let mut found = missing(&there);
    let changed: Vec<String> = rows
        .iter()
        .zip(&found)
        .filter(|(_, found)| !**found)
        .filter_map(|(row, _)| there.get(&session(row)))
        .flat_map(|files| files.keys().cloned())
        .collect::<BTreeSet<String>>()
        .into_iter()
        .collect();
    if !changed.is_empty() {
        let first = as_first_kept(&changed, journal)?;
        for (path, counts) in there.values_mut().flatten() {
            for (content, count) in first.get(path).into_iter().flatten() {
                let now = counts.entry(content.clone()).or_default();
                *now = (*now).max(*count);
            }
        }
        found = missing(&there);
    }
    let fresh: Vec<ImportRow> = rows
        .into_iter()
        .zip(found)
        .filter(|(_, found)| !found)
        .map(|(row, _)| row)
        .collect();
    Ok((count - fresh.len(), fresh))
}

/// The rows that entries had when they were first kept, by path.
fn as_first_kept(
    paths: &[String],
    journal: &Journal,
) -> Result<BTreeMap<String, RowCounts>, Failure> {
    let context = journal.context();
    let rows = |text: &str| contents(&crate::entry::read(text, &context).0);
    let texts = first_texts(paths, journal)?;
    Ok(texts
        .into_iter()
        .map(|(path, text)| (path, rows(&text)))
        .collect())
}

/// The texts of entries as they were first kept, by path.
pub(super) fn first_texts(
    paths: &[String],
    journal: &Journal,
) -> Result<Vec<(String, String)>, Failure> {
    let Some(history) = History::open(&journal.root)?.filter(|_| !paths.is_empty()) else {
        return Ok(Vec::new());
    };
    let mut notes = history.commit_notes();
    let recorded = history.recorded(None, paths, &mut notes)?;
    history.keep_notes(&notes);
    let mut first_kept = Vec::new();
    for (path, versions) in recorded {
        if let Some(first) = versions.into_iter().find_map(|version| version.after) {
            first_kept.push((path, decode(history.text(first)?).text));
        }
    }
    Ok(first_kept)
}

/// The slug of a vehicle of the journal, by its slug or its name.
pub(super) fn known_vehicle(name: &str, journal: &Journal) -> Option<String> {
    let context = journal.context();
    context.vehicle(name).map(|vehicle| vehicle.slug.clone())
}

/// New vehicles whose names are one slip from a vehicle of the journal or from
/// another new one, with that one.
pub(super) fn near_vehicles(new: &[(String, String)], journal: &Journal) -> Vec<(String, String)> {
    let context = journal.context();
    let near = |at: usize, name: &str| {
        let among_new = || {
            let mut others = new[..at].iter().map(|(other, _)| other);
            others
                .find(|other| one_slip(&fold(name), &fold(other)))
                .cloned()
        };
        context
            .near_vehicle(name)
            .map(str::to_owned)
            .or_else(among_new)
    };
    new.iter()
        .enumerate()
        // Names as short as a number are one slip from each other anyway.
        .filter(|(_, (name, _))| name.chars().count() > 3)
        .filter_map(|(at, (name, _))| Some((name.clone(), near(at, name)?)))
        .collect()
}

/// The day in an entry's file name.
pub(super) fn day_of(path: &str) -> Option<Date> {
    let name = path.rsplit('/').next()?;
    crate::vocabulary::day::read_date(name.get(..10)?)
}
