//! Keeps the index as fresh as the files on the disk: sees what changed, waits
//! for its turn, and has the update done.
//!
//! If nothing changed nothing is written. What a file holds and how a place is
//! folded is asked of the caller.

use std::borrow::Cow;

use super::documents::{DocumentSource, SeenFile};
use super::error::{IndexError, reading};
use super::refresh_plan::{RefreshPlan, changes, everything, planned};
use super::stamps::{self, NEVER, StampTableHead};
use super::storage::WriteSize;
use super::update::{Refreshed, Update};
use super::{Index, storage};

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
        source.begin();
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
