//! Locks: the one that keeps hold around themselves, git's own around the
//! index, and those that a dead process left behind.
//!
//! Removes by itself only what a keep of our own left that died at work; of any other
//! lock it says how old it is, and removes it only when told to.

use std::{
    fs::{self, File, TryLockError},
    io::{Read, Seek, Write},
    path::{Path, PathBuf},
    thread,
    time::{Duration, SystemTime},
};

use super::{History, HistoryError, Result, upkeep::release_locks_on_signals};
use crate::journal::{JournalError, UNFINISHED_BY_HISTORY, hide_computed};

/// The name of our own lock in `.matchmark/`.
const KEEP_LOCK: &str = "keep.lock";
/// How long to wait for another keep: the biggest adoption takes less.
const KEEP_PATIENCE: Duration = Duration::from_secs(60);
/// How long to wait for git: its own commands hold the index for well under a second.
pub(super) const GIT_PATIENCE: Duration = Duration::from_secs(5);
/// A lock younger than this most likely belongs to somebody who is at work.
const AT_WORK: Duration = Duration::from_secs(60);
/// A person who says that nobody is at work need not wait that long: git's own
/// commands hold a lock for well under a second, unless they are seen running.
const AT_WORK_IF_ASKED: Duration = GIT_PATIENCE;

/// A lock file or temporary file that a process left behind, most likely because it died.
///
/// "Most likely": `git commit -a` holds `index.lock` while its editor is open. Ask
/// whether a git program is running before clearing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StaleLock {
    /// The file.
    pub path: PathBuf,
    /// How old it is; `None` if the system does not say, or it lies in the future.
    pub age: Option<Duration>,
    written: Option<SystemTime>,
}

/// Our own lock around everything that writes. The system lets go of it when the
/// process ends, however it ends. Its file is empty unless a process is at work: if it
/// is not empty when the lock is taken, the last process that held it died.
pub(super) struct KeepLock {
    file: File,
}

impl Drop for KeepLock {
    fn drop(&mut self) {
        let _ = self.file.set_len(0);
    }
}

/// What the file says while somebody is at work; below it which lock of git's is theirs.
const AT_WORK_HERE: &str = "at work\n";

impl History {
    /// Waits for other keeps of this journal to finish. Whoever holds it may take git's
    /// locks as well, so those are seen to from here on.
    pub(super) fn keep_lock(&self) -> Result<KeepLock> {
        release_locks_on_signals();
        let folder = self.computed_folder()?;
        let path = folder.join(KEEP_LOCK);
        let mut file = File::options()
            .create(true)
            .truncate(false)
            .read(true)
            .write(true)
            .open(&path)
            .map_err(HistoryError::file("open", &path))?;
        let step = Duration::from_millis(20);
        for _ in 0..KEEP_PATIENCE.as_millis() / step.as_millis() {
            match file.try_lock() {
                Ok(()) => {
                    self.clear_after_death(&mut file);
                    let said = file
                        .set_len(0)
                        .and_then(|()| file.rewind())
                        .and_then(|()| file.write_all(AT_WORK_HERE.as_bytes()));
                    said.map_err(HistoryError::file("write", &path))?;
                    return Ok(KeepLock { file });
                }
                Err(TryLockError::WouldBlock) => thread::sleep(step),
                // Some network disks know no locks. git's own lock still holds there.
                Err(TryLockError::Error(error))
                    if error.kind() == std::io::ErrorKind::Unsupported =>
                {
                    return Ok(KeepLock { file });
                }
                Err(TryLockError::Error(error)) => {
                    return Err(HistoryError::file("lock", &path)(error));
                }
            }
        }
        Err(HistoryError::Busy)
    }

    /// Notes that this lock of git's index is ours, so that the next keep can clear it if
    /// this one dies.
    pub(super) fn claim(&self, lock: &Path) {
        if let Some(number) = file_number(lock) {
            let ours = File::options()
                .append(true)
                .open(self.root.join(".matchmark").join(KEEP_LOCK));
            // Without it the next keep asks the person.
            let _ = ours.and_then(|mut file| writeln!(file, "{number}"));
        }
    }

    /// Removes what a keep left that died: the locks it took, and files it had not
    /// finished. `file` is its own lock, which is ours now.
    ///
    /// A lock of git's index is its own if it says so. One that it had no time to claim, and
    /// one of a branch, is its own if it was made since it began, unless a git program is
    /// seen at work.
    fn clear_after_death(&self, file: &mut File) {
        let mut said = String::new();
        let began = file.metadata().and_then(|meta| meta.modified());
        let (Ok(began), Ok(_)) = (began, file.read_to_string(&mut said)) else {
            return;
        };
        let Some(claimed) = said.strip_prefix(AT_WORK_HERE) else {
            return;
        };
        let index_lock = self.index_path().with_extension("lock");
        let last = claimed.lines().last();
        let claimed: Option<FileNumber> = last.and_then(|number| number.parse().ok());
        let mut git_is_at_work = None;
        for lock in self.locks(began) {
            let is_ours = match claimed {
                Some(claimed) if lock.path == index_lock => {
                    file_number(&lock.path) == Some(claimed)
                }
                Some(_) | None => {
                    lock.written.is_some_and(|written| written >= began)
                        && !*git_is_at_work
                            .get_or_insert_with(|| git_at_work(&self.work_tree).is_some())
                }
            };
            if is_ours {
                let _ = self.clear_stale(&[lock]);
            }
        }
        for path in names(&self.root.join(".matchmark")) {
            if starts_with(&path, UNFINISHED_BY_HISTORY) {
                let _ = fs::remove_file(path);
            }
        }
    }

    /// `.matchmark/`, which hides itself from git; made if it is missing.
    pub(super) fn computed_folder(&self) -> Result<PathBuf> {
        let folder = self.root.join(".matchmark");
        hide_computed(&self.root).map_err(|error| {
            if let JournalError::Io { path, error } = error {
                HistoryError::file("make", path)(error)
            } else {
                HistoryError::file("make", &folder)(std::io::Error::other(error))
            }
        })?;
        Ok(folder)
    }

    /// Where the index is: always in the git folder.
    pub(super) fn index_path(&self) -> PathBuf {
        self.repo.git_dir().join("index")
    }

    /// Locks of git and temporary files of gix that are old enough to have been left
    /// behind, seen from `now`. (Git's own temporary files, and ours, which are named
    /// like git's, are cleaned up by `git gc`.)
    pub fn stale_locks(&self, now: SystemTime) -> Vec<StaleLock> {
        let mut locks = self.locks(now);
        locks.retain(|lock| lock.age.is_none_or(|age| age >= AT_WORK));
        locks
    }

    /// Removes what a dead process left behind, for a person who says that nobody is at
    /// work here. Returns what was removed.
    ///
    /// Waits some seconds for young locks to go away by themselves, and removes
    /// nothing while a git program is seen at work in this folder: it may hold its lock
    /// for as long as its editor is open.
    pub fn clear_locks(&self, now: SystemTime) -> Result<Vec<PathBuf>> {
        let _ours = self.keep_lock()?;
        let mut locks = self.locks(now);
        let young = |lock: &StaleLock| {
            let rest = |age| AT_WORK_IF_ASKED.saturating_sub(age);
            lock.age.map_or(AT_WORK_IF_ASKED, rest)
        };
        let rest = locks.iter().map(young).max().unwrap_or_default();
        let step = Duration::from_millis(100);
        for _ in 0..rest.as_millis().div_ceil(step.as_millis()) {
            locks.retain(StaleLock::is_still_there);
            if locks.is_empty() {
                break;
            }
            thread::sleep(step);
        }
        if locks.is_empty() {
            return Ok(Vec::new());
        }
        match git_at_work(&self.work_tree) {
            Some(process) => Err(HistoryError::GitAtWork { process }),
            None => self.clear_stale(&locks),
        }
    }

    /// All locks and temporary files that are there.
    fn locks(&self, now: SystemTime) -> Vec<StaleLock> {
        let (own, common) = (self.repo.git_dir(), self.repo.common_dir());
        let mut paths: Vec<PathBuf> = ["index.lock", "HEAD.lock"]
            .map(|name| own.join(name))
            .into();
        paths.extend(
            ["packed-refs.lock", "config.lock", "shallow.lock"].map(|name| common.join(name)),
        );
        lock_files(&common.join("refs"), &mut paths);
        for folder in [common.join("objects"), common.join("objects/pack")] {
            paths.extend(names(&folder).filter(|path| starts_with(path, ".tmp")));
        }
        paths
            .into_iter()
            .filter_map(|path| lock(path, now))
            .collect()
    }

    /// Removes these, unless somebody has written one anew since it was found. Returns those removed.
    pub fn clear_stale(&self, locks: &[StaleLock]) -> Result<Vec<PathBuf>> {
        let mut cleared = Vec::new();
        for lock in locks {
            if lock.is_still_there() {
                fs::remove_file(&lock.path).map_err(HistoryError::file("remove", &lock.path))?;
                cleared.push(lock.path.clone());
            }
        }
        Ok(cleared)
    }
}

impl StaleLock {
    /// Whether nobody has removed it, or written one anew, since it was found.
    fn is_still_there(&self) -> bool {
        fs::symlink_metadata(&self.path).is_ok_and(|meta| meta.modified().ok() == self.written)
    }
}

/// The number of a file on its file system, where there is one.
type FileNumber = u64;

fn file_number(path: &Path) -> Option<FileNumber> {
    let meta = fs::symlink_metadata(path).ok()?;
    #[cfg(unix)]
    let number = {
        use std::os::unix::fs::MetadataExt;
        Some(meta.ino())
    };
    #[cfg(not(unix))]
    let number = meta.is_dir().then_some(0).filter(|_| false);
    number
}

/// The number of a git process at work in this folder or below it, where the system
/// shows its processes as files (Linux).
fn git_at_work(work_tree: &Path) -> Option<u32> {
    names(Path::new("/proc")).find_map(|process| {
        let number = process.file_name()?.to_str()?.parse().ok()?;
        let program = fs::read_to_string(process.join("comm")).ok()?;
        let here = fs::read_link(process.join("cwd")).ok()?;
        let is_git = program.trim_end() == "git" || program.starts_with("git-");
        (is_git && here.starts_with(work_tree)).then_some(number)
    })
}

fn lock(path: PathBuf, now: SystemTime) -> Option<StaleLock> {
    let meta = fs::symlink_metadata(&path)
        .ok()
        .filter(fs::Metadata::is_file)?;
    let written = meta.modified().ok();
    let age = written.and_then(|written| now.duration_since(written).ok());
    Some(StaleLock { path, age, written })
}

fn lock_files(folder: &Path, found: &mut Vec<PathBuf>) {
    for path in names(folder) {
        if path.is_dir() {
            lock_files(&path, found);
        } else if path
            .extension()
            .is_some_and(|extension| extension == "lock")
        {
            found.push(path);
        }
    }
}

/// The entries of a folder; none if it cannot be read, which the caller that needs it reports.
fn names(folder: &Path) -> impl Iterator<Item = PathBuf> + use<> {
    fs::read_dir(folder)
        .into_iter()
        .flatten()
        .flatten()
        .map(|entry| entry.path())
}

fn starts_with(path: &Path, start: &str) -> bool {
    path.file_name()
        .is_some_and(|name| name.as_encoded_bytes().starts_with(start.as_bytes()))
}
