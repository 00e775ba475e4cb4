//! A journal on disk: begun, opened, read, added to.
//!
//! Nothing that stands in a file is ever overwritten unseen: a new file never
//! replaces one, and a changed text goes beside the old one first and takes
//! its name only when it is safely on disk.

use std::fs::{self, File};
use std::path::{Path, PathBuf};
use std::sync::OnceLock;
use std::time::SystemTime;

use super::contents::{self, Contents, gather, gather_with};
use super::durable::{
    NEVER_SO_LONG, UNFINISHED, UNFINISHED_BY_HISTORY, make_private, make_synced_folder,
    write_atomically, write_new, write_unsynced,
};
use super::entry_files::{DEEPEST, Walked, walk};
use super::error::JournalError;
use super::settings::Settings;
use super::texts::{TextsOnDisk, read_folder, read_frame, read_plain, unreadable};
use super::vehicle::VehicleFile;
use crate::entry::{Context, Entry};
use crate::problem::Problem;

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
    // A killed run may have left it empty, and it would hide nothing for ever.
    if fs::metadata(&ignore).is_ok_and(|found| found.len() > 0) {
        return Ok(());
    }
    write_unsynced(&ignore, b"*\n")
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
        // Where it cannot be made, writing into it says so. What is hidden already holds
        // the file that hides this one until it is whole.
        let _ = hide_computed(&self.root);
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
            let name = name.to_string_lossy();
            let is_unfinished = [UNFINISHED, UNFINISHED_BY_HISTORY]
                .iter()
                .any(|begins| name.starts_with(begins));
            let is_left = is_unfinished && age.is_some_and(|age| age >= NEVER_SO_LONG);
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
        self.hold_as("write.lock")
    }

    /// Like [`Journal::hold`], for something else that only one run may do at a time.
    #[must_use]
    pub fn hold_as(&self, name: &str) -> Option<File> {
        let lock = File::create(self.computed().join(name)).ok()?;
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
        self.entry_with(path, &self.context())
    }

    /// Like [`Journal::entry`], for who reads many with the same context.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn entry_with(
        &self,
        path: &str,
        context: &Context,
    ) -> Result<(Entry, Vec<Problem>), JournalError> {
        let bytes = self.bytes(path)?;
        Ok(contents::read_bytes(path, bytes, context))
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
        let walked = walk(&self.root)?;
        let (mut texts, mut unread) = self.beside_entries(&walked)?;
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

    /// Like [`Journal::load`], with all `entries` that the walk found, read before.
    ///
    /// # Errors
    /// When a folder cannot be read.
    pub fn load_around(
        &self,
        walked: &Walked,
        entries: Vec<Entry>,
    ) -> Result<Contents, JournalError> {
        let (texts, mut unread) = self.beside_entries(walked)?;
        let mut contents = gather_with(texts, entries);
        contents.problems.append(&mut unread);
        Ok(contents)
    }

    /// All texts but the entries, and what is wrong with texts and files that cannot be
    /// read.
    fn beside_entries(&self, walked: &Walked) -> Result<(TextsOnDisk, Vec<Problem>), JournalError> {
        let (mut texts, mut unread) = read_frame(&self.root)?;
        let (episodes, unread_episodes) = read_folder(&self.root, "episodes", DEEPEST)?;
        texts.extend(episodes);
        unread.extend(unread_episodes);
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
        Ok((texts, unread))
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

#[cfg(test)]
mod tests {
    use std::time::Duration;

    use super::super::drafts::put_draft;
    use super::super::durable::write_beside;
    use super::*;

    #[test]
    fn what_a_killed_run_left_empty_hides_the_drafts_again() {
        let top = tempfile::tempdir().expect("a folder");
        begin(top.path(), "").expect("a journal");
        let journal = Journal::open(top.path()).expect("it opens");
        let ignore = journal.drafts().join(".gitignore");
        fs::write(&ignore, "").expect("written");
        let inside = fs::read_dir(journal.drafts()).expect("a folder");
        assert_eq!(inside.count(), 1);
        assert_eq!(fs::read_to_string(&ignore).expect("read"), "*\n");
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
        // What the history computes is written outside of its lock.
        let other = left.with_file_name(format!("{UNFINISHED_BY_HISTORY}x"));
        fs::write(&other, "").expect("left behind");
        journal.clear_unfinished(written + Duration::from_secs(60));
        assert!(left.exists() && other.exists(), "somebody may be at work");
        journal.clear_unfinished(written + Duration::from_secs(7200));
        assert!(!left.exists());
        assert!(!other.exists());
        write_atomically(&entry, b"text").expect("written");
        assert_eq!(fs::read(&entry).expect("read"), b"text");
    }
}
