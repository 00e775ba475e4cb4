//! A folder of files that this program made: written, kept up to date, taken away again.
//!
//! A list in it says which files it made; no other file is ever changed or removed, and
//! a folder with other files and no such list is refused. What stands in the files is
//! not known here. Everything in it can be made again, so nothing is synced.

use std::collections::BTreeSet;
use std::fs;
use std::io::{self, ErrorKind};
use std::path::{Component, Path, PathBuf};

use super::entry_files::Look;
use super::error::JournalError;
use crate::parallel;

/// The list of the files that were made.
const LIST: &str = "made-by-matchmark.txt";

/// How the list begins.
const HEAD: &str = "matchmark made the files below. It changes and removes these and no others.";

/// The name of a file that is being written.
const UNFINISHED: &str = "unfinished.part";

/// Such a folder.
#[derive(Debug)]
pub struct MadeFolder {
    /// Where it is.
    pub root: PathBuf,
    /// The files that were made.
    own: BTreeSet<String>,
}

/// What became of the files.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct FilesMade {
    /// How many are new or changed.
    pub written: usize,
    /// How many stood there as they should be.
    pub unchanged: usize,
    /// How many were taken away.
    pub removed: usize,
}

/// Why a folder is refused.
#[derive(Debug)]
pub enum Foreign {
    /// It is a file.
    File(PathBuf),
    /// It has other files and no list.
    Folder(PathBuf),
    /// A file that others made stands where one of ours belongs.
    InTheWay(PathBuf),
    /// The folder in which it would be made is not there.
    Nowhere(PathBuf),
    /// The system refused.
    Error(JournalError),
}

impl From<JournalError> for Foreign {
    fn from(error: JournalError) -> Foreign {
        Foreign::Error(error)
    }
}

impl MadeFolder {
    /// The folder with the files that were made in it; none if it is not there yet or
    /// is empty.
    ///
    /// # Errors
    /// When it is nobody's to write in.
    pub fn open(root: &Path) -> Result<MadeFolder, Foreign> {
        let made = |own| MadeFolder {
            root: root.to_owned(),
            own,
        };
        match fs::metadata(root) {
            Err(error) if error.kind() == ErrorKind::NotFound => {
                let above = root.parent().filter(|above| !above.as_os_str().is_empty());
                return match above.is_none_or(Path::is_dir) {
                    true => Ok(made(BTreeSet::new())),
                    false => Err(Foreign::Nowhere(above.unwrap_or(root).to_owned())),
                };
            }
            Err(error) => return Err(JournalError::io(root, error).into()),
            Ok(metadata) if !metadata.is_dir() => return Err(Foreign::File(root.to_owned())),
            Ok(_) => {}
        }
        let list = root.join(LIST);
        match fs::read_to_string(&list) {
            Ok(text) => match text.strip_prefix(HEAD) {
                Some(paths) => Ok(made(
                    paths
                        .lines()
                        .filter(|path| is_inside(path))
                        .map(str::to_owned)
                        .collect(),
                )),
                None => Err(Foreign::Folder(root.to_owned())),
            },
            Err(error) if error.kind() == ErrorKind::NotFound => {
                let mut items =
                    fs::read_dir(root).map_err(|error| JournalError::io(root, error))?;
                match items.next() {
                    None => Ok(made(BTreeSet::new())),
                    Some(_) => Err(Foreign::Folder(root.to_owned())),
                }
            }
            Err(error) if error.kind() == ErrorKind::InvalidData => {
                Err(Foreign::Folder(root.to_owned()))
            }
            Err(error) => Err(JournalError::io(&list, error).into()),
        }
    }

    /// Whether a file was made and is still there.
    #[must_use]
    pub fn has(&self, path: &str) -> bool {
        self.own.contains(path) && is_file(&self.root.join(path))
    }

    /// What the disk says of a file that was made; `None` if it was not, or is gone.
    #[must_use]
    pub fn look(&self, path: &str) -> Option<Look> {
        let metadata = fs::symlink_metadata(self.root.join(path)).ok();
        let file = metadata.filter(|metadata| self.own.contains(path) && metadata.is_file());
        file.map(|metadata| Look::of(&metadata))
    }

    /// The bytes of a file that was made.
    ///
    /// # Errors
    /// When it was not, or cannot be read.
    pub fn read(&self, path: &str) -> io::Result<Vec<u8>> {
        let file = self.root.join(path);
        match self.own.contains(path) && is_file(&file) {
            true => fs::read(file),
            false => Err(ErrorKind::NotFound.into()),
        }
    }

    /// Writes one more file, if it is new or has changed.
    ///
    /// # Errors
    /// When something else is in its way, or it cannot be written.
    pub fn add(&mut self, path: &str, bytes: &[u8]) -> Result<bool, Foreign> {
        self.is_free(path)?;
        if self.own.insert(path.to_owned()) {
            self.note()?;
        }
        Ok(self.put(path, bytes)?)
    }

    /// Makes the folder hold these files and those under the paths that are to be `kept`,
    /// and takes all others away that were made before.
    ///
    /// # Errors
    /// When something else is in the way of one: then nothing was changed. When one
    /// cannot be written: then the list names all that may be there.
    pub fn update(
        &mut self,
        files: &[(String, &[u8])],
        kept: &BTreeSet<String>,
    ) -> Result<FilesMade, Foreign> {
        for (path, _) in files {
            self.is_free(path)?;
        }
        let wanted: BTreeSet<String> = files
            .iter()
            .map(|(path, _)| path.clone())
            .chain(kept.iter().cloned())
            .collect();
        let gone: Vec<String> = self.own.difference(&wanted).cloned().collect();
        if wanted.iter().any(|path| !self.own.contains(path)) {
            self.own.extend(wanted.iter().cloned());
            self.note()?;
        }
        let folders: BTreeSet<&Path> = wanted
            .iter()
            .filter_map(|path| Path::new(path).parent())
            .collect();
        for folder in folders {
            self.make(folder)?;
        }
        // Reading what is there takes most of the time.
        let changed = parallel::each(READERS, files, |(path, bytes)| !self.holds(path, bytes));
        let mut made = FilesMade::default();
        for ((path, bytes), changed) in files.iter().zip(changed) {
            match changed {
                true => {
                    self.replace(path, bytes)?;
                    made.written += 1;
                }
                false => made.unchanged += 1,
            }
        }
        for path in &gone {
            self.remove(path)?;
            made.removed += 1;
        }
        if !gone.is_empty() {
            self.own = wanted;
            self.note()?;
        }
        Ok(made)
    }

    /// Whether nobody else's file stands under a path, nor a link on the way to it.
    fn is_free(&self, path: &str) -> Result<(), Foreign> {
        let file = self.root.join(path);
        let folder = file.parent().unwrap_or(&self.root);
        let is_link = |path: &Path| fs::symlink_metadata(path).is_ok_and(|meta| meta.is_symlink());
        if !is_inside(path) || folder != self.root && is_link(folder) {
            return Err(Foreign::InTheWay(folder.to_owned()));
        }
        if !self.own.contains(path) && fs::symlink_metadata(&file).is_ok() {
            return Err(Foreign::InTheWay(file));
        }
        Ok(())
    }

    /// Writes the list.
    fn note(&self) -> Result<(), JournalError> {
        let mut text = format!("{HEAD}\n");
        for path in &self.own {
            text.push_str(path);
            text.push('\n');
        }
        self.make(Path::new(""))?;
        self.replace(LIST, text.as_bytes())
    }

    fn make(&self, folder: &Path) -> Result<(), JournalError> {
        let folder = self.root.join(folder);
        fs::create_dir_all(&folder).map_err(|error| JournalError::io(&folder, error))
    }

    /// Whether a file holds these bytes already.
    fn holds(&self, path: &str, bytes: &[u8]) -> bool {
        let file = self.root.join(path);
        let length = fs::symlink_metadata(&file)
            .ok()
            .filter(fs::Metadata::is_file);
        length.is_some_and(|there| there.len() == bytes.len() as u64)
            && fs::read(file).is_ok_and(|there| there == bytes)
    }

    fn put(&self, path: &str, bytes: &[u8]) -> Result<bool, JournalError> {
        if self.holds(path, bytes) {
            return Ok(false);
        }
        self.make(Path::new(path).parent().unwrap_or(Path::new("")))?;
        self.replace(path, bytes)?;
        Ok(true)
    }

    /// Puts a file in its place when it is whole.
    fn replace(&self, path: &str, bytes: &[u8]) -> Result<(), JournalError> {
        let (beside, file) = (self.root.join(UNFINISHED), self.root.join(path));
        let written = fs::write(&beside, bytes).and_then(|()| fs::rename(&beside, &file));
        written.map_err(|error| {
            let _ = fs::remove_file(&beside);
            JournalError::io(&file, error)
        })
    }

    /// Takes a file away, and its folder if that is empty then.
    fn remove(&self, path: &str) -> Result<(), JournalError> {
        let file = self.root.join(path);
        let Some(folder) = file.parent() else {
            return Ok(());
        };
        if fs::symlink_metadata(folder).is_ok_and(|meta| meta.is_symlink()) {
            return Ok(());
        }
        match fs::remove_file(&file) {
            Ok(()) => {}
            Err(error) if error.kind() == ErrorKind::NotFound => {}
            Err(error) => return Err(JournalError::io(&file, error)),
        }
        if folder != self.root {
            let _ = fs::remove_dir(folder);
        }
        Ok(())
    }
}

/// Threads that read what is there.
const READERS: usize = 2;

fn is_file(file: &Path) -> bool {
    fs::symlink_metadata(file).is_ok_and(|metadata| metadata.is_file())
}

/// Whether a path of the list stays inside the folder, and is not the list itself.
fn is_inside(path: &str) -> bool {
    let mut parts = Path::new(path).components();
    !path.is_empty() && path != LIST && parts.all(|part| matches!(part, Component::Normal(_)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn update(folder: &mut MadeFolder, files: &[(&str, &str)]) -> Result<FilesMade, Foreign> {
        let files: Vec<(String, &[u8])> = files
            .iter()
            .map(|(path, text)| ((*path).to_owned(), text.as_bytes()))
            .collect();
        folder.update(&files, &BTreeSet::new())
    }

    #[test]
    fn only_what_was_made_is_changed_and_removed() {
        let top = tempfile::tempdir().expect("a folder");
        let root = top.path().join("book");
        let mut folder = MadeFolder::open(&root).expect("free");
        let made = update(&mut folder, &[("a.html", "1"), ("x/b.html", "2")]).expect("made");
        assert_eq!((made.written, made.unchanged, made.removed), (2, 0, 0));
        fs::write(root.join("own.txt"), "mine").expect("written");
        let mut folder = MadeFolder::open(&root).expect("ours");
        let made = update(&mut folder, &[("a.html", "3")]).expect("made");
        assert_eq!((made.written, made.unchanged, made.removed), (1, 0, 1));
        assert!(!root.join("x").exists());
        assert!(matches!(
            update(&mut folder, &[("a.html", "4"), ("own.txt", "5")]),
            Err(Foreign::InTheWay(_))
        ));
        assert_eq!(fs::read_to_string(root.join("a.html")).expect("read"), "3");
        assert_eq!(
            fs::read_to_string(root.join("own.txt")).expect("read"),
            "mine"
        );
    }

    #[test]
    fn folders_of_others_are_refused() {
        let top = tempfile::tempdir().expect("a folder");
        let file = top.path().join("file");
        fs::write(&file, "x").expect("written");
        assert!(matches!(MadeFolder::open(&file), Err(Foreign::File(_))));
        assert!(matches!(
            MadeFolder::open(top.path()),
            Err(Foreign::Folder(_))
        ));
        let far = top.path().join("a/b");
        assert!(matches!(MadeFolder::open(&far), Err(Foreign::Nowhere(_))));
        // A list that somebody else wrote leads nowhere outside.
        let own = top.path().join("own");
        fs::create_dir(&own).expect("a folder");
        let list = format!("{HEAD}\n../file\n/etc/passwd\na/../../file\n");
        fs::write(own.join(LIST), list).expect("written");
        let mut folder = MadeFolder::open(&own).expect("ours");
        update(&mut folder, &[("a.html", "1")]).expect("made");
        assert_eq!(fs::read_to_string(&file).expect("still there"), "x");
    }

    #[cfg(unix)]
    #[test]
    fn links_are_not_followed() {
        let top = tempfile::tempdir().expect("a folder");
        let (root, far) = (top.path().join("book"), top.path().join("far"));
        fs::create_dir(&far).expect("a folder");
        let mut folder = MadeFolder::open(&root).expect("free");
        update(&mut folder, &[("a.html", "1")]).expect("made");
        std::os::unix::fs::symlink(&far, root.join("x")).expect("a link");
        assert!(matches!(
            update(&mut folder, &[("x/b.html", "2")]),
            Err(Foreign::InTheWay(_))
        ));
        assert!(fs::read_dir(&far).expect("read").next().is_none());
    }
}
