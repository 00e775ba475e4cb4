//! An entry as it was read, without its text, and what is wrong in it.
//!
//! It is kept, so that one changed entry does not have all others read again. What it
//! is compared with is decided in `check` and in the ledger.

use std::hash::{DefaultHasher, Hasher};

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use super::check::{days, photos};
use crate::entry::{Entry, private_bytes};
use crate::problem::{Problem, Spot};

/// An entry without its text, as it is kept.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct KeptEntry {
    /// What it says. It has no text.
    pub entry: Entry,
    /// What was found in its text.
    pub found: EntryFindings,
    /// The sum of its text.
    text_sum: u64,
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

impl EntryFindings {
    /// What is found in an entry besides these `problems` of reading it.
    #[must_use]
    pub fn of(entry: &Entry, problems: Vec<Problem>) -> EntryFindings {
        EntryFindings {
            days: days(entry),
            photos: photos(entry),
            is_private: !private_bytes(entry).is_empty(),
            problems,
        }
    }
}

impl KeptEntry {
    /// What is kept of an entry in which these `problems` were found.
    #[must_use]
    pub fn of(entry: &Entry, problems: Vec<Problem>) -> KeptEntry {
        KeptEntry {
            found: EntryFindings::of(entry, problems),
            text_sum: sum(&entry.text),
            entry: Entry {
                text: String::new(),
                ..entry.clone()
            },
        }
    }

    /// The entry with its text; `None` where that is not the text that was read.
    #[must_use]
    pub fn with(self, text: String) -> Option<Entry> {
        let is_same = sum(&text) == self.text_sum;
        is_same.then_some(Entry { text, ..self.entry })
    }

    /// It as bytes, to be kept in an index.
    #[must_use]
    pub fn to_bytes(&self) -> Vec<u8> {
        // Writing plain values into memory cannot fail.
        postcard::to_stdvec(self).unwrap_or_default()
    }

    /// It from such bytes; `None` for any others.
    #[must_use]
    pub fn from_bytes(bytes: &[u8]) -> Option<KeptEntry> {
        postcard::from_bytes(bytes).ok()
    }
}

fn sum(text: &str) -> u64 {
    let mut hasher = DefaultHasher::new();
    hasher.write(text.as_bytes());
    hasher.finish()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::entry::{Context, read_file};
    use crate::vocabulary::money::Currency;

    #[test]
    fn an_entry_comes_back_with_the_text_that_was_read_and_no_other() {
        let context = Context {
            systems: Vec::new(),
            vehicles: Vec::new(),
            currency: Currency::EUR,
        };
        let text = "---\ndate: 2026-03-02\nvehicle: wren\n---\n\n# Horn\n\nIt fell.\n\n## Horn\n\n- status: removed\n- hours: 0:20\n";
        let (entry, problems) = read_file("entries/horn.md", text, &context);
        let kept = KeptEntry::of(&entry, problems);
        let kept = KeptEntry::from_bytes(&kept.to_bytes()).expect("an entry");
        assert!(kept.entry.text.is_empty());
        assert!(kept.clone().with(format!("{text} ")).is_none());
        let again = kept.with(text.to_owned()).expect("the same text");
        assert_eq!(format!("{again:?}"), format!("{entry:?}"));
    }
}
