//! Which entries are on disk, and whether they changed since last time.
//!
//! Links are not followed: they could lead in circles, or out of the journal.

use std::fs;
use std::path::Path;

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
    let mut found = Vec::new();
    for item in WalkDir::new(&entries).follow_links(false).max_depth(8) {
        let item = match item {
            Ok(item) => item,
            Err(error) => {
                let vanished = error
                    .io_error()
                    .is_some_and(|error| error.kind() == std::io::ErrorKind::NotFound);
                if vanished {
                    continue;
                }
                let path = error.path().unwrap_or(&entries).to_owned();
                let error = error.into_io_error().unwrap_or_else(|| {
                    std::io::Error::other("this folder cannot be walked through")
                });
                return Err(JournalError::io(&path, error));
            }
        };
        if !item.file_type().is_file() || item.path().extension().is_none_or(|end| end != "md") {
            continue;
        }
        let Ok(inside) = item.path().strip_prefix(root) else {
            continue;
        };
        let Some(path) = slashed(inside) else {
            continue;
        };
        let Ok(metadata) = fs::symlink_metadata(item.path()) else {
            continue;
        };
        found.push(FoundFile { path, metadata });
    }
    found.sort_by(|a, b| a.path.cmp(&b.path));
    Ok(found)
}

/// A relative path with `/` between folders; `None` if it is no UTF-8.
fn slashed(path: &Path) -> Option<String> {
    let parts: Option<Vec<&str>> = path
        .components()
        .map(|part| part.as_os_str().to_str())
        .collect();
    Some(parts?.join("/"))
}
