//! The index: read under git's own lock, changed where the kept files are, written
//! back so that git believes it and overlooks nothing.
//!
//! Everything the person has staged stays as it is. Index version 4, a split index and
//! the untracked cache are written back in the plain form, which git reads as well.

use std::{
    collections::HashSet,
    fs,
    io::{Read, Seek, SeekFrom, Write},
    ops::Range,
    path::Path,
};

use gix::{
    ObjectId,
    bstr::{BStr, BString, ByteSlice},
    index::{
        File, State,
        entry::{Flags, Mode, Stage, Stat},
    },
    lock::acquire::Fail,
    objs::tree::EntryKind,
};
use sha1::{Digest, Sha1};

use super::{
    History, HistoryError, Result,
    locks::GIT_PATIENCE,
    object_store::sync,
    paths::folders_above,
    trees::Leaf,
    work_tree::{PathContent, WorkTreeReader},
};

/// What the index shall say about one path; `None`: nothing.
pub(super) struct Staged {
    pub(super) path: BString,
    pub(super) file: Option<(Leaf, Stat)>,
}

/// The index under its lock. Dropped without [`HeldIndex::replace`], it lets go of the lock and changes nothing.
pub(super) struct HeldIndex<'h> {
    history: &'h History,
    lock: gix::lock::File,
    pub(super) file: File,
    /// Whether it is the one that was read before.
    pub(super) was_known: bool,
    /// The second, by the clock of this disk, in which the lock was taken. A file
    /// changed in it or later may change again without its recorded time showing it.
    taken: u32,
}

impl History {
    /// The index as it is now, and whole; an empty one if there is none yet.
    pub(super) fn read_index(&self) -> Result<File> {
        let path = self.index_path();
        let read = |is_whole| File::at(&path, gix::hash::Kind::Sha1, is_whole, Default::default());
        let found = match fs::read(&path).ok().and_then(|bytes| proven(&bytes)) {
            Some(sum) => match read(true) {
                // What was read is what was proven, and not what came after it.
                Ok(file) if file.checksum() == Some(sum) => Ok(file),
                Ok(_) | Err(_) => read(false),
            },
            None => read(false),
        };
        match found {
            Ok(file) => Ok(file),
            Err(_) if !path.exists() => {
                Ok(File::from_state(State::new(gix::hash::Kind::Sha1), path))
            }
            Err(error) => Err(HistoryError::git("read git's index")(error)),
        }
    }

    /// Takes `index.lock`, waiting a few seconds for whoever has it, and reads the index
    /// under it, unless it is still the one that is `known`.
    pub(super) fn hold_index(&self, known: Option<File>) -> Result<HeldIndex<'_>> {
        let path = self.index_path();
        let lock = gix::lock::File::acquire_to_update_resource(
            &path,
            Fail::AfterDurationWithBackoff(GIT_PATIENCE),
            None,
            0,
        )
        .map_err(|error| {
            let path = path.with_extension("lock");
            if path.exists() {
                HistoryError::Locked { path }
            } else {
                HistoryError::git("lock git's index")(error)
            }
        })?;
        self.claim(lock.lock_path());
        let taken = Stat::from_fs(
            &gix::index::fs::Metadata::from_path_no_follow(lock.lock_path())
                .map_err(HistoryError::file("read", lock.lock_path()))?,
        )
        .map_err(|error| HistoryError::Git {
            doing: "read the time",
            what: error.to_string(),
        })?
        .mtime
        .secs;
        let known = known.filter(|known| is_still(known, &path));
        let was_known = known.is_some();
        let file = known.map_or_else(|| self.read_index(), Ok)?;
        Ok(HeldIndex {
            history: self,
            lock,
            file,
            was_known,
            taken,
        })
    }
}

/// The sum at the end of an index, if the rest has it and nothing belongs to the index
/// that lies elsewhere. gix finds that out too, but looks for made-up collisions
/// meanwhile, which takes five times as long and tells nothing of a sum that only
/// guards against broken bytes.
fn proven(index: &[u8]) -> Option<ObjectId> {
    let (rest, sum) = index.split_last_chunk::<SUM>()?;
    let is_split = rest.contains_str("link");
    (!is_split && *sum == checksum(rest)).then_some(ObjectId::Sha1(*sum))
}

/// Bytes of the sum at the end of an index.
const SUM: usize = 20;

/// SHA-1, with the processor's own instructions.
pub(super) fn checksum(bytes: &[u8]) -> [u8; SUM] {
    Sha1::digest(bytes).into()
}

/// Whether the index at `path` is the one that was read. Its sum says so: it stands for
/// all that is in it.
fn is_still(read: &File, path: &Path) -> bool {
    let stored = || -> std::io::Result<[u8; SUM]> {
        let mut file = fs::File::open(path)?;
        file.seek(SeekFrom::End(-(SUM as i64)))?;
        let mut sum = [0; SUM];
        file.read_exact(&mut sum)?;
        Ok(sum)
    };
    read.checksum()
        .is_some_and(|sum| stored().is_ok_and(|stored| sum.as_bytes() == stored))
}

impl HeldIndex<'_> {
    /// Paths of this index, from the top of the repository, that still have conflicts.
    pub(super) fn must_be_resolved(&self) -> Result<()> {
        let mut paths: Vec<String> = self
            .file
            .entries()
            .iter()
            .filter(|entry| entry.stage() != Stage::Unconflicted)
            .map(|entry| entry.path(&self.file).to_string())
            .collect();
        paths.dedup();
        if paths.is_empty() {
            Ok(())
        } else {
            Err(HistoryError::Conflicts { paths })
        }
    }

    /// Whether the person told git not to look at this file in the work tree (sparse checkout).
    pub(super) fn is_skipped(&self, path: &BStr) -> bool {
        self.file
            .entry_by_path(path)
            .is_some_and(|entry| entry.flags.contains(Flags::SKIP_WORKTREE))
    }

    /// Puts these into the index and writes it into the lock file, synced: nobody
    /// sees it yet. `reader` looks once more at entries whose recorded time proves
    /// nothing.
    pub(super) fn fill(
        &mut self,
        staged: &[Staged],
        reader: &mut WorkTreeReader<'_>,
    ) -> Result<()> {
        self.doubt_racy_entries(staged, reader)?;
        self.stage(staged);
        // A cache of tree names that are no longer true: with it, the person's next
        // `git commit` would silently undo ours while `git status` looks clean.
        self.file.remove_tree();
        self.file.remove_resolve_undo();

        let finished = self.fill_lock()?;
        // If the clock went on to another second since the lock was taken, git will no
        // longer suspect files that changed in the seconds before; so say it in the entry.
        if finished > self.taken && self.doubt(|stat, taken| stat.mtime.secs >= taken) {
            self.fill_lock()?;
        }
        Ok(())
    }

    /// Puts what was filled in its place, and makes that survive a power cut.
    pub(super) fn replace(self) -> Result<()> {
        let path = self.lock.lock_path().to_owned();
        self.lock
            .commit()
            .map_err(|error| HistoryError::file("rename", &path)(error.error))?;
        sync(self.history.repo.git_dir())
    }

    /// Writes the index into the lock file and syncs it; the second in which that was done.
    fn fill_lock(&mut self) -> Result<u32> {
        let may_lack_sum = self.history.is_set("index.skipHash").unwrap_or(false);
        let mut bytes = Vec::with_capacity(self.file.entries().len() * 128);
        // Without the sum, which the library would reckon piece by piece.
        State::write_to(&self.file, &mut bytes, Default::default())
            .map_err(HistoryError::git("write git's index"))?;
        let sum = match may_lack_sum {
            true => [0; SUM],
            false => checksum(&bytes),
        };
        bytes.extend(sum);
        let path = self.lock.lock_path().to_owned();
        // By a handle of our own: while the lock lends out its one, it would not be
        // removed when the person presses Ctrl-C.
        let file = self.lock.with_mut(|file| file.try_clone());
        file.and_then(|mut file| {
            file.set_len(0)?;
            file.rewind()?;
            file.write_all(&bytes)?;
            file.sync_all()?;
            let meta = gix::index::fs::Metadata::from_file(&file)?;
            Ok(Stat::from_fs(&meta)
                .map_err(std::io::Error::other)?
                .mtime
                .secs)
        })
        .map_err(HistoryError::file("write", path))
    }

    fn stage(&mut self, staged: &[Staged]) {
        let mut outdated: HashSet<usize> = HashSet::new();
        for Staged { path, file } in staged {
            outdated.extend(self.entries_of(path.as_bstr()));
            // Where a file is now, no folder can be, and the other way round.
            if file.is_some() {
                for folder in folders_above(path.as_bstr()) {
                    outdated.extend(self.entries_of(folder));
                }
                let mut below = path.clone();
                below.push(b'/');
                let below = self.file.prefixed_entries_range(below.as_bstr());
                outdated.extend(below.unwrap_or_default());
            }
        }
        self.file.remove_entries(|at, _, _| outdated.contains(&at));
        for Staged { path, file } in staged {
            if let Some((leaf, stat)) = file {
                let mode = if leaf.kind == EntryKind::BlobExecutable {
                    Mode::FILE_EXECUTABLE
                } else {
                    Mode::FILE
                };
                self.file.dangerously_push_entry(
                    *stat,
                    leaf.id,
                    Flags::empty(),
                    mode,
                    path.as_bstr(),
                );
            }
        }
        self.file.sort_entries();
    }

    /// Where the entries of a path stand: one, or several while it has conflicts.
    fn entries_of(&self, path: &BStr) -> Range<usize> {
        let Ok(found) = self.file.entry_index_by_path(path) else {
            return 0..0;
        };
        let entries = self.file.entries();
        let is_same = |entry: &&gix::index::Entry| entry.path(&self.file) == path;
        let before = entries[..found].iter().rev().take_while(is_same).count();
        let after = entries[found..].iter().take_while(is_same).count();
        found - before..found + after
    }

    /// Git suspects an entry whose time is not older than the index file. Writing a newer
    /// index clears all of them of suspicion, so each must be looked at now (as git does)
    /// or stay marked: a recorded size of 0 makes git, and us, compare the content.
    fn doubt_racy_entries(
        &mut self,
        staged: &[Staged],
        reader: &mut WorkTreeReader<'_>,
    ) -> Result<()> {
        let index_written = u32::try_from(self.file.timestamp().unix_seconds()).unwrap_or(0);
        let ours: HashSet<&BStr> = staged.iter().map(|staged| staged.path.as_bstr()).collect();
        let mut verdicts = Vec::new();
        for (at, entry) in self.file.entries().iter().enumerate() {
            let path = entry.path(&self.file);
            let is_file = matches!(entry.mode, Mode::FILE | Mode::FILE_EXECUTABLE);
            let set_aside = entry
                .flags
                .intersects(Flags::SKIP_WORKTREE | Flags::INTENT_TO_ADD | Flags::ASSUME_VALID);
            let suspect = entry.stat.mtime.secs >= index_written
                || (entry.stat.size == 0 && !entry.id.is_empty_blob());
            if !suspect
                || !is_file
                || set_aside
                || entry.stage() != Stage::Unconflicted
                || ours.contains(path)
            {
                continue;
            }
            // Outside the journal we read nothing: marking is cheap and always right.
            let mut stat = Stat {
                size: 0,
                ..entry.stat
            };
            if self.history.prefix.to_journal(path).is_some()
                && let PathContent::File(_) = reader.look(path)
                && let Ok(stored) = reader.read(path, &self.file)?
                && stored.id == entry.id
            {
                stat = stored.stat;
            }
            verdicts.push((at, stat));
        }
        let entries = self.file.entries_mut();
        for (at, stat) in verdicts {
            entries[at].stat = stat;
        }
        Ok(())
    }

    /// Marks the entries for which `doubtful` holds; whether there were any.
    fn doubt(&mut self, doubtful: impl Fn(&Stat, u32) -> bool) -> bool {
        let taken = self.taken;
        let mut any = false;
        for entry in self.file.entries_mut() {
            if entry.stat.size != 0 && doubtful(&entry.stat, taken) {
                entry.stat.size = 0;
                any = true;
            }
        }
        any
    }
}
