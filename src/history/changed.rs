//! What differs between the journal folder and what was kept last.
//!
//! Compares the work tree with HEAD and not with the index: what the person has
//! staged is not yet kept. Writes nothing, not even a fresher index.

use std::collections::{BTreeMap, BTreeSet};

use gix::{
    bstr::ByteSlice,
    index::{
        Entry, File,
        entry::{Flags, Mode, Stage, Stat, stat::Time},
    },
    objs::tree::EntryKind,
};

use super::{
    History, HistoryError, KeepOutcome, KeepRequest, Result,
    keep::LoadedIndex,
    trees::{Leaf, blob_bytes},
    untracked::Untracked,
    work_tree::{LeftOut, PathContent, WorkTreeReader},
};
use crate::journal::{Look, Walked};

/// The answer: what changed, and what could not be looked at.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct WorkTreeChanges {
    /// Sorted by path.
    pub changed: Vec<ChangedFile>,
    /// Sorted by path.
    pub left_out: Vec<LeftOut>,
    /// Texts of the journal that git does not know and ignores, sorted by path.
    pub ignored: Vec<String>,
    /// How many of the files asked for were kept before.
    pub kept: usize,
}

/// A file that is not as it was kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ChangedFile {
    /// From the journal folder.
    pub path: String,
    /// How it differs.
    pub kind: ChangedKind,
    /// What was kept, as git stores it; `None` for a new file.
    pub before: Option<Vec<u8>>,
}

/// How a file differs from what was kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ChangedKind {
    /// Never kept.
    New,
    /// Kept with other content, or another executable bit.
    Edited,
    /// Kept, and not there any more.
    Gone,
}

/// What was kept, ready to be compared with the disk.
pub struct AsKept<'h> {
    history: &'h History,
    wanted: &'h dyn Fn(&str) -> bool,
    index: File,
    untracked: Untracked<'h>,
    reader: WorkTreeReader<'h>,
    /// What HEAD says where git's index says something else: nothing, or this.
    apart: BTreeMap<String, Option<Leaf>>,
}

impl History {
    /// What was kept of the files for which `wanted` holds. Does not look at the work
    /// tree, so that somebody else can meanwhile.
    pub fn as_kept<'h>(&'h self, wanted: &'h dyn Fn(&str) -> bool) -> Result<AsKept<'h>> {
        let index = self.read_index()?;
        let mut apart = BTreeMap::new();
        // Both are in order of path.
        let mut entries = self.entries_in(&index, wanted).peekable();
        let mut compare = |path: &str, leaf: Leaf| {
            while let Some((other, _)) = entries.next_if(|(other, _)| *other < path) {
                apart.insert(other.to_owned(), None);
            }
            let mut is_same = false;
            // More than one while there are conflicts.
            while let Some((_, entry)) = entries.next_if(|(other, _)| *other == path) {
                is_same = entry.stage() == Stage::Unconflicted && self::leaf(entry) == Some(leaf);
            }
            if !is_same {
                apart.insert(path.to_owned(), Some(leaf));
            }
        };
        if let Some(commit) = self.head_commit()? {
            self.each_text_at(commit, wanted, &mut compare)?;
        }
        apart.extend(entries.map(|(path, _)| (path.to_owned(), None)));
        Ok(AsKept {
            untracked: Untracked::new(self, &index, wanted)?,
            reader: WorkTreeReader::new(self, &index)?,
            history: self,
            wanted,
            index,
            apart,
        })
    }

    /// What git's index says of the files of the journal folder for which `wanted`
    /// holds, in order of path.
    fn entries_in<'i>(
        &'i self,
        index: &'i File,
        wanted: &'i dyn Fn(&str) -> bool,
    ) -> impl Iterator<Item = (&'i str, &'i Entry)> {
        index.entries().iter().filter_map(move |entry| {
            let path = self.prefix.to_journal(entry.path(index))?;
            wanted(path).then_some((path, entry))
        })
    }

    /// The files of the journal folder for which `wanted` holds, which git does not
    /// ignore, and which differ from HEAD.
    pub fn changed(&self, wanted: &dyn Fn(&str) -> bool) -> Result<WorkTreeChanges> {
        self.as_kept(wanted)?.changed(None)
    }
}

impl AsKept<'_> {
    /// The files that differ. `walked` is what somebody has just seen of the entries;
    /// none of them is looked at again without need.
    pub fn changed(&mut self, walked: Option<&Walked>) -> Result<WorkTreeChanges> {
        let AsKept {
            history,
            wanted,
            index,
            untracked,
            reader,
            apart,
        } = self;
        let options = history
            .repo
            .stat_options()
            .map_err(HistoryError::git("read git's settings"))?;
        let is_as_kept = |path: &str, entry: &Entry, stat: &Stat| {
            !apart.contains_key(path)
                && entry.stat.matches(stat, options)
                && !entry.stat.is_racy(index.timestamp(), options)
        };
        let mut changes = WorkTreeChanges::default();
        let mut paths: BTreeSet<String> = BTreeSet::new();
        let mut seen = walked
            .map_or(&[][..], |walked| walked.files.as_slice())
            .iter()
            .peekable();
        let mut new = Vec::new();
        // Both are in order of path.
        for (path, entry) in history.entries_in(index, *wanted) {
            changes.kept += 1;
            while let Some(file) = seen.next_if(|file| file.path.as_str() < path) {
                new.push(file.path.as_str());
            }
            let stat = seen
                .next_if(|file| file.path == path)
                .and_then(|file| stat_of(&file.look));
            if !stat.is_some_and(|stat| is_as_kept(path, entry, &stat)) {
                paths.insert(path.into());
            }
        }
        new.extend(seen.map(|file| file.path.as_str()));
        if let Some(walked) = walked {
            untracked.among(walked, &new, &mut paths, &mut changes.left_out)?;
        }
        untracked.below_root(walked.is_some(), &mut paths, &mut changes.left_out)?;
        changes.ignored = untracked.ignored_texts.iter().cloned().collect();
        changes.ignored.retain(|path| !apart.contains_key(path));
        let seen_by_git = paths.clone();
        // Kept, and perhaps no longer in git's index.
        let kept_apart = apart.iter().filter(|(_, before)| before.is_some());
        paths.extend(kept_apart.map(|(path, _)| path.clone()));

        for path in paths {
            let full = history.prefix.join(&path);
            let entry = index.entry_by_path_and_stage(full.as_bstr(), Stage::Unconflicted);
            let before = match apart.get(&path) {
                Some(before) => *before,
                None => entry.and_then(leaf),
            };
            let kind = match reader.look(full.as_bstr()) {
                // Not checked out on the person's own wish (sparse checkout).
                PathContent::Nothing
                    if entry.is_some_and(|entry| entry.flags.contains(Flags::SKIP_WORKTREE)) =>
                {
                    continue;
                }
                PathContent::Nothing if before.is_some() => ChangedKind::Gone,
                PathContent::Nothing => continue,
                // Taken out of the index and ignored: the person wants it out of git's sight.
                PathContent::File(_) | PathContent::Other(_) if !seen_by_git.contains(&path) => {
                    continue;
                }
                PathContent::Other(why) => {
                    changes.left_out.push(LeftOut { path, why });
                    continue;
                }
                PathContent::File(meta) => {
                    if let Some(why) = reader.own_filter(full.as_bstr())? {
                        changes.left_out.push(LeftOut { path, why });
                        continue;
                    }
                    let Some(before) = before else {
                        changes.changed.push(ChangedFile {
                            path,
                            kind: ChangedKind::New,
                            before: None,
                        });
                        continue;
                    };
                    let fresh = Stat::from_fs(&meta).is_ok_and(|stat| {
                        entry.is_some_and(|entry| is_as_kept(&path, entry, &stat))
                    });
                    if fresh {
                        continue;
                    }
                    match reader.read(full.as_bstr(), index)? {
                        Err(why) => {
                            changes.left_out.push(LeftOut { path, why });
                            continue;
                        }
                        Ok(stored) => {
                            let now = Leaf {
                                kind: reader.kind(stored.executable, Some(before.kind)),
                                id: stored.id,
                            };
                            if now == before {
                                continue;
                            }
                            ChangedKind::Edited
                        }
                    }
                }
            };
            let before = before
                .map(|leaf| blob_bytes(&history.repo, leaf.id))
                .transpose()?;
            changes.changed.push(ChangedFile { path, kind, before });
        }
        changes.left_out.sort_by(|a, b| a.path.cmp(&b.path));
        changes.left_out.dedup();
        Ok(changes)
    }

    /// As [`History::keep`], which then need not read git's index and attributes once more.
    pub fn keep(self, keep: &KeepRequest) -> Result<KeepOutcome> {
        let known = LoadedIndex {
            index: self.index,
            reader: self.reader,
        };
        self.history.keep_knowing(keep, Some(known))
    }
}

/// What an entry says of a text; `None` if it is about something else.
fn leaf(entry: &Entry) -> Option<Leaf> {
    let kind = match entry.mode {
        Mode::FILE => EntryKind::Blob,
        Mode::FILE_EXECUTABLE => EntryKind::BlobExecutable,
        _ => return None,
    };
    Some(Leaf { kind, id: entry.id })
}

/// What git would note of a file, from what the system says of it; `None` where it
/// says too little.
fn stat_of(look: &Look) -> Option<Stat> {
    let time = |ns: i64| {
        Some(Time {
            secs: u32::try_from(ns.div_euclid(1_000_000_000)).ok()?,
            nsecs: u32::try_from(ns.rem_euclid(1_000_000_000)).ok()?,
        })
    };
    // Cut to 32 bits, as git does.
    cfg!(unix).then_some(Stat {
        mtime: time(look.modified_ns)?,
        ctime: time(look.changed_ns)?,
        dev: look.device as u32,
        ino: look.inode as u32,
        uid: look.owner,
        gid: look.group,
        size: look.size as u32,
    })
}
