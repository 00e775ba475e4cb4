//! The files in `photos/`, and their sums.
//!
//! Whether a file is a picture does not count: a receipt as PDF can be lost as well.

use std::fs::File;
use std::io::{self, BufReader, Read};
use std::path::{Path, PathBuf};

use sha2::{Digest, Sha256};
use walkdir::{DirEntry, WalkDir};

use super::entry_files::{DEEPEST, FoundFile, Look, slashed};
use super::manifest::is_listable;

/// The folder of the pictures, below the journal's.
pub const PHOTOS: &str = "photos";

/// What lies in `photos/`.
#[derive(Debug, Default)]
pub struct PhotoFiles {
    /// The files, sorted by path. Hidden ones and links are none.
    pub files: Vec<FoundFile>,
    /// Files whose names no list of sums can hold.
    pub unlistable: Vec<PathBuf>,
}

/// What lies in `photos/`, as far as it can be looked into.
#[must_use]
pub fn photo_files(root: &Path) -> PhotoFiles {
    let mut found = PhotoFiles::default();
    for (file, look) in files_below(&root.join(PHOTOS)) {
        let Ok(inside) = file.strip_prefix(root) else {
            continue;
        };
        match slashed(inside).filter(|path| is_listable(path)) {
            Some(path) => found.files.push(FoundFile { path, look }),
            None => found.unlistable.push(inside.to_owned()),
        }
    }
    found.files.sort_by(|a, b| a.path.cmp(&b.path));
    found.unlistable.sort();
    found
}

/// The files below a folder, sorted by path, as far as it can be looked into. Hidden
/// ones and links are left out.
#[must_use]
pub fn files_below(folder: &Path) -> Vec<(PathBuf, Look)> {
    let is_hidden = |item: &DirEntry| item.file_name().as_encoded_bytes().starts_with(b".");
    let walk = WalkDir::new(folder).max_depth(DEEPEST).min_depth(1);
    let items = walk.sort_by_file_name().into_iter();
    items
        .filter_entry(|item| !is_hidden(item))
        .filter_map(Result::ok)
        .filter(|item| item.file_type().is_file())
        .filter_map(|item| {
            let look = Look::of(&item.metadata().ok()?);
            Some((item.into_path(), look))
        })
        .collect()
}

/// A file to be read piece by piece.
///
/// # Errors
/// When it cannot be opened.
pub fn open_file(file: &Path) -> io::Result<BufReader<File>> {
    File::open(file).map(BufReader::new)
}

/// The SHA-256 of a file, in hexadecimal.
///
/// # Errors
/// When it cannot be read.
pub fn sha256(file: &Path) -> io::Result<String> {
    let mut file = File::open(file)?;
    let mut sum = Sha256::new();
    let mut bytes = vec![0; 1 << 18];
    loop {
        match file.read(&mut bytes) {
            Ok(0) => break,
            Ok(read) => sum.update(&bytes[..read]),
            Err(error) if error.kind() == io::ErrorKind::Interrupted => {}
            Err(error) => return Err(error),
        }
    }
    Ok(sum
        .finalize()
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect())
}
