//! A journal in a folder of its own, and the program run in it, away from the
//! settings of whoever runs the tests. Real git is the independent check.

use std::ffi::{OsStr, OsString};
use std::fmt;
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::sync::OnceLock;

use tempfile::TempDir;

/// The program under test.
pub const PROGRAM: &str = env!("CARGO_BIN_EXE_matchmark");

/// A grey PNG of one pixel.
pub const TINY_PNG: &[u8] = b"\x89PNG\x0d\x0a\x1a\x0a\x00\x00\x00\x0dIHDR\x00\x00\x00\x01\x00\x00\x00\x01\x08\x00\x00\x00\x00:~\x9bU\x00\x00\x00\x0aIDATx\x9cch\x00\x00\x00\x82\x00\x81w\xcdr\xb6\x00\x00\x00\x00IEND\xaeB`\x82";

/// A journal with one vehicle, and a home beside it. Both vanish with it.
pub struct Shop {
    around: TempDir,
    /// The journal's folder.
    pub root: PathBuf,
}

/// What a run came to.
pub struct Ran {
    /// The exit status; `None` after a signal.
    pub code: Option<i32>,
    /// Standard output, as it came.
    pub bytes: Vec<u8>,
    /// Standard output as text.
    pub out: String,
    /// Standard error as text.
    pub err: String,
}

impl fmt::Debug for Ran {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // Long answers would bury what went wrong.
        let start = |text: &str| text.chars().take(3000).collect::<String>();
        writeln!(f, "status {:?}", self.code)?;
        writeln!(f, "--- out ---\n{}", start(&self.out))?;
        writeln!(f, "--- err ---\n{}", start(&self.err))
    }
}

impl From<Output> for Ran {
    fn from(output: Output) -> Ran {
        Ran {
            code: output.status.code(),
            out: String::from_utf8_lossy(&output.stdout).into_owned(),
            err: String::from_utf8_lossy(&output.stderr).into_owned(),
            bytes: output.stdout,
        }
    }
}

impl Ran {
    /// Fails the test unless the run ended with this status.
    #[track_caller]
    pub fn ends(self, code: i32) -> Ran {
        assert_eq!(self.code, Some(code), "{self:#?}");
        self
    }

    /// Fails the test unless standard error holds these words, however they
    /// are wrapped.
    #[track_caller]
    pub fn says(self, words: &str) -> Ran {
        let said: Vec<&str> = self.err.split_whitespace().collect();
        assert!(said.join(" ").contains(words), "no `{words}` in {self:#?}");
        self
    }

    /// Fails the test unless standard output holds these words.
    #[track_caller]
    pub fn shows(self, words: &str) -> Ran {
        let shown: Vec<&str> = self.out.split_whitespace().collect();
        assert!(shown.join(" ").contains(words), "no `{words}` in {self:#?}");
        self
    }
}

/// A JPEG, by its structure, that says when it was taken.
pub fn shot(when: &str, pixels: &[u8]) -> Vec<u8> {
    let mut tiff = b"MM\0*\0\0\0\x08\0\x01\x87\x69\0\x04\0\0\0\x01\0\0\0\x1a\0\0\0\0".to_vec();
    tiff.extend(b"\0\x01\x90\x03\0\x02\0\0\0\x14\0\0\0\x2c\0\0\0\0");
    tiff.extend(when.as_bytes());
    tiff.push(0);
    let exif = [b"Exif\0\0", &tiff[..]].concat();
    let length = u16::try_from(exif.len() + 2).expect("short");
    let head = [&b"\xff\xd8\xff\xe1"[..], &length.to_be_bytes(), &exif].concat();
    [&head[..], b"\xff\xda\0\x02", pixels, b"\xff\xd9"].concat()
}

/// The answer of a verb in JSON, whatever the exit status.
#[track_caller]
pub fn json(shop: &Shop, arguments: &[&str]) -> serde_json::Value {
    let ran = shop.run([arguments, &["--json"]].concat());
    assert_no_panic(&ran);
    serde_json::from_str(&ran.out).unwrap_or_else(|error| panic!("{error}: {ran:?}"))
}

impl Shop {
    /// A journal about the vehicle `wren`, with nothing kept yet.
    pub fn new() -> Shop {
        let around = tempfile::Builder::new()
            .prefix("matchmark-")
            .tempdir()
            .expect("a temporary folder");
        let root = around.path().join("journal");
        fs::create_dir_all(around.path().join("home")).expect("a home");
        fs::create_dir_all(around.path().join("tmp")).expect("a folder for drafts");
        let shop = Shop { around, root };
        shop.command_in(
            shop.around.path(),
            [
                "begin",
                "journal",
                "--vehicle",
                "Wren",
                "--author",
                "Ada Bench <ada@example.org>",
            ],
        )
        .output()
        .map(Ran::from)
        .expect("the program runs")
        .ends(0);
        shop
    }

    /// The folder around the journal, with `home` and `tmp` beside it.
    pub fn around(&self) -> &Path {
        self.around.path()
    }

    /// A program in surroundings of its own: nothing of the person's settings.
    pub fn surrounded(&self, program: impl AsRef<OsStr>, here: &Path) -> Command {
        let path = environment("PATH").unwrap_or_default();
        let mut command = Command::new(program);
        command
            .current_dir(here)
            .env_clear()
            .env("PATH", path)
            .env("HOME", self.around().join("home"))
            .env("TMPDIR", self.around().join("tmp"))
            // Not /dev/null: git would put a file in its place when told to write settings.
            .env("GIT_CONFIG_GLOBAL", self.around.path().join("no-settings"))
            .env("GIT_CONFIG_NOSYSTEM", "1")
            .env("TZ", "UTC")
            .stdin(Stdio::null());
        command
    }

    /// The program with these arguments, to be run in some folder.
    pub fn command_in<I, S>(&self, here: &Path, arguments: I) -> Command
    where
        I: IntoIterator<Item = S>,
        S: AsRef<OsStr>,
    {
        let mut command = self.surrounded(PROGRAM, here);
        command.args(arguments);
        command
    }

    /// The program with these arguments, to be run in the journal.
    pub fn command<I, S>(&self, arguments: I) -> Command
    where
        I: IntoIterator<Item = S>,
        S: AsRef<OsStr>,
    {
        self.command_in(&self.root, arguments)
    }

    /// Runs the program in the journal.
    pub fn run<I, S>(&self, arguments: I) -> Ran
    where
        I: IntoIterator<Item = S>,
        S: AsRef<OsStr>,
    {
        let output = self.command(arguments).output();
        output.expect("the program runs").into()
    }

    /// Runs the program in the journal and hands it this on standard input.
    pub fn run_with<I, S>(&self, arguments: I, input: &[u8]) -> Ran
    where
        I: IntoIterator<Item = S>,
        S: AsRef<OsStr>,
    {
        let mut child = self
            .command(arguments)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the program runs");
        let mut pipe = child.stdin.take().expect("a pipe");
        // A program that does not read its input to the end is no fault here.
        let _ = pipe.write_all(input);
        drop(pipe);
        child.wait_with_output().expect("an end").into()
    }

    /// Runs a shell script in the journal; `$MATCHMARK` is the program.
    pub fn shell(&self, script: &str) -> Ran {
        let mut shell = self.surrounded("sh", &self.root);
        shell.arg("-c").arg(script).env("MATCHMARK", PROGRAM);
        shell.output().expect("a shell").into()
    }

    /// Runs git in the journal.
    pub fn try_git<I, S>(&self, arguments: I) -> Ran
    where
        I: IntoIterator<Item = S>,
        S: AsRef<OsStr>,
    {
        let mut git = self.surrounded("git", &self.root);
        for role in ["AUTHOR", "COMMITTER"] {
            git.env(format!("GIT_{role}_NAME"), "By Hand");
            git.env(format!("GIT_{role}_EMAIL"), "hand@example.org");
        }
        git.args(arguments).output().expect("git runs").into()
    }

    /// Runs git in the journal, which must succeed; what it prints.
    #[track_caller]
    pub fn git<I, S>(&self, arguments: I) -> String
    where
        I: IntoIterator<Item = S>,
        S: AsRef<OsStr>,
    {
        self.try_git(arguments).ends(0).out
    }

    /// Keeps everything, which must succeed.
    #[track_caller]
    pub fn keep(&self) -> Ran {
        self.run(["keep"]).ends(0)
    }

    /// Writes a file of the journal, with the folders above it.
    pub fn write(&self, path: &str, bytes: impl AsRef<[u8]>) {
        let file = self.root.join(path);
        fs::create_dir_all(file.parent().expect("a folder")).expect("a folder");
        fs::write(file, bytes).expect("a file that can be written");
    }

    /// The text of a file of the journal.
    #[track_caller]
    pub fn read(&self, path: &str) -> String {
        fs::read_to_string(self.root.join(path)).expect("a file that can be read")
    }

    /// Writes an entry about one part that came off.
    pub fn removed(&self, path: &str, part: &str, prose: &str) {
        self.write(path, entry(part, prose));
    }

    /// Fails the test unless real git finds nothing at all to say against the
    /// repository.
    #[track_caller]
    pub fn assert_sound(&self) {
        let fsck = self.try_git(["fsck", "--strict", "--no-dangling", "--no-progress"]);
        let silent = fsck.out.is_empty() && fsck.err.is_empty();
        assert!(fsck.code == Some(0) && silent, "{fsck:#?}");
    }

    /// [`Shop::assert_sound`], and everything is in the history.
    #[track_caller]
    pub fn assert_clean(&self) {
        self.assert_sound();
        assert_eq!(self.git(["status", "--porcelain"]), "");
    }

    /// A copy of the texts beside this journal, without history and index.
    pub fn texts_alone(&self) -> Shop {
        let around = tempfile::Builder::new()
            .prefix("matchmark-copy-")
            .tempdir()
            .expect("a temporary folder");
        let root = around.path().join("journal");
        copy_texts(&self.root, &root);
        Shop { around, root }
    }

    /// Fails the test unless this question gets the answer that an index made
    /// only now gives.
    #[track_caller]
    pub fn assert_answers_as_fresh(&self, question: &[&str]) -> Ran {
        self.assert_answers_as(&self.texts_alone(), question)
    }

    /// Fails the test unless this question gets the answer that it gets there.
    #[track_caller]
    pub fn assert_answers_as(&self, fresh: &Shop, question: &[&str]) -> Ran {
        let ran = self.run(question);
        let fresh = fresh.run(question);
        assert_eq!((ran.code, &ran.out), (fresh.code, &fresh.out), "{ran:#?}");
        assert_no_panic(&ran);
        ran
    }

    /// The file that the message names as the place of the person's text.
    #[track_caller]
    pub fn file_named_in(&self, ran: &Ran) -> PathBuf {
        let said: String = ran.err.split_whitespace().collect::<Vec<_>>().join(" ");
        let around = self.around().display().to_string();
        let named = said
            .split_whitespace()
            .map(|word| word.trim_end_matches([';', ',', '.']))
            .filter(|word| word.starts_with(&around))
            .map(PathBuf::from)
            .find(|path| path.is_file() && path.to_string_lossy().contains("drafts"));
        named.unwrap_or_else(|| panic!("no file is named in {ran:#?}"))
    }
}

/// The demo as `tour` leaves it, for this test alone. It is played once and copied.
pub fn toured() -> Shop {
    static PLAYED: OnceLock<Shop> = OnceLock::new();
    let played = PLAYED.get_or_init(|| {
        let mut shop = Shop::new();
        shop.run(["tour", "../demo"]).ends(0);
        shop.root = shop.around().join("demo");
        shop
    });
    let mut shop = Shop::new();
    shop.root = shop.around().join("demo");
    let mut copy = Command::new("cp");
    copy.arg("-a").arg(&played.root).arg(&shop.root);
    assert!(copy.status().expect("`cp` runs").success());
    shop
}

/// An entry of the vehicle `wren` about one part that came off.
pub fn entry(part: &str, prose: &str) -> String {
    format!(
        "---\ndate: 2026-03-14\nvehicle: wren\n---\n\n# About the {part}\n\n## {part}\n\n- status: removed\n- stored: rack 2\n\n{prose}\n"
    )
}

/// Fails the test if the program fell over, even if it went on.
#[track_caller]
pub fn assert_no_panic(ran: &Ran) {
    let fell = ["panicked", "RUST_BACKTRACE", "unwrap"];
    assert!(
        !fell.iter().any(|word| ran.err.contains(word)) && ran.code != Some(101),
        "{ran:#?}"
    );
}

/// What whoever runs the tests has set.
#[allow(
    clippy::disallowed_methods,
    reason = "only the program must not look at it"
)]
pub fn environment(name: &str) -> Option<OsString> {
    std::env::var_os(name)
}

/// Tells whoever runs the tests what a test came to, or why it was left out.
#[allow(clippy::print_stderr, reason = "what was left out should be seen")]
pub fn tell(what: &str) {
    eprintln!("{what}");
}

fn copy_texts(from: &Path, to: &Path) {
    fs::create_dir_all(to).expect("a folder");
    for item in fs::read_dir(from).expect("a folder") {
        let item = item.expect("an item");
        let (name, kind) = (item.file_name(), item.file_type().expect("its kind"));
        if name == ".git" || name == ".matchmark" {
            continue;
        }
        if kind.is_dir() {
            copy_texts(&item.path(), &to.join(name));
        } else if kind.is_file() {
            fs::copy(item.path(), to.join(name)).expect("a copy");
        }
    }
}
