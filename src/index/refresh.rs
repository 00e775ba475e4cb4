//! Keeps the index as fresh as the files on the disk: sees what changed, waits
//! for its turn, and has the update done.
//!
//! If nothing changed nothing is written. What a file holds and how a place is
//! folded is asked of the caller.

use std::borrow::Cow;
use std::path::Path;

use tantivy::IndexReader;

use super::documents::{Seen, Source};
use super::error::{IndexError, reading};
use super::recent::{Later, Layered, MOST_FILES};
use super::schema::Fields;
use super::small::Small;
use super::stamps::{self, Changes, Head, NEVER, Table};
use super::storage::Size;
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
        seen: &[Seen<'_>],
        source: &mut dyn Source,
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
        seen: &[Seen<'_>],
        source: &mut dyn Source,
        progress: &mut dyn FnMut(usize, usize),
    ) -> Result<Refreshed, IndexError> {
        let Some(plan) = self.plan(seen)? else {
            return Ok(Refreshed::default());
        };
        if let Lying::In(layered) = &self.lying
            && self.is_recent(&plan)
        {
            let layered = layered.clone();
            let before = layered.state();
            let Some(_lock) = self.turn(seen, || storage::lock(&layered))? else {
                return Ok(Refreshed::default());
            };
            let plan = if layered.state() == before {
                plan
            } else {
                reading(|| self.reader.reload())?;
                match self.plan(seen)? {
                    Some(plan) => plan,
                    None => return Ok(Refreshed::default()),
                }
            };
            // Meanwhile another process may have made a large change of it.
            if self.is_recent(&plan) {
                return self.add_recent(&layered, seen, &plan, source, progress);
            }
        }
        self.write_out(seen, source, progress)
    }

    /// Whether a change is so small that it goes above what is written out.
    fn is_recent(&self, plan: &Plan<'_>) -> bool {
        let has_room = match &self.lying {
            Lying::In(layered) => layered.has_room(),
            Lying::InMemory => false,
        };
        has_room && !plan.everything && plan.changes.files().count() <= MOST_FILES
    }

    /// Puts a small change into the layer of recent ones.
    fn add_recent(
        &mut self,
        layered: &Layered,
        seen: &[Seen<'_>],
        plan: &Plan<'_>,
        source: &mut dyn Source,
        progress: &mut dyn FnMut(usize, usize),
    ) -> Result<Refreshed, IndexError> {
        let taken_ns = storage::file_clock(layered.folder())?;
        let later = layered.later().unwrap_or_default();
        let searcher = self.reader.searcher();
        let pen = Small::new(&self.engine, searcher.clone());
        let update = Update::new(searcher, self.fields, pen);
        let (_, done, documents) = update.run(plan, source, progress, None)?;
        let later = later.and(&plan.changes, seen, taken_ns, documents);
        layered.keep(storage::segment_files(&self.engine)?, later)?;
        reading(|| self.reader.reload())?;
        Ok(done)
    }

    /// Writes out everything that is not yet in the folder.
    fn write_out(
        &mut self,
        seen: &[Seen<'_>],
        source: &mut dyn Source,
        progress: &mut dyn FnMut(usize, usize),
    ) -> Result<Refreshed, IndexError> {
        let below = match &self.lying {
            Lying::In(layered) => storage::below(layered.folder())?,
            Lying::InMemory => self.engine.clone(),
        };
        let many = |plan: &Plan<'_>| plan.changes.read.len() > MANY_FILES;
        let size = match self.plan(seen)? {
            None => return Ok(Refreshed::default()),
            Some(plan) if many(&plan) => Size::Large,
            Some(_) => Size::Small,
        };
        let writing = || storage::writer(&below, self.folder(), size);
        let Some(writer) = self.turn(seen, writing)? else {
            return Ok(Refreshed::default());
        };
        // Where nothing that is stored counts, it need not even open.
        let reader = match self.trusted {
            true => reading(|| storage::reader(&below)).map(Some)?,
            false => None,
        };
        let changes = match &reader {
            Some(reader) => changes(reader, &self.fields, &self.fingerprint, None, seen)?,
            None => None,
        };
        let Some(mut plan) = planned(changes, seen) else {
            return self.written_out(seen);
        };
        // A change builds on what is stored, and merging it would give damaged
        // bytes a checksum that fits: from here on they could not be found.
        if !plan.everything && !storage::broken_files(&below)?.is_empty() {
            plan = everything(seen);
        }
        if plan.everything {
            let emptied = writer.delete_all_documents();
            emptied.map_err(IndexError::writing)?;
        }
        // What is stored counts again when the commit is done.
        self.trusted = !plan.everything;
        let searcher = reader.as_ref().unwrap_or(&self.reader).searcher();
        let taken_ns = match &self.lying {
            Lying::In(layered) => storage::file_clock(layered.folder())?,
            Lying::InMemory => NEVER,
        };
        let stamps = |documents| {
            let head = Head {
                taken_ns,
                documents,
                fingerprint: self.fingerprint.clone(),
            };
            stamps::write(&head, seen)
        };
        let update = Update::new(searcher, self.fields, writer);
        let (writer, done, _) = update.run(&plan, source, progress, Some(&stamps))?;
        if let Lying::In(layered) = &self.lying {
            layered.clear();
        }
        reading(|| self.reader.reload())?;
        self.trusted = true;
        self.writer = Some(writer);
        Ok(done)
    }

    /// What lies in the folder fits the files as it is. So either another process
    /// has just written it out, or all that the layer knows was undone again. To be
    /// called under the writer's lock.
    fn written_out(&mut self, seen: &[Seen<'_>]) -> Result<Refreshed, IndexError> {
        if let Lying::In(layered) = &self.lying {
            layered.look_again();
        }
        reading(|| self.reader.reload())?;
        if let Lying::In(layered) = &self.lying
            && self.plan(seen)?.is_some()
        {
            layered.clear();
            reading(|| self.reader.reload())?;
        }
        Ok(Refreshed::default())
    }

    /// What `take` takes, when it is this process's turn to write; `None` if
    /// another process did all that was to be done.
    fn turn<T>(
        &self,
        seen: &[Seen<'_>],
        take: impl Fn() -> Result<T, IndexError>,
    ) -> Result<Option<T>, IndexError> {
        storage::patiently(self.wait, || {
            let taken = take();
            if matches!(taken, Err(IndexError::Busy)) {
                if let Lying::In(layered) = &self.lying {
                    layered.look_again();
                }
                reading(|| self.reader.reload())?;
                if self.plan(seen)?.is_none() {
                    return Ok(None);
                }
            }
            taken.map(Some)
        })
    }

    /// What is to be done; `None` if nothing.
    fn plan<'s>(&self, seen: &[Seen<'s>]) -> Result<Option<Plan<'s>>, IndexError> {
        let changes = if self.trusted {
            let later = self.later();
            changes(&self.reader, &self.fields, &self.fingerprint, later, seen)?
        } else {
            None
        };
        Ok(planned(changes, seen))
    }

    fn folder(&self) -> Option<&Path> {
        match &self.lying {
            Lying::In(layered) => Some(layered.folder()),
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
    later: Option<Later>,
    seen: &[Seen<'s>],
) -> Result<Option<Changes<'s>>, IndexError> {
    let searcher = reader.searcher();
    let compare = || -> Result<_, IndexError> {
        let Some(table) = places::stamps(&searcher, fields)? else {
            return Ok(None);
        };
        let (head, table) = Table::open(&table)?;
        let documents = later
            .as_ref()
            .map_or(head.documents, |later| later.documents);
        if head.fingerprint != fingerprint || documents != searcher.num_docs() {
            return Ok(None);
        }
        let changes = table.changes(seen)?;
        Ok(Some(match later {
            Some(later) => later.correct(changes, seen),
            None => changes,
        }))
    };
    match compare() {
        Err(IndexError::Damaged(_)) => Ok(None),
        other => other,
    }
}

/// What to do about some changes; `None` if nothing.
fn planned<'s>(changes: Option<Changes<'s>>, seen: &[Seen<'s>]) -> Option<Plan<'s>> {
    match changes {
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
    }
}

/// What a refresh is going to do.
pub(super) struct Plan<'s> {
    pub changes: Changes<'s>,
    /// Everything is made anew; nothing that is stored counts.
    pub everything: bool,
}

fn everything<'s>(seen: &[Seen<'s>]) -> Plan<'s> {
    Plan {
        changes: Changes {
            read: seen.iter().map(|file| file.path).collect(),
            ..Changes::default()
        },
        everything: true,
    }
}
