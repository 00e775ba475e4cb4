//! Which entries are on disk, and whether they changed since last time.
//!
//! Links are not followed: they could lead in circles, or out of the journal.

use std::fs;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

use walkdir::WalkDir;

use super::error::JournalError;
use crate::parallel;
use crate::vocabulary::moment::nanoseconds;

/// An entry's file.
#[derive(Clone, Debug)]
pub struct FoundFile {
    /// The path inside the journal, with `/` between folders.
    pub path: String,
    /// What the disk says of it without opening it.
    pub look: Look,
}

/// What the disk says of a file: as much as tells one state of it from another.
/// Of ten thousand files, all of it would be a weight to carry around.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Look {
    /// Length in bytes.
    pub size: u64,
    /// Time of the last change of content, nanoseconds since 1970; 0 where the
    /// system does not say.
    pub modified_ns: i64,
    /// Time of the last change of content, name or rights where the system
    /// keeps one, else 0.
    pub changed_ns: i64,
    /// Number of the file on its file system; 0 where there is none, as with
    /// all that follow.
    pub inode: u64,
    /// Number of the file system.
    pub device: u64,
    /// Number of the user it belongs to.
    pub owner: u32,
    /// Number of the group it belongs to.
    pub group: u32,
}

impl Look {
    pub(super) fn of(metadata: &fs::Metadata) -> Look {
        let look = Look {
            size: metadata.len(),
            modified_ns: metadata.modified().map_or(0, nanoseconds),
            changed_ns: 0,
            inode: 0,
            device: 0,
            owner: 0,
            group: 0,
        };
        #[cfg(unix)]
        let look = {
            use std::os::unix::fs::MetadataExt;
            let changed = metadata.ctime().saturating_mul(1_000_000_000);
            Look {
                changed_ns: changed.saturating_add(metadata.ctime_nsec()),
                inode: metadata.ino(),
                device: metadata.dev(),
                owner: metadata.uid(),
                group: metadata.gid(),
                ..look
            }
        };
        look
    }
}

/// What lies below `root/entries`.
#[derive(Debug, Default)]
pub struct Walked {
    /// All entries, sorted by path.
    pub files: Vec<FoundFile>,
    /// What is called like an entry and is no file, a link of any name, or a file whose
    /// name is no Unicode; by path, as far as it can be written.
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

/// Maximum depth of nested folders.
pub(super) const DEEPEST: usize = 30;

/// The files of [`walk`], for whoever can do nothing about the rest.
///
/// # Errors
/// When `root/entries` itself cannot be read.
pub fn walk_entries(root: &Path) -> Result<Vec<FoundFile>, JournalError> {
    Ok(walk(root)?.files)
}

/// Most threads that look at the disk: it answers several at once.
const WALKERS: usize = 4;

/// All entries below `root/entries`, as far as its folders can be looked into.
/// A file that vanishes meanwhile is left out.
///
/// # Errors
/// When `root/entries` itself cannot be read.
pub fn walk(root: &Path) -> Result<Walked, JournalError> {
    let mut walked = Walked::default();
    for share in parallel::each(WALKERS, &tops(root)?, |top| walk_below(root, top)) {
        walked.files.extend(share.files);
        walked.others.extend(share.others);
        walked.unread.extend(share.unread);
    }
    walked.files.sort_by(|a, b| a.path.cmp(&b.path));
    walked.others.sort();
    walked.unread.sort_by(|a, b| a.path.cmp(&b.path));
    Ok(walked)
}

/// What lies right in `root/entries`.
fn tops(root: &Path) -> Result<Vec<fs::DirEntry>, JournalError> {
    let entries = root.join(ENTRIES);
    if !entries.exists() {
        return Ok(Vec::new());
    }
    let fail = |error| JournalError::io(&entries, error);
    let mut tops: Vec<fs::DirEntry> = fs::read_dir(&entries)
        .map_err(fail)?
        .collect::<Result<_, _>>()
        .map_err(fail)?;
    // Taken in order, and each put in order by itself, they are soon in order together.
    tops.sort_by_key(fs::DirEntry::file_name);
    Ok(tops)
}

/// The entries at and below a file or folder right in `root/entries`.
fn walk_below(root: &Path, top: &fs::DirEntry) -> Walked {
    let mut walked = Walked::default();
    let is_folder = top.file_type().is_ok_and(|kind| kind.is_dir());
    // Nearly always a year, with no folder in it, which is then read only once.
    match is_folder.then(|| look_into(root, &top.path(), &mut walked)) {
        Some(Ok(deeper)) => {
            for folder in deeper {
                walk_through(root, &folder, &mut walked);
            }
        }
        Some(Err(_)) | None => walk_through(root, &top.path(), &mut walked),
    }
    walked
}

/// The entries at and below a file or folder, however deep.
fn walk_through(root: &Path, top: &Path, walked: &mut Walked) {
    let walk = WalkDir::new(top)
        .follow_links(false)
        .follow_root_links(false)
        .max_depth(DEEPEST);
    for item in walk {
        let item = match item {
            Ok(item) => item,
            Err(error) if is_gone(&error) => continue,
            Err(error) => {
                let path = error.path().unwrap_or(top).to_owned();
                let error = error
                    .into_io_error()
                    .unwrap_or_else(|| io::Error::other("this folder cannot be walked through"));
                let inside = path.strip_prefix(root).unwrap_or(&path);
                walked.unread.push(Unread {
                    path: format!("{}/", inside.display()),
                    error: JournalError::io(&path, error),
                });
                continue;
            }
        };
        if item.file_type().is_dir() {
            // One that cannot be read is an error of the walk itself.
            let _ = look_into(root, item.path(), walked);
        } else if item.depth() == 0
            && (item.path_is_symlink() || item.path().extension().is_some_and(|end| end == "md"))
        {
            let path = item.path().strip_prefix(root).ok().and_then(slashed);
            let found = item.metadata().ok();
            add(root, || item.path().to_owned(), path, found, walked);
        }
    }
}

/// The entries right in a folder; says which folders lie in it. Asked of the folder
/// itself, which is already open, the system need not find its way down to each
/// entry again.
fn look_into(root: &Path, folder: &Path, walked: &mut Walked) -> io::Result<Vec<PathBuf>> {
    let items = fs::read_dir(folder)?;
    let inside = folder.strip_prefix(root).ok().and_then(slashed);
    let mut deeper = Vec::new();
    let first = walked.files.len();
    for item in items.flatten() {
        if item.file_type().is_ok_and(|kind| kind.is_dir()) {
            deeper.push(item.path());
            continue;
        }
        let name = item.file_name();
        let is_link = item.file_type().is_ok_and(|kind| kind.is_symlink());
        if is_link || name.len() > 3 && name.as_encoded_bytes().ends_with(b".md") {
            let path = inside
                .as_ref()
                .and_then(|inside| Some([inside, name.to_str()?].join("/")));
            add(root, || item.path(), path, item.metadata().ok(), walked);
        }
    }
    walked.files[first..].sort_unstable_by(|a, b| a.path.cmp(&b.path));
    Ok(deeper)
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
        Some(path) if metadata.is_file() => walked.files.push(FoundFile {
            path,
            look: Look::of(&metadata),
        }),
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_is_found_on_several_threads() {
        let folder = tempfile::tempdir().expect("folder");
        let mut paths = Vec::new();
        for year in 1960..2000 {
            let path = format!("{ENTRIES}/{year}/{year}-01-01-x.md");
            let file = folder.path().join(&path);
            fs::create_dir_all(file.parent().expect("year")).expect("year");
            fs::write(file, "x").expect("entry");
            paths.push(path);
        }
        let found = walk(folder.path()).expect("walked").files;
        assert!(found.iter().map(|file| &file.path).eq(&paths));
    }
}
