//! Play: many drafts become as many commits at once, for adopting old notes and
//! for the demo.
//!
//! Commits and folders are built in memory, all objects go into one pack, and then the
//! files, the index and the branch follow, each once. Asks nobody anything and writes
//! over nothing that was never kept.

use std::{collections::BTreeMap, fs, io::Write, path::Path};

use gix::{
    bstr::{BStr, BString, ByteSlice},
    objs::tree::EntryKind,
};
use jiff::ZonedDateTime;

use super::{
    CommitId, History, HistoryError, Result, Who, commit,
    index_file::Staged,
    object_store::{ObjectSink, sync},
    pack::Pack,
    paths::folders_above,
    trees::Leaf,
    work_tree::{PathContent, WorkTreeReader},
};
use crate::journal::UNFINISHED_BY_HISTORY;

/// One commit to be.
#[derive(Clone, Debug)]
pub struct PlannedCommit {
    /// Paths from the journal folder, with their text from now on, or `None` to take the file away.
    pub files: Vec<(String, Option<Vec<u8>>)>,
    /// The message; a final newline is added.
    pub message: String,
    /// Author and committer.
    pub who: Who,
    /// When it was written, by the source.
    pub author_time: ZonedDateTime,
    /// Now.
    pub commit_time: ZonedDateTime,
}

/// How a file stands after the last draft.
struct FileState {
    /// As the draft gave it, and as git stores it.
    file: Option<(Vec<u8>, Leaf)>,
    /// As HEAD had it before the first draft.
    before: Option<Leaf>,
}

impl History {
    /// Commits these drafts one after the other and writes their files. `progress` is
    /// told how many drafts are done. A draft that changes nothing makes no commit.
    ///
    /// If a file is in the way that differs and was never kept, nothing at all is written.
    pub fn play(
        &self,
        drafts: impl IntoIterator<Item = PlannedCommit>,
        progress: &mut dyn FnMut(usize),
    ) -> Result<Vec<CommitId>> {
        let _ours = self.keep_lock()?;
        self.must_be_finished()?;
        // Held throughout, so that the branch cannot move by any usual way while we
        // build on it; if it does all the same, nothing has been written but the pack.
        let mut index = self.hold_index(None)?;
        index.must_be_resolved()?;
        let tip = self.tip()?;
        let mut reader = WorkTreeReader::new(self, &index.file)?;
        let mut pack = Pack::new(&self.repo);
        let mut top = self.top_folder(&tip)?;
        let mut last: BTreeMap<BString, FileState> = BTreeMap::new();
        let mut now = tip.clone();
        let mut commits = Vec::new();
        let mut newest = None;
        for (done, draft) in drafts.into_iter().enumerate() {
            let author = draft.who.at(&draft.author_time)?;
            let committer = draft.who.at(&draft.commit_time)?;
            for (path, text) in draft.files {
                let path = self.prefix.to_repository(&path)?;
                let was = top.get(&self.repo, path.as_bstr())?;
                let file = match text {
                    None => {
                        top.remove(&self.repo, path.as_bstr())?;
                        None
                    }
                    Some(text) => {
                        let stored = reader.stored(path.as_bstr(), text.clone(), &index.file)?;
                        let id = pack.put(gix::objs::Kind::Blob, stored, None)?;
                        let executable =
                            was.is_some_and(|leaf| leaf.kind == EntryKind::BlobExecutable);
                        let kind = if executable {
                            EntryKind::BlobExecutable
                        } else {
                            EntryKind::Blob
                        };
                        let leaf = Leaf { kind, id };
                        top.set(&self.repo, path.as_bstr(), leaf)?;
                        Some((text, leaf))
                    }
                };
                let before = last.get(&path).map_or(was, |last| last.before);
                last.insert(path, FileState { file, before });
            }
            let tree = top.write(&mut pack)?;
            if !now.has(tree) {
                let bytes = commit::bytes(tree, now.commit, &author, &committer, &draft.message)?;
                let id = pack.put(gix::objs::Kind::Commit, bytes, None)?;
                commits.push(CommitId(id));
                (now.commit, now.tree) = (Some(id), Some(tree));
                newest = Some((id, committer, draft.message));
            }
            progress(done + 1);
        }
        let Some((id, committer, message)) = newest else {
            return Ok(commits);
        };
        // A path may have been a file in one draft and a folder in a later one.
        for (path, last) in &mut last {
            if last.file.is_some() && top.get(&self.repo, path.as_bstr())?.is_none() {
                last.file = None;
            }
        }
        self.nothing_in_the_way(&last, &mut reader, &index.file)?;
        pack.finish()?;
        let Some(ready) = self.prepare_move(&tip, id, &message)? else {
            return Err(HistoryError::Overtaken);
        };
        self.write_files(&last)?;
        let mut staged = Vec::with_capacity(last.len());
        for (path, last) in last {
            let file = match last.file {
                None => None,
                Some((_, leaf)) => Some((leaf, self.stat(&path)?)),
            };
            staged.push(Staged { path, file });
        }
        index.fill(&staged, &mut reader)?;
        index.replace()?;
        ready.go(&committer)?;
        Ok(commits)
    }

    /// What stands in the work tree may be lost only if HEAD has it, or we write the same.
    fn nothing_in_the_way(
        &self,
        last: &BTreeMap<BString, FileState>,
        reader: &mut WorkTreeReader<'_>,
        index: &gix::index::File,
    ) -> Result<()> {
        let mut paths = Vec::new();
        let last_of = |path: &BStr| last.get(path);
        for (path, last) in last {
            let harmless = match reader.look(path.as_bstr()) {
                PathContent::Nothing => {
                    !self.place(path.as_bstr())?.is_dir() || last.file.is_none()
                }
                PathContent::Other(_) => false,
                PathContent::File(_) => reader.read(path.as_bstr(), index)?.is_ok_and(|stored| {
                    let same = |leaf: Leaf| leaf.id == stored.id;
                    last.before.is_some_and(same)
                        || last.file.as_ref().is_some_and(|(_, leaf)| same(*leaf))
                }),
            };
            let goes = |path: &BStr| last_of(path).is_some_and(|last| last.file.is_none());
            let blocked = last.file.is_some()
                && folders_above(path.as_bstr()).any(|folder| {
                    !goes(folder) && self.place(folder).is_ok_and(|place| place.is_file())
                });
            if blocked || !harmless {
                paths.push(self.prefix.in_words(path));
            }
        }
        if paths.is_empty() {
            Ok(())
        } else {
            Err(HistoryError::InTheWay { paths })
        }
    }

    /// Writes each under another name first, so that no half a file is ever seen.
    fn write_files(&self, last: &BTreeMap<BString, FileState>) -> Result<()> {
        let workshop = self.computed_folder()?;
        for (path, _) in last.iter().filter(|(_, last)| last.file.is_none()) {
            let place = self.place(path.as_bstr())?;
            // Already gone, or a folder by now.
            if !place.is_file() {
                continue;
            }
            fs::remove_file(&place).map_err(HistoryError::file("remove", &place))?;
            remove_empty_folders(&place, &self.root);
        }
        for (path, last) in last {
            let Some((text, leaf)) = &last.file else {
                continue;
            };
            let place = self.place(path.as_bstr())?;
            let folder = place.parent().unwrap_or(&self.root);
            fs::create_dir_all(folder).map_err(HistoryError::file("create", folder))?;
            let mut builder = tempfile::Builder::new();
            builder.prefix(UNFINISHED_BY_HISTORY);
            #[cfg(unix)]
            {
                use std::os::unix::fs::PermissionsExt;
                let mode = if leaf.kind == EntryKind::BlobExecutable {
                    0o777
                } else {
                    0o666
                };
                builder.permissions(fs::Permissions::from_mode(mode));
            }
            let mut file = builder
                .tempfile_in(&workshop)
                .map_err(HistoryError::file("write into", &workshop))?;
            file.write_all(text)
                .map_err(HistoryError::file("write", &place))?;
            if !cfg!(target_os = "linux") {
                file.as_file()
                    .sync_all()
                    .map_err(HistoryError::file("sync", &place))?;
            }
            file.persist(&place)
                .map_err(|error| HistoryError::file("write", &place)(error.error))?;
        }
        self.sync_everything()
    }

    /// One sync for the whole disk instead of one for each of thousands of files.
    fn sync_everything(&self) -> Result<()> {
        #[cfg(target_os = "linux")]
        {
            let root =
                fs::File::open(&self.root).map_err(HistoryError::file("open", &self.root))?;
            rustix::fs::syncfs(&root)
                .map_err(|error| HistoryError::file("sync", &self.root)(error.into()))?;
        }
        sync(&self.root)
    }

    fn place(&self, path: &BStr) -> Result<std::path::PathBuf> {
        let path = gix::path::from_bstr(path).map_err(HistoryError::git("read a path"))?;
        Ok(self.work_tree.join(path))
    }

    fn stat(&self, path: &BString) -> Result<gix::index::entry::Stat> {
        let place = self.place(path.as_bstr())?;
        let meta = gix::index::fs::Metadata::from_path_no_follow(&place)
            .map_err(HistoryError::file("read", &place))?;
        gix::index::entry::Stat::from_fs(&meta).map_err(|error| HistoryError::Git {
            doing: "read a file's time",
            what: error.to_string(),
        })
    }
}

/// As git does; up to the journal folder.
fn remove_empty_folders(gone: &Path, root: &Path) {
    for folder in gone
        .ancestors()
        .skip(1)
        .take_while(|folder| *folder != root)
    {
        if fs::remove_dir(folder).is_err() {
            break;
        }
    }
}
