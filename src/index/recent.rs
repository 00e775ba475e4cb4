//! Small changes since the index was last written out, kept together in one
//! file beside it.
//!
//! The engine writes a change as a dozen files and waits for the disk after
//! each. For one entry that costs more than putting the entry into the history.
//! So a few changes in a row go into a layer of files that lie above those in
//! the folder, and the layer is kept as one file, written in one go and not
//! waited for: it carries a checksum, and the name of what it lies upon. Where
//! either does not fit, it counts as never written, and the next look at the
//! disk finds the same changes again.
//!
//! What is in the files is not known here, nor when to write them out.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use serde::{Deserialize, Serialize};
use tantivy::directory::error::{DeleteError, LockError, OpenReadError, OpenWriteError};
use tantivy::directory::{
    Directory, DirectoryLock, FileHandle, FileSlice, INDEX_WRITER_LOCK, Lock, MmapDirectory,
    RamDirectory, WatchCallback, WatchHandle, WritePtr,
};

use super::documents::{Seen, Stamp};
use super::error::IndexError;
use super::stamps::{Changes, checksum, racy};

/// So many changes may lie in the layer; each costs every answer a little.
const MOST_CHANGES: u32 = 8;
/// So many bytes may lie in the layer: every answer reads them.
const MOST_BYTES: usize = 1_000_000;
/// A change of more files than this is written out.
pub(super) const MOST_FILES: usize = 4;

/// The file that holds the layer, and where it is written first.
const FILE: &str = "recent";
const UNFINISHED: &str = ".tmp-recent";
/// The engine's list of what belongs to the index.
pub(super) const LIST: &str = "meta.json";

/// What the table of stamps does not know yet.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Later {
    /// How many changes were made.
    changes: u32,
    /// Documents that the index must hold.
    pub(super) documents: u64,
    /// What each changed file looked like, and the file system's clock before
    /// it was read; `None`: it was gone.
    files: BTreeMap<String, Option<(Stamp, i64)>>,
}

impl Later {
    /// One more change: this was `done`, the files looking as they were `seen`, after
    /// the file system's clock said `taken_ns`.
    /// Afterwards the index holds so many `documents`.
    pub(super) fn and(
        mut self,
        done: &Changes<'_>,
        seen: &[Seen<'_>],
        taken_ns: i64,
        documents: u64,
    ) -> Later {
        self.changes += 1;
        self.documents = documents;
        for path in &done.gone {
            self.files.insert(path.clone(), None);
        }
        for path in &done.read {
            let looked = looked_at(seen, path).map(|file| (file.stamp, taken_ns));
            self.files.insert((*path).to_owned(), looked);
        }
        self
    }

    /// Sets right what the table of stamps took for changed, or for unchanged.
    pub(super) fn correct<'s>(&self, changes: Changes<'s>, seen: &[Seen<'s>]) -> Changes<'s> {
        let mut read: BTreeSet<&'s str> = changes.read.into_iter().collect();
        let mut gone: BTreeSet<String> = changes.gone.into_iter().collect();
        for (path, looked) in &self.files {
            match (looked, looked_at(seen, path)) {
                (Some((stamp, taken)), Some(now)) => {
                    if now.stamp == *stamp && !racy(stamp, *taken) {
                        read.remove(now.path);
                    } else {
                        read.insert(now.path);
                    }
                }
                (Some(_), None) => {
                    gone.insert(path.clone());
                }
                (None, Some(now)) => {
                    read.insert(now.path);
                }
                (None, None) => {
                    gone.remove(path);
                }
            }
        }
        Changes {
            read: read.into_iter().collect(),
            gone: gone.into_iter().collect(),
            known: changes.known,
        }
    }
}

/// A file among those seen, which are in order of path.
fn looked_at<'s>(seen: &[Seen<'s>], path: &str) -> Option<Seen<'s>> {
    let at = seen.binary_search_by(|file| file.path.cmp(path));
    at.ok().map(|at| seen[at])
}

/// The layer as it is kept.
#[derive(Serialize, Deserialize)]
struct Kept {
    /// The checksum of the list of files in the folder below.
    upon: u64,
    later: Later,
    files: Vec<(String, Vec<u8>)>,
}

/// The index's folder with the layer above it. Nothing is written into the
/// folder but the layer.
#[derive(Clone)]
pub(super) struct Layered {
    folder: PathBuf,
    below: MmapDirectory,
    above: Arc<Mutex<Above>>,
}

#[derive(Default)]
struct Above {
    upon: u64,
    later: Option<Later>,
    files: RamDirectory,
}

impl Layered {
    /// The folder with the layer that was kept last.
    pub(super) fn new(folder: &Path, below: MmapDirectory) -> Layered {
        let layered = Layered {
            folder: folder.to_owned(),
            below,
            above: Arc::default(),
        };
        layered.look_again();
        layered
    }

    /// Takes up what another process may have kept meanwhile.
    pub(super) fn look_again(&self) {
        let list = fs::read(self.folder.join(LIST)).unwrap_or_default();
        let upon = checksum(&list);
        let kept = fs::read(self.folder.join(FILE)).ok();
        let kept = kept
            .and_then(|bytes| unsealed(&bytes))
            .filter(|kept| kept.upon == upon);
        let mut above = Above {
            upon,
            ..Above::default()
        };
        if let Some(kept) = kept {
            let put = |(path, bytes): &(String, Vec<u8>)| {
                above.files.atomic_write(Path::new(path), bytes).is_ok()
            };
            if kept.files.iter().all(put) {
                above.later = Some(kept.later);
            } else {
                above.files = RamDirectory::create();
            }
        }
        *self.above() = above;
    }

    /// Where the index lies.
    pub(super) fn folder(&self) -> &Path {
        &self.folder
    }

    /// What tells one state of the index from another.
    pub(super) fn state(&self) -> (u64, Option<Later>) {
        let above = self.above();
        (above.upon, above.later.clone())
    }

    /// What the table of stamps does not know yet; `None` if nothing.
    pub(super) fn later(&self) -> Option<Later> {
        self.state().1
    }

    /// Whether one more change may go into the layer.
    pub(super) fn has_room(&self) -> bool {
        let above = self.above();
        above.files.total_mem_usage() < MOST_BYTES
            && above
                .later
                .as_ref()
                .is_none_or(|later| later.changes < MOST_CHANGES)
    }

    /// Keeps those of the index's `names` that the folder has not. To be called
    /// under the writer's lock.
    pub(super) fn keep(&self, mut names: Vec<PathBuf>, later: Later) -> Result<(), IndexError> {
        names.push(LIST.into());
        let mut above = self.above();
        let mut files = Vec::new();
        for name in names {
            if above.files.exists(&name).unwrap_or(false) {
                let bytes = above
                    .files
                    .atomic_read(&name)
                    .map_err(IndexError::damaged)?;
                files.push((name.display().to_string(), bytes));
            }
        }
        let kept = Kept {
            upon: above.upon,
            later: later.clone(),
            files,
        };
        let unfinished = self.folder.join(UNFINISHED);
        fs::write(&unfinished, sealed(&kept))
            .and_then(|()| fs::rename(&unfinished, self.folder.join(FILE)))
            .map_err(IndexError::disk)?;
        above.later = Some(later);
        Ok(())
    }

    /// Removes the layer, as all of it was written out.
    pub(super) fn clear(&self) {
        // If it cannot be removed, it does not fit what is below now.
        let _ = fs::remove_file(self.folder.join(FILE));
        self.look_again();
    }

    fn above(&self) -> MutexGuard<'_, Above> {
        self.above.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn has_above(&self, path: &Path) -> bool {
        self.above().files.exists(path).unwrap_or(false)
    }
}

fn sealed(kept: &Kept) -> Vec<u8> {
    // Writing plain values into memory cannot fail.
    let body = postcard::to_stdvec(kept).unwrap_or_default();
    let mut bytes = checksum(&body).to_le_bytes().to_vec();
    bytes.extend(body);
    bytes
}

fn unsealed(bytes: &[u8]) -> Option<Kept> {
    let (sum, body) = bytes.split_first_chunk()?;
    if u64::from_le_bytes(*sum) != checksum(body) {
        return None;
    }
    postcard::from_bytes(body).ok()
}

impl fmt::Debug for Layered {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_tuple("Layered").field(&self.folder).finish()
    }
}

impl Directory for Layered {
    fn get_file_handle(&self, path: &Path) -> Result<Arc<dyn FileHandle>, OpenReadError> {
        if self.has_above(path) {
            return self.above().files.get_file_handle(path);
        }
        self.below.get_file_handle(path)
    }

    fn open_read(&self, path: &Path) -> Result<FileSlice, OpenReadError> {
        if self.has_above(path) {
            return self.above().files.open_read(path);
        }
        self.below.open_read(path)
    }

    /// What lies in the folder stays: the folder must make sense without the layer.
    fn delete(&self, path: &Path) -> Result<(), DeleteError> {
        if self.has_above(path) {
            return self.above().files.delete(path);
        }
        Ok(())
    }

    fn exists(&self, path: &Path) -> Result<bool, OpenReadError> {
        Ok(self.has_above(path) || self.below.exists(path)?)
    }

    fn open_write(&self, path: &Path) -> Result<WritePtr, OpenWriteError> {
        self.above().files.open_write(path)
    }

    fn atomic_read(&self, path: &Path) -> Result<Vec<u8>, OpenReadError> {
        if self.has_above(path) {
            return self.above().files.atomic_read(path);
        }
        self.below.atomic_read(path)
    }

    fn atomic_write(&self, path: &Path, data: &[u8]) -> io::Result<()> {
        self.above().files.atomic_write(path, data)
    }

    fn sync_directory(&self) -> io::Result<()> {
        Ok(())
    }

    fn acquire_lock(&self, lock: &Lock) -> Result<DirectoryLock, LockError> {
        let held = self.below.acquire_lock(lock)?;
        if lock.filepath == INDEX_WRITER_LOCK.filepath {
            // From here on nobody else writes, so this is the last word.
            self.look_again();
        }
        Ok(held)
    }

    fn watch(&self, callback: WatchCallback) -> tantivy::Result<WatchHandle> {
        self.below.watch(callback)
    }
}
