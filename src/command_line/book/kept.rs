//! What making a book before has found out and the next one can use: entries as they were
//! read, the cautions of each part, the words of each page, and what pages were made from.
//!
//! All depend on nothing that is not noted with them; they can be thrown away.

use std::collections::{BTreeMap, HashMap};
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use crate::command_line::failure::Failure;
use crate::command_line::fresh_index::fingerprint;
use crate::command_line::kept_answer;
use crate::command_line::world::World;
use crate::entry::{Entry, Readers};
use crate::journal::{FoundFile, Journal, Look, MadeFolder, walk};
use crate::parallel;
use crate::presentation::book::{BookKnown, BookPage, KnownWords};
use crate::reports::known_cautions::KnownCautions;
use crate::vocabulary::short_name::short_name;

/// An entry with what tells this state of its file from others: size, times, number.
#[derive(Debug, Serialize, Deserialize)]
struct KeptEntry {
    stamp: FileStamp,
    entry: Entry,
}

/// The entries of a journal, each read once for each state of its file, and what was worked
/// out of them before.
pub(super) struct BookMemory {
    /// The entries, by path.
    pub entries: Vec<Entry>,
    /// Cautions and words.
    pub known: BookKnown,
    state: String,
}

/// The pages of a book as they were when they were made.
#[derive(Default)]
pub(super) struct KnownPages {
    pages: BTreeMap<String, KnownPage>,
    file: PathBuf,
    state: String,
}

/// A page as it was when it was made, and the sum of what it was made from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
struct KnownPage {
    inputs: u64,
    stamp: FileStamp,
}

/// What tells one state of a file from others: size, times, number.
type FileStamp = (u64, i64, i64, u64);

impl KnownPages {
    /// What is known of the pages in this folder; nothing if they were made on another day,
    /// for other readers, or by another build.
    pub fn read(journal: &Journal, folder: &Path, readers: Readers, world: &World) -> KnownPages {
        let (program, today) = (world.program(), world.today());
        let state = format!("{} {program:?} {today} {readers:?}", fingerprint(journal));
        let name = format!("{PAGES}-{}", short_name(&[&folder.display().to_string()]));
        KnownPages {
            pages: kept_answer::read(journal, &name, &state).unwrap_or_default(),
            file: kept_answer::file(journal, &name),
            state,
        }
    }

    /// Whether a page of the folder is as it was made from what has this sum.
    pub fn stands(&self, path: &str, inputs: u64, folder: &MadeFolder) -> bool {
        let known = self.pages.get(path).filter(|known| known.inputs == inputs);
        known.is_some_and(|known| folder.look(path).map(stamp) == Some(known.stamp))
    }

    /// Keeps what these pages were made from for the next time.
    pub fn keep(self, pages: &[BookPage], folder: &MadeFolder) {
        let mut now = BTreeMap::new();
        for page in pages {
            let Some(inputs) = page.inputs else { continue };
            let known = match (&page.text, self.pages.get(&page.path)) {
                (None, Some(known)) => Some(*known),
                (None, None) | (Some(_), _) => folder.look(&page.path).map(|look| KnownPage {
                    inputs,
                    stamp: stamp(look),
                }),
            };
            now.extend(known.map(|known| (page.path.clone(), known)));
        }
        if now != self.pages {
            kept_answer::write(&self.file, &self.state, &now);
        }
    }
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
        let (kept, (cautions, words)) = parallel::both(
            || kept_answer::read::<Vec<KeptEntry>>(journal, ENTRIES, &state),
            || {
                let cautions = kept_answer::read::<KnownCautions>(journal, CAUTIONS, &state);
                let words = kept_answer::read::<KnownWords>(journal, WORDS, &state);
                (cautions, words)
            },
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
                .filter(|kept| kept.stamp == stamp(file.look))
            {
                Some(kept) => read.push(kept),
                None => changed.push(file),
            }
        }
        let is_new = !changed.is_empty() || read.len() != known;
        let context = journal.context();
        let new = parallel::each(READERS, &changed, |file| {
            let (entry, _) = journal.entry_with(&file.path, &context).ok()?;
            let stamp = stamp(file.look);
            Some(KeptEntry { stamp, entry })
        });
        read.extend(new.into_iter().flatten());
        read.sort_by(|a, b| a.entry.path.cmp(&b.entry.path));
        if is_new {
            kept_answer::write(&kept_answer::file(journal, ENTRIES), &state, &read);
        }
        Ok(BookMemory {
            entries: read.into_iter().map(|kept| kept.entry).collect(),
            known: BookKnown {
                cautions: cautions.unwrap_or_default(),
                words: words.unwrap_or_default(),
            },
            state,
        })
    }

    /// Keeps what was worked out for the next time.
    pub fn keep(&self, journal: &Journal) {
        let file = |name: &str| kept_answer::file(journal, name);
        kept_answer::write(&file(CAUTIONS), &self.state, &self.known.cautions);
        kept_answer::write(&file(WORDS), &self.state, &self.known.words);
    }
}

/// Where the entries are kept.
const ENTRIES: &str = "book-entries";

/// Where the cautions are kept.
const CAUTIONS: &str = "book-cautions";

/// Where the words are kept.
const WORDS: &str = "book-words";

/// Where it is kept what pages were made from; a name for each folder.
const PAGES: &str = "book-pages";

fn stamp(look: Look) -> FileStamp {
    (look.size, look.modified_ns, look.changed_ns, look.inode)
}
