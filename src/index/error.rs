//! What can keep the index from answering, and what the caller can do then.
//!
//! The engine's own errors are told apart once, here; no other file names them.

use std::cell::Cell;

use tantivy::TantivyError;
use tantivy::directory::error::{LockError, OpenReadError};

/// Why the index cannot answer.
#[derive(Debug, thiserror::Error)]
pub enum IndexError {
    /// The folder is read-only, the disk is full, or the like. An index
    /// [in memory](super::Index::in_memory) answers the same.
    #[error("the search index cannot be written ({0})")]
    CannotWrite(String),
    /// Another process kept writing longer than this one was willing to wait.
    /// An index in memory answers the same.
    #[error("another matchmark is busy writing the search index")]
    Busy,
    /// The stored index does not make sense. After
    /// [`distrust`](super::Index::distrust) the next refresh makes a new one.
    #[error("the search index is damaged ({0})")]
    Damaged(String),
}

impl IndexError {
    /// An error met while writing: nearly always the disk.
    pub(super) fn writing(error: TantivyError) -> Self {
        match busy(&error) {
            true => Self::Busy,
            false => Self::CannotWrite(error.to_string()),
        }
    }

    /// An error met while reading: nearly always damage.
    fn reading(error: TantivyError) -> Self {
        // A reader takes a short lock, for which it must be allowed to write.
        if let TantivyError::LockFailure(LockError::IoError(cause), _) = &error {
            return Self::CannotWrite(cause.to_string());
        }
        if let TantivyError::OpenReadError(OpenReadError::IoError { io_error, .. }) = &error
            && io_error.kind() == std::io::ErrorKind::PermissionDenied
        {
            return Self::CannotWrite(io_error.to_string());
        }
        match busy(&error) {
            true => Self::Busy,
            false => Self::Damaged(error.to_string()),
        }
    }

    /// An error of the file system.
    pub(super) fn disk(error: std::io::Error) -> Self {
        Self::CannotWrite(error.to_string())
    }

    pub(super) fn damaged(what: impl ToString) -> Self {
        Self::Damaged(what.to_string())
    }
}

/// Reads from the index. The engine asserts what it expects to find there, so
/// bytes that make no sense may end in a panic, which is damage like any other.
pub(super) fn reading<T>(read: impl FnOnce() -> tantivy::Result<T>) -> Result<T, IndexError> {
    let before = EXPECTS_DAMAGE.replace(true);
    let read = std::panic::catch_unwind(std::panic::AssertUnwindSafe(read));
    EXPECTS_DAMAGE.set(before);
    match read {
        Ok(read) => read.map_err(IndexError::reading),
        Err(_) => Err(IndexError::damaged("bytes that make no sense")),
    }
}

thread_local! {
    /// Whether a panic of this thread is going to be caught as damage.
    static EXPECTS_DAMAGE: Cell<bool> = const { Cell::new(false) };
}

/// Whether this thread is reading what may be damaged: a panic in there is not
/// worth telling anybody, as the index is made anew.
#[must_use]
pub fn expects_damage() -> bool {
    EXPECTS_DAMAGE.get()
}

fn busy(error: &TantivyError) -> bool {
    matches!(error, TantivyError::LockFailure(LockError::LockBusy, _))
}
