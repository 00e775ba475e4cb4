//! Which entries are on disk, and whether they changed since last time.
//!
//! Links are not followed: they could lead in circles, or out of the journal.

use std::fs;
use std::io::ErrorKind;
use std::panic::resume_unwind;
use std::path::{Path, PathBuf};
use std::thread;

use walkdir::WalkDir;

use super::error::JournalError;

/// An entry's file.
#[derive(Clone, Debug)]
pub struct FoundFile {
    /// The path inside the journal, with `/` between folders.
    pub path: String,
    /// What the disk says of it without opening it.
    pub metadata: fs::Metadata,
}

/// All entries below `root/entries`, sorted by path. A file that vanishes
/// meanwhile is left out.
///
/// # Errors
/// When the folder cannot be read.
pub fn walk_entries(root: &Path) -> Result<Vec<FoundFile>, JournalError> {
    let entries = root.join("entries");
    if !entries.exists() {
        return Ok(Vec::new());
    }
    let fail = |error| JournalError::io(&entries, error);
    let mut tops: Vec<PathBuf> = fs::read_dir(&entries)
        .map_err(fail)?
        .map(|item| item.map(|item| item.path()).map_err(fail))
        .collect::<Result<_, _>>()?;
    tops.sort();
    // The look at the disk is most of what an answer costs, and the disk
    // answers several at once.
    let hands = thread::available_parallelism()
        .map_or(1, usize::from)
        .min(4);
    let share = tops.len().div_ceil(hands).max(1);
    let shares = thread::scope(|scope| {
        let walking: Vec<_> = tops
            .chunks(share)
            .map(|tops| scope.spawn(|| walk(root, tops)))
            .collect();
        walking
            .into_iter()
            .map(|one| one.join().unwrap_or_else(|panic| resume_unwind(panic)))
            .collect::<Result<Vec<_>, _>>()
    })?;
    let mut found: Vec<FoundFile> = shares.into_iter().flatten().collect();
    found.sort_by(|a, b| a.path.cmp(&b.path));
    Ok(found)
}

/// The entries at and below these files and folders.
fn walk(root: &Path, tops: &[PathBuf]) -> Result<Vec<FoundFile>, JournalError> {
    let mut found = Vec::new();
    for top in tops {
        let walk = WalkDir::new(top).follow_links(false).max_depth(7);
        for item in walk.sort_by_file_name() {
            let item = match item {
                Ok(item) => item,
                Err(error) if is_gone(&error) => continue,
                Err(error) => {
                    let path = error.path().unwrap_or(top).to_owned();
                    let error = error.into_io_error().unwrap_or_else(|| {
                        std::io::Error::other("this folder cannot be walked through")
                    });
                    return Err(JournalError::io(&path, error));
                }
            };
            let is_entry = item.file_type().is_file()
                && item.path().extension().is_some_and(|end| end == "md");
            if !is_entry {
                continue;
            }
            let path = item.path().strip_prefix(root).ok().and_then(slashed);
            if let (Some(path), Ok(metadata)) = (path, item.metadata()) {
                found.push(FoundFile { path, metadata });
            }
        }
    }
    Ok(found)
}

fn is_gone(error: &walkdir::Error) -> bool {
    error
        .io_error()
        .is_some_and(|error| error.kind() == ErrorKind::NotFound)
}

/// A relative path with `/` between folders; `None` if it is no UTF-8.
fn slashed(path: &Path) -> Option<String> {
    let parts: Option<Vec<&str>> = path
        .components()
        .map(|part| part.as_os_str().to_str())
        .collect();
    Some(parts?.join("/"))
}
