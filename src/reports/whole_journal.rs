//! What reports about the whole journal are made from: the ledger, and what
//! entries say beside it.
//!
//! It comes from entries that were just read, or from what was kept of each of
//! them; a report cannot tell the two apart. Nothing is answered here.

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use super::loans::{ToolSaid, tools_said};
use super::spending::{Posting, beside_places};
use crate::entry::Entry;
use crate::ledger::{Aliases, BagSection, Ledger, SessionWord, bag_sections, session_words};

/// The ledger, and what entries say beside it.
#[derive(Clone, Debug, Default)]
pub struct WholeJournal {
    /// The ledger.
    pub ledger: Ledger,
    /// What is said of tools that have to go back.
    pub tools: Vec<ToolSaid>,
    /// Hours and money that no place keeps.
    pub beside: Vec<Posting>,
}

impl WholeJournal {
    /// Reads entries up to the end of a day, if one is given.
    #[must_use]
    pub fn read(entries: &[Entry], last: Option<Date>) -> WholeJournal {
        let ledger = Ledger::fold_until(entries, last);
        let mut tools: Vec<ToolSaid> = entries.iter().flat_map(tools_said).collect();
        tools.retain(|said| last.is_none_or(|last| said.date() <= last));
        let beside = entries.iter();
        let beside = beside.flat_map(|entry| beside_places(entry, &ledger.aliases));
        WholeJournal {
            beside: beside.filter(|posting| posting.is_by(last)).collect(),
            tools,
            ledger,
        }
    }
}

/// What one entry says besides what the places keep that it speaks of.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct EntryShare {
    /// Its sections about whole bags.
    pub bag_sections: Vec<BagSection>,
    /// What the session as a whole teaches.
    pub session_words: Vec<SessionWord>,
    /// What it says of tools that have to go back.
    pub tools: Vec<ToolSaid>,
    /// Hours and money that no place keeps.
    pub beside: Vec<Posting>,
}

impl EntryShare {
    /// The share of an entry.
    #[must_use]
    pub fn of(entry: &Entry, aliases: &Aliases) -> EntryShare {
        EntryShare {
            bag_sections: bag_sections(entry).collect(),
            session_words: session_words(entry, aliases),
            tools: tools_said(entry),
            beside: beside_places(entry, aliases),
        }
    }

    /// The share as bytes, to be kept in an index; none if it says nothing.
    #[must_use]
    pub fn to_bytes(&self) -> Vec<u8> {
        if *self == EntryShare::default() {
            return Vec::new();
        }
        // Writing plain values into memory cannot fail.
        postcard::to_stdvec(self).unwrap_or_default()
    }

    /// The share from such bytes; `None` for any others.
    #[must_use]
    pub fn from_bytes(bytes: &[u8]) -> Option<EntryShare> {
        postcard::from_bytes(bytes).ok()
    }
}
