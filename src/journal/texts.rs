//! The texts of a journal as they lie on disk, with a problem for each that cannot be read.
//!
//! Understands none of them, and follows no links.

use std::fs;
use std::io::ErrorKind;
use std::path::Path;

use walkdir::WalkDir;

use super::contents::is_text_of_journal;
use super::entry_files::slashed;
use super::error::JournalError;
use super::settings;
use crate::problem::{Problem, Spot};

/// The error about a text that counts for nothing because it cannot be read.
pub(super) fn unreadable(file: String, message: String) -> Problem {
    let spot = Spot {
        file,
        ..Spot::default()
    };
    Problem::error(spot, message).hint("nothing in it counts until it can be read")
}

/// Texts by their path.
pub(super) type TextsOnDisk = Vec<(String, Vec<u8>)>;

/// Settings and vehicle files, and what is wrong with those that cannot be
/// read.
pub(super) fn read_frame(root: &Path) -> Result<(TextsOnDisk, Vec<Problem>), JournalError> {
    let mut texts = Vec::new();
    let mut unread = Vec::new();
    let file = root.join("journal.toml");
    match fs::read(&file) {
        Ok(bytes) => texts.push(("journal.toml".to_owned(), bytes)),
        Err(error) if error.kind() == ErrorKind::NotFound => {
            texts.push((
                "journal.toml".to_owned(),
                settings::TEMPLATE.as_bytes().to_vec(),
            ));
        }
        Err(error) => return Err(JournalError::io(&file, error)),
    }
    let (vehicles, found) = read_folder(root, "vehicles", 1)?;
    texts.extend(vehicles);
    unread.extend(found);
    texts.sort();
    Ok((texts, unread))
}

/// The texts in a folder of the journal, down to so many folders in each other,
/// and what is wrong with those that cannot be read. Links to folders are not
/// followed.
pub(super) fn read_folder(
    root: &Path,
    name: &str,
    depth: usize,
) -> Result<(TextsOnDisk, Vec<Problem>), JournalError> {
    let mut texts = Vec::new();
    let mut unread = Vec::new();
    let folder = root.join(name);
    let walk = WalkDir::new(&folder).max_depth(depth).sort_by_file_name();
    for item in walk {
        let item = match item {
            Ok(item) => item,
            Err(error) if error.depth() == 0 && !folder.exists() => break,
            Err(error) => {
                let path = error.path().unwrap_or(&folder).to_owned();
                let is_whole = error.depth() == 0;
                let error = error.into_io_error();
                let error = error.unwrap_or_else(|| std::io::Error::other("it cannot be walked"));
                let error = JournalError::io(&path, error);
                if is_whole {
                    return Err(error);
                }
                let message = format!("a folder of {name} cannot be read: {error}");
                unread.push(unreadable(String::new(), message));
                continue;
            }
        };
        let path = item.path().strip_prefix(root).ok().and_then(slashed);
        let Some(path) = path.filter(|path| is_text_of_journal(path)) else {
            continue;
        };
        if item.file_type().is_dir() {
            continue;
        }
        // Under a second name a text would count a second time, or for another.
        let found = match item.file_type().is_symlink() {
            true => Err(std::io::Error::other(
                "it is a link, and links are not followed",
            )),
            false => read_plain(item.path()),
        };
        match found {
            Ok(bytes) => texts.push((path, bytes)),
            Err(error) => {
                let error = JournalError::io(item.path(), error);
                let message = format!("this file cannot be read: {error}");
                unread.push(unreadable(path, message));
            }
        }
    }
    Ok((texts, unread))
}

/// The bytes of a plain file. Who opens a pipe waits for ever.
pub(super) fn read_plain(file: &Path) -> std::io::Result<Vec<u8>> {
    if fs::metadata(file)?.is_file() {
        fs::read(file)
    } else {
        Err(std::io::Error::other("it is no file"))
    }
}

/// The bytes of a file, if there is one.
///
/// # Errors
/// When it is there and cannot be read.
pub fn read_if_there(path: &Path) -> Result<Option<Vec<u8>>, JournalError> {
    match fs::read(path) {
        Ok(bytes) => Ok(Some(bytes)),
        Err(error) if error.kind() == ErrorKind::NotFound => Ok(None),
        Err(error) => Err(JournalError::io(path, error)),
    }
}
