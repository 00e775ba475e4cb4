//! The history against the real `git`: whatever we write, git must find clean, and
//! whatever we read, git must say the same.
//!
//! Each test has its own folder and its own settings; none looks at the person's.

mod changes;
mod faults;
mod keeping;
mod opening;
mod pasts;
mod playing;

use std::{
    fs,
    path::{Path, PathBuf},
    process::{Command, Output},
};

use jiff::{Timestamp, ZonedDateTime, tz};

use super::{History, KeepOutcome, KeepRequest, Result, Who};

/// A folder with a journal in it, in a repository or about to be.
pub(super) struct Garage {
    _folder: tempfile::TempDir,
    pub(super) root: PathBuf,
}

impl Garage {
    /// A folder without a repository.
    fn bare_floor() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let root = folder.path().canonicalize().unwrap();
        Garage {
            _folder: folder,
            root,
        }
    }

    /// A folder with a fresh repository, made by us.
    fn new() -> Self {
        let garage = Self::bare_floor();
        History::create_with(&garage.root, isolated()).unwrap();
        garage
    }

    fn history(&self) -> History {
        self.history_in("")
    }

    fn history_in(&self, below: &str) -> History {
        History::open_with(&self.root.join(below), isolated())
            .unwrap()
            .unwrap()
    }

    fn write(&self, path: &str, text: impl AsRef<[u8]>) {
        let path = self.root.join(path);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }

    fn read(&self, path: &str) -> String {
        fs::read_to_string(self.root.join(path)).unwrap()
    }

    /// Writes a file and keeps it.
    fn keep(&self, path: &str, text: &str) -> KeepOutcome {
        self.write(path, text);
        keep(&self.history(), &[path]).unwrap()
    }

    fn try_git(&self, arguments: &[&str]) -> Output {
        git_in(&self.root, arguments)
    }

    fn git(&self, arguments: &[&str]) -> String {
        let output = self.try_git(arguments);
        assert!(
            output.status.success(),
            "git {arguments:?}: {}",
            String::from_utf8_lossy(&output.stderr)
        );
        String::from_utf8(output.stdout).unwrap()
    }

    /// What git thinks has changed, without letting it write a fresher index.
    fn status(&self) -> String {
        self.git(&["--no-optional-locks", "status", "--porcelain"])
    }

    /// Git finds nothing wrong and nothing changed.
    fn assert_clean(&self) {
        self.assert_sound();
        assert_eq!(self.status(), "");
    }

    fn assert_sound(&self) {
        let fsck = self.try_git(&["fsck", "--strict", "--no-dangling"]);
        let said = String::from_utf8_lossy(&fsck.stderr).to_string()
            + &String::from_utf8_lossy(&fsck.stdout);
        assert!(fsck.status.success() && said.is_empty(), "{said}");
    }

    /// The subjects of the commits of HEAD, newest first.
    fn subjects(&self) -> Vec<String> {
        self.git(&["log", "--format=%s"])
            .lines()
            .map(str::to_owned)
            .collect()
    }
}

fn git_in(folder: &Path, arguments: &[&str]) -> Output {
    let mut git = Command::new("git");
    for name in ["GIT_DIR", "GIT_WORK_TREE", "GIT_INDEX_FILE"] {
        git.env_remove(name);
    }
    git.current_dir(folder)
        .args([
            "-c",
            "user.name=Mo Tester",
            "-c",
            "user.email=mo@example.org",
            "-c",
            "init.defaultBranch=main",
        ])
        .args(arguments)
        // Not /dev/null: git would put a file in its place when told to write settings.
        .env("GIT_CONFIG_GLOBAL", folder.join("no-settings"))
        .env("GIT_CONFIG_NOSYSTEM", "1")
        .env("HOME", folder)
        .output()
        .unwrap()
}

fn isolated() -> gix::open::Options {
    gix::open::Options::isolated()
}

fn who() -> Who {
    Who {
        name: "Robin Fettle".into(),
        email: "robin@example.org".into(),
    }
}

/// A time with an offset of this many hours.
fn time(utc: &str, hours: i8) -> ZonedDateTime {
    utc.parse::<Timestamp>()
        .unwrap()
        .to_zoned_datetime(tz::TimeZone::fixed(tz::offset(hours)))
}

fn request(paths: &[&str]) -> KeepRequest {
    KeepRequest {
        paths: paths.iter().map(|path| path.to_string()).collect(),
        message: format!("Keep {}", paths.join(", ")),
        who: who(),
        author_time: time("2026-03-14T20:15:00Z", 1),
        commit_time: time("2026-03-15T21:30:00Z", 1),
    }
}

fn keep(history: &History, paths: &[&str]) -> Result<KeepOutcome> {
    history.keep(&request(paths))
}
