//! What lies in a folder that is brought in, each item accounted for.
//!
//! Files are not opened, links are not followed, hidden folders not entered.

use std::path::{Path, PathBuf};

use walkdir::WalkDir;

use super::entry_files::DEEPEST;

/// What an item of a folder is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum FolderItem {
    /// A file of so many bytes.
    File(u64),
    /// A link, wherever it leads.
    Link,
    /// Its name begins with a point; of a folder, nothing in it is listed.
    Hidden,
    /// A pipe, a socket or a device.
    Special,
    /// It could not be looked at, and why.
    Unreadable(String),
}

/// The items below a folder with their paths inside it, sorted. Folders are none, unless
/// they are hidden or cannot be looked into.
#[must_use]
pub fn folder_items(folder: &Path) -> Vec<(PathBuf, FolderItem)> {
    let mut found = Vec::new();
    let mut walk = WalkDir::new(folder)
        .max_depth(DEEPEST)
        .min_depth(1)
        .sort_by_file_name()
        .into_iter();
    while let Some(item) = walk.next() {
        let (path, kind) = match item {
            Err(error) => {
                let why = error
                    .io_error()
                    .map_or_else(|| error.to_string(), ToString::to_string);
                let path = error.path().unwrap_or(folder).to_owned();
                (path, FolderItem::Unreadable(why))
            }
            Ok(item) => {
                let kind = item.file_type();
                let is_hidden = item.file_name().as_encoded_bytes().starts_with(b".");
                if is_hidden && kind.is_dir() {
                    walk.skip_current_dir();
                }
                let what = match () {
                    () if is_hidden => FolderItem::Hidden,
                    () if kind.is_dir() => continue,
                    () if kind.is_symlink() => FolderItem::Link,
                    () if kind.is_file() => match item.metadata() {
                        Ok(metadata) => FolderItem::File(metadata.len()),
                        Err(error) => FolderItem::Unreadable(error.to_string()),
                    },
                    () => FolderItem::Special,
                };
                (item.into_path(), what)
            }
        };
        let inside = path.strip_prefix(folder).unwrap_or(&path).to_owned();
        found.push((inside, kind));
    }
    found
}

#[cfg(all(test, unix))]
mod tests {
    use super::*;
    use std::fs;

    #[test]
    fn every_item_is_listed_once() {
        let folder = tempfile::tempdir().expect("a folder");
        let at = |name: &str| folder.path().join(name);
        fs::create_dir_all(at("2026/.git/objects")).expect("folders");
        fs::write(at("2026/tank.md"), "x").expect("a file");
        fs::write(at("2026/.git/objects/a"), "x").expect("a file");
        fs::write(at(".hidden.md"), "x").expect("a file");
        std::os::unix::fs::symlink("2026", at("all")).expect("a link");
        let items = folder_items(folder.path());
        let expected = [
            (".hidden.md", FolderItem::Hidden),
            ("2026/.git", FolderItem::Hidden),
            ("2026/tank.md", FolderItem::File(1)),
            ("all", FolderItem::Link),
        ]
        .map(|(path, item)| (PathBuf::from(path), item));
        assert_eq!(items, expected);
    }
}
