//! Keeps the index as fresh as the files on the disk: sees what changed, waits
//! for its turn, and has the update done.
//!
//! If nothing changed nothing is written. What a file holds and how a place is
//! folded is asked of the caller.

use std::path::Path;

use tantivy::IndexReader;

use super::documents::{Seen, Source};
use super::error::{IndexError, reading};
use super::schema::Fields;
use super::stamps::{Changes, Head, NEVER, Table};
use super::update::Update;
use super::{Index, Lying, places, storage};

/// What a refresh did.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Refreshed {
    /// Files that were read, or found gone.
    pub files: usize,
    /// Places that were folded.
    pub places: usize,
    /// Whether everything was made anew.
    pub rebuilt: bool,
}

/// More changed files than this are worth two threads.
const MANY_FILES: usize = 300;

impl Index {
    /// Makes the index reflect `seen`, all files of the journal, asking
    /// `source` for what changed. `progress` is told how many files of how many
    /// are done. If nothing changed, nothing is written.
    ///
    /// # Errors
    /// [`IndexError::Busy`] when another process keeps writing and what it has
    /// written so far is not what is seen here; [`IndexError::CannotWrite`].
    pub fn refresh(
        &mut self,
        seen: &[Seen],
        source: &mut dyn Source,
        progress: &mut dyn FnMut(usize, usize),
    ) -> Result<Refreshed, IndexError> {
        self.wait_merging();
        let mut seen: Vec<&Seen> = seen.iter().collect();
        seen.sort_by(|a, b| a.path.cmp(&b.path));
        seen.dedup_by(|a, b| a.path == b.path);
        match self.bring_up_to_date(&seen, source, progress) {
            // Perhaps only what is stored cannot be changed: it may be damaged
            // where nothing has looked so far. A new one does not need it.
            Err(IndexError::Damaged(_) | IndexError::CannotWrite(_)) if self.trusted => {
                self.trusted = false;
                self.bring_up_to_date(&seen, source, progress)
            }
            other => other,
        }
    }

    fn bring_up_to_date(
        &mut self,
        seen: &[&Seen],
        source: &mut dyn Source,
        progress: &mut dyn FnMut(usize, usize),
    ) -> Result<Refreshed, IndexError> {
        let Some(plan) = self.plan(seen)? else {
            return Ok(Refreshed::default());
        };
        let large = plan.changes.read.len() > MANY_FILES;
        drop(plan);
        let writer = storage::patiently(self.wait, || {
            let writer = storage::writer(&self.engine, self.folder(), large);
            if matches!(writer, Err(IndexError::Busy)) {
                // The other process may have done all that is to be done.
                reading(|| self.reader.reload())?;
                if self.plan(seen)?.is_none() {
                    return Ok(None);
                }
            }
            writer.map(Some)
        })?;
        let Some(writer) = writer else {
            return Ok(Refreshed::default());
        };
        if self.trusted {
            reading(|| self.reader.reload())?;
        }
        let Some(mut plan) = self.plan(seen)? else {
            return Ok(Refreshed::default());
        };
        // A change builds on what is stored, and merging it would give damaged
        // bytes a checksum that fits: from here on they could not be found.
        if !plan.everything && !storage::broken_files(&self.engine)?.is_empty() {
            plan = everything(seen);
        }
        // What is stored counts again when the commit is done.
        self.trusted = !plan.everything;
        let update = Update::new(self.reader.searcher(), self.fields, writer);
        let taken_ns = match &self.lying {
            Lying::In(folder) => storage::file_clock(folder)?,
            Lying::InMemory => NEVER,
        };
        let (writer, done) = update.run(seen, &plan, source, progress, |documents| Head {
            taken_ns,
            documents,
            fingerprint: self.fingerprint.clone(),
        })?;
        reading(|| self.reader.reload())?;
        self.trusted = true;
        self.writer = Some(writer);
        Ok(done)
    }

    /// What is to be done; `None` if nothing.
    fn plan<'s>(&self, seen: &[&'s Seen]) -> Result<Option<Plan<'s>>, IndexError> {
        let changes = if self.trusted {
            changes(&self.reader, &self.fields, &self.fingerprint, seen)?
        } else {
            None
        };
        Ok(match changes {
            None => Some(everything(seen)),
            Some(changes) if changes.none() => None,
            // So many single deletions cost more than writing it all again.
            Some(changes) if changes.files().count() * 3 > changes.known.max(9) => {
                Some(everything(seen))
            }
            Some(changes) => Some(Plan {
                changes,
                everything: false,
            }),
        })
    }

    fn folder(&self) -> Option<&Path> {
        match &self.lying {
            Lying::In(folder) => Some(folder),
            Lying::InMemory => None,
        }
    }
}

/// What changed since the stored stamps; `None` if the index does not fit this
/// journal at all, or does not hold what it says.
fn changes<'s>(
    reader: &IndexReader,
    fields: &Fields,
    fingerprint: &str,
    seen: &[&'s Seen],
) -> Result<Option<Changes<'s>>, IndexError> {
    let searcher = reader.searcher();
    let compare = || -> Result<_, IndexError> {
        let Some(table) = places::stamps(&searcher, fields)? else {
            return Ok(None);
        };
        let (head, table) = Table::open(&table)?;
        if head.fingerprint != fingerprint || head.documents != searcher.num_docs() {
            return Ok(None);
        }
        table.changes(seen).map(Some)
    };
    match compare() {
        Err(IndexError::Damaged(_)) => Ok(None),
        other => other,
    }
}

/// What a refresh is going to do.
pub(super) struct Plan<'s> {
    pub changes: Changes<'s>,
    /// Everything is made anew; nothing that is stored counts.
    pub everything: bool,
}

fn everything<'s>(seen: &[&'s Seen]) -> Plan<'s> {
    Plan {
        changes: Changes {
            read: seen.iter().map(|file| file.path.as_str()).collect(),
            ..Changes::default()
        },
        everything: true,
    }
}
