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

/// What lies below `root/entries`.
#[derive(Debug, Default)]
pub struct Walked {
    /// All entries, sorted by path.
    pub files: Vec<FoundFile>,
    /// What is called like an entry and is no file, or a file whose name is no
    /// Unicode; by path, as far as it can be written.
    pub others: Vec<PathBuf>,
    /// Folders that could not be looked into, and why not. The others count.
    pub unread: Vec<Unread>,
}

/// A folder that could not be looked into.
#[derive(Debug)]
pub struct Unread {
    /// Its path inside the journal, with a `/` at the end.
    pub path: String,
    /// Why not.
    pub error: JournalError,
}

/// The folder of the entries, below the journal's.
pub const ENTRIES: &str = "entries";

/// So many folders may lie in each other.
pub(super) const DEEPEST: usize = 30;

/// The files of [`walk`], for whoever can do nothing about the rest.
///
/// # Errors
/// When `root/entries` itself cannot be read.
pub fn walk_entries(root: &Path) -> Result<Vec<FoundFile>, JournalError> {
    Ok(walk(root)?.files)
}

/// All entries below `root/entries`, as far as its folders can be looked into.
/// A file that vanishes meanwhile is left out.
///
/// # Errors
/// When `root/entries` itself cannot be read.
pub fn walk(root: &Path) -> Result<Walked, JournalError> {
    let entries = root.join(ENTRIES);
    let mut walked = Walked::default();
    if !entries.exists() {
        return Ok(walked);
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
    let shares: Vec<Walked> = thread::scope(|scope| {
        let walking: Vec<_> = tops
            .chunks(share)
            .map(|tops| scope.spawn(|| walk_below(root, tops)))
            .collect();
        walking
            .into_iter()
            .map(|one| one.join().unwrap_or_else(|panic| resume_unwind(panic)))
            .collect()
    });
    for share in shares {
        walked.files.extend(share.files);
        walked.others.extend(share.others);
        walked.unread.extend(share.unread);
    }
    walked.files.sort_by(|a, b| a.path.cmp(&b.path));
    Ok(walked)
}

/// The entries at and below these files and folders.
fn walk_below(root: &Path, tops: &[PathBuf]) -> Walked {
    let mut walked = Walked::default();
    for top in tops {
        let walk = WalkDir::new(top).follow_links(false).max_depth(DEEPEST);
        for item in walk {
            let item = match item {
                Ok(item) => item,
                Err(error) if is_gone(&error) => continue,
                Err(error) => {
                    let path = error.path().unwrap_or(top).to_owned();
                    let error = error.into_io_error().unwrap_or_else(|| {
                        std::io::Error::other("this folder cannot be walked through")
                    });
                    let inside = path.strip_prefix(root).unwrap_or(&path);
                    walked.unread.push(Unread {
                        path: format!("{}/", inside.display()),
                        error: JournalError::io(&path, error),
                    });
                    continue;
                }
            };
            if item.file_type().is_dir() {
                look_into(root, item.path(), &mut walked);
            } else if item.depth() == 0 {
                let is_entry = item.path().extension().is_some_and(|end| end == "md");
                let path = item.path().strip_prefix(root).ok().and_then(slashed);
                if is_entry {
                    add(
                        root,
                        || item.path().to_owned(),
                        path,
                        item.metadata().ok(),
                        &mut walked,
                    );
                }
            }
        }
    }
    // Here, where several do it at once; what is in order is soon put together.
    walked.files.sort_by(|a, b| a.path.cmp(&b.path));
    walked
}

/// The entries right in a folder. Asked of the folder itself, which is already
/// open, the system need not find its way down to each of them again.
fn look_into(root: &Path, folder: &Path, walked: &mut Walked) {
    // A folder that cannot be read is said by the walk through it.
    let (Ok(items), Ok(inside)) = (fs::read_dir(folder), folder.strip_prefix(root)) else {
        return;
    };
    let inside = slashed(inside);
    for item in items.flatten() {
        let name = item.file_name();
        let is_entry = name.len() > 3 && name.as_encoded_bytes().ends_with(b".md");
        if !is_entry || !item.file_type().is_ok_and(|kind| !kind.is_dir()) {
            continue;
        }
        let path = inside
            .as_ref()
            .and_then(|inside| Some(format!("{inside}/{}", name.to_str()?)));
        add(root, || item.path(), path, item.metadata().ok(), walked);
    }
}

/// Takes what is called like an entry and is still there; `path` is its own
/// inside the journal, if it can be written.
fn add(
    root: &Path,
    file: impl FnOnce() -> PathBuf,
    path: Option<String>,
    metadata: Option<fs::Metadata>,
    walked: &mut Walked,
) {
    let Some(metadata) = metadata else {
        return;
    };
    match path {
        Some(path) if metadata.is_file() => walked.files.push(FoundFile { path, metadata }),
        Some(_) | None => {
            let file = file();
            let inside = file.strip_prefix(root).unwrap_or(&file);
            walked.others.push(inside.to_owned());
        }
    }
}

fn is_gone(error: &walkdir::Error) -> bool {
    error
        .io_error()
        .is_some_and(|error| error.kind() == ErrorKind::NotFound)
}

/// A relative path with `/` between folders; `None` if it is no UTF-8.
pub(super) fn slashed(path: &Path) -> Option<String> {
    let parts: Option<Vec<&str>> = path
        .components()
        .map(|part| part.as_os_str().to_str())
        .collect();
    Some(parts?.join("/"))
}
