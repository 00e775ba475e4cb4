//! The folder in which the index lies: opened if it can be trusted, else made
//! new, and the one writer at a time.
//!
//! What is stored is not known here, only whether it is whole.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::time::Duration;

use tantivy::directory::{
    Directory, DirectoryLock, INDEX_WRITER_LOCK, MmapDirectory, RamDirectory,
};
use tantivy::index::SegmentComponent;
use tantivy::indexer::{IndexWriterOptions, LogMergePolicy};
use tantivy::{IndexReader, IndexSettings, IndexWriter, ReloadPolicy};

use super::analyzer::analyzers;
use super::error::{IndexError, reading};
use super::schema::{FORMAT, schema};
use super::stamps::NEVER;
use crate::vocabulary::moment::nanoseconds;

/// How long to rest between two tries for the writer's lock.
const REST: Duration = Duration::from_millis(10);

/// Memory in which one thread gathers documents before it writes them out.
const MEMORY_SMALL: usize = 15_000_000;
const MEMORY_LARGE: usize = 32_000_000;

/// The folder of this format, inside the one given by the caller.
pub(super) fn folder_of_format(folder: &Path) -> PathBuf {
    folder.join(format!("v{FORMAT}"))
}

/// Opens the index in `folder`, which is made if it is missing. One that cannot
/// be trusted is replaced by an empty one.
pub(super) fn open(
    folder: &Path,
    wait: Duration,
) -> Result<(tantivy::Index, IndexReader), IndexError> {
    fs::create_dir_all(folder).map_err(IndexError::disk)?;
    match open_whole(folder) {
        Err(IndexError::Damaged(_)) => replace(folder, wait),
        other => other,
    }
}

fn directory(folder: &Path) -> Result<MmapDirectory, IndexError> {
    MmapDirectory::open(folder).map_err(|error| IndexError::CannotWrite(error.to_string()))
}

/// An empty index in memory.
pub(super) fn in_memory() -> Result<(tantivy::Index, IndexReader), IndexError> {
    create(RamDirectory::create()).map_err(IndexError::writing)
}

fn open_whole(folder: &Path) -> Result<(tantivy::Index, IndexReader), IndexError> {
    let directory = directory(folder)?;
    let mut index = reading(|| tantivy::Index::open(directory))?;
    if index.schema() != schema().0 {
        return Err(IndexError::damaged("other fields"));
    }
    index.set_tokenizers(analyzers());
    let touched = touched(&index, folder)?;
    let is_whole = |file: &PathBuf| index.directory().validate_checksum(file).unwrap_or(false);
    if !reading(|| Ok(touched.iter().all(is_whole)))? {
        return Err(IndexError::damaged("a changed file"));
    }
    let reader = reading(|| reader(&index))?;
    Ok((index, reader))
}

/// The files that were written after the list of files was: by someone else, as
/// the engine writes the list last and never changes a file. Reading all files
/// to check them would cost more than the answer; these few are free.
fn touched(index: &tantivy::Index, folder: &Path) -> Result<Vec<PathBuf>, IndexError> {
    let modified = |path: &Path| {
        let found = fs::metadata(folder.join(path)).ok()?;
        found.modified().ok().map(nanoseconds)
    };
    let listed = modified(Path::new("meta.json"));
    let mut files = segment_files(index)?;
    // Not every segment has every file.
    files.retain(|file| modified(file).is_some_and(|at| Some(at) >= listed));
    Ok(files)
}

/// The names of all files that the current segments may have.
fn segment_files(index: &tantivy::Index) -> Result<Vec<PathBuf>, IndexError> {
    let mut files = Vec::new();
    for segment in reading(|| index.searchable_segment_metas())? {
        files.push(segment.relative_path(SegmentComponent::Delete));
        for plugin in index.all_plugins() {
            for extension in plugin.extensions() {
                let component = SegmentComponent::Custom((*extension).to_owned());
                files.push(segment.relative_path(component));
            }
        }
    }
    Ok(files)
}

/// Names of the files whose content is not what was written.
pub(super) fn broken_files(index: &tantivy::Index) -> Result<Vec<String>, IndexError> {
    let broken = reading(|| index.validate_checksum())?;
    Ok(broken
        .iter()
        .map(|path| path.display().to_string())
        .collect())
}

/// Makes a new index in place of one that cannot be trusted, unless another
/// process did so while this one waited.
fn replace(folder: &Path, wait: Duration) -> Result<(tantivy::Index, IndexReader), IndexError> {
    let locked = directory(folder)?;
    let _lock = patiently(wait, || lock(&locked))?;
    match open_whole(folder) {
        Err(IndexError::Damaged(_)) => {}
        other => return other,
    }
    for entry in fs::read_dir(folder).map_err(IndexError::disk)? {
        let entry = entry.map_err(IndexError::disk)?;
        // The locks are held by their files: a new file would be a new lock.
        if !entry.file_name().to_string_lossy().ends_with(".lock") {
            fs::remove_file(entry.path()).map_err(IndexError::disk)?;
        }
    }
    remove_other_formats(folder);
    create(directory(folder)?).map_err(IndexError::writing)?;
    open_whole(folder)
}

/// The writer's lock, if no one else has it.
fn lock(directory: &MmapDirectory) -> Result<DirectoryLock, IndexError> {
    let lock = directory.acquire_lock(&INDEX_WRITER_LOCK);
    lock.map_err(|error| IndexError::writing(error.into()))
}

fn create(directory: impl Directory) -> tantivy::Result<(tantivy::Index, IndexReader)> {
    // What is kept is small and looked up one by one: a block is unpacked for each.
    let settings = IndexSettings {
        docstore_blocksize: SMALL_BLOCK,
        ..IndexSettings::default()
    };
    let mut index = tantivy::Index::create(directory, schema().0, settings)?;
    index.set_tokenizers(analyzers());
    let reader = reader(&index)?;
    Ok((index, reader))
}

/// Bytes that are packed together.
const SMALL_BLOCK: usize = 2048;

/// A reader that changes only when told to: an answer is about one state.
pub(super) fn reader(index: &tantivy::Index) -> tantivy::Result<IndexReader> {
    let builder = index.reader_builder();
    builder.reload_policy(ReloadPolicy::Manual).try_into()
}

/// Older and newer versions of this program keep their index beside this one.
/// They make it again when they are used again; failing to remove one is no harm.
fn remove_other_formats(folder: &Path) {
    let Some(around) = folder.parent().and_then(|around| fs::read_dir(around).ok()) else {
        return;
    };
    for entry in around.flatten() {
        let name = entry.file_name();
        let number = name.to_string_lossy();
        let is_format = number
            .strip_prefix('v')
            .is_some_and(|n| n.parse::<u32>().is_ok());
        if is_format && Some(name.as_os_str()) != folder.file_name() {
            let _ = fs::remove_dir_all(entry.path());
        }
    }
}

/// How much is going to be written into the folder.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum WriteSize {
    /// By one thread.
    Small,
    /// By two.
    Large,
}

/// Pieces with more documents stay as they are: all that is merged lies in memory.
const LARGE_PIECE: usize = 50_000;

/// Where little is written, pieces with fewer documents are merged with each other alone.
/// Each change outdates much of the piece that the one before wrote; together with the large
/// ones, all would be written anew for one entry.
const SMALL_LAYER: u32 = 500;

/// The writer, if no one else has it.
pub(super) fn writer(
    index: &tantivy::Index,
    folder: Option<&Path>,
    size: WriteSize,
) -> Result<IndexWriter, IndexError> {
    let large = size == WriteSize::Large;
    let options = IndexWriterOptions::builder()
        .num_worker_threads(if large { 2 } else { 1 })
        .memory_budget_per_thread(if large { MEMORY_LARGE } else { MEMORY_SMALL })
        .num_merge_threads(1)
        .build();
    let writer: IndexWriter = index
        .writer_with_options(options)
        .map_err(IndexError::writing)?;
    let mut merging = LogMergePolicy::default();
    merging.set_del_docs_ratio_before_merge(0.3);
    merging.set_max_docs_before_merge(LARGE_PIECE);
    if !large {
        merging.set_min_layer_size(SMALL_LAYER);
    }
    writer.set_merge_policy(Box::new(merging));
    // Before anything else: a killed process may have left a file whose name
    // this one is going to need.
    let collected = writer.garbage_collect_files().wait();
    collected.map_err(IndexError::writing)?;
    if let Some(folder) = folder {
        remove_leftovers(folder);
    }
    Ok(writer)
}

/// Half-written files that a killed process left; the engine never collects
/// them. Called under the writer's lock, so they are no one's work in progress.
fn remove_leftovers(folder: &Path) {
    for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
        if entry.file_name().to_string_lossy().starts_with(".tmp") {
            let _ = fs::remove_file(entry.path());
        }
    }
}

/// The file system's clock, nanoseconds since 1970: the only one by which the
/// files of the journal may be judged.
pub(super) fn file_clock(folder: &Path) -> Result<i64, IndexError> {
    let path = folder.join(".clock");
    // Written over, not cut off first: some systems then hurry it to the disk.
    let mut options = fs::OpenOptions::new();
    let options = options.write(true).create(true).truncate(false);
    let mut file = options.open(&path).map_err(IndexError::disk)?;
    file.write_all(b"now").map_err(IndexError::disk)?;
    let found = file.metadata().map_err(IndexError::disk)?;
    // Where there is no such clock, nothing is ever taken for unchanged.
    Ok(found.modified().map_or(NEVER, nanoseconds))
}

/// Tries until the other process is done, `wait` at most.
pub(super) fn patiently<T>(
    wait: Duration,
    mut attempt: impl FnMut() -> Result<T, IndexError>,
) -> Result<T, IndexError> {
    let mut rested = Duration::ZERO;
    loop {
        match attempt() {
            Err(IndexError::Busy) if rested < wait => {
                std::thread::sleep(REST);
                rested += REST;
            }
            other => return other,
        }
    }
}

/// Ends a writer once its merges are done. The commit is safe already; a merge
/// that fails loses nothing and is tried again after the next one.
pub(super) fn finish(writer: IndexWriter) {
    let _ = writer.wait_merging_threads();
}
