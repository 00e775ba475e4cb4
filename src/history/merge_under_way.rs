//! A merge, rebase or the like that the person has begun and not finished.
//!
//! Only recognises it; finishing it is for the person and git.

use gix::state::InProgress;

use super::{History, HistoryError, Result};

/// What is half done in the repository.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unfinished {
    /// `git merge`
    Merge,
    /// `git rebase`
    Rebase,
    /// `git cherry-pick`
    CherryPick,
    /// `git revert`
    Revert,
    /// `git bisect`
    Bisect,
    /// `git am`
    Patches,
}

impl std::fmt::Display for Unfinished {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Merge => "a merge",
            Self::Rebase => "a rebase",
            Self::CherryPick => "a cherry-pick",
            Self::Revert => "a revert",
            Self::Bisect => "a bisect",
            Self::Patches => "applying patches (git am)",
        })
    }
}

impl Unfinished {
    /// What the person can do about it.
    pub(super) fn way_out(self) -> &'static str {
        match self {
            Self::Merge => {
                "Finish it with `git merge --continue`, or drop it with `git merge --abort`."
            }
            Self::Rebase => {
                "Finish it with `git rebase --continue`, or drop it with `git rebase --abort`."
            }
            Self::CherryPick => {
                "Finish it with `git cherry-pick --continue`, or drop it with `git cherry-pick --abort`."
            }
            Self::Revert => {
                "Finish it with `git revert --continue`, or drop it with `git revert --abort`."
            }
            Self::Bisect => "Go back to the branch with `git bisect reset`.",
            Self::Patches => {
                "Finish it with `git am --continue`, or drop it with `git am --abort`."
            }
        }
    }
}

impl History {
    /// What is half done in this repository, if anything. Keeping then would either
    /// swallow the other side of a merge or put the commit into the middle of a rebase.
    pub fn unfinished(&self) -> Option<Unfinished> {
        Some(match self.repo.state()? {
            InProgress::Merge => Unfinished::Merge,
            InProgress::Rebase | InProgress::RebaseInteractive => Unfinished::Rebase,
            InProgress::CherryPick | InProgress::CherryPickSequence => Unfinished::CherryPick,
            InProgress::Revert | InProgress::RevertSequence => Unfinished::Revert,
            InProgress::Bisect => Unfinished::Bisect,
            InProgress::ApplyMailbox | InProgress::ApplyMailboxRebase => Unfinished::Patches,
        })
    }

    pub(super) fn must_be_finished(&self) -> Result<()> {
        match self.unfinished() {
            Some(what) => Err(HistoryError::Unfinished(what)),
            None => Ok(()),
        }
    }
}
