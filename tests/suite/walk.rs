//! A sheet walked at a terminal: the program runs at one that is made for the test, keys
//! are typed, and what counts is the sheet on the disk.

use std::fs::{self, File};
use std::io::{Read, Write};
use std::os::fd::OwnedFd;
use std::path::{Path, PathBuf};
use std::process::{Child, Command};
use std::sync::{Arc, Mutex};
use std::thread;
use std::time::Duration;

use rustix::termios::{LocalModes, Winsize, tcgetattr, tcsetwinsize};

use crate::pty;
use crate::support::Shop;

/// The program at a terminal of its own.
struct AtTerminal {
    child: Child,
    keys: File,
    theirs: OwnedFd,
    shown: Arc<Mutex<Vec<u8>>>,
}

const PATIENCE: usize = 600;

impl AtTerminal {
    fn new(mut command: Command, (columns, rows): (u16, u16), term: &str) -> AtTerminal {
        let (ours, theirs) = pty::open();
        let size = Winsize {
            ws_col: columns,
            ws_row: rows,
            ws_xpixel: 0,
            ws_ypixel: 0,
        };
        tcsetwinsize(&ours, size).expect("a size");
        let side = || theirs.try_clone().expect("the same side");
        let child = command
            .env("TERM", term)
            .stdin(side())
            .stdout(side())
            .stderr(side())
            .spawn()
            .expect("the program runs");
        let keys = File::from(ours);
        let shown: Arc<Mutex<Vec<u8>>> = Arc::default();
        let (mut screen, sink) = (keys.try_clone().expect("the screen"), Arc::clone(&shown));
        thread::spawn(move || {
            let mut read = [0; 4096];
            while let Ok(count) = screen.read(&mut read) {
                sink.lock().expect("nobody fell").extend(&read[..count]);
            }
        });
        AtTerminal {
            child,
            keys,
            theirs,
            shown,
        }
    }

    fn shown(&self) -> String {
        String::from_utf8_lossy(&self.shown.lock().expect("nobody fell")).into_owned()
    }

    #[track_caller]
    fn until(&self, what: &str, is_so: impl Fn() -> bool) {
        for _ in 0..PATIENCE {
            if is_so() {
                return;
            }
            thread::sleep(Duration::from_millis(25));
        }
        panic!("never {what}:\n{}", self.shown());
    }

    #[track_caller]
    fn sees(&self, words: &str) {
        self.until(words, || self.shown().contains(words));
    }

    /// Types keys; what was shown before them is forgotten.
    fn types(&mut self, keys: &str) {
        self.shown.lock().expect("nobody fell").clear();
        self.keys.write_all(keys.as_bytes()).expect("a terminal");
    }

    /// Whether keys are shown and lines are gathered, as a shell wants it.
    fn is_as_before(&self) -> bool {
        let modes = tcgetattr(&self.theirs).expect("its modes").local_modes;
        modes.contains(LocalModes::ICANON | LocalModes::ECHO | LocalModes::ISIG)
    }

    #[track_caller]
    fn ends(&mut self) -> Option<i32> {
        for _ in 0..PATIENCE {
            if let Some(status) = self.child.try_wait().expect("its end") {
                return status.code();
            }
            thread::sleep(Duration::from_millis(25));
        }
        panic!("it never ends:\n{}", self.shown());
    }

    fn signal(&self, signal: &str) {
        let number = self.child.id().to_string();
        let sent = Command::new("kill").args([signal, &number]).status();
        assert!(sent.expect("kill").success());
    }
}

impl Drop for AtTerminal {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// A journal with a narration beside it, and where its sheet goes.
fn shop() -> (Shop, PathBuf) {
    let shop = Shop::new();
    let data = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/narrations/shed-evening.vtt");
    fs::copy(data, shop.around().join("shed.vtt")).expect("copied");
    let sheet = shop.around().join("shed.sheet.txt");
    (shop, sheet)
}

const LISTEN: [&str; 8] = [
    "adopt",
    "../shed.vtt",
    "--driven",
    "right",
    "--clip",
    "A020",
    "--day",
    "2026-03-14",
];

fn walk(shop: &Shop, arguments: &[&str], size: (u16, u16)) -> AtTerminal {
    AtTerminal::new(shop.command(arguments), size, "xterm")
}

fn line<'t>(text: &'t str, part: &str) -> &'t str {
    let found = text
        .lines()
        .find(|line| line.starts_with('[') && line.contains(part));
    found.unwrap_or_else(|| panic!("no line with {part}:\n{text}"))
}

#[test]
fn a_narration_is_walked_with_single_keys_and_each_change_is_saved() {
    let (shop, file) = shop();
    let sheet = || fs::read_to_string(&file).unwrap_or_default();
    let mut terminal = walk(&shop, &LISTEN, (80, 24));
    terminal.sees("space tick");
    assert!(!terminal.is_as_before());
    let before = sheet();
    let first = before
        .lines()
        .find(|line| line.starts_with('['))
        .expect("a line");
    let ticked = first.replacen("[ ]", "[x]", 1);
    let undone = ticked.replacen(" removed:", " undone:", 1);
    assert!(first != ticked && ticked != undone, "{first}");
    for (key, expected) in [
        (" ", &ticked[..]),
        // A tick goes on to the next line.
        ("kl", &undone),
        ("o", &ticked),
        (" ", first),
    ] {
        terminal.types(key);
        terminal.until(expected, || sheet().lines().any(|line| line == expected));
    }
    // What does not fit the screen comes before the next passage.
    terminal.sees("more below");
    terminal.types("\x1b[6~");
    terminal.sees("removed: fan");
    terminal.types("\x1b[6~");
    terminal.sees("passage 2 of");
    terminal.types("q");
    assert_eq!(terminal.ends(), Some(0));
    assert!(terminal.is_as_before());
    terminal.sees("lines are ticked in ../shed.sheet.txt");

    // Coming back opens where one left, by the narration or by the sheet; what was
    // written down is all that differs.
    let kept = sheet();
    for arguments in [
        &LISTEN[..],
        &["adopt", "--from", "../shed.sheet.txt", "--walk"],
    ] {
        let mut again = walk(&shop, arguments, (40, 12));
        again.sees("passage 2 of");
        again.types("\x03");
        assert_eq!(again.ends(), Some(0));
        assert_eq!(sheet(), kept);
    }
    let others = |text: &str| {
        let lines = text.lines().filter(|line| !line.starts_with("# Left at"));
        lines.map(str::to_owned).collect::<Vec<_>>()
    };
    assert_eq!(others(&kept), others(&before));

    // Writing asks once more, and the entry is the one of the sheet.
    let shown = shop
        .run(["adopt", "--from", "../shed.sheet.txt"])
        .ends(0)
        .out;
    let mut last = walk(&shop, &LISTEN, (80, 24));
    last.sees("passage 2 of");
    last.types("w");
    last.sees("y writes it");
    last.types("y");
    last.sees("written to entries/2026/");
    assert_eq!(last.ends(), Some(0));
    let entry = shop.read("entries/2026/2026-03-14-what-was-said-in-a020.md");
    assert_eq!(entry, shown);
    assert!(sheet().contains("\n# Written to entries/2026/2026-03-14-what-was-said-in-a020.md\n"));
}

#[test]
fn it_was_the_other_part() {
    let shop = Shop::new();
    let sheet = "# What was said: 1 of 2 lines ticked.\nvehicle: wren\ndate: 2026-03-14\n\
                 > 0:00:05 The drum, the pin. There it goes.\n\
                 [x] 0:00:05 ~ removed: drum | hardware: 2 nuts\n[ ] 0:00:06 removed: pin\n";
    shop.write("sheet.txt", sheet);
    let mut terminal = walk(&shop, &["adopt", "--from", "sheet.txt", "--walk"], (40, 12));
    terminal.sees("space o l i");
    terminal.types("i");
    terminal.sees("pin instead of drum");
    let text = || shop.read("sheet.txt");
    assert_eq!(
        line(&text(), "pin"),
        "[x] 0:00:05 ~ removed: pin | hardware: 2 nuts"
    );
    assert!(!text().contains("removed: drum"));
    terminal.types("u");
    terminal.sees("undone");
    assert_eq!(
        line(&text(), "drum"),
        "[x] 0:00:05 ~ removed: drum | hardware: 2 nuts"
    );
    // A line is typed anew, a slip in it taken back.
    terminal.types("e\x15\x15removed: drum, lefft\x7f\x7ft");
    terminal.sees("Enter takes it");
    terminal.types("\r");
    terminal.until("typed", || {
        line(&text(), "drum").ends_with("removed: drum, left")
    });
    terminal.types("u");
    terminal.until("undone", || {
        line(&text(), "drum").ends_with("hardware: 2 nuts")
    });
    // Another program has the last word about its own changes.
    let other = text().replace("pin", "split pin");
    shop.write("sheet.txt", &other);
    terminal.types(" ");
    terminal.sees("another program changed");
    assert_eq!(text(), other);
    terminal.types(" ");
    terminal.until("unticked", || line(&text(), "drum").starts_with("[ ]"));
    assert!(text().contains("split pin"));
}

#[test]
fn a_signal_puts_the_terminal_back_and_a_kill_leaves_the_sheet_whole() {
    let (shop, file) = shop();
    for signal in ["-TERM", "-HUP", "-INT"] {
        let mut terminal = walk(&shop, &LISTEN, (80, 24));
        terminal.sees("space tick");
        terminal.types("j");
        terminal.signal(signal);
        assert_eq!(terminal.ends(), None, "{signal}");
        assert!(terminal.is_as_before(), "{signal}");
        terminal.sees("\x1b[?1049l");
    }
    let before = fs::read_to_string(&file).expect("the sheet");
    let lines = |text: &str| {
        text.lines()
            .filter(|line| !line.starts_with("# Left"))
            .count()
    };
    for round in 0..12 {
        let mut terminal = walk(&shop, &LISTEN, (80, 24));
        terminal.sees("space tick");
        terminal.types(&" j".repeat(round * 7 + 1));
        thread::sleep(Duration::from_millis(3 * round as u64));
        terminal.signal("-KILL");
        terminal.ends();
        let text = fs::read_to_string(&file).expect("the sheet");
        assert_eq!(lines(&text), lines(&before), "{text}");
        let ran = shop.run(["adopt", "--from", "../shed.sheet.txt"]).ends(0);
        assert!(!ran.err.contains("line "), "{ran:?}");
    }
}

#[test]
fn a_dumb_terminal_gets_the_sheet_and_is_told_why() {
    let (shop, file) = shop();
    let mut terminal = AtTerminal::new(shop.command(LISTEN), (80, 24), "dumb");
    assert_eq!(terminal.ends(), Some(0));
    terminal.sees("cannot be walked at this terminal");
    assert!(terminal.shown().contains("removed: grille"));
    assert!(!terminal.shown().contains('\x1b') && !file.exists());
    // Without a terminal it is the same; what is no sheet is never written over.
    shop.run(LISTEN.iter().chain(&["--walk"]))
        .ends(0)
        .says("cannot be walked");
    fs::write(&file, "my notes\n").expect("written");
    let mut terminal = walk(&shop, &LISTEN, (80, 24));
    terminal.sees("left as it is");
    assert_eq!(terminal.ends(), Some(2));
    assert_eq!(fs::read_to_string(&file).expect("the notes"), "my notes\n");
}
