//! The entries of adopted rows, written into the journal and its history.

use std::collections::{BTreeMap, BTreeSet};

use jiff::ZonedDateTime;
use jiff::civil::Date;

use super::super::arguments::AdoptArgs;
use super::super::failure::Failure;
use super::super::keep;
use super::super::world::World;
use super::already::{day_of, known_vehicle};
use crate::history::{ChangedKind, History, PlannedCommit};
use crate::import::row::{self, ImportRow};
use crate::journal::{Journal, entry_path, is_text_of_journal, slug, walk_entries};
use crate::presentation::text::counted;
use crate::vocabulary::words::fold;

/// What was written.
pub(super) struct WrittenCounts {
    pub(super) entries: usize,
    pub(super) commits: usize,
}

/// Writes the entries into the journal and its history, one commit a day.
pub(super) fn write(
    verb: &AdoptArgs,
    rows: &[ImportRow],
    journal: &Journal,
    world: &World,
) -> Result<WrittenCounts, Failure> {
    let history = match History::open(&journal.root)? {
        Some(history) => history,
        None => keep::create(journal)?,
    };
    let who = keep::who(&history, journal, world)?;
    let vehicles = new_vehicles(rows.iter(), journal);
    let slug_of = |name: &str| {
        known_vehicle(name, journal)
            .or_else(|| {
                let same = |(known, _): &&(String, String)| fold(known) == fold(name);
                vehicles.iter().find(same).map(|(_, slug)| slug.clone())
            })
            .unwrap_or_else(|| slug(name))
    };
    let mut days: BTreeMap<Date, BTreeMap<String, Vec<&ImportRow>>> = BTreeMap::new();
    for row in rows {
        days.entry(row.date)
            .or_default()
            .entry(slug_of(&row.vehicle))
            .or_default()
            .push(row);
    }
    let table_name = verb
        .source()
        .file_name()
        .unwrap_or_default()
        .to_string_lossy()
        .into_owned();
    let mut counted_of_day: BTreeMap<Date, u32> = BTreeMap::new();
    let mut taken: BTreeSet<String> = BTreeSet::new();
    for file in walk_entries(&journal.root)? {
        if let Some(day) = day_of(&file.path) {
            *counted_of_day.entry(day).or_default() += 1;
        }
        taken.insert(file.path);
    }
    let mut drafts = Vec::new();
    let mut entries = 0;
    let mut frame = unkept_frame(&history, journal)?;
    frame.extend(vehicles.iter().map(|(name, slug)| {
        let text = crate::entry::new_entry(&[("name", name)], name, "");
        (format!("vehicles/{slug}.md"), Some(text.into_bytes()))
    }));
    if !frame.is_empty() {
        drafts.push(PlannedCommit {
            files: frame,
            message: format!("Vehicles and settings for {table_name}"),
            who: who.clone(),
            author_time: world.now().clone(),
            commit_time: world.now().clone(),
        });
    }
    for (day, by_vehicle) in days {
        let mut files = Vec::new();
        let mut count = 0;
        for (vehicle, rows) in by_vehicle {
            count += rows.len();
            let groups: Vec<Vec<&ImportRow>> = if verb.entry_per_row {
                rows.into_iter().map(|row| vec![row]).collect()
            } else {
                vec![rows]
            };
            for group in groups {
                let number = counted_of_day.entry(day).or_default();
                let path = free_path(day, number, &vehicle, &taken);
                let text = row::entry(day, &vehicle, &group, &table_name);
                files.push((path, Some(text.into_bytes())));
                entries += 1;
            }
        }
        drafts.push(PlannedCommit {
            files,
            message: format!("{day}: {} of {table_name}", counted(count, "row", "rows")),
            who: who.clone(),
            author_time: noon(day, world),
            commit_time: world.now().clone(),
        });
    }
    let mut progress = world.progress("adopting");
    let of = drafts.len();
    let commits = history.play(drafts, &mut |done| progress.at(done, of))?;
    Ok(WrittenCounts {
        entries,
        commits: commits.len(),
    })
}

/// The path of the day's next entry. Where an earlier one was deleted, the next number
/// may still be in use.
fn free_path(day: Date, number: &mut u32, vehicle: &str, taken: &BTreeSet<String>) -> String {
    loop {
        *number += 1;
        let path = entry_path(day, *number, vehicle);
        if !taken.contains(&path) {
            return path;
        }
    }
}

/// Settings and vehicle files where nothing was ever kept: a history cannot begin
/// without them. Later they are the person's to keep.
fn unkept_frame(history: &History, journal: &Journal) -> Result<Files, Failure> {
    if history.newest()?.is_some() {
        return Ok(Vec::new());
    }
    let is_of_frame = |path: &str| {
        is_text_of_journal(path)
            && !["entries/", "episodes/"]
                .iter()
                .any(|other| path.starts_with(other))
    };
    let found = history.changed(&is_of_frame)?;
    let mut files = Vec::new();
    for changed in found.changed {
        if changed.kind == ChangedKind::New {
            let bytes = journal.bytes(&changed.path)?;
            files.push((changed.path, Some(bytes)));
        }
    }
    Ok(files)
}

/// Paths with their texts.
type Files = Vec<(String, Option<Vec<u8>>)>;

/// Vehicles of the table that the journal does not have, with their slugs.
pub(super) fn new_vehicles<'a>(
    rows: impl Iterator<Item = &'a ImportRow>,
    journal: &Journal,
) -> Vec<(String, String)> {
    let context = journal.context();
    let mut slugs: Vec<String> = context
        .vehicles
        .iter()
        .map(|vehicle| vehicle.slug.clone())
        .collect();
    let mut vehicles: Vec<(String, String)> = Vec::new();
    for row in rows {
        let name = &row.vehicle;
        let is_known = context.vehicle(name).is_some()
            || vehicles.iter().any(|(known, _)| fold(known) == fold(name));
        if is_known {
            continue;
        }
        let plain = slug(name);
        let mut free = plain.clone();
        let mut number = 2;
        while slugs.contains(&free) {
            free = format!("{plain}-{number}");
            number += 1;
        }
        slugs.push(free.clone());
        vehicles.push((name.clone(), free));
    }
    vehicles
}

/// The author's date of an adopted entry: its day, at noon in this place.
fn noon(day: Date, world: &World) -> ZonedDateTime {
    let zone = world.now().time_zone();
    zone.to_zoned_datetime(day.at(12, 0, 0, 0))
        .unwrap_or_else(|_| world.now().clone())
}
