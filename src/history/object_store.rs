//! What writing objects one by one and as a pack share: names, files, syncing.
//!
//! `objects` and `pack` decide what is written.

use std::{
    fs,
    path::{Path, PathBuf},
};

use gix::{ObjectId, objs::Kind};

use super::{HistoryError, Result};

/// Somewhere to put new objects.
pub(super) trait ObjectSink {
    /// Takes an object. `like` is an older version of the same tree, against which
    /// it can be stored in a few bytes.
    fn put(&mut self, kind: Kind, bytes: Vec<u8>, like: Option<&WrittenTree>) -> Result<ObjectId>;
}

/// A folder as it was last written.
pub(super) struct WrittenTree {
    pub(super) id: ObjectId,
    pub(super) bytes: Vec<u8>,
}

/// The name git gives to these bytes.
pub(super) fn name(kind: Kind, bytes: &[u8]) -> Result<ObjectId> {
    gix::objs::compute_hash(gix::hash::Kind::Sha1, kind, bytes)
        .map_err(HistoryError::git("name an object"))
}

pub(super) fn objects_folder(repo: &gix::Repository) -> PathBuf {
    repo.common_dir().join("objects")
}

/// Read-only like every object of git, minus the umask.
pub(super) fn temporary(folder: &Path, prefix: &str) -> Result<tempfile::NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(prefix);
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(fs::Permissions::from_mode(0o444));
    }
    builder
        .tempfile_in(folder)
        .map_err(HistoryError::file("write into", folder))
}

/// Makes the names in a folder, or the bytes of a file, survive a power cut. Where
/// what is open for reading cannot be synced, the system is trusted with it.
pub(super) fn sync(path: &Path) -> Result<()> {
    if cfg!(unix) {
        fs::File::open(path)
            .and_then(|file| file.sync_all())
            .map_err(HistoryError::file("sync", path))?;
    }
    Ok(())
}
