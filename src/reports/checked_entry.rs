//! What is left of an entry for `check`: what is wrong in it, and what it names that has
//! to agree with other entries.
//!
//! It is kept, so that one changed entry does not have all others read again. What it
//! is compared with is decided in `check` and in the ledger.

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use super::check::{days, photos};
use crate::entry::{BagFilling, Entry, Passage, Record, private_bytes};
use crate::problem::{Problem, Spot};

/// An entry as far as `check` needs it.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct CheckedEntry {
    /// Its names, references and bare headings, with their places. It has no text.
    pub entry: Entry,
    /// What was found in its text.
    pub found: EntryFindings,
}

/// What `check` finds in the text of one entry.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct EntryFindings {
    /// What is wrong in it.
    pub problems: Vec<Problem>,
    /// The days it is about, and where it says so.
    pub days: Vec<(Date, Spot)>,
    /// The photos it names.
    pub photos: Vec<(String, Spot)>,
    /// Whether something in it is private.
    pub is_private: bool,
}

impl CheckedEntry {
    /// What is left of an entry in which these `problems` were found.
    #[must_use]
    pub fn of(entry: &Entry, problems: Vec<Problem>) -> CheckedEntry {
        CheckedEntry {
            found: EntryFindings {
                days: days(entry),
                photos: photos(entry),
                is_private: !private_bytes(entry).is_empty(),
                problems,
            },
            entry: names_of(entry),
        }
    }

    /// It as bytes, to be kept in an index.
    #[must_use]
    pub fn to_bytes(&self) -> Vec<u8> {
        // Writing plain values into memory cannot fail.
        postcard::to_stdvec(self).unwrap_or_default()
    }

    /// It from such bytes; `None` for any others.
    #[must_use]
    pub fn from_bytes(bytes: &[u8]) -> Option<CheckedEntry> {
        postcard::from_bytes(bytes).ok()
    }
}

/// The entry without its text and without all that names no other part.
fn names_of(entry: &Entry) -> Entry {
    Entry {
        path: entry.path.clone(),
        text: String::new(),
        front: 0..0,
        outline: Vec::new(),
        date: entry.date,
        time: None,
        vehicle: entry.vehicle.clone(),
        system: None,
        title: None,
        helpers: Vec::new(),
        facts: Vec::new(),
        records: entry.records.iter().map(names_of_record).collect(),
        bags: entry.bags.iter().map(names_of_bag).collect(),
        prose: Vec::new(),
        bare_headings: entry.bare_headings.clone(),
    }
}

fn names_of_record(record: &Record) -> Record {
    let facts = record.facts.iter();
    let facts = facts.filter(|stated| !stated.parts().is_empty()).cloned();
    Record {
        name: record.name.clone(),
        at: record.at.clone(),
        vehicle: record.vehicle.clone(),
        date: record.date,
        system: None,
        usual_systems: Vec::new(),
        status_not_taken: None,
        facts: facts.collect(),
        passage: Passage::default(),
        spot: record.spot.clone(),
        short: record.short,
    }
}

fn names_of_bag(bag: &BagFilling) -> BagFilling {
    BagFilling {
        hardware: Vec::new(),
        stored: None,
        passage: Passage::default(),
        ..bag.clone()
    }
}
