//! Everything that can keep a verb from answering, and how that is said.
//!
//! The one place where errors of the other rooms become messages, hints and
//! exit codes.

use std::fmt;
use std::path::{Path, PathBuf};

use crate::history::HistoryError;
use crate::index::IndexError;
use crate::journal::JournalError;
use crate::vocabulary::refusal::plain_words;

/// Why a verb could not answer.
#[derive(Debug)]
pub enum Failure {
    /// The question itself makes no sense.
    Misuse {
        /// What is wrong with it.
        message: String,
        /// What to write instead.
        hint: String,
    },
    /// The journal's files.
    Journal(JournalError),
    /// The repository.
    History(HistoryError),
    /// The search index, where nothing could stand in for it.
    Index(IndexError),
    /// No disk takes what the person wrote, not even as a draft.
    NowhereToWrite {
        /// What the system said last.
        why: String,
        /// The person's text, which is nowhere else.
        text: String,
    },
    /// A file that is not the journal's: a table, a page, an editor.
    File {
        /// Which.
        path: PathBuf,
        /// What the system said.
        error: std::io::Error,
    },
}

impl Failure {
    /// A question that makes no sense.
    pub fn misuse(message: impl Into<String>, hint: impl Into<String>) -> Failure {
        Failure::Misuse {
            message: message.into(),
            hint: hint.into(),
        }
    }

    /// The system's error about a file.
    pub fn file(path: &Path, error: std::io::Error) -> Failure {
        Failure::File {
            path: path.to_owned(),
            error,
        }
    }

    /// What to do about it.
    #[must_use]
    pub fn hint(&self) -> Option<String> {
        match self {
            Failure::Misuse { hint, .. } => Some(hint.clone()).filter(|hint| !hint.is_empty()),
            Failure::Journal(error) => error.hint(),
            Failure::History(error) => error.hint(),
            Failure::Index(_) => {
                Some("delete the folder .matchmark/index and run the same command again".to_owned())
            }
            Failure::NowhereToWrite { .. } => {
                Some("make room on the disk and write it again".to_owned())
            }
            Failure::File { .. } => None,
        }
    }
}

impl fmt::Display for Failure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Failure::Misuse { message, .. } => f.write_str(message),
            Failure::Journal(error) => error.fmt(f),
            Failure::History(error) => error.fmt(f),
            Failure::Index(error) => error.fmt(f),
            Failure::NowhereToWrite { why, .. } => {
                write!(
                    f,
                    "nothing could be written anywhere ({why}); your text is below"
                )
            }
            Failure::File { path, error } => {
                write!(f, "{}: {}", path.display(), plain_words(error))
            }
        }
    }
}

impl From<JournalError> for Failure {
    fn from(error: JournalError) -> Failure {
        Failure::Journal(error)
    }
}

impl From<HistoryError> for Failure {
    fn from(error: HistoryError) -> Failure {
        Failure::History(error)
    }
}

impl From<IndexError> for Failure {
    fn from(error: IndexError) -> Failure {
        Failure::Index(error)
    }
}
