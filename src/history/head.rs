//! The branch the journal is on: where it points, and moving it.
//!
//! Moves it only from a known commit to its child, and only when the child is
//! safely on disk; never switches branches.

use std::fs::File;

use gix::{
    ObjectId,
    lock::acquire::Fail,
    refs::{
        FullName, Target,
        transaction::{PreviousValue, RefEdit},
    },
};

use super::{
    History, HistoryError, Result, locks::GIT_PATIENCE, object_store::sync, trees::Folder,
};

/// The commit that HEAD names, with its tree; nothing of either before the first commit.
#[derive(Clone)]
pub(super) struct Tip {
    pub(super) branch: FullName,
    pub(super) commit: Option<ObjectId>,
    pub(super) tree: Option<ObjectId>,
}

/// A move of the branch, locked, compared and synced: it only remains to rename.
/// Dropped, it changes nothing.
pub(super) struct ReadyMove<'h> {
    history: &'h History,
    branch: FullName,
    transaction: gix::refs::file::Transaction<'h, 'h>,
}

impl Tip {
    /// Whether this tree would change nothing. Before the first commit there is nothing.
    pub(super) fn has(&self, tree: ObjectId) -> bool {
        self.tree.unwrap_or(ObjectId::empty_tree(tree.kind())) == tree
    }
}

impl History {
    /// The tip's files, ready to be changed.
    pub(super) fn top_folder(&self, tip: &Tip) -> Result<Folder> {
        tip.tree.map_or_else(
            || Ok(Folder::default()),
            |tree| Folder::open(&self.repo, tree),
        )
    }

    /// The tip to build on. A detached HEAD is refused: a commit made on it belongs to no
    /// branch, and the next `git switch` would leave it behind.
    pub(super) fn tip(&self) -> Result<Tip> {
        let branch = self
            .repo
            .head_name()
            .map_err(HistoryError::git("read HEAD"))?
            .ok_or(HistoryError::Detached)?;
        let commit = self.head_commit()?;
        let tree = commit.map(|commit| self.tree_of(commit)).transpose()?;
        Ok(Tip {
            branch,
            commit,
            tree,
        })
    }

    /// The commit that HEAD names, detached or not; `None` before the first one.
    pub(super) fn head_commit(&self) -> Result<Option<ObjectId>> {
        let head = self.repo.head().map_err(HistoryError::git("read HEAD"))?;
        if head.is_unborn() {
            return Ok(None);
        }
        let id = head
            .into_peeled_id()
            .map_err(HistoryError::git("read HEAD"))?;
        Ok(Some(id.detach()))
    }

    /// The top folder of a commit.
    pub(super) fn tree_of(&self, commit: ObjectId) -> Result<ObjectId> {
        let commit = self
            .repo
            .find_commit(commit)
            .map_err(HistoryError::git("read a commit"))?;
        Ok(commit
            .tree_id()
            .map_err(HistoryError::git("read a commit"))?
            .detach())
    }

    /// Locks the branch, makes sure that it still is where `tip` saw it, and syncs the new
    /// value. `None` if somebody else moved it first.
    pub(super) fn prepare_move(
        &self,
        tip: &Tip,
        to: ObjectId,
        message: &str,
    ) -> Result<Option<ReadyMove<'_>>> {
        let expected = match tip.commit {
            Some(commit) => PreviousValue::MustExistAndMatch(Target::Object(commit)),
            None => PreviousValue::MustNotExist,
        };
        let log = gix::reference::log::message(
            "commit",
            message.into(),
            usize::from(tip.commit.is_some()),
        );
        let head = FullName::try_from("HEAD").map_err(|error| HistoryError::Git {
            doing: "name HEAD",
            what: error.to_string(),
        })?;
        // Through HEAD and not by the branch's own name, or HEAD's log would miss it.
        let edit = RefEdit::update(head, to, expected, log).with_deref(true);
        let patience = Fail::AfterDurationWithBackoff(GIT_PATIENCE);
        let transaction = match self
            .repo
            .refs
            .transaction()
            .prepare([edit], patience, patience)
        {
            Ok(transaction) => transaction,
            Err(error) if error.is_conflict() => return Ok(None),
            Err(error) => {
                let lock = self.reference_lock(&tip.branch);
                let head = self.repo.git_dir().join("HEAD.lock");
                return Err(match [lock, head].into_iter().find(|path| path.exists()) {
                    Some(path) => HistoryError::Locked { path },
                    None => HistoryError::git("lock the branch")(error),
                });
            }
        };
        // HEAD may have been switched to another branch since `tip` was read; what is
        // locked now is then that branch, and its lock is not where we look.
        let lock = self.reference_lock(&tip.branch);
        match File::options()
            .write(true)
            .open(&lock)
            .and_then(|file| file.sync_all())
        {
            Ok(()) => {}
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(None),
            Err(error) => return Err(HistoryError::file("sync", lock)(error)),
        }
        Ok(Some(ReadyMove {
            history: self,
            branch: tip.branch.clone(),
            transaction,
        }))
    }

    fn reference_lock(&self, branch: &FullName) -> std::path::PathBuf {
        self.repo
            .common_dir()
            .join(format!("{}.lock", branch.as_bstr()))
    }
}

impl ReadyMove<'_> {
    /// Moves the branch, writes both logs, and makes the move survive a power cut.
    pub(super) fn go(self, committer: &gix::actor::Signature) -> Result<()> {
        let mut time = gix::date::parse::TimeBuf::default();
        self.transaction
            .commit(committer.to_ref(&mut time))
            .map_err(HistoryError::git("move the branch"))?;
        let file = self
            .history
            .repo
            .common_dir()
            .join(self.branch.as_bstr().to_string());
        // A branch name may have folders of its own; those above were there before.
        file.parent().map_or(Ok(()), sync)
    }
}
