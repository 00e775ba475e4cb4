//! Keeps the index as fresh as the files on the disk: sees what changed, waits
//! for its turn, and has the update done.
//!
//! If nothing changed nothing is written. What a file holds and how a place is
//! folded is asked of the caller.

use std::borrow::Cow;

use tantivy::IndexReader;

use super::documents::{DocumentSource, SeenFile};
use super::error::{IndexError, reading};
use super::schema::IndexFields;
use super::stamps::{self, NEVER, StampChanges, StampTable, StampTableHead};
use super::storage::WriteSize;
use super::update::Update;
use super::{Index, places, storage};

/// What a refresh did.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Refreshed {
    /// Files that were read, or found gone.
    pub files: usize,
    /// Places that were folded.
    pub places: usize,
    /// Whether everything was made anew.
    pub rebuilt: bool,
    /// Whether answers may be others than before, also through another process.
    pub changed: bool,
}

/// More changed files than this are worth two threads beside the one that reads.
/// Fewer are as soon written by one, and all lie in one piece then, which each
/// answer opens.
const MANY_FILES: usize = 1500;

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
        seen: &[SeenFile<'_>],
        source: &mut dyn DocumentSource,
        progress: &mut dyn FnMut(usize, usize),
    ) -> Result<Refreshed, IndexError> {
        self.wait_merging();
        let mut ordered = Cow::Borrowed(seen);
        if !seen.is_sorted_by(|a, b| a.path < b.path) {
            let seen = ordered.to_mut();
            seen.sort_by_key(|file| file.path);
            seen.dedup_by_key(|file| file.path);
        }
        let before = self.edition();
        let done = match self.bring_up_to_date(&ordered, source, progress) {
            // Perhaps only what is stored cannot be changed: it may be damaged
            // where nothing has looked so far. A new one does not need it.
            Err(IndexError::Damaged(_) | IndexError::CannotWrite(_)) if self.trusted => {
                self.trusted = false;
                self.bring_up_to_date(&ordered, source, progress)
            }
            other => other,
        };
        let changed = self.edition() != before;
        done.map(|done| Refreshed { changed, ..done })
    }

    /// The number of what answers are taken from, another after each reloading.
    fn edition(&self) -> u64 {
        self.reader.searcher().generation().generation_id()
    }

    fn bring_up_to_date(
        &mut self,
        seen: &[SeenFile<'_>],
        source: &mut dyn DocumentSource,
        progress: &mut dyn FnMut(usize, usize),
    ) -> Result<Refreshed, IndexError> {
        let many = |plan: &RefreshPlan<'_>| plan.changes.read.len() > MANY_FILES;
        let size = match self.plan(seen)? {
            None => return Ok(Refreshed::default()),
            Some(plan) if many(&plan) => WriteSize::Large,
            Some(_) => WriteSize::Small,
        };
        let writing = || storage::writer(&self.engine, self.folder.as_deref(), size);
        let Some(writer) = self.turn(seen, writing)? else {
            return Ok(Refreshed::default());
        };
        // Another process may have written before it was this one's turn.
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
        if plan.everything {
            let emptied = writer.delete_all_documents();
            emptied.map_err(IndexError::writing)?;
        }
        // What is stored counts again when the commit is done.
        self.trusted = !plan.everything;
        let searcher = self.reader.searcher();
        let taken_ns = match &self.folder {
            Some(folder) => storage::file_clock(folder)?,
            None => NEVER,
        };
        let stamps = |documents| {
            let head = StampTableHead {
                taken_ns,
                documents,
                fingerprint: self.fingerprint.clone(),
            };
            stamps::write(&head, seen)
        };
        let update = Update::new(searcher, self.fields, writer);
        let (writer, done) = update.run(&plan, source, progress, &stamps)?;
        reading(|| self.reader.reload())?;
        self.trusted = true;
        self.writer = Some(writer);
        Ok(done)
    }

    /// What `take` takes, when it is this process's turn to write; `None` if
    /// another process did all that was to be done.
    fn turn<T>(
        &self,
        seen: &[SeenFile<'_>],
        take: impl Fn() -> Result<T, IndexError>,
    ) -> Result<Option<T>, IndexError> {
        storage::patiently(self.wait, || {
            let taken = take();
            if matches!(taken, Err(IndexError::Busy)) {
                reading(|| self.reader.reload())?;
                if self.plan(seen)?.is_none() {
                    return Ok(None);
                }
            }
            taken.map(Some)
        })
    }

    /// What is to be done; `None` if nothing.
    fn plan<'s>(&self, seen: &[SeenFile<'s>]) -> Result<Option<RefreshPlan<'s>>, IndexError> {
        let changes = if self.trusted {
            changes(&self.reader, &self.fields, &self.fingerprint, seen)?
        } else {
            None
        };
        Ok(planned(changes, seen))
    }
}

/// What changed since the stored stamps; `None` if the index does not fit this
/// journal at all, or does not hold what it says.
fn changes<'s>(
    reader: &IndexReader,
    fields: &IndexFields,
    fingerprint: &str,
    seen: &[SeenFile<'s>],
) -> Result<Option<StampChanges<'s>>, IndexError> {
    let searcher = reader.searcher();
    let compare = || -> Result<_, IndexError> {
        let Some(table) = places::stamps(&searcher, fields)? else {
            return Ok(None);
        };
        let (head, table) = StampTable::open(&table)?;
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

/// What to do about some changes; `None` if nothing.
fn planned<'s>(
    changes: Option<StampChanges<'s>>,
    seen: &[SeenFile<'s>],
) -> Option<RefreshPlan<'s>> {
    match changes {
        None => Some(everything(seen)),
        Some(changes) if changes.none() => None,
        // So many single deletions cost more than writing it all again.
        Some(changes) if changes.files().count() * 3 > changes.known.max(9) => {
            Some(everything(seen))
        }
        Some(changes) => Some(RefreshPlan {
            changes,
            everything: false,
        }),
    }
}

/// What a refresh is going to do.
pub(super) struct RefreshPlan<'s> {
    pub changes: StampChanges<'s>,
    /// Everything is made anew; nothing that is stored counts.
    pub everything: bool,
}

fn everything<'s>(seen: &[SeenFile<'s>]) -> RefreshPlan<'s> {
    RefreshPlan {
        changes: StampChanges {
            read: seen.iter().map(|file| file.path).collect(),
            ..StampChanges::default()
        },
        everything: true,
    }
}
