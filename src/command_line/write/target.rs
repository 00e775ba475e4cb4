//! Which entry of which vehicle is meant.

use jiff::civil::Date;

use super::super::failure::Failure;
use super::super::scope;
use crate::journal::{Journal, walk_entries};

/// Which vehicle is meant: as said, the only one, or the one written about
/// last.
pub(in crate::command_line) fn vehicle(
    said: Option<&String>,
    journal: &Journal,
) -> Result<String, Failure> {
    if let Some(vehicle) = scope::vehicle(said, journal)? {
        return Ok(vehicle);
    }
    if let [only] = journal.vehicles() {
        return Ok(only.slug.clone());
    }
    let mut files = walk_entries(&journal.root)?;
    files.sort_by_key(|file| std::cmp::Reverse(file.look.modified_ns));
    let last = files
        .iter()
        .take(20)
        .find_map(|file| journal.entry(&file.path).ok()?.0.vehicle);
    last.ok_or_else(|| {
        let known: Vec<&str> = journal
            .vehicles()
            .iter()
            .map(|vehicle| vehicle.slug.as_str())
            .collect();
        if known.is_empty() {
            return Failure::misuse(
                "the journal has no vehicle yet",
                "add one: `matchmark begin --vehicle \"Its name\"`",
            );
        }
        Failure::misuse(
            "it is not clear which vehicle this is about",
            format!("add `--vehicle NAME`; there are: {}", known.join(", ")),
        )
    })
}

/// The paths of a day's entries.
pub(in crate::command_line) fn entries_of_day(
    journal: &Journal,
    day: Date,
) -> Result<Vec<String>, Failure> {
    let start = format!("{day}");
    Ok(walk_entries(&journal.root)?
        .into_iter()
        .map(|file| file.path)
        .filter(|path| {
            path.rsplit('/')
                .next()
                .is_some_and(|name| name.starts_with(&start))
        })
        .collect())
}

/// The last entry of that day and vehicle with its bytes.
pub(in crate::command_line) fn entry_of(
    journal: &Journal,
    day: Date,
    vehicle: &str,
) -> Result<Option<(String, Vec<u8>)>, Failure> {
    let mut found = None;
    for path in entries_of_day(journal, day)? {
        // One that cannot be read is not the one to add to.
        let Ok((entry, _)) = journal.entry(&path) else {
            continue;
        };
        if entry.date == Some(day) && entry.vehicle.as_deref() == Some(vehicle) {
            let number = crate::ledger::file_number(&path);
            let later = found
                .as_ref()
                .is_none_or(|(_, before): &(String, u32)| number >= *before);
            if later {
                found = Some((path, number));
            }
        }
    }
    match found {
        Some((path, _)) => {
            let bytes = journal.bytes(&path)?;
            Ok(Some((path, bytes)))
        }
        None => Ok(None),
    }
}
