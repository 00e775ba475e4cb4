//! What one entry says about one part, or apart from its parts.

use crate::entry::{Clip, Entry, Fact, Record, Stated};
use crate::ledger::RecordTime;
use crate::vocabulary::position::Position;
use crate::vocabulary::record_name::RecordName;
use crate::vocabulary::spoken::{capitalised, said_part};
use crate::vocabulary::status::Status;

/// A record, or an entry's own words.
#[derive(Clone, Debug)]
pub struct RecapSource<'e> {
    /// When, and where it stands.
    pub when: RecordTime,
    /// The entry.
    pub entry: &'e Entry,
    /// Its record; `None` for the entry's own words.
    pub record: Option<&'e Record>,
    /// The entry's title, if it tells the entry apart.
    pub title: Option<&'e str>,
    /// The part as an episode names it, or `SESSION`.
    pub label: String,
    /// Its number among the records of its vehicle that its entry calls so;
    /// `None` for the only one.
    pub twin: Option<u32>,
    /// Its system: what the ledger knows, or that of most of its entry.
    pub system: Option<String>,
}

impl<'e> RecapSource<'e> {
    /// Whether these are the entry's own words.
    #[must_use]
    pub fn is_session(&self) -> bool {
        self.record.is_none()
    }

    /// The part's name, empty for the entry's own words.
    #[must_use]
    pub fn name(&self) -> &'e str {
        self.record.map_or("", |record| record.name.written())
    }

    /// Its places.
    #[must_use]
    pub fn at(&self) -> &'e [Position] {
        self.record.map_or(&[], |record| &record.at)
    }

    /// The facts of the record, or of the entry as a whole.
    pub fn facts(&self) -> impl Iterator<Item = &'e Fact> {
        let own = self
            .record
            .map_or(&self.entry.facts, |record| &record.facts);
        own.iter().map(|stated| &stated.fact)
    }

    /// The clips that show it.
    pub fn clips(&self) -> impl Iterator<Item = &'e Clip> {
        self.facts().filter_map(|fact| {
            let Fact::Footage(clip) = fact else {
                return None;
            };
            Some(clip)
        })
    }

    /// Who must agree before it is told.
    pub fn asks(&self) -> impl Iterator<Item = &'e str> {
        let own: &[Stated] = self.record.map_or(&[], |record| &record.facts);
        self.entry.facts.iter().chain(own).filter_map(|stated| {
            let Fact::Ask(name) = &stated.fact else {
                return None;
            };
            Some(name.as_str())
        })
    }

    /// Whether the part came off here, by a word of the record's own.
    #[must_use]
    pub fn came_off(&self) -> bool {
        let record = self
            .record
            .and_then(|record| Some((record, record.status()?)));
        record.is_some_and(|(record, (status, inherited))| {
            status == Status::Removed && (!inherited || record.short.is_some())
        })
    }

    /// What it is about, in a few words.
    #[must_use]
    pub fn about(&self) -> String {
        match self.is_session() {
            true => self.title.unwrap_or("The session").to_owned(),
            false => capitalised(&said_part(self.name(), self.at())),
        }
    }

    /// As an episode names it.
    #[must_use]
    pub fn record_name(&self) -> RecordName {
        RecordName {
            entry: self.when.entry.clone(),
            part: Some(self.label.clone()),
            record: self.twin,
        }
    }

    /// Whether one of these names means it.
    #[must_use]
    pub fn is_among(&self, told: &[RecordName]) -> bool {
        let own = self.record_name();
        told.iter().any(|told| told.means(&own))
    }
}
