//! A place on a vehicle: what a part is to the ledger.

use serde::{Deserialize, Serialize};
use std::fmt;

use crate::vocabulary::name::Name;
use crate::vocabulary::position::Position;

/// Which place: vehicle, name, position. It compares as names compare.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct PlaceKey {
    /// The vehicle's slug.
    pub vehicle: String,
    /// The key of the part's name, joined names under one.
    pub name: String,
    /// The position, as it is said; empty where there is only one.
    pub at: String,
}

impl PlaceKey {
    /// The key of a name at a position on a vehicle.
    #[must_use]
    pub fn new(vehicle: &str, name: &Name, at: &Position) -> PlaceKey {
        PlaceKey {
            vehicle: vehicle.to_owned(),
            name: name.key().to_owned(),
            at: at.to_string(),
        }
    }

    /// How the text form of all places of one name begins.
    #[must_use]
    pub fn prefix(vehicle: &str, name: &str) -> String {
        format!("{vehicle}{PART}{name}{PART}")
    }

    /// The key from its [text form](fmt::Display); `None` for any other text.
    #[must_use]
    pub fn from_text(text: &str) -> Option<PlaceKey> {
        let mut parts = text.split(PART);
        let key = PlaceKey {
            vehicle: parts.next()?.to_owned(),
            name: parts.next()?.to_owned(),
            at: parts.next()?.to_owned(),
        };
        parts.next().is_none().then_some(key)
    }
}

/// Parts the three texts of a key; never typed by anyone.
const PART: char = '\u{1f}';

impl fmt::Display for PlaceKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}{PART}{}{PART}{}", self.vehicle, self.name, self.at)
    }
}

/// The moment of a record: by date, then hour, then the number in the file
/// name, then path, then line.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct RecordTime {
    /// The day in the shop.
    pub date: jiff::civil::Date,
    /// The hour, if one was said.
    pub time: Option<jiff::civil::Time>,
    /// The number behind the date in the file's name; 0 where there is none.
    pub number: u32,
    /// The entry's file.
    pub entry: String,
    /// The line in it.
    pub line: u32,
}

/// The number behind the date in `2026-03-14-2-slug.md`; 0 where there is
/// none.
#[must_use]
pub fn file_number(path: &str) -> u32 {
    let name = path.rsplit('/').next().unwrap_or(path);
    name.get(11..)
        .and_then(|rest| rest.split(['-', '.']).next())
        .filter(|word| word.len() <= 4)
        .and_then(|word| word.parse().ok())
        .unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_key_reads_back() {
        let key = PlaceKey {
            vehicle: "wren".into(),
            name: "horn".into(),
            at: String::new(),
        };
        assert_eq!(PlaceKey::from_text(&key.to_string()), Some(key));
        assert_eq!(PlaceKey::from_text("horn"), None);
    }

    #[test]
    fn entries_of_a_day_are_numbered_in_their_names() {
        assert_eq!(file_number("entries/2026/2026-03-14-2-tank.md"), 2);
        assert_eq!(file_number("entries/2026/2026-03-14-tank.md"), 0);
        assert_eq!(file_number("entries/x.md"), 0);
    }
}
