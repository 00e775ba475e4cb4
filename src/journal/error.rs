//! What can go wrong with a journal's files, in plain words.

use std::io;
use std::path::{Path, PathBuf};

use crate::vocabulary::refusal::plain_words;

/// Why a journal could not be opened, read or added to.
#[derive(Debug, thiserror::Error)]
pub enum JournalError {
    /// No `journal.toml` here or above.
    #[error("there is no journal in {} or in a folder above it", .0.display())]
    NoJournal(PathBuf),
    /// The folder named is not there.
    #[error("there is no folder {}", .0.display())]
    NoFolder(PathBuf),
    /// `begin` in a folder that has one.
    #[error("{} is a journal already", .0.display())]
    AlreadyJournal(PathBuf),
    /// A file that must not be overwritten exists.
    #[error("{} exists already and was left as it is", .0.display())]
    Exists(PathBuf),
    /// A file changed between reading and writing.
    #[error("{} was changed by another program meanwhile and was left as it is", .0.display())]
    Changed(PathBuf),
    /// Bytes that are no UTF-8 are never written back.
    #[error("{} is not UTF-8, so nothing was added to it", .0.display())]
    NotUtf8(PathBuf),
    /// The system refused.
    #[error("{}: {}", .path.display(), plain_words(.error))]
    Io {
        /// The file or folder.
        path: PathBuf,
        /// What the system said.
        error: io::Error,
    },
}

impl JournalError {
    /// The system's error about this path.
    #[must_use]
    pub fn io(path: &Path, error: io::Error) -> JournalError {
        JournalError::Io {
            path: path.to_owned(),
            error,
        }
    }

    /// What to do about it.
    #[must_use]
    pub fn hint(&self) -> Option<String> {
        match self {
            JournalError::NoJournal(_) => Some(
                "go to your journal's folder, name it with `-j FOLDER`, start one with `matchmark begin`, or see the demo with `matchmark tour`"
                    .to_owned(),
            ),
            JournalError::NoFolder(_) => Some("look at how it is written after `-j`".to_owned()),
            JournalError::AlreadyJournal(_) => {
                Some("write the first entry with `matchmark write`".to_owned())
            }
            JournalError::Exists(_) => Some("choose another name or another folder".to_owned()),
            JournalError::Changed(_) => Some("run the same command again".to_owned()),
            JournalError::NotUtf8(_) => {
                Some("save the file as UTF-8 in your editor, then run the command again".to_owned())
            }
            JournalError::Io { error, .. } if error.kind() == io::ErrorKind::StorageFull => {
                Some("make room on the disk, then run the same command again".to_owned())
            }
            JournalError::Io { error, .. } if may_not(error) => {
                Some("you may not write in this folder: look at its permissions, or use another folder".to_owned())
            }
            JournalError::Io { .. } => None,
        }
    }
}

fn may_not(error: &io::Error) -> bool {
    matches!(
        error.kind(),
        io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem
    )
}
