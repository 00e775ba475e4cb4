//! Full-text search over the journal, and the stored state of every place,
//! always as fresh as the files on the disk.
//!
//! It does not read entries and does not fold them: documents and the states
//! of places are handed in through [`DocumentSource`], and what is stored can be thrown
//! away at any time. Only this room knows the search engine.

mod analyzer;
mod answer;
mod documents;
mod error;
mod excerpt;
mod matches;
mod names;
mod pages;
mod places;
mod query;
mod ranking;
mod refresh;
mod refresh_plan;
mod schema;
mod search;
mod slips;
mod stamps;
mod storage;
mod terms;
mod tokens;
mod update;

#[cfg(test)]
mod tests;

use std::collections::BTreeSet;
use std::mem;
use std::path::{Path, PathBuf};
use std::time::Duration;

use tantivy::{IndexReader, IndexWriter};

pub use answer::{Correction, Hit, Query, SearchAnswer};
pub use documents::{DocumentSource, FileDocs, Folded, RecordDoc, SeenFile, Stamp};
pub use error::{IndexError, expects_damage};
pub use names::NamesUsed;
pub use pages::{ShareKind, Shares, page_number, shares};
pub use query::is_question;
pub use tokens::word_forms;
pub use update::Refreshed;

use error::reading;
use schema::IndexFields;

/// The index of one journal.
pub struct Index {
    engine: tantivy::Index,
    reader: IndexReader,
    fields: IndexFields,
    /// Where it lies; `None` in memory.
    folder: Option<PathBuf>,
    fingerprint: String,
    wait: Duration,
    /// False once it was seen to be wrong: then the next refresh starts over.
    trusted: bool,
    /// Kept after a refresh while the engine tidies up behind it.
    writer: Option<IndexWriter>,
}

impl Index {
    /// Opens the index in `folder`, or makes an empty one there if there is
    /// none that can be trusted. `fingerprint` stands for everything besides
    /// the files on which answers depend; under another one all is made anew.
    /// `wait` is how long to wait for another process that is writing.
    ///
    /// # Errors
    /// [`IndexError::CannotWrite`] when the folder cannot be written (reading
    /// needs a lock too), [`IndexError::Busy`].
    pub fn open(folder: &Path, fingerprint: &str, wait: Duration) -> Result<Self, IndexError> {
        let folder = storage::folder_of_format(folder);
        let opened = storage::open(&folder, wait)?;
        Ok(Self::new(opened, Some(folder), fingerprint, wait))
    }

    /// An empty index in memory, for when none can be kept; it answers the
    /// same once it was refreshed.
    ///
    /// # Errors
    /// When the engine cannot start at all.
    pub fn in_memory(fingerprint: &str) -> Result<Self, IndexError> {
        let made = storage::in_memory()?;
        Ok(Self::new(made, None, fingerprint, Duration::ZERO))
    }

    fn new(
        (engine, reader): (tantivy::Index, IndexReader),
        folder: Option<PathBuf>,
        fingerprint: &str,
        wait: Duration,
    ) -> Self {
        Self {
            engine,
            reader,
            fields: schema::schema().1,
            folder,
            fingerprint: fingerprint.to_owned(),
            wait,
            trusted: true,
            writer: None,
        }
    }

    /// Makes the next refresh start over, after [`IndexError::Damaged`].
    pub fn distrust(&mut self) {
        self.trusted = false;
    }

    /// Lets the engine finish tidying up after a refresh. To be called when the
    /// answer has been shown: without it the index falls into ever more pieces.
    pub fn wait_merging(&mut self) {
        if let Some(writer) = self.writer.take() {
            storage::finish(writer);
        }
    }

    /// Ends as the process does: when all is written. The memory is left to the
    /// system, which takes it back whole, sooner than it could be given back.
    pub fn end(mut self) {
        self.wait_merging();
        mem::forget(self);
    }

    /// The state of a place, as it was folded.
    ///
    /// # Errors
    /// [`IndexError::Damaged`], as for all that follow.
    pub fn place(&self, key: &str) -> Result<Option<Vec<u8>>, IndexError> {
        places::place(&self.reader.searcher(), &self.fields, key)
    }

    /// The places whose key begins with `prefix` and their states, by key; all
    /// of them for an empty prefix.
    ///
    /// # Errors
    /// [`IndexError::Damaged`].
    pub fn places(&self, prefix: &str) -> Result<Vec<(String, Vec<u8>)>, IndexError> {
        let searcher = self.reader.searcher();
        let mut found: Vec<_> = places::addresses(&searcher, &self.fields, prefix)?
            .into_iter()
            .collect();
        // Neighbours are stored in one compressed block.
        found.sort_by_key(|&(_, address)| address);
        let mut states = Vec::with_capacity(found.len());
        for (rest, address) in found {
            let state = places::kept(&searcher, &self.fields, address)?;
            states.push((format!("{prefix}{rest}"), state));
        }
        states.sort();
        Ok(states)
    }

    /// The pages with the shares of all places, or of all files; [`shares`] takes
    /// one apart. They come in the same order for both sorts of places.
    ///
    /// # Errors
    /// [`IndexError::Damaged`].
    pub fn pages(&self, sort: ShareKind) -> Result<Vec<Vec<u8>>, IndexError> {
        pages::all(&self.reader.searcher(), &self.fields, sort)
    }

    /// What is kept of each file for answers that look at each, by no order.
    ///
    /// # Errors
    /// [`IndexError::Damaged`].
    pub fn looks(&self) -> Result<Vec<Vec<u8>>, IndexError> {
        places::looks(&self.reader.searcher(), &self.fields)
    }

    /// What tells this state of the index from every other: the checksum of what
    /// its files looked like, and what it depends on besides; `None` in memory, and
    /// for an index that was never filled.
    ///
    /// # Errors
    /// [`IndexError::Damaged`].
    pub fn state(&self) -> Result<Option<String>, IndexError> {
        let table = places::stamps(&self.reader.searcher(), &self.fields)?;
        Ok(table.filter(|_| self.folder.is_some()).map(|table| {
            let sum = stamps::checksum(table.as_bytes());
            format!("{} {sum:016x}", self.fingerprint)
        }))
    }

    /// The keys of the places whose key begins with `prefix`; of all places for
    /// an empty prefix.
    ///
    /// # Errors
    /// [`IndexError::Damaged`].
    pub fn place_keys(&self, prefix: &str) -> Result<Vec<String>, IndexError> {
        let found = places::addresses(&self.reader.searcher(), &self.fields, prefix)?;
        Ok(found
            .into_keys()
            .map(|rest| format!("{prefix}{rest}"))
            .collect())
    }

    /// The names that files use besides those at the paths `except`.
    ///
    /// # Errors
    /// [`IndexError::Damaged`].
    pub fn names_besides(&self, except: &BTreeSet<&str>) -> Result<NamesUsed, IndexError> {
        NamesUsed::besides(self.reader.searcher(), self.fields, except)
    }

    /// The files that speak of a place, by path.
    ///
    /// # Errors
    /// [`IndexError::Damaged`].
    pub fn files_of_place(&self, key: &str) -> Result<Vec<String>, IndexError> {
        let files = places::files_of(
            &self.reader.searcher(),
            &self.fields,
            key,
            &mut places::Paths::new(),
        )?;
        Ok(files.iter().map(|file| file.to_string()).collect())
    }

    /// Reads everything that is stored and says what is wrong with it, in plain
    /// words; nothing if all is well.
    ///
    /// # Errors
    /// When it cannot even be read.
    pub fn validate(&self) -> Result<Vec<String>, IndexError> {
        let mut wrong: Vec<String> = storage::broken_files(&self.engine)?
            .into_iter()
            .map(|file| format!("{file} of the search index has changed since it was written"))
            .collect();
        let searcher = self.reader.searcher();
        let stored = reading(|| self.engine.load_metas())?.payload;
        let Some(table) = places::stamps(&searcher, &self.fields)? else {
            if stored.is_some() {
                wrong.push("the search index has lost its table of files".to_owned());
            }
            return Ok(wrong);
        };
        if stored.as_deref() != Some(update::payload().as_str()) {
            wrong.push("the search index is of another format than it says".to_owned());
        }
        let (head, _) = stamps::StampTable::open(&table)?;
        if head.documents != searcher.num_docs() {
            wrong.push("the search index holds fewer or more records than were put in".to_owned());
        }
        Ok(wrong)
    }

    /// The files that the index keeps under another's path; none, unless the
    /// index has a fault of its own.
    #[cfg(test)]
    fn mixed_up(&self) -> Result<Vec<String>, IndexError> {
        let searcher = self.reader.searcher();
        let Some(table) = places::stamps(&searcher, &self.fields)? else {
            return Ok(Vec::new());
        };
        let mut wrong = Vec::new();
        for path in stamps::StampTable::open(&table)?.1.paths()? {
            // A file that could not be read left a stamp and nothing else.
            if let Some(file) = places::file(&searcher, &self.fields, &path)?
                && file.path != path
            {
                wrong.push(path);
            }
        }
        Ok(wrong)
    }
}
