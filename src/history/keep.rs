//! Keep: the given files, as they are in the work tree now, become a commit.
//!
//! Exactly those files. Runs no hooks, signs nothing (and says so), and never
//! looks for files by itself. The order of the steps is explained at the head of
//! the module.

use std::collections::BTreeSet;

use gix::bstr::{BString, ByteSlice};
use gix::index::File;
use jiff::ZonedDateTime;

use super::{
    CommitId, History, HistoryError, Result, Who, commit,
    index_file::Staged,
    object_store::ObjectSink,
    objects::ObjectBuffer,
    trees::Leaf,
    work_tree::{PathContent, Unkeepable, WorkTreeReader},
};

/// How often to start again when others move the branch under us.
const ATTEMPTS: usize = 20;

/// What is to be kept, and as what.
#[derive(Clone, Debug)]
pub struct KeepRequest {
    /// Files, from the journal folder: new ones, edited ones, ones that are gone.
    /// Unchanged ones do no harm.
    pub paths: Vec<String>,
    /// The message; a final newline is added.
    pub message: String,
    /// Who writes it; both author and committer.
    pub who: Who,
    /// When it was written.
    pub author_time: ZonedDateTime,
    /// Now.
    pub commit_time: ZonedDateTime,
}

/// What was read before the lock was taken, and need not be read again under it if
/// git's index is still the same.
pub(super) struct LoadedIndex<'h> {
    pub(super) index: File,
    pub(super) reader: WorkTreeReader<'h>,
}

/// What became of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeepOutcome {
    /// The commit; `None` if HEAD had all of it already.
    pub commit: Option<CommitId>,
    /// Git's settings ask for signed commits (`commit.gpgsign`), and this one is not signed.
    pub unsigned: bool,
}

impl History {
    /// Commits these files on top of the branch, and leaves everything else, staged
    /// or not, alone. All or nothing: an error means that nothing was kept.
    pub fn keep(&self, keep: &KeepRequest) -> Result<KeepOutcome> {
        self.keep_knowing(keep, None)
    }

    /// Like `keep`, reusing an index and a reader loaded earlier.
    pub(super) fn keep_knowing(
        &self,
        keep: &KeepRequest,
        mut known: Option<LoadedIndex<'_>>,
    ) -> Result<KeepOutcome> {
        let paths: BTreeSet<BString> = keep
            .paths
            .iter()
            .map(|path| self.prefix.to_repository(path))
            .collect::<Result<_>>()?;
        let _ours = self.keep_lock()?;
        for _ in 0..ATTEMPTS {
            if let Some(kept) = self.try_keep(keep, &paths, known.take())? {
                return Ok(kept);
            }
        }
        Err(HistoryError::Overtaken)
    }

    /// One attempt; `None` if somebody else moved the branch meanwhile.
    fn try_keep(
        &self,
        keep: &KeepRequest,
        paths: &BTreeSet<BString>,
        known: Option<LoadedIndex<'_>>,
    ) -> Result<Option<KeepOutcome>> {
        let author = keep.who.at(&keep.author_time)?;
        let committer = keep.who.at(&keep.commit_time)?;
        self.must_be_finished()?;
        let (known, reader) = known.map(|known| (known.index, known.reader)).unzip();
        let mut index = self.hold_index(known)?;
        index.must_be_resolved()?;
        // Under the lock of the index. git moves the branch without it, but then the
        // comparison in `prepare_move` fails.
        let tip = self.tip()?;
        let mut top = self.top_folder(&tip)?;
        let mut reader = match reader.filter(|_| index.was_known) {
            Some(reader) => reader,
            None => WorkTreeReader::new(self, &index.file)?,
        };
        reader.look_again();
        let mut tray = ObjectBuffer::new(&self.repo);
        let mut staged = Vec::with_capacity(paths.len());
        for path in paths {
            let file = match reader.look(path.as_bstr()) {
                PathContent::Other(why) => return Err(self.cannot_keep(path, why)),
                // Not checked out on the person's own wish (sparse checkout).
                PathContent::Nothing if index.is_skipped(path.as_bstr()) => continue,
                PathContent::Nothing => {
                    top.remove(&self.repo, path.as_bstr())?;
                    None
                }
                PathContent::File(_) => {
                    let before = top.get(&self.repo, path.as_bstr())?;
                    let stored = reader
                        .read(path.as_bstr(), &index.file)?
                        .map_err(|why| self.cannot_keep(path, why))?;
                    let leaf = Leaf {
                        kind: reader.kind(stored.executable, before.map(|leaf| leaf.kind)),
                        id: tray.put(gix::objs::Kind::Blob, stored.bytes, None)?,
                    };
                    top.set(&self.repo, path.as_bstr(), leaf)?;
                    Some((leaf, stored.stat))
                }
            };
            let path = path.clone();
            staged.push(Staged { path, file });
        }
        let tree = top.write(&mut tray)?;
        if tip.has(tree) {
            return Ok(Some(KeepOutcome {
                commit: None,
                unsigned: false,
            }));
        }
        let bytes = commit::bytes(tree, tip.commit, &author, &committer, &keep.message)?;
        let id = tray.put(gix::objs::Kind::Commit, bytes, None)?;
        // Nothing refers to the objects yet, and nobody sees the new index or where the
        // branch is to go: all of it waits for the disk together.
        let ready = tray.write(|| {
            index.fill(&staged, &mut reader)?;
            self.prepare_move(&tip, id, &keep.message)
        })?;
        let Some(ready) = ready else {
            return Ok(None);
        };
        index.replace()?;
        ready.go(&committer)?;
        Ok(Some(KeepOutcome {
            commit: Some(CommitId(id)),
            unsigned: self.is_set("commit.gpgSign").unwrap_or(false),
        }))
    }

    fn cannot_keep(&self, path: &BString, why: Unkeepable) -> HistoryError {
        HistoryError::CannotKeep {
            path: self.prefix.in_words(path),
            why,
        }
    }
}
