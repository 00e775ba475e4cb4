//! Writing objects so that they are safely on disk before anything refers to them.
//!
//! Done by hand because gix never syncs, renames its temporary files into place
//! before their bytes are safe, and names them so that `git gc` never cleans them up.
//! Reads objects only to see whether they are there.

use std::{
    collections::{BTreeSet, HashSet},
    fs,
    io::Write,
    path::{Path, PathBuf},
};

use gix::{
    ObjectId,
    objs::Kind,
    zlib::{
        Compression, Status,
        stream::deflate::{Compress, FlushCompress},
    },
};

use super::{
    HistoryError, Result,
    object_store::{ObjectSink, WrittenTree, name, objects_folder, sync, temporary},
    pack::Pack,
};
use crate::parallel;

/// From this many objects on, one pack is written instead of single files (git's own
/// `fetch.unpackLimit`): it is quicker to sync and quicker to read.
const PACK_FROM: usize = 100;

/// Most threads that wait for the disk at once.
const SYNCING: usize = 8;

/// A few new objects in memory, with those left out that the repository has already.
pub(super) struct ObjectBuffer<'r> {
    repo: &'r gix::Repository,
    objects: Vec<(ObjectId, Kind, Vec<u8>)>,
    /// Already in the repository, put there by somebody.
    present: Vec<ObjectId>,
    known: HashSet<ObjectId>,
}

impl<'r> ObjectBuffer<'r> {
    pub(super) fn new(repo: &'r gix::Repository) -> Self {
        ObjectBuffer {
            repo,
            objects: Vec::new(),
            present: Vec::new(),
            known: HashSet::new(),
        }
    }

    /// Whether it can be read, and not only whether it is there: a power cut under another
    /// program may have left an empty file, and then it must be written again. (Asked of
    /// the object store, because the repository pretends to have the empty folder.)
    fn has(&self, id: ObjectId) -> bool {
        use gix::objs::Find;
        let mut objects = self.repo.objects.clone();
        // It is nearly always new, and writing once more what another program put
        // there this very moment does no harm.
        objects.refresh_never();
        matches!(objects.try_find(&id, &mut Vec::new()), Ok(Some(_)))
    }

    /// Writes all of them to disk, synced with their folders, and does `meanwhile`
    /// what does not need them.
    pub(super) fn write<T>(self, meanwhile: impl FnOnce() -> Result<T>) -> Result<T> {
        let folder = objects_folder(self.repo);
        if self.objects.len() >= PACK_FROM {
            let done = meanwhile()?;
            sync_present(&folder, &self.present)?;
            let mut pack = Pack::new(self.repo);
            for (_, kind, bytes) in self.objects {
                pack.put(kind, bytes, None)?;
            }
            pack.finish()?;
            return Ok(done);
        }
        let ObjectBuffer {
            objects, present, ..
        } = &self;
        let writing = || {
            sync_present(&folder, present)?;
            write_loose(&folder, objects)
        };
        let (written, done) = parallel::both(writing, meanwhile);
        written?;
        done
    }
}

/// What another program put there a moment ago (`git add` syncs nothing by default)
/// must be as safe as what we write, before a commit relies on it.
fn sync_present(folder: &Path, present: &[ObjectId]) -> Result<()> {
    for id in present {
        let path = loose_path(folder, *id);
        if path.exists() {
            sync(&path)?;
            path.parent().map_or(Ok(()), sync)?;
        }
    }
    Ok(())
}

impl ObjectSink for ObjectBuffer<'_> {
    fn put(&mut self, kind: Kind, bytes: Vec<u8>, _like: Option<&WrittenTree>) -> Result<ObjectId> {
        let id = name(kind, &bytes)?;
        if self.known.insert(id) {
            if self.has(id) {
                self.present.push(id);
            } else {
                self.objects.push((id, kind, bytes));
            }
        }
        Ok(id)
    }
}

fn write_loose(folder: &Path, objects: &[(ObjectId, Kind, Vec<u8>)]) -> Result<()> {
    // All bytes first and all syncs after: the disk then works them off together.
    let mut written = Vec::with_capacity(objects.len());
    // Its tables are larger than all that goes through it.
    let mut stream = Compress::new(Compression::BEST_SPEED);
    for (id, kind, bytes) in objects {
        let mut whole = gix::objs::encode::loose_header(*kind, bytes.len() as u64).to_vec();
        whole.extend_from_slice(bytes);
        let packed =
            deflated(&mut stream, &whole).map_err(HistoryError::git("compress an object"))?;
        let mut file = temporary(folder, "tmp_obj_")?;
        file.write_all(&packed)
            .map_err(HistoryError::file("write", file.path()))?;
        written.push((id, file));
    }
    synced(&written, |(_, file)| {
        file.as_file()
            .sync_all()
            .map_err(HistoryError::file("sync", file.path()))
    })?;
    let mut folders = BTreeSet::new();
    for (id, file) in written {
        let path = loose_path(folder, *id);
        let home = path.parent().unwrap_or(folder).to_owned();
        if !home.is_dir() {
            fs::create_dir_all(&home).map_err(HistoryError::file("create", &home))?;
            folders.insert(folder.to_owned());
        }
        file.persist(&path)
            .map_err(|error| HistoryError::file("write", &path)(error.error))?;
        folders.insert(home);
    }
    let folders: Vec<PathBuf> = folders.into_iter().collect();
    synced(&folders, |folder| sync(folder))
}

/// These bytes as a zlib stream of their own.
fn deflated(stream: &mut Compress, bytes: &[u8]) -> gix::error::Result<Vec<u8>> {
    stream.reset();
    let mut packed = vec![0; bytes.len() / 2 + 64];
    loop {
        let read = usize::try_from(stream.total_in()).unwrap_or(usize::MAX);
        let written = usize::try_from(stream.total_out()).unwrap_or(usize::MAX);
        let status = stream.compress(
            &bytes[read..],
            &mut packed[written..],
            FlushCompress::Finish,
        )?;
        if status == Status::StreamEnd {
            packed.truncate(usize::try_from(stream.total_out()).unwrap_or(usize::MAX));
            return Ok(packed);
        }
        packed.resize(packed.len() * 2, 0);
    }
}

/// Waits for the disk for all of these together: a file system that keeps a
/// journal then writes it once instead of once for each.
fn synced<T: Sync>(items: &[T], sync: impl Fn(&T) -> Result<()> + Sync) -> Result<()> {
    parallel::each(SYNCING, items, sync).into_iter().collect()
}

/// Where a single object lies: `ab/cdef…`.
fn loose_path(folder: &Path, id: ObjectId) -> PathBuf {
    let hex = id.to_hex().to_string();
    let (fan, rest) = hex.split_at(2);
    folder.join(fan).join(rest)
}
