//! What a system says when it refuses, in plain words.
//!
//! Knows nothing of which file it was about.

use std::io::{Error, ErrorKind};

/// The usual refusals in plain words; what is not usual as the system says it.
#[must_use]
pub fn plain_words(error: &Error) -> String {
    const WORDS: [(ErrorKind, &str); 7] = [
        (ErrorKind::NotFound, "there is no such file"),
        (
            ErrorKind::PermissionDenied,
            "you may not read or write this",
        ),
        (ErrorKind::StorageFull, "the disk is full"),
        (
            ErrorKind::FileTooLarge,
            "the disk takes no file as large as this",
        ),
        (ErrorKind::ReadOnlyFilesystem, "the disk is read-only"),
        (
            ErrorKind::AddrNotAvailable,
            "this computer has no such address",
        ),
        (ErrorKind::IsADirectory, "it is a folder"),
    ];
    let known = WORDS.iter().find(|(kind, _)| *kind == error.kind());
    known.map_or_else(|| error.to_string(), |(_, words)| (*words).to_owned())
}
