//! The world outside: clock, environment, terminal. The only file that looks
//! at them.

#![allow(
    clippy::disallowed_methods,
    reason = "this is where they are looked at"
)]

use std::io::{self, IsTerminal, Read, Write};
use std::path::PathBuf;
use std::sync::{Arc, Mutex, OnceLock};
use std::time::{Duration, Instant, SystemTime};

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use jiff::civil::Date;
use jiff::tz::TimeZone;
use jiff::{Timestamp, ZonedDateTime};

use crate::journal::read_if_there;

/// What a verb may know of the world.
#[derive(Clone, Debug)]
pub struct World {
    /// Now, once somebody asked.
    now: OnceLock<ZonedDateTime>,
    /// The folder the person is in.
    pub here: PathBuf,
    /// Columns of the terminal.
    pub width: usize,
    /// Whether a person sees the answers at a terminal.
    pub is_seen: bool,
    /// Whether answers may have colours.
    pub colours: bool,
    /// Whether a person can be asked.
    pub can_ask: bool,
    /// Whether keys come from a terminal.
    pub has_keys: bool,
    /// Whether the terminal can only add lines.
    pub is_dumb: bool,
    /// The person's editor, if one is set.
    pub editor: Option<String>,
    /// What is to be said on standard error once the answer is given.
    said: Arc<Mutex<Vec<String>>>,
}

/// Default width in columns, if the terminal does not tell its own.
pub const USUAL_WIDTH: usize = 80;

/// The widest text that still reads well.
const WIDEST: usize = 100;

impl World {
    /// Looks around.
    #[must_use]
    pub fn look() -> World {
        let set = |name: &str| std::env::var(name).ok().filter(|value| !value.is_empty());
        let terminal = io::stdout().is_terminal();
        let is_dumb = set("TERM").is_some_and(|term| term == "dumb" || term == "unknown");
        let columns = set("COLUMNS").and_then(|columns| columns.parse().ok());
        World {
            now: OnceLock::new(),
            here: std::env::current_dir().unwrap_or_else(|_| PathBuf::from(".")),
            width: columns.unwrap_or_else(terminal_width).clamp(40, WIDEST),
            is_seen: terminal,
            colours: terminal && !is_dumb && set("NO_COLOR").is_none(),
            is_dumb,
            has_keys: io::stdin().is_terminal(),
            can_ask: io::stdin().is_terminal() && io::stderr().is_terminal(),
            editor: set("VISUAL").or_else(|| set("EDITOR")),
            said: Arc::default(),
        }
    }

    /// Now, with the offset of this place; the same for the whole run, and only
    /// found out for who asks.
    #[must_use]
    pub fn now(&self) -> &ZonedDateTime {
        self.now
            .get_or_init(|| Timestamp::now().to_zoned_datetime(zone()))
    }

    /// Says a line on standard error once the answer is given.
    pub fn say(&self, line: String) {
        if let Ok(mut said) = self.said.lock() {
            said.push(line);
        }
    }

    /// Takes the lines said so far, leaving none.
    pub fn take_said(&self) -> Vec<String> {
        let said = self.said.lock();
        said.map_or_else(|_| Vec::new(), |mut said| std::mem::take(&mut *said))
    }

    /// Today in this place.
    #[must_use]
    pub fn today(&self) -> Date {
        self.now().date()
    }

    /// Now, as the file system counts.
    #[must_use]
    pub fn system_time(&self) -> SystemTime {
        SystemTime::now()
    }

    /// What tells this program from another build of it, as far as its file shows.
    #[must_use]
    pub fn program(&self) -> Option<(u64, SystemTime)> {
        let file = std::env::current_exe().ok()?.metadata().ok()?;
        Some((file.len(), file.modified().ok()?))
    }

    /// The words on the command line, as far as they are text.
    #[must_use]
    pub fn typed(&self) -> Vec<String> {
        std::env::args_os()
            .map(|word| word.to_string_lossy().into_owned())
            .collect()
    }

    /// Whether it is bash that asks what could be typed next: it puts an offer into
    /// the line as it is, where other shells quote it.
    #[must_use]
    pub fn is_asked_by_bash(&self) -> bool {
        std::env::var_os("_CLAP_COMPLETE_COMP_TYPE").is_some()
    }

    /// The folders for texts that belong to no journal yet, the best first: the
    /// person's own, as the XDG Base Directory Specification has it, then the one for
    /// what passes.
    #[must_use]
    pub fn own_drafts(&self) -> Vec<PathBuf> {
        let folder = |name: &str| std::env::var_os(name).map(PathBuf::from);
        let absolute = |path: &PathBuf| path.is_absolute();
        let data = folder("XDG_DATA_HOME").filter(absolute);
        let home = || {
            folder("HOME")
                .or_else(|| folder("USERPROFILE"))
                .filter(absolute)
        };
        let own = data.or_else(|| Some(home()?.join(".local/share")));
        let passing = std::env::temp_dir().join("matchmark-drafts");
        own.map(|own| own.join("matchmark/drafts"))
            .into_iter()
            .chain([passing])
            .collect()
    }

    /// What comes through standard input, to its end; nothing at a terminal.
    ///
    /// # Errors
    /// When it cannot be read.
    pub fn piped(&self) -> io::Result<Vec<u8>> {
        let mut bytes = Vec::new();
        if !io::stdin().is_terminal() {
            io::stdin().read_to_end(&mut bytes)?;
        }
        Ok(bytes)
    }

    /// Asks the person for a line of text.
    ///
    /// # Errors
    /// When the terminal cannot be read.
    pub fn ask(&self, question: &str) -> io::Result<String> {
        let mut err = io::stderr();
        write!(err, "{question} ")?;
        err.flush()?;
        let mut answer = String::new();
        io::stdin().read_line(&mut answer)?;
        Ok(answer.trim().to_owned())
    }

    /// A bar for what may take long; it shows itself after a second, on a
    /// terminal only.
    #[must_use]
    pub fn progress(&self, doing: &'static str) -> Progress {
        Progress {
            doing,
            since: Instant::now(),
            bar: None,
            shows: io::stderr().is_terminal(),
        }
    }
}

/// The zone of this place. Finding it by its name takes a look at all zones that
/// the system knows, which costs more than an answer; so where the environment
/// names none, the rules are read where the system keeps those of this place.
fn zone() -> TimeZone {
    let named = std::env::var_os("TZ").is_some();
    let rules = (!named)
        .then(|| read_if_there("/etc/localtime".as_ref()).ok().flatten())
        .flatten();
    rules
        .and_then(|rules| TimeZone::tzif("here", &rules).ok())
        .unwrap_or_else(TimeZone::system)
}

/// The width of the terminal, asked of the terminal itself.
fn terminal_width() -> usize {
    console::Term::stdout()
        .size_checked()
        .map_or(USUAL_WIDTH, |(_, columns)| usize::from(columns))
}

/// A bar that shows itself only when it is worth it.
pub struct Progress {
    doing: &'static str,
    since: Instant,
    bar: Option<ProgressBar>,
    shows: bool,
}

/// How long to wait before showing anything.
const PATIENCE: Duration = Duration::from_secs(1);

impl Progress {
    /// Shows that `done` of `of` items are done.
    pub fn at(&mut self, done: usize, of: usize) {
        if !self.shows || self.since.elapsed() < PATIENCE {
            return;
        }
        let doing = self.doing;
        let bar = self.bar.get_or_insert_with(|| {
            let bar = ProgressBar::with_draw_target(None, ProgressDrawTarget::stderr());
            // A template that is wrong would only cost the bar its words.
            if let Ok(style) = ProgressStyle::with_template("{prefix} {wide_bar} {pos}/{len}") {
                bar.set_style(style);
            }
            bar.set_prefix(doing);
            bar
        });
        bar.set_length(of as u64);
        bar.set_position(done as u64);
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        if let Some(bar) = &self.bar {
            bar.finish_and_clear();
        }
    }
}
