//! What making a book before has found out and the next one can use: entries as they were
//! read, and the cautions of each part.
//!
//! Both depend on nothing that is not noted with them; they can be thrown away.

use std::collections::HashMap;

use serde::{Deserialize, Serialize};

use crate::command_line::failure::Failure;
use crate::command_line::fresh_index::fingerprint;
use crate::command_line::kept_answer;
use crate::command_line::world::World;
use crate::entry::Entry;
use crate::journal::{FoundFile, Journal, walk};
use crate::parallel;
use crate::reports::known_cautions::KnownCautions;

/// An entry with what tells this state of its file from others: size, times, number.
#[derive(Debug, Serialize, Deserialize)]
struct KeptEntry {
    stamp: (u64, i64, i64, u64),
    entry: Entry,
}

/// The entries of a journal, each read once for each state of its file, and the cautions
/// that were found before.
pub(super) struct BookMemory {
    /// The entries, by path.
    pub entries: Vec<Entry>,
    /// The cautions.
    pub cautions: KnownCautions,
    state: String,
}

/// Threads that read entries.
const READERS: usize = 2;

impl BookMemory {
    /// Reads what has changed, and takes the rest from where it was kept. An entry that
    /// cannot be read is left out; `check` names it.
    ///
    /// # Errors
    /// When the folder of the entries cannot be read.
    pub fn read(journal: &Journal, world: &World) -> Result<BookMemory, Failure> {
        let files = walk(&journal.root)?.files;
        // Another build may read the same text otherwise.
        let state = format!("{} {:?}", fingerprint(journal), world.program());
        let (kept, cautions) = parallel::both(
            || kept_answer::read::<Vec<KeptEntry>>(journal, ENTRIES, &state),
            || kept_answer::read::<KnownCautions>(journal, CAUTIONS, &state),
        );
        let kept = kept.unwrap_or_default().into_iter();
        let mut kept: HashMap<String, KeptEntry> =
            kept.map(|kept| (kept.entry.path.clone(), kept)).collect();
        let known = kept.len();
        let mut read: Vec<KeptEntry> = Vec::with_capacity(files.len());
        let mut changed: Vec<&FoundFile> = Vec::new();
        for file in &files {
            match kept
                .remove(&file.path)
                .filter(|kept| kept.stamp == stamp(file))
            {
                Some(kept) => read.push(kept),
                None => changed.push(file),
            }
        }
        let is_new = !changed.is_empty() || read.len() != known;
        let context = journal.context();
        let new = parallel::each(READERS, &changed, |file| {
            let (entry, _) = journal.entry_with(&file.path, &context).ok()?;
            let stamp = stamp(file);
            Some(KeptEntry { stamp, entry })
        });
        read.extend(new.into_iter().flatten());
        read.sort_by(|a, b| a.entry.path.cmp(&b.entry.path));
        if is_new {
            kept_answer::write(&kept_answer::file(journal, ENTRIES), &state, &read);
        }
        Ok(BookMemory {
            entries: read.into_iter().map(|kept| kept.entry).collect(),
            cautions: cautions.unwrap_or_default(),
            state,
        })
    }

    /// Keeps the cautions for the next time.
    pub fn keep_cautions(&self, journal: &Journal) {
        let file = kept_answer::file(journal, CAUTIONS);
        kept_answer::write(&file, &self.state, &self.cautions);
    }
}

/// Where the entries are kept.
const ENTRIES: &str = "book-entries";

/// Where the cautions are kept.
const CAUTIONS: &str = "book-cautions";

fn stamp(file: &FoundFile) -> (u64, i64, i64, u64) {
    let look = file.look;
    (look.size, look.modified_ns, look.changed_ns, look.inode)
}
