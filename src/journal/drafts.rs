//! Texts that are not finished or could not go where they should: putting them
//! somewhere safe, finding them again, taking them away when they are placed.
//!
//! What they hold is the person's; nothing is deleted that was not placed.

use std::fs;
use std::path::{Path, PathBuf};

use super::durable::{make_private, write_new};
use super::error::JournalError;

/// Writes a draft into the first of these folders that takes it and into which only
/// its owner may look, under a name that is free there.
///
/// # Errors
/// When none takes it: what the last one said.
pub fn put_draft(
    folders: &[PathBuf],
    name: &str,
    bytes: &[u8],
) -> Result<PathBuf, Option<JournalError>> {
    let mut failed = None;
    for folder in folders {
        if !make_private(folder) {
            continue;
        }
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
    Err(failed)
}

/// The drafts in a folder with their bytes, by name.
#[must_use]
pub fn drafts_in(folder: &Path) -> Vec<(PathBuf, Vec<u8>)> {
    let Ok(files) = fs::read_dir(folder) else {
        return Vec::new();
    };
    let mut drafts: Vec<(PathBuf, Vec<u8>)> = files
        .filter_map(|file| {
            let path = file.ok()?.path();
            let is_text = path.extension().is_some_and(|ending| ending == "md");
            let bytes = fs::read(&path).ok().filter(|_| is_text)?;
            Some((path, bytes))
        })
        .collect();
    drafts.sort();
    drafts
}

/// Takes away a draft whose text is in the journal now. One that stays is only
/// untidy.
pub fn remove_draft(file: &Path) {
    let _ = fs::remove_file(file);
}
