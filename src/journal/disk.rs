//! A journal's folder: finding it, reading it, adding to it.
//!
//! Nothing that stands in a file is ever overwritten unseen: a new file never
//! replaces one, and a changed text goes beside the old one first and takes
//! its name only when it is safely on disk.

use std::fs::{self, File};
use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};
use std::sync::OnceLock;
use std::time::{Duration, SystemTime};

use walkdir::WalkDir;

use super::contents::{self, Contents, gather, is_text_of_journal};
use super::error::JournalError;
use super::settings::{self, Settings};
use super::vehicle::VehicleFile;
use super::walk::{DEEPEST, slashed, walk};
use crate::entry::{Context, Entry};
use crate::problem::{Problem, Spot};

/// An open journal: its folder, its settings, its vehicles.
#[derive(Clone, Debug)]
pub struct Journal {
    /// The folder.
    pub root: PathBuf,
    /// The bytes of settings and vehicle files by path: when they change, everything
    /// computed from the entries may change.
    pub frame: Vec<(String, Vec<u8>)>,
    /// What they say, once somebody asked: most searches do not.
    read: OnceLock<Contents>,
}

/// The journal that `folder` is in: the nearest folder upwards with a
/// `journal.toml`.
#[must_use]
pub fn find_root(folder: &Path) -> Option<PathBuf> {
    folder
        .ancestors()
        .find(|folder| folder.join("journal.toml").is_file())
        .map(Path::to_owned)
}

/// The journal around a folder that need not be there yet, itself left out.
#[must_use]
pub fn find_around(folder: &Path) -> Option<PathBuf> {
    let above = folder.ancestors().skip(1).find(|above| above.is_dir())?;
    find_root(&above.canonicalize().ok()?)
}

/// What a new journal's `.gitignore` says.
pub const IGNORED: &str = "/photos/\n";

/// Starts a journal in `root`; makes the folder if it is not there.
///
/// # Errors
/// When there is a journal already, or the folder cannot be written.
pub fn begin(root: &Path, settings: &str) -> Result<(), JournalError> {
    if root.join("journal.toml").exists() {
        return Err(JournalError::AlreadyJournal(root.to_owned()));
    }
    for folder in ["entries", "vehicles", "photos"] {
        let folder = root.join(folder);
        fs::create_dir_all(&folder).map_err(|error| JournalError::io(&folder, error))?;
    }
    let ignore = root.join(".gitignore");
    if !ignore.exists() {
        write_new(&ignore, IGNORED.as_bytes())?;
    }
    hide_computed(root)?;
    write_new(&root.join("journal.toml"), settings.as_bytes())
}

/// Makes `.matchmark/`, which hides itself from git, and the folders above it.
///
/// # Errors
/// When it cannot be made.
pub fn hide_computed(root: &Path) -> Result<(), JournalError> {
    hide(&root.join(".matchmark"))
}

/// Makes a folder that hides itself from git.
fn hide(folder: &Path) -> Result<(), JournalError> {
    let fail = |error| JournalError::io(folder, error);
    make_synced_folder(folder).map_err(fail)?;
    let ignore = folder.join(".gitignore");
    if ignore.exists() {
        return Ok(());
    }
    fs::write(&ignore, "*\n").map_err(|error| {
        // A full disk leaves an empty file, which would hide nothing for ever.
        let _ = fs::remove_file(&ignore);
        JournalError::io(&ignore, error)
    })
}

impl Journal {
    /// Opens the journal in `root`.
    ///
    /// # Errors
    /// When the folder cannot be read. Wrong settings are problems of
    /// [`Journal::load`].
    pub fn open(root: &Path) -> Result<Journal, JournalError> {
        let (frame, _) = read_frame(root)?;
        Ok(Journal {
            root: root.to_owned(),
            frame,
            read: OnceLock::new(),
        })
    }

    fn contents(&self) -> &Contents {
        self.read.get_or_init(|| gather(self.frame.clone()))
    }

    /// The settings.
    #[must_use]
    pub fn settings(&self) -> &Settings {
        &self.contents().settings
    }

    /// The vehicles, by slug.
    #[must_use]
    pub fn vehicles(&self) -> &[VehicleFile] {
        &self.contents().vehicles
    }

    /// The folder for everything that is computed. It is made if it can be.
    #[must_use]
    pub fn computed(&self) -> PathBuf {
        // A journal that cannot be written to is read all the same.
        let _ = hide_computed(&self.root);
        self.root.join(".matchmark")
    }

    /// The folder for texts that are not finished: they are the person's, and
    /// nothing in it is ever deleted unasked.
    #[must_use]
    pub fn drafts(&self) -> PathBuf {
        let folder = self.root.join("drafts");
        // Where it cannot be made, writing into it says so.
        let _ = hide(&folder);
        make_private(&folder);
        folder
    }

    /// Removes what killed runs had not finished writing in the folder for everything
    /// computed, as seen from `now`.
    pub fn clear_unfinished(&self, now: SystemTime) {
        let files = fs::read_dir(self.root.join(".matchmark"));
        for file in files.into_iter().flatten().flatten() {
            let name = file.file_name();
            let written = file.metadata().and_then(|meta| meta.modified());
            let age = written
                .ok()
                .and_then(|written| now.duration_since(written).ok());
            let is_left = name.to_string_lossy().starts_with(UNFINISHED)
                && age.is_some_and(|age| age >= NEVER_SO_LONG);
            if is_left {
                let _ = fs::remove_file(file.path());
            }
        }
    }

    /// Waits until no other run of the program adds to an entry, and keeps
    /// others waiting as long as it is held. `None` where there can be no lock:
    /// then nothing can be written either.
    #[must_use]
    pub fn hold(&self) -> Option<File> {
        let lock = File::create(self.computed().join("write.lock")).ok()?;
        lock.lock().ok()?;
        Some(lock)
    }

    /// What reading an entry has to know.
    #[must_use]
    pub fn context(&self) -> Context {
        contents::context(self.settings(), self.vehicles())
    }

    /// Reads one entry.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn entry(&self, path: &str) -> Result<(Entry, Vec<Problem>), JournalError> {
        let bytes = self.bytes(path)?;
        Ok(contents::read_bytes(path, bytes, &self.context()))
    }

    /// The bytes of a file of the journal.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn bytes(&self, path: &str) -> Result<Vec<u8>, JournalError> {
        let file = self.root.join(path);
        read_plain(&file).map_err(|error| JournalError::io(&file, error))
    }

    /// The texts of the episodes, by path; `None` if one cannot be read.
    #[must_use]
    pub fn episode_texts(&self) -> Option<Vec<(String, Vec<u8>)>> {
        let (texts, unread) = read_folder(&self.root, "episodes", DEEPEST).ok()?;
        unread.is_empty().then_some(texts)
    }

    /// Reads the whole journal.
    ///
    /// # Errors
    /// When a folder cannot be read. A file that cannot be is a problem.
    pub fn load(&self) -> Result<Contents, JournalError> {
        let (mut texts, mut unread) = read_frame(&self.root)?;
        let (episodes, unread_episodes) = read_folder(&self.root, "episodes", DEEPEST)?;
        texts.extend(episodes);
        unread.extend(unread_episodes);
        let walked = walk(&self.root)?;
        unread.extend(walked.unread.iter().map(|folder| {
            unreadable(
                String::new(),
                format!("a folder of entries cannot be read: {}", folder.error),
            )
        }));
        unread.extend(walked.others.iter().map(|path| {
            let found = fs::symlink_metadata(self.root.join(path));
            let why = match found.map(|meta| meta.file_type()) {
                Ok(kind) if kind.is_symlink() => "a link, which is not followed",
                Ok(kind) if kind.is_file() => "a file whose name has bytes that are no letters",
                Ok(_) | Err(_) => "no plain file",
            };
            unreadable(path.display().to_string(), format!("this is {why}"))
        }));
        for file in walked.files {
            match self.bytes(&file.path) {
                Ok(bytes) => texts.push((file.path, bytes)),
                Err(error) => unread.push(unreadable(
                    file.path,
                    format!("this entry cannot be read: {error}"),
                )),
            }
        }
        let mut contents = gather(texts);
        contents.problems.append(&mut unread);
        Ok(contents)
    }

    /// Whether a file with this path inside the journal exists.
    #[must_use]
    pub fn has(&self, path: &str) -> bool {
        self.root.join(path).exists()
    }

    /// Writes a new file of the journal; never over one that exists.
    ///
    /// # Errors
    /// When it exists, or cannot be written.
    pub fn add(&self, path: &str, text: &str) -> Result<(), JournalError> {
        write_new(&self.root.join(path), text.as_bytes())
    }

    /// Puts `text` in the place of `before`, which must still stand there.
    ///
    /// # Errors
    /// When the file was changed meanwhile, or cannot be written.
    pub fn change(&self, path: &str, before: &str, text: &str) -> Result<(), JournalError> {
        let file = self.root.join(path);
        if self.bytes(path)? != before.as_bytes() {
            return Err(JournalError::Changed(file));
        }
        write_atomically(&file, text.as_bytes())
    }
}

/// The error about a text that counts for nothing because it cannot be read.
fn unreadable(file: String, message: String) -> Problem {
    let spot = Spot {
        file,
        ..Spot::default()
    };
    Problem::error(spot, message).hint("nothing in it counts until it can be read")
}

/// Texts by their path.
type Texts = Vec<(String, Vec<u8>)>;

/// Settings and vehicle files, and what is wrong with those that cannot be
/// read.
fn read_frame(root: &Path) -> Result<(Texts, Vec<Problem>), JournalError> {
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
fn read_folder(
    root: &Path,
    name: &str,
    depth: usize,
) -> Result<(Texts, Vec<Problem>), JournalError> {
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
fn read_plain(file: &Path) -> std::io::Result<Vec<u8>> {
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

/// Writes a file that must not exist yet, whole or not at all.
///
/// # Errors
/// When it exists, or cannot be written.
pub fn write_new(path: &Path, bytes: &[u8]) -> Result<(), JournalError> {
    put_new(write_beside(path, bytes)?, path)
}

/// Gives a finished file a name that is free.
fn put_new(beside: tempfile::NamedTempFile, path: &Path) -> Result<(), JournalError> {
    match beside.persist_noclobber(path) {
        Ok(_) => sync_folder(path),
        Err(failed) if failed.error.kind() == ErrorKind::AlreadyExists => {
            Err(JournalError::Exists(path.to_owned()))
        }
        Err(failed) => Err(JournalError::io(path, failed.error)),
    }
}

/// Puts new bytes in the place of a file, whole or not at all; the file keeps
/// its permissions.
///
/// # Errors
/// When it cannot be written; the file is then as it was.
pub fn write_atomically(path: &Path, bytes: &[u8]) -> Result<(), JournalError> {
    let beside = write_beside(path, bytes)?;
    if let Ok(metadata) = fs::metadata(path) {
        beside
            .as_file()
            .set_permissions(metadata.permissions())
            .map_err(|error| JournalError::io(path, error))?;
    }
    match beside.persist(path) {
        Ok(_) => sync_folder(path),
        Err(failed) => Err(JournalError::io(path, failed.error)),
    }
}

/// With this begin the names of files that are not finished.
const UNFINISHED: &str = "writing-";

/// No run needs as long as this between the first byte of a text and its name.
const NEVER_SO_LONG: Duration = Duration::from_secs(3600);

/// A synced file that is to take the place of `path`, removed again if nothing comes of it.
fn write_beside(path: &Path, bytes: &[u8]) -> Result<tempfile::NamedTempFile, JournalError> {
    fill_beside(path, &mut |file| file.write_all(bytes))
}

/// Copies a file to a name that is free, whole or not at all, without holding it in
/// memory.
///
/// # Errors
/// When the name is taken, or either cannot be read or written; nothing is left behind then.
pub fn copy_new(from: &Path, to: &Path) -> Result<(), JournalError> {
    let mut source = File::open(from).map_err(|error| JournalError::io(from, error))?;
    let beside = fill_beside(to, &mut |file| io::copy(&mut source, file).map(drop))?;
    put_new(beside, to)
}

/// A file beside another, filled and safe on disk.
fn fill_beside(
    path: &Path,
    fill: &mut dyn FnMut(&mut File) -> io::Result<()>,
) -> Result<tempfile::NamedTempFile, JournalError> {
    let fail = |error| JournalError::io(path, error);
    let folder = path.parent().unwrap_or(Path::new("."));
    make_synced_folder(folder).map_err(fail)?;
    let folder = workshop(folder);
    let mut builder = tempfile::Builder::new();
    builder.prefix(UNFINISHED).suffix(".part");
    #[cfg(unix)]
    builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o644));
    let mut file = builder.tempfile_in(folder).map_err(fail)?;
    fill(file.as_file_mut()).map_err(fail)?;
    file.as_file().sync_all().map_err(fail)?;
    Ok(file)
}

/// Where a file is written before it takes its place in `folder`: out of git's sight in
/// the journal's own folder if that is on the same disk.
fn workshop(folder: &Path) -> PathBuf {
    let hidden = find_root(folder).map(|root| root.join(".matchmark"));
    hidden
        .filter(|hidden| hidden.is_dir() && is_on_the_disk_of(hidden, folder))
        .unwrap_or_else(|| folder.to_owned())
}

#[cfg(unix)]
fn is_on_the_disk_of(one: &Path, other: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    let disk = |folder: &Path| fs::metadata(folder).map(|meta| meta.dev()).ok();
    disk(one).is_some_and(|one| disk(other) == Some(one))
}

/// Where the system does not say, no.
#[cfg(not(unix))]
fn is_on_the_disk_of(_: &Path, _: &Path) -> bool {
    false
}

/// Makes a folder such that only its owner may look into it, with those above it;
/// whether it is one now. What is not finished is for nobody else's eyes.
pub(super) fn make_private(folder: &Path) -> bool {
    if make_synced_folder(folder).is_err() {
        return false;
    }
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // Only the owner can: in a place for all it may be somebody else's.
        let is_open = fs::symlink_metadata(folder).map_or(true, |meta| {
            !meta.is_dir() || meta.permissions().mode() & 0o077 != 0
        });
        !is_open || fs::set_permissions(folder, fs::Permissions::from_mode(0o700)).is_ok()
    }
    #[cfg(not(unix))]
    true
}

/// Makes a folder with those above it, as durable as what will be in it.
fn make_synced_folder(folder: &Path) -> io::Result<()> {
    for above in make_folder(folder)? {
        sync_one_folder(&above)?;
    }
    Ok(())
}

/// Makes a folder with those above it; returns the folders in which there is a new one,
/// to be synced.
fn make_folder(folder: &Path) -> io::Result<Vec<PathBuf>> {
    let missing = folder
        .ancestors()
        .take_while(|above| !above.as_os_str().is_empty() && !above.exists());
    let grown = missing.filter_map(Path::parent).map(|above| {
        if above.as_os_str().is_empty() {
            PathBuf::from(".")
        } else {
            above.to_owned()
        }
    });
    let grown: Vec<PathBuf> = grown.collect();
    fs::create_dir_all(folder)?;
    Ok(grown)
}

/// Makes the name of a new file as durable as its bytes.
fn sync_folder(path: &Path) -> Result<(), JournalError> {
    let folder = path.parent().unwrap_or(Path::new("."));
    sync_one_folder(folder).map_err(|error| JournalError::io(path, error))
}

/// Makes the names in a folder survive a power cut. Folders cannot be opened on every
/// system; where they can, they can be synced.
fn sync_one_folder(folder: &Path) -> io::Result<()> {
    File::open(folder).map_or(Ok(()), |folder| folder.sync_all())
}

#[cfg(test)]
mod tests {
    use super::super::drafts::put_draft;
    use super::*;

    #[test]
    fn the_folders_that_grew_are_named_from_the_new_one_up() {
        let top = tempfile::tempdir().expect("a folder");
        let made = |below: &str| make_folder(&top.path().join(below)).expect("made");
        let at = |below: &str| top.path().join(below);
        assert_eq!(made("a/b/c"), [at("a/b"), at("a"), at("")]);
        assert_eq!(made("a/b/d"), [at("a/b")]);
        assert_eq!(made("a/b"), Vec::<PathBuf>::new());
    }

    #[test]
    fn what_is_not_finished_lies_out_of_gits_sight_and_goes_when_it_is_old() {
        let top = tempfile::tempdir().expect("a folder");
        begin(top.path(), "").expect("a journal");
        let entry = top.path().join("entries/2026/x.md");
        let unfinished = write_beside(&entry, b"text").expect("written");
        let hidden = top.path().join(".matchmark");
        assert_eq!(unfinished.path().parent(), Some(hidden.as_path()));
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            let drafts = Journal::open(top.path()).expect("opened").drafts();
            let mode = |folder: &Path| fs::metadata(folder).map(|meta| meta.permissions().mode());
            assert_eq!(mode(&drafts).expect("a folder") & 0o777, 0o700);
            // One that was open to others before, and a new one elsewhere.
            let open = top.path().join("open");
            fs::create_dir(&open).expect("a folder");
            let draft = put_draft(std::slice::from_ref(&open), "x.md", b"text").expect("a draft");
            assert!(draft.starts_with(&open));
            assert_eq!(mode(&open).expect("a folder") & 0o777, 0o700);
            let far = top.path().join("far/off");
            put_draft(std::slice::from_ref(&far), "x.md", b"text").expect("a draft");
            assert_eq!(mode(&far).expect("a folder") & 0o777, 0o700);
        }
        let left = unfinished.into_temp_path().keep().expect("left behind");
        let journal = Journal::open(top.path()).expect("opened");
        let written = fs::metadata(&left)
            .and_then(|meta| meta.modified())
            .expect("a time");
        journal.clear_unfinished(written + Duration::from_secs(60));
        assert!(left.exists(), "somebody may be at work");
        journal.clear_unfinished(written + Duration::from_secs(7200));
        assert!(!left.exists());
        write_atomically(&entry, b"text").expect("written");
        assert_eq!(fs::read(&entry).expect("read"), b"text");
    }
}
