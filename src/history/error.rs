//! What can go wrong between a journal and its git repository, in words for
//! somebody who wants to go back to the garage.
//!
//! It decides nothing and prints nothing; the command line shows the message,
//! and below it the hint.

use std::path::PathBuf;

use super::{Unfinished, Unkeepable};
use crate::vocabulary::refusal::plain_words;

/// Why a question to the history, or a keep, could not be answered.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum HistoryError {
    /// The journal folder itself cannot be reached.
    #[error("the journal folder {} cannot be opened: {source}", path.display())]
    NoFolder {
        /// The folder asked for.
        path: PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
    /// The repository, or its folder, belongs to another user of this computer.
    #[error("the git repository at {} belongs to another user of this computer", path.display())]
    Foreign {
        /// The work tree (or git folder) that is not ours.
        path: PathBuf,
    },
    /// The repository names its objects with SHA-256.
    #[error("the git repository at {} uses sha256 object names, which this program cannot read yet", path.display())]
    Sha256 {
        /// The git folder.
        path: PathBuf,
    },
    /// The repository keeps its references in a reftable.
    #[error("the git repository at {} keeps its branches in the reftable format, which this program cannot read yet", path.display())]
    Reftable {
        /// The git folder.
        path: PathBuf,
    },
    /// The repository has no work tree.
    #[error("the git repository at {} has no working folder (it is a bare one)", path.display())]
    Bare {
        /// The git folder.
        path: PathBuf,
    },
    /// The repository's work tree lies somewhere else.
    #[error("the git repository at {} looks after another folder ({}), not after this journal", git_dir.display(), work_tree.display())]
    Elsewhere {
        /// The git folder.
        git_dir: PathBuf,
        /// The folder it looks after.
        work_tree: PathBuf,
    },
    /// There is a `.git`, but it cannot be read as a repository.
    #[error("the git repository at {} is damaged: {what}", path.display())]
    Damaged {
        /// The git folder.
        path: PathBuf,
        /// What could not be read.
        what: String,
    },
    /// A folder already has a repository.
    #[error("there is already a git repository at {}", path.display())]
    AlreadyThere {
        /// The git folder.
        path: PathBuf,
    },
    /// A merge, rebase or the like is half done.
    #[error("{0} is unfinished in this repository, so nothing was kept")]
    Unfinished(Unfinished),
    /// Files with unresolved conflicts.
    #[error("git still has unresolved conflicts in {}, so nothing was kept", paths.join(", "))]
    Conflicts {
        /// Paths from the top of the repository.
        paths: Vec<String>,
    },
    /// HEAD names a commit and no branch.
    #[error(
        "the repository is not on any branch (git calls it a detached HEAD), so nothing was kept: a commit made now would be easy to lose"
    )]
    Detached,
    /// Another keep has been at work for long.
    #[error("another matchmark is keeping entries in this journal and has not finished")]
    Busy,
    /// Somebody holds a lock of git.
    #[error("another git program is at work here, or died while at work: {} exists", path.display())]
    Locked {
        /// The lock file.
        path: PathBuf,
    },
    /// Locks were to be cleared, and git is running.
    #[error("git is at work here (process {process}), so its locks were left alone")]
    GitAtWork {
        /// Its number.
        process: u32,
    },
    /// The branch moved every time we tried.
    #[error("the branch kept moving while we tried to add to it; nothing was kept")]
    Overtaken,
    /// No name, or one that git cannot store.
    #[error(
        "a commit needs a name and an e-mail address that git can store, and `{name} <{email}>` is not one"
    )]
    BadName {
        /// As given.
        name: String,
        /// As given.
        email: String,
    },
    /// A message without a word.
    #[error("a commit needs a message, and this one is empty")]
    EmptyMessage,
    /// A path that has no place in a journal.
    #[error("`{path}` is not a path inside the journal")]
    BadPath {
        /// As given.
        path: String,
    },
    /// A file that was asked for cannot be kept.
    #[error("{path} was not kept, and nothing else was: {why}")]
    CannotKeep {
        /// Inside the journal.
        path: String,
        /// Why not.
        why: Unkeepable,
    },
    /// Files that were never kept stand where others have to be written.
    #[error(
        "{} already there with other content that was never kept; nothing was written",
        names(paths)
    )]
    InTheWay {
        /// Inside the journal.
        paths: Vec<String>,
    },
    /// There is no commit at all yet.
    #[error("nothing has been kept yet: the history is empty")]
    Empty,
    /// No commit is called so.
    #[error("there is no commit called `{asked}` in this history")]
    UnknownCommit {
        /// As asked.
        asked: String,
    },
    /// Several commits begin so.
    #[error("several commits begin with `{asked}`")]
    Ambiguous {
        /// As asked.
        asked: String,
    },
    /// The history begins later.
    #[error("on {day} nothing had been kept yet; the history begins on {first}")]
    BeforeHistory {
        /// The day asked for.
        day: jiff::civil::Date,
        /// The day of the first commit.
        first: jiff::civil::Date,
    },
    /// A file of the work tree or of the git folder could not be read or written.
    #[error("could not {doing} {}: {}", path.display(), plain_words(source))]
    File {
        /// A verb: "write", "read".
        doing: &'static str,
        /// Which file.
        path: PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
    /// Git's own machinery failed.
    #[error("could not {doing}: {what}")]
    Git {
        /// What was being done.
        doing: &'static str,
        /// The causes, outermost first.
        what: String,
    },
}

impl HistoryError {
    /// What to do about it, in a sentence or two; nothing if there is nothing useful to say.
    pub fn hint(&self) -> Option<String> {
        Some(match self {
            Self::NoFolder { .. } => "Is the disk plugged in, and is the path right?".into(),
            Self::Foreign { path } => format!(
                "If you trust what is in it, tell git so once: git config --global --add safe.directory '{}'",
                path.display()
            ),
            Self::Sha256 { .. } | Self::Reftable { .. } => {
                "Clone it into a repository of the usual kind: git init --object-format=sha1 \
                 --ref-format=files, and copy the journal there."
                    .into()
            }
            Self::Bare { .. } | Self::Elsewhere { .. } => {
                "Work in a clone of it: git clone REPOSITORY FOLDER".into()
            }
            Self::Damaged { .. } => "`git fsck` tells more. The texts in the folder are not touched; \
                 a copy or a clone of the repository, if there is one, brings the history back."
                .into(),
            Self::AlreadyThere { .. } => "It can be used as it is.".into(),
            Self::Unfinished(what) => what.way_out().into(),
            Self::Conflicts { .. } => {
                "Mend the marked lines in an editor, then: git add FILE".into()
            }
            Self::Detached => "Go back to the branch first: git switch main. What you wrote stays in \
                 the folder."
                .into(),
            Self::Busy => "Wait for it, or see whether a matchmark hangs in another window.".into(),
            Self::Locked { path } => format!(
                "Wait a moment and try again. If no git program is running here, `matchmark keep \
                 --clear-locks` removes {}. What you wrote stays in the folder.",
                path.display()
            ),
            Self::GitAtWork { .. } => {
                "Finish what it waits for (an open editor?), then try again.".into()
            }
            Self::Overtaken => "Try again when the other program has finished.".into(),
            Self::BadName { .. } => "Set them once: git config --global user.name 'Your Name', and \
                 git config --global user.email you@example.org"
                .into(),
            Self::EmptyMessage => "Say in a few words what was done.".into(),
            Self::BadPath { .. } => "Paths are written from the journal folder, with `/`, without `..`.".into(),
            Self::CannotKeep { .. } => "Move it out of the journal or replace it by a plain file; the rest can be kept then.".into(),
            Self::InTheWay { .. } => "Keep them first, or move them away.".into(),
            Self::Empty => "`matchmark keep` makes the first commit.".into(),
            Self::UnknownCommit { .. } => "`matchmark past` lists them; a day works too, as 2026-03-14.".into(),
            Self::Ambiguous { .. } => "Write some more of its letters and digits.".into(),
            Self::BeforeHistory { first, .. } => format!("Ask for {first} or later."),
            Self::File { source, .. } if source.kind() == std::io::ErrorKind::StorageFull => {
                "Make room on the disk, then run the same command again. What you wrote stays in the folder."
                    .into()
            }
            Self::File { .. } => return None,
            Self::Git { .. } => "`git fsck` tells whether the repository is sound.".into(),
        })
    }

    /// Wraps what gix reports, with all its causes, under what we were doing.
    pub(super) fn git(doing: &'static str) -> impl FnOnce(gix::Error) -> Self {
        move |error| Self::Git {
            doing,
            what: causes(&error),
        }
    }

    /// Wraps what the system reports about one file.
    pub(super) fn file(
        doing: &'static str,
        path: impl Into<PathBuf>,
    ) -> impl FnOnce(std::io::Error) -> Self {
        let path = path.into();
        move |source| Self::File {
            doing,
            path,
            source,
        }
    }
}

/// All causes of a gix error in one line, without saying anything twice.
pub(super) fn causes(error: &gix::Error) -> String {
    let mut said: Vec<String> = Vec::new();
    for cause in error.iter_errors() {
        let text = cause.to_string();
        if !text.is_empty() && !said.contains(&text) {
            said.push(text);
        }
    }
    said.join(": ")
}

fn names(paths: &[String]) -> String {
    match paths {
        [one] => format!("{one} is"),
        [one, two] => format!("{one} and {two} are"),
        [one, two, rest @ ..] => format!("{one}, {two} and {} more are", rest.len()),
        [] => "nothing is".into(),
    }
}
