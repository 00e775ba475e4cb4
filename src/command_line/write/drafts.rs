//! Where a text stays that could not go where it should: nothing that was typed
//! is ever lost, and the person is told where it is.

use std::path::PathBuf;

use super::super::failure::Failure;
use crate::journal::{Journal, JournalError, write_new};

/// What was tried with a text; if it failed, the text is put where it is safe,
/// and the failure says where.
pub(super) fn or_draft<T>(
    tried: Result<T, Failure>,
    name: &str,
    text: &str,
    journal: &Journal,
) -> Result<T, Failure> {
    let failure = match tried {
        Ok(done) => return Ok(done),
        Err(failure) => failure,
    };
    let file = keep_draft(journal, name, text.as_bytes())?;
    Err(Failure::misuse(
        format!("{failure}; your text is in {}", file.display()),
        failure.hint().unwrap_or_default(),
    ))
}

/// Puts a text that could not go where it should where it is safe.
pub(super) fn keep_draft(journal: &Journal, name: &str, bytes: &[u8]) -> Result<PathBuf, Failure> {
    let folders = [
        journal.drafts(),
        std::env::temp_dir().join("matchmark-drafts"),
    ];
    let mut failed = None;
    for folder in folders {
        for number in 1..1000 {
            let file = folder.join(format!("{number}-{name}"));
            match write_new(&file, bytes) {
                Ok(()) => return Ok(file),
                Err(JournalError::Exists(_)) => {}
                Err(error) => {
                    failed = Some(error);
                    break;
                }
            }
        }
    }
    // Nowhere to write: then the person gets it back on the screen.
    Err(Failure::NowhereToWrite {
        why: failed.map(|error| error.to_string()).unwrap_or_default(),
        text: String::from_utf8_lossy(bytes).into_owned(),
    })
}
