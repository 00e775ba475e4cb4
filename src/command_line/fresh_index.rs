//! The search index, brought up to date with the disk before every answer.
//!
//! Here entries become documents and places are folded for the index, which
//! itself knows neither. Names joined by `also` are part of what is stored: if
//! they turn out to differ from those the places were folded with, everything
//! is made anew.

use std::cell::OnceCell;
use std::collections::{BTreeMap, BTreeSet, HashSet};
use std::hash::{DefaultHasher, Hash, Hasher};
use std::rc::Rc;
use std::time::Duration;

use serde::{Deserialize, Serialize};

use super::failure::Failure;
use super::index_documents::documents;
use super::world::World;
use crate::entry::{Context, Entry};
use crate::index::{
    DocumentSource, FileDocs, Folded, Index, IndexError, SeenFile, Stamp, page_number,
};
use crate::journal::{FoundFile, Journal, Walked, walk};
use crate::ledger::{Aliases, Join, PlaceEvent, PlaceKey, PlaceState, WaitingEvents, events};
use crate::parallel;
use crate::problem::Problem;
use crate::reports::kept_entry::KeptEntry;
use crate::reports::known_names::UsedName;
use crate::reports::whole_journal::EntryShare;

/// Changes whenever what is stored for a place or a record changes its form.
const FORM: u32 = 31;

/// Under this key the index keeps the joined names; no place has it.
const JOINED: &str = "joined names";

/// Under this key the index knows which entries say no day or no vehicle.
const UNCOUNTED: &str = "entries left out";

/// How long to wait for another process that writes the index.
const WAIT: Duration = Duration::from_secs(10);

/// The joined names, and with which of them the places were folded.
#[derive(Default, Serialize, Deserialize)]
struct JoinedNames {
    joins: Vec<Join>,
    folded_with: Vec<Join>,
}

/// An index that reflects the disk, and the joined names in it.
pub struct Fresh {
    /// The index.
    pub index: Index,
    /// The joined names.
    pub aliases: Aliases,
}

/// Opens the index of a journal and brings it up to date. Where it cannot be
/// kept, one in memory answers the same.
///
/// # Errors
/// When the journal cannot be read.
pub fn fresh(journal: &Journal, world: &World) -> Result<Fresh, Failure> {
    Ok(fresh_walked(journal, world)?.0)
}

/// Like `fresh`, with what a walk through the entries has found.
///
/// # Errors
/// When the journal cannot be read.
pub fn fresh_walked(journal: &Journal, world: &World) -> Result<(Fresh, Walked), Failure> {
    // Opened while other threads look at the disk: neither waits for the other.
    let (walked, opened) = parallel::both(|| walk(&journal.root), || OpenedIndex::of(journal));
    let walked = walked?;
    Ok((opened.reflecting(journal, &walked.files, world)?, walked))
}

/// Like `fresh`, with the `files` that a walk through the entries has just found.
///
/// # Errors
/// When not even an index in memory can be had.
pub fn fresh_from(journal: &Journal, files: &[FoundFile], world: &World) -> Result<Fresh, Failure> {
    OpenedIndex::of(journal).reflecting(journal, files, world)
}

/// The index as it is kept, and the joined names in it; not yet brought up to date.
pub struct OpenedIndex(Result<(Index, Option<JoinedNames>), IndexError>);

impl OpenedIndex {
    /// Opens the index of a journal.
    #[must_use]
    pub fn of(journal: &Journal) -> OpenedIndex {
        let folder = journal.computed().join("index");
        let index = Index::open(&folder, &fingerprint(journal), WAIT);
        OpenedIndex(index.map(|index| {
            let joined = stored(&index);
            (index, joined)
        }))
    }

    /// This index, or one in its stead, when it reflects `files`.
    ///
    /// # Errors
    /// When not even an index in memory can be had.
    pub fn reflecting(
        self,
        journal: &Journal,
        files: &[FoundFile],
        world: &World,
    ) -> Result<Fresh, Failure> {
        let seen: Vec<SeenFile<'_>> = files.iter().map(seen).collect();
        match self
            .0
            .and_then(|kept| brought_up(kept, journal, &seen, world))
        {
            Ok(fresh) => Ok(fresh),
            Err(IndexError::CannotWrite(_) | IndexError::Busy | IndexError::Damaged(_)) => {
                let index = Index::in_memory(&fingerprint(journal))?;
                Ok(brought_up((index, None), journal, &seen, world)?)
            }
        }
    }
}

/// A file as the index sees it.
fn seen(file: &FoundFile) -> SeenFile<'_> {
    let look = file.look;
    SeenFile {
        path: &file.path,
        stamp: Stamp {
            size: look.size,
            modified_ns: look.modified_ns,
            changed_ns: look.changed_ns,
            inode: look.inode,
        },
    }
}

/// What besides the entries decides how they are read.
pub(super) fn fingerprint(journal: &Journal) -> String {
    let mut hasher = DefaultHasher::new();
    journal.frame.hash(&mut hasher);
    let version = env!("CARGO_PKG_VERSION");
    format!("{version} {FORM} {:016x}", hasher.finish())
}

/// Refreshes until the places are folded with the names that are joined.
fn brought_up(
    (mut index, mut joined): (Index, Option<JoinedNames>),
    journal: &Journal,
    seen: &[SeenFile<'_>],
    world: &World,
) -> Result<Fresh, IndexError> {
    if joined
        .as_ref()
        .is_some_and(|joined| joined.joins != joined.folded_with)
    {
        index.distrust();
    }
    // Joining names can name files whose names join others; in practice one
    // more round settles it.
    for _ in 0..4 {
        let joins = joined.as_ref().map(|joined| joined.joins.clone());
        let joins = joins.unwrap_or_default();
        let mut progress = world.progress("reading");
        let mut reader = EntryReader::new(journal, joins);
        let refreshed =
            match index.refresh(seen, &mut reader, &mut |done, of| progress.at(done, of)) {
                Err(IndexError::Damaged(_)) => {
                    index.distrust();
                    reader = EntryReader::new(journal, reader.joins);
                    index.refresh(seen, &mut reader, &mut |done, of| progress.at(done, of))
                }
                other => other,
            };
        let now = match refreshed?.changed {
            true => stored(&index),
            false => joined,
        };
        let settled = now
            .as_ref()
            .is_none_or(|joined| joined.joins == joined.folded_with);
        if settled {
            let joins = now.map(|joined| joined.joins).unwrap_or_default();
            return Ok(Fresh {
                index,
                aliases: Aliases::of(&joins),
            });
        }
        joined = now;
        index.distrust();
    }
    Err(IndexError::Damaged(
        "names joined by `also` do not settle".to_owned(),
    ))
}

impl Fresh {
    /// The entries that say no day or no vehicle, and so count for no place.
    pub(super) fn uncounted(&self) -> Vec<String> {
        let bytes = self.index.place(UNCOUNTED).ok().flatten();
        let paths = bytes.and_then(|bytes| postcard::from_bytes(&bytes).ok());
        paths.unwrap_or_default()
    }
}

/// The joined names an index holds.
fn stored(index: &Index) -> Option<JoinedNames> {
    let bytes = index.place(JOINED).ok().flatten()?;
    postcard::from_bytes(&bytes).ok()
}

/// Reads entries for the index.
struct EntryReader<'j> {
    journal: &'j Journal,
    /// Made for the first entry: mostly none is read.
    context: OnceCell<Context>,
    joins: Vec<Join>,
    aliases: Aliases,
    /// Files whose events were put into `events`.
    read: HashSet<String>,
    /// What happens to each place in the files read so far.
    events: WaitingEvents,
    /// What each file read so far joins.
    joined_in: BTreeMap<String, Vec<Join>>,
}

impl<'j> EntryReader<'j> {
    fn new(journal: &'j Journal, joins: Vec<Join>) -> EntryReader<'j> {
        EntryReader {
            journal,
            context: OnceCell::new(),
            aliases: Aliases::of(&joins),
            joins,
            read: HashSet::new(),
            events: waiting(),
            joined_in: BTreeMap::new(),
        }
    }

    /// Reads files on two threads and remembers their events and joins; what `make` makes
    /// of each, in their order.
    fn entries<T: Send>(
        &mut self,
        paths: &[&str],
        make: impl Fn(&ReadEntry, &Context, &Aliases) -> T + Sync,
    ) -> Vec<Option<T>> {
        let journal = self.journal;
        let context = self.context.get_or_init(|| journal.context());
        let aliases = &self.aliases;
        let read = parallel::each(READERS, paths, |path| {
            let (entry, problems) = journal.entry_with(path, context).ok()?;
            let read = ReadEntry {
                events: events(&entry, aliases),
                joins: Aliases::joins(&entry),
                entry,
                problems,
            };
            let made = make(&read, context, aliases);
            Some((made, read.events, read.joins))
        });
        let mut all = Vec::with_capacity(read.len());
        for (path, read) in paths.iter().zip(read) {
            all.push(read.map(|(made, events, joins)| {
                self.read.insert((*path).to_owned());
                events.into_iter().for_each(|event| self.events.put(event));
                if !joins.is_empty() {
                    self.joined_in.insert((*path).to_owned(), joins);
                }
                made
            }));
        }
        all
    }
}

/// Threads that read entries: most people have two processors.
const READERS: usize = 2;

/// Number of entries that are read at once, for each to have its events taken up before
/// the next are read.
const AT_ONCE: usize = 64;

/// An entry that was read, and what it says of places.
struct ReadEntry {
    entry: Entry,
    problems: Vec<Problem>,
    events: Vec<PlaceEvent>,
    joins: Vec<Join>,
}

impl ReadEntry {
    /// What it contributes to the index.
    fn docs(&self, context: &Context, aliases: &Aliases) -> FileDocs {
        let entry = &self.entry;
        let places = self.events.iter().map(|event| event.place.to_string());
        let mut places: Vec<String> = places.collect();
        if !self.joins.is_empty() {
            places.push(JOINED.to_owned());
        }
        if entry.is_uncounted() {
            places.push(UNCOUNTED.to_owned());
        }
        places.sort();
        places.dedup();
        let names = UsedName::all_in(entry, aliases);
        FileDocs {
            records: documents(entry, aliases, context),
            places,
            names: names.iter().map(UsedName::to_text).collect(),
            share: EntryShare::of(entry, aliases).to_bytes(),
            look: KeptEntry::of(entry, self.problems.clone()).to_bytes(),
        }
    }
}

/// No events, in groups as the index asks for places.
fn waiting() -> WaitingEvents {
    WaitingEvents::new(page_number)
}

impl DocumentSource for EntryReader<'_> {
    fn begin(&mut self) {
        self.read.clear();
        self.events = waiting();
        self.joined_in.clear();
    }

    fn read(&mut self, paths: &[&str]) -> Vec<Option<FileDocs>> {
        self.entries(paths, |read, context, aliases| read.docs(context, aliases))
    }

    fn prepare(&mut self, files: &BTreeSet<&str>) {
        let new = files.iter().copied();
        let new: Vec<&str> = new.filter(|file| !self.read.contains(*file)).collect();
        for files in new.chunks(AT_ONCE) {
            self.entries(files, |_, _, _| ());
        }
    }

    fn fold(&mut self, place: &str, files: &[Rc<str>]) -> Option<Folded> {
        if place == UNCOUNTED {
            let uncounted: Vec<&str> = files.iter().map(|file| &**file).collect();
            return Some(Folded {
                whole: postcard::to_stdvec(&uncounted).ok()?,
                ..Folded::default()
            });
        }
        if place == JOINED {
            let joined = JoinedNames {
                joins: files
                    .iter()
                    .filter_map(|file| self.joined_in.get(&**file))
                    .flatten()
                    .cloned()
                    .collect(),
                folded_with: self.joins.clone(),
            };
            return Some(Folded {
                whole: postcard::to_stdvec(&joined).ok()?,
                ..Folded::default()
            });
        }
        let key = PlaceKey::from_text(place)?;
        let mut own = self.events.take(&key);
        if own.is_empty() {
            return None;
        }
        PlaceEvent::in_order(&mut own);
        let mut state = PlaceState::new(&key);
        for event in &own {
            state.apply(event);
        }
        let whole = state.to_bytes();
        let (lean, hardware) = state.lean();
        Some(Folded {
            whole,
            share: lean.to_bytes(),
            more: hardware.to_bytes(),
        })
    }
}
