//! What differs between the journal folder and what was kept last.
//!
//! Compares the work tree with HEAD and not with the index: what the person has
//! staged is not yet kept. Writes nothing, not even a fresher index.

use std::{
    collections::{BTreeMap, BTreeSet},
    fs,
};

use gix::{
    bstr::ByteSlice,
    index::entry::{Flags, Mode, Stage, Stat},
    objs::tree::EntryKind,
};

use super::{
    History, HistoryError, Result,
    trees::{Leaf, blob_bytes},
    work_tree::{Reader, Seen, Unkeepable},
};

/// The answer: what changed, and what could not be looked at.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Changes {
    /// Sorted by path.
    pub changed: Vec<Changed>,
    /// Sorted by path.
    pub left_out: Vec<LeftOut>,
}

/// A file that is not as it was kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Changed {
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

/// Something in the journal folder that cannot be kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LeftOut {
    /// From the journal folder.
    pub path: String,
    /// Why not.
    pub why: Unkeepable,
}

impl History {
    /// The files of the journal folder for which `wanted` holds, which git does not
    /// ignore, and which differ from HEAD.
    pub fn changed(&self, wanted: &dyn Fn(&str) -> bool) -> Result<Changes> {
        let index = self.read_index()?;
        let head = match self.head_commit()? {
            Some(commit) => self.files_at(commit, wanted)?,
            None => BTreeMap::new(),
        };
        let mut reader = Reader::new(self, &index)?;
        let mut changes = Changes::default();
        let mut paths: BTreeSet<String> = BTreeSet::new();
        for entry in index.entries() {
            if let Some(path) = self
                .prefix
                .to_journal(entry.path(&index))
                .filter(|path| wanted(path))
            {
                paths.insert(path.into());
            }
        }
        self.untracked(&index, wanted, &mut paths, &mut changes.left_out)?;
        let seen_by_git = paths.clone();
        paths.extend(head.keys().cloned());

        let stat_options = self
            .repo
            .stat_options()
            .map_err(HistoryError::git("read git's settings"))?;
        for path in paths {
            let full = self.prefix.join(&path);
            let before = head.get(&path).copied();
            let entry = index.entry_by_path_and_stage(full.as_bstr(), Stage::Unconflicted);
            let kind = match reader.look(full.as_bstr()) {
                // Not checked out on the person's own wish (sparse checkout).
                Seen::Nothing
                    if entry.is_some_and(|entry| entry.flags.contains(Flags::SKIP_WORKTREE)) =>
                {
                    continue;
                }
                Seen::Nothing if before.is_some() => ChangedKind::Gone,
                Seen::Nothing => continue,
                // Taken out of the index and ignored: the person wants it out of git's sight.
                Seen::File(_) | Seen::Other(_) if !seen_by_git.contains(&path) => continue,
                Seen::Other(why) => {
                    changes.left_out.push(LeftOut { path, why });
                    continue;
                }
                Seen::File(meta) => {
                    let Some(before) = before else {
                        changes.changed.push(Changed {
                            path,
                            kind: ChangedKind::New,
                            before: None,
                        });
                        continue;
                    };
                    let fresh = Stat::from_fs(&meta).is_ok_and(|stat| {
                        entry.is_some_and(|entry| {
                            entry.id == before.id
                                && mode(before.kind) == Some(entry.mode)
                                && entry.stat.matches(&stat, stat_options)
                                && !entry.stat.is_racy(index.timestamp(), stat_options)
                        })
                    });
                    if fresh {
                        continue;
                    }
                    match reader.read(full.as_bstr(), &index)? {
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
                .map(|leaf| blob_bytes(&self.repo, leaf.id))
                .transpose()?;
            changes.changed.push(Changed { path, kind, before });
        }
        changes.left_out.sort_by(|a, b| a.path.cmp(&b.path));
        changes.left_out.dedup();
        Ok(changes)
    }

    /// Adds the files that git does not know and does not ignore.
    fn untracked(
        &self,
        index: &gix::index::File,
        wanted: &dyn Fn(&str) -> bool,
        found: &mut BTreeSet<String>,
        left_out: &mut Vec<LeftOut>,
    ) -> Result<()> {
        use gix::worktree::stack::state::ignore::Source;
        let mut ignored = self
            .repo
            .excludes(index, None, Source::WorktreeThenIdMappingIfNotSkipped)
            .map_err(HistoryError::git("read what git ignores"))?;
        let mut folders = vec![String::new()];
        while let Some(folder) = folders.pop() {
            let place = self.root.join(&folder);
            let entries = match fs::read_dir(&place) {
                Ok(entries) => entries,
                Err(error) if folder.is_empty() => {
                    return Err(HistoryError::file("read", place)(error));
                }
                Err(error) => {
                    left_out.push(LeftOut {
                        path: folder,
                        why: Unkeepable::Unreadable(error.to_string()),
                    });
                    continue;
                }
            };
            for entry in entries {
                let entry = entry.map_err(HistoryError::file("read", &place))?;
                let file_type = entry
                    .file_type()
                    .map_err(HistoryError::file("read", entry.path()))?;
                let Some(name) = entry.file_name().to_str().map(str::to_owned) else {
                    let path = format!("{folder}{}", entry.file_name().display());
                    if wanted(&path) {
                        left_out.push(LeftOut {
                            path,
                            why: Unkeepable::NotUnicode,
                        });
                    }
                    continue;
                };
                let path = format!("{folder}{name}");
                // A folder is looked into even where git knows a file of that name.
                let is_new = file_type.is_dir() || (wanted(&path) && !found.contains(&path));
                if name == ".git" || !is_new {
                    continue;
                }
                let full = self.prefix.join(&path);
                let mode = file_type.is_dir().then_some(Mode::DIR);
                let is_ignored = ignored
                    .at_entry(full.as_bstr(), mode)
                    .map_err(HistoryError::git("read what git ignores"))?
                    .is_excluded();
                if is_ignored {
                    continue;
                }
                if !file_type.is_dir() {
                    found.insert(path);
                // A repository in the repository has a history of its own.
                } else if !entry.path().join(".git").exists() {
                    folders.push(path + "/");
                }
            }
        }
        Ok(())
    }
}

fn mode(kind: EntryKind) -> Option<Mode> {
    match kind {
        EntryKind::Blob => Some(Mode::FILE),
        EntryKind::BlobExecutable => Some(Mode::FILE_EXECUTABLE),
        EntryKind::Tree | EntryKind::Link | EntryKind::Commit => None,
    }
}
