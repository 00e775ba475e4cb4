//! Files of the journal that git does not know and does not ignore.
//!
//! Only finds them; what they hold is not looked at.

use std::{collections::BTreeSet, fs};

use gix::{bstr::ByteSlice, index::entry::Mode};

use super::{
    History, HistoryError, Result,
    work_tree::{LeftOut, Unkeepable},
};
use crate::journal::{ENTRIES, Walked, is_text_of_journal};

/// The search for them, with what git ignores.
pub(super) struct Untracked<'h> {
    history: &'h History,
    wanted: &'h dyn Fn(&str) -> bool,
    ignored: gix::AttributeStack<'h>,
    /// Texts of the journal that git does not know and ignores.
    pub(super) ignored_texts: BTreeSet<String>,
}

impl<'h> Untracked<'h> {
    pub(super) fn new(
        history: &'h History,
        index: &gix::index::State,
        wanted: &'h dyn Fn(&str) -> bool,
    ) -> Result<Self> {
        use gix::worktree::stack::state::ignore::Source;
        let ignored = history
            .repo
            .excludes(index, None, Source::WorktreeThenIdMappingIfNotSkipped)
            .map_err(HistoryError::git("read what git ignores"))?;
        Ok(Untracked {
            history,
            wanted,
            ignored,
            ignored_texts: BTreeSet::new(),
        })
    }

    /// Finds them among the entries that somebody walked through; `new` are those
    /// that git does not know.
    pub(super) fn among(
        &mut self,
        walked: &Walked,
        new: &[&str],
        found: &mut BTreeSet<String>,
        left_out: &mut Vec<LeftOut>,
    ) -> Result<()> {
        for folder in &walked.unread {
            left_out.push(LeftOut {
                path: folder.path.clone(),
                why: Unkeepable::Unreadable(folder.error.to_string()),
            });
        }
        let others = walked.others.iter().filter_map(|path| {
            let path = path.to_str().map(|path| path.replace('\\', "/"));
            path.filter(|path| !found.contains(path))
        });
        let others: Vec<String> = others.collect();
        for path in new.iter().copied().chain(others.iter().map(String::as_str)) {
            let folders = path.rmatch_indices('/').map(|(end, _)| &path[..end]);
            if !(self.wanted)(path) || folders.into_iter().any(|folder| self.is_repository(folder))
            {
                continue;
            }
            if self.is_ignored(path, None)? {
                self.note_ignored(path);
            } else {
                found.insert(path.to_owned());
            }
        }
        for path in walked.others.iter().filter(|path| path.to_str().is_none()) {
            let path = path.display().to_string();
            if (self.wanted)(&path) {
                let why = Unkeepable::NotUnicode;
                left_out.push(LeftOut { path, why });
            }
        }
        Ok(())
    }

    /// Finds them below the journal's folder, without those among its entries if
    /// somebody `walked` through them.
    pub(super) fn below_root(
        &mut self,
        walked: bool,
        found: &mut BTreeSet<String>,
        left_out: &mut Vec<LeftOut>,
    ) -> Result<()> {
        let mut folders = vec![String::new()];
        while let Some(folder) = folders.pop() {
            let place = self.history.root.join(&folder);
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
                    if (self.wanted)(&path) {
                        left_out.push(LeftOut {
                            path,
                            why: Unkeepable::NotUnicode,
                        });
                    }
                    continue;
                };
                let path = format!("{folder}{name}");
                // A folder is looked into even where git knows a file of that name.
                let is_new = file_type.is_dir() || ((self.wanted)(&path) && !found.contains(&path));
                let is_walked = walked && file_type.is_dir() && path == ENTRIES;
                if name == ".git" || !is_new || is_walked {
                    continue;
                }
                let mode = file_type.is_dir().then_some(Mode::DIR);
                let is_ignored = self.is_ignored(&path, mode)?;
                if !file_type.is_dir() {
                    if is_ignored {
                        self.note_ignored(&path);
                    } else {
                        found.insert(path);
                    }
                } else if is_ignored && !holds_texts(&path) {
                    continue;
                } else if !self.is_repository(&path) {
                    folders.push(path + "/");
                }
            }
        }
        Ok(())
    }

    fn note_ignored(&mut self, path: &str) {
        if is_text_of_journal(path) {
            self.ignored_texts.insert(path.to_owned());
        }
    }

    /// Whether git ignores this file, or would if it were there.
    pub(super) fn is_ignored(&mut self, path: &str, mode: Option<Mode>) -> Result<bool> {
        let full = self.history.prefix.join(path);
        let found = self.ignored.at_entry(full.as_bstr(), mode);
        let found = found.map_err(HistoryError::git("read what git ignores"))?;
        Ok(found.is_excluded())
    }

    /// A repository in the repository has a history of its own.
    fn is_repository(&self, folder: &str) -> bool {
        self.history.root.join(folder).join(".git").exists()
    }
}

/// Whether texts of the journal may lie in this folder.
fn holds_texts(folder: &str) -> bool {
    is_text_of_journal(&format!("{folder}/x.md"))
}

impl History {
    /// The texts of the journal that git does not know and ignores: no keep takes them
    /// along. `walked` is what somebody has just seen of the entries.
    pub fn ignored_texts(&self, walked: &Walked) -> Result<Vec<String>> {
        let index = self.read_index()?;
        let mut untracked = Untracked::new(self, &index, &is_text_of_journal)?;
        let is_known = |path: &str| {
            index
                .entry_by_path(self.prefix.join(path).as_bstr())
                .is_some()
        };
        let new = walked.files.iter().map(|file| file.path.as_str());
        let new: Vec<&str> = new.filter(|path| !is_known(path)).collect();
        let (mut found, mut left_out) = (BTreeSet::new(), Vec::new());
        untracked.among(walked, &new, &mut found, &mut left_out)?;
        untracked.below_root(true, &mut found, &mut left_out)?;
        let texts = untracked.ignored_texts.into_iter();
        Ok(texts.filter(|path| !is_known(path)).collect())
    }

    /// Whether git would ignore a new file at this path.
    pub fn ignores(&self, path: &str) -> Result<bool> {
        let index = self.read_index()?;
        Untracked::new(self, &index, &is_text_of_journal)?.is_ignored(path, None)
    }
}
