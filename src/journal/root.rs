//! Where a journal begins: the folder that holds its settings.
//!
//! Reads nothing of it.

use std::path::{Path, PathBuf};

/// The journal that `folder` is in: the nearest folder upwards with a
/// `journal.toml`.
#[must_use]
pub fn find_root(folder: &Path) -> Option<PathBuf> {
    folder
        .ancestors()
        .find(|folder| folder.join("journal.toml").is_file())
        .map(Path::to_owned)
}

/// The journal around a folder that need not be there yet, itself left out.
#[must_use]
pub fn find_around(folder: &Path) -> Option<PathBuf> {
    let above = folder.ancestors().skip(1).find(|above| above.is_dir())?;
    find_root(&above.canonicalize().ok()?)
}
