//! What a session as a whole teaches: lessons and cautions of a front matter.
//!
//! Which parts a text names is for `reports` to say.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

use super::aliases::Aliases;
use super::aliases::key;
use super::event::{in_file, shares, when};
use super::place::{PlaceKey, RecordTime};
use super::state::Dated;
use crate::entry::{Entry, Fact};

/// A lesson or a caution of a session as a whole.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct SessionWord {
    /// The vehicle.
    pub vehicle: String,
    /// When.
    pub when: RecordTime,
    /// Whether it is a caution rather than a lesson.
    pub caution: bool,
    /// The text.
    pub said: Dated<String>,
    /// The places of the only part that the session is about; none where it is
    /// about several, or about none.
    pub about: Vec<PlaceKey>,
}

/// The words of an entry's front matter that say more than its records.
#[must_use]
pub fn session_words(entry: &Entry, aliases: &Aliases) -> Vec<SessionWord> {
    let Some(vehicle) = &entry.vehicle else {
        return Vec::new();
    };
    let said = entry.facts.iter().filter_map(|stated| {
        let (caution, text) = if let Fact::Lesson(text) = &stated.fact {
            (false, text)
        } else if let Fact::Caution(text) = &stated.fact {
            (true, text)
        } else {
            return None;
        };
        let when = when(entry, entry.date, stated.spot.line)?;
        let said = Dated {
            value: text.clone(),
            date: when.date,
            spot: in_file(entry, &stated.spot),
        };
        Some((caution, when, said))
    });
    let said: Vec<_> = said.collect();
    if said.is_empty() {
        return Vec::new();
    }
    let about = only_part(entry, vehicle, aliases);
    let word = |(caution, when, said)| SessionWord {
        vehicle: vehicle.clone(),
        when,
        caution,
        said,
        about: about.clone(),
    };
    said.into_iter().map(word).collect()
}

/// The places of the only part that the records of an entry speak of.
fn only_part(entry: &Entry, vehicle: &str, aliases: &Aliases) -> Vec<PlaceKey> {
    let places: BTreeSet<PlaceKey> = entry
        .records
        .iter()
        .flat_map(|record| {
            let of = record.vehicle.as_deref().unwrap_or(vehicle);
            shares(entry, record).map(move |own| key(of, &record.name, &own.at, aliases))
        })
        .collect();
    let mut parts: Vec<(&str, &str)> = places
        .iter()
        .map(|place| (place.vehicle.as_str(), place.name.as_str()))
        .collect();
    parts.dedup();
    if parts.len() == 1 {
        places.into_iter().collect()
    } else {
        Vec::new()
    }
}
