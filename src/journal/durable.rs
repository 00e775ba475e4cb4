//! Writing files and folders so that a power cut leaves them whole or as they were.
//!
//! What stands in them, and where they belong in a journal, is not known here.

use std::fs::{self, File};
use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};
use std::time::Duration;

use super::error::JournalError;
use super::root::find_root;

/// Writes a file that must not exist yet, whole or not at all.
///
/// # Errors
/// When it exists, or cannot be written.
pub fn write_new(path: &Path, bytes: &[u8]) -> Result<(), JournalError> {
    put_new(write_beside(path, bytes)?, path)
}

/// Copies a file to a name that is free, whole or not at all, without holding it in
/// memory.
///
/// # Errors
/// When the name is taken, or either cannot be read or written; nothing is left behind.
pub fn copy_new(from: &Path, to: &Path) -> Result<(), JournalError> {
    let mut source = File::open(from).map_err(|error| JournalError::io(from, error))?;
    let beside = fill_beside(to, |file| io::copy(&mut source, file).map(drop))?;
    put_new(beside, to)
}

/// Gives a finished file a name that is free.
fn put_new(beside: tempfile::NamedTempFile, path: &Path) -> Result<(), JournalError> {
    match beside.persist_noclobber(path) {
        Ok(_) => sync_folder(path),
        Err(failed) if failed.error.kind() == ErrorKind::AlreadyExists => {
            Err(JournalError::Exists(path.to_owned()))
        }
        Err(failed) => Err(JournalError::io(path, failed.error)),
    }
}

/// Puts new bytes in the place of a file, whole or not at all; the file keeps
/// its permissions.
///
/// # Errors
/// When it cannot be written; the file is then as it was.
pub fn write_atomically(path: &Path, bytes: &[u8]) -> Result<(), JournalError> {
    let beside = write_beside(path, bytes)?;
    if let Ok(metadata) = fs::metadata(path) {
        beside
            .as_file()
            .set_permissions(metadata.permissions())
            .map_err(|error| JournalError::io(path, error))?;
    }
    match beside.persist(path) {
        Ok(_) => sync_folder(path),
        Err(failed) => Err(JournalError::io(path, failed.error)),
    }
}

/// Puts new bytes in the place of a file, whole or not at all, without waiting for the
/// disk: for what can be made again. After a power cut it may be damaged.
///
/// # Errors
/// When it cannot be written; the file is then as it was.
pub fn write_unsynced(path: &Path, bytes: &[u8]) -> Result<(), JournalError> {
    let fail = |error| JournalError::io(path, error);
    let folder = path.parent().unwrap_or(Path::new("."));
    fs::create_dir_all(folder).map_err(fail)?;
    let mut file = tempfile::Builder::new()
        .prefix(UNFINISHED)
        .suffix(".part")
        .tempfile_in(workshop(folder))
        .map_err(fail)?;
    file.write_all(bytes).map_err(fail)?;
    file.persist(path).map_err(|failed| fail(failed.error))?;
    Ok(())
}

/// Writes a file that only its owner may read, over one that is there.
///
/// # Errors
/// When it cannot be written.
pub fn write_private(path: &Path, bytes: &[u8]) -> Result<(), JournalError> {
    let mut options = fs::OpenOptions::new();
    options.write(true).create(true).truncate(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let written = options
        .open(path)
        .and_then(|mut file| file.write_all(bytes));
    written.map_err(|error| JournalError::io(path, error))
}

/// With this begin the names of texts that are not finished.
pub(super) const UNFINISHED: &str = "writing-";
/// With this begin the names of the history's files that are not finished.
pub const UNFINISHED_BY_HISTORY: &str = "unfinished-";

/// No run needs as long as this between the first byte of a text and its name.
pub(super) const NEVER_SO_LONG: Duration = Duration::from_secs(3600);

/// A synced file that is to take the place of `path`, removed again if nothing comes of it.
pub(super) fn write_beside(
    path: &Path,
    bytes: &[u8],
) -> Result<tempfile::NamedTempFile, JournalError> {
    fill_beside(path, |file| file.write_all(bytes))
}

/// A file beside another, filled and safe on disk.
fn fill_beside(
    path: &Path,
    fill_with: impl FnOnce(&mut File) -> io::Result<()>,
) -> Result<tempfile::NamedTempFile, JournalError> {
    let fail = |error| JournalError::io(path, error);
    let folder = path.parent().unwrap_or(Path::new("."));
    make_synced_folder(folder).map_err(fail)?;
    let folder = workshop(folder);
    let mut builder = tempfile::Builder::new();
    builder.prefix(UNFINISHED).suffix(".part");
    #[cfg(unix)]
    builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o644));
    let mut file = builder.tempfile_in(folder).map_err(fail)?;
    fill_with(file.as_file_mut()).map_err(fail)?;
    file.as_file().sync_all().map_err(fail)?;
    Ok(file)
}

/// Where a file is written before it takes its place in `folder`: out of git's sight in
/// the journal's own folder if that is on the same disk.
fn workshop(folder: &Path) -> PathBuf {
    let hidden = find_root(folder).map(|root| root.join(".matchmark"));
    hidden
        .filter(|hidden| hidden.is_dir() && is_on_the_disk_of(hidden, folder))
        .unwrap_or_else(|| folder.to_owned())
}

#[cfg(unix)]
fn is_on_the_disk_of(one: &Path, other: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    let disk = |folder: &Path| fs::metadata(folder).map(|meta| meta.dev()).ok();
    disk(one).is_some_and(|one| disk(other) == Some(one))
}

/// Where the system does not say, no.
#[cfg(not(unix))]
fn is_on_the_disk_of(_: &Path, _: &Path) -> bool {
    false
}

/// Makes a folder such that only its owner may look into it, with those above it;
/// whether it is one now. What is not finished is for nobody else's eyes.
pub(super) fn make_private(folder: &Path) -> bool {
    if make_synced_folder(folder).is_err() {
        return false;
    }
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // Only the owner can: in a place for all it may be somebody else's.
        let is_open = fs::symlink_metadata(folder).map_or(true, |meta| {
            !meta.is_dir() || meta.permissions().mode() & 0o077 != 0
        });
        !is_open || fs::set_permissions(folder, fs::Permissions::from_mode(0o700)).is_ok()
    }
    #[cfg(not(unix))]
    true
}

/// Makes a folder with those above it, as durable as what will be in it.
pub(super) fn make_synced_folder(folder: &Path) -> io::Result<()> {
    for above in make_folder(folder)? {
        sync_one_folder(&above)?;
    }
    Ok(())
}

/// Makes a folder with those above it; returns the folders in which there is a new one,
/// to be synced.
fn make_folder(folder: &Path) -> io::Result<Vec<PathBuf>> {
    let missing = folder
        .ancestors()
        .take_while(|above| !above.as_os_str().is_empty() && !above.exists());
    let grown = missing.filter_map(Path::parent).map(|above| {
        if above.as_os_str().is_empty() {
            PathBuf::from(".")
        } else {
            above.to_owned()
        }
    });
    let grown: Vec<PathBuf> = grown.collect();
    fs::create_dir_all(folder)?;
    Ok(grown)
}

/// Makes the name of a new file as durable as its bytes.
fn sync_folder(path: &Path) -> Result<(), JournalError> {
    let folder = path.parent().unwrap_or(Path::new("."));
    sync_one_folder(folder).map_err(|error| JournalError::io(path, error))
}

/// Makes the names in a folder survive a power cut. Folders cannot be opened on every
/// system; where they can, they can be synced.
fn sync_one_folder(folder: &Path) -> io::Result<()> {
    File::open(folder).map_or(Ok(()), |folder| folder.sync_all())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_folders_that_grew_are_named_from_the_new_one_up() {
        let top = tempfile::tempdir().expect("a folder");
        let made = |below: &str| make_folder(&top.path().join(below)).expect("made");
        let at = |below: &str| top.path().join(below);
        assert_eq!(made("a/b/c"), [at("a/b"), at("a"), at("")]);
        assert_eq!(made("a/b/d"), [at("a/b")]);
        assert_eq!(made("a/b"), Vec::<PathBuf>::new());
    }
}
