//! The options of the verbs that write something down.

use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};
use clap_complete::ArgValueCompleter;

use super::super::offers;
use super::output::{Output, WordsForm};

#[derive(Debug, Args)]
pub struct TourArgs {
    /// The folder for the demo journal; it must not exist yet
    #[arg(default_value = "wren-journal")]
    pub folder: PathBuf,
    #[command(flatten)]
    pub output: Output<WordsForm>,
}

#[derive(Debug, Args)]
pub struct BeginArgs {
    /// The folder; made if it is not there. Inside a journal, `--vehicle` alone
    /// adds vehicles to it
    #[arg(default_value = ".")]
    pub folder: PathBuf,
    /// What the journal is called
    #[arg(long)]
    pub name: Option<String>,
    /// A vehicle in it; may be repeated
    #[arg(long, value_name = "NAME")]
    pub vehicle: Vec<String>,
    /// The currency, by its three letters
    #[arg(long, value_name = "CODE")]
    pub currency: Option<String>,
    /// Who keeps the texts, if git's settings do not say: "Name <mail address>"
    #[arg(long, value_name = "WHO")]
    pub author: Option<String>,
    #[command(flatten)]
    pub output: Output<WordsForm>,
}

#[derive(Debug, Args)]
pub struct WriteArgs {
    /// Prose to add; what is piped in comes below it
    pub text: Vec<String>,
    /// The part it is about, with its position: "brake drum, left front"
    #[arg(long, short, add = ArgValueCompleter::new(offers::parts))]
    pub part: Option<String>,
    /// Its position, if not said with the name
    #[arg(long)]
    pub at: Option<String>,
    /// Where it stands: removed, fitted, loose, undone, apart, out, ready ...
    #[arg(long, short, add = ArgValueCompleter::new(offers::statuses))]
    pub status: Option<String>,
    /// Its system: brakes, fuel ...
    #[arg(long, add = ArgValueCompleter::new(offers::systems))]
    pub system: Option<String>,
    /// What had to come off first
    #[arg(long, value_name = "PART", add = ArgValueCompleter::new(offers::parts))]
    pub after: Vec<String>,
    /// The bag of its hardware
    #[arg(long, short)]
    pub bag: Option<String>,
    /// Hardware: "4 hex nut 1/2-13"
    #[arg(long, value_name = "PIECES")]
    pub hardware: Vec<String>,
    /// The shelf
    #[arg(long, value_name = "SHELF")]
    pub stored: Option<String>,
    /// Condition as found
    #[arg(long, value_name = "WORDS")]
    pub found: Option<String>,
    /// Work or a purchase: "buy new seals, by 2026-05-01"
    #[arg(long, value_name = "WORK")]
    pub needs: Vec<String>,
    /// Work done
    #[arg(long, value_name = "WORK")]
    pub done: Vec<String>,
    /// Money: "84.50 hinge, reproduction"; "-20 core" came back. Without --part,
    /// of the session
    #[arg(long, value_name = "AMOUNT", allow_hyphen_values = true)]
    pub cost: Vec<String>,
    /// What to do differently; without --part, of the session
    #[arg(long, value_name = "WORDS")]
    pub lesson: Vec<String>,
    /// What can hurt someone; without --part, of the session
    #[arg(long, value_name = "WORDS")]
    pub caution: Vec<String>,
    /// A tool: "puller, return by 2026-05-01"; without --part, of the session
    #[arg(long, value_name = "TOOL")]
    pub tool: Vec<String>,
    /// What took its place: "reproduction"
    #[arg(long, value_name = "UNIT")]
    pub replaced_by: Option<String>,
    /// Its kind: new old stock, reproduction, used, rebuilt, made
    #[arg(long, requires = "replaced_by")]
    pub kind: Option<String>,
    /// Its number
    #[arg(long, requires = "replaced_by")]
    pub number: Option<String>,
    /// Where it came from
    #[arg(long, requires = "replaced_by", value_name = "SOURCE")]
    pub from: Option<String>,
    /// What became of the old one: kept, scrapped, sold, returned as core
    #[arg(long, requires = "replaced_by", value_name = "FATE")]
    pub old: Option<String>,
    /// Hours spent on this part; without --part, hours of the session: 2:30
    #[arg(long)]
    pub hours: Option<String>,
    /// Mark it as worth telling (yes) or private (no)
    #[arg(long, value_name = "yes|no", value_parser = ["yes", "no"])]
    pub tell: Option<String>,
    /// Who must agree before it is told
    #[arg(long, value_name = "NAME")]
    pub ask: Vec<String>,
    /// Any other fact: `--fact "torque: 75 lbf·ft, shop manual 3-12"`
    #[arg(long, value_name = "KEY: VALUE")]
    pub fact: Vec<String>,
    /// The day: a date, today, yesterday, friday, "3 days ago"
    #[arg(long, short, value_name = "DAY")]
    pub date: Option<String>,
    /// The vehicle [default: the only one, or the one written about last]
    #[arg(long, short, add = ArgValueCompleter::new(offers::vehicles))]
    pub vehicle: Option<String>,
    /// The title; words of the text if the day's entry has one already
    #[arg(long, short)]
    pub title: Option<String>,
    /// Begin a new entry even if that day has one
    #[arg(long)]
    pub new: bool,
    /// Take up a text that could not be placed before; other options say what
    /// was wrong or missing in it
    #[arg(long, value_name = "FILE")]
    pub draft: Option<PathBuf>,
    /// List all keys a fact may have
    #[arg(long)]
    pub keys: bool,
    #[command(flatten)]
    pub output: Output<WordsForm>,
}

#[derive(Debug, Args)]
pub struct KeepArgs {
    /// A message of your own instead of the composed one
    #[arg(long, short)]
    pub message: Option<String>,
    /// Clear locks that a killed program left in the repository
    #[arg(long)]
    pub clear_locks: bool,
    /// Show all problems, not only the first twenty
    #[arg(long)]
    pub all: bool,
    #[command(flatten)]
    pub output: Output<WordsForm>,
}

impl AdoptArgs {
    /// The file that is brought in.
    pub fn source(&self) -> &Path {
        self.file.as_deref().unwrap_or(Path::new("-"))
    }
}

#[derive(Debug, Args)]
pub struct AdoptArgs {
    /// A table with a header line (CSV), the captions of a narration (WebVTT, SRT,
    /// plain text with times), a folder of notes (Markdown, plain text), or the folder
    /// of a camera; `-` is standard input
    #[arg(value_name = "FILE|FOLDER", required_unless_present = "from")]
    pub file: Option<PathBuf>,
    /// A sheet of a narration, ticked: shows its entry, and writes it with --yes
    #[arg(long, value_name = "SHEET", conflicts_with = "file")]
    pub from: Option<PathBuf>,
    /// Walk the sheet of a narration with single keys; at a terminal that is done
    /// unless --into says where the sheet goes
    #[arg(long, conflicts_with_all = ["yes", "json", "form"])]
    pub walk: bool,
    /// Go on without asking; otherwise only what would be done is shown
    #[arg(long)]
    pub yes: bool,
    /// The column with the day
    #[arg(long, value_name = "COLUMN")]
    pub date: Option<String>,
    /// The day of rows for which no column says one, and of notes that say none; of a
    /// narration, its day
    #[arg(long, value_name = "DAY")]
    pub day: Option<String>,
    /// Of a narration: on which side the vehicle is driven [default: as its file says]
    #[arg(long, value_name = "SIDE", value_enum)]
    pub driven: Option<DrivenSide>,
    /// Of a narration: the clip it belongs to
    #[arg(long, value_name = "CLIP")]
    pub clip: Option<String>,
    /// Of a narration: the time of the clip at which it begins, as 1:30
    #[arg(long, value_name = "TIME")]
    pub offset: Option<String>,
    /// How the days are written: year, month, day in their order, or a
    /// spreadsheet's day numbers
    #[arg(long, value_enum, value_name = "ORDER")]
    pub date_order: Option<DateOrder>,
    /// The column with the text; may be repeated
    #[arg(long, value_name = "COLUMN")]
    pub text: Vec<String>,
    /// The column with the vehicle; of a narration or of notes, the vehicle
    #[arg(long, value_name = "COLUMN")]
    pub vehicle: Option<String>,
    /// The vehicle of all rows, if no column says it
    #[arg(long, value_name = "NAME")]
    pub all_vehicle: Option<String>,
    /// The column with money
    #[arg(long, value_name = "COLUMN")]
    pub cost: Option<String>,
    /// The currency of the money
    #[arg(long, value_name = "CODE")]
    pub currency: Option<String>,
    /// What marks decimals in amounts and hours
    #[arg(long, value_enum, value_name = "MARK")]
    pub decimal: Option<Decimal>,
    /// The column with the part's name
    #[arg(long, value_name = "COLUMN")]
    pub part: Option<String>,
    /// The column that says where the part stands
    #[arg(long, value_name = "COLUMN")]
    pub status: Option<String>,
    /// The column with the bag of its hardware
    #[arg(long, value_name = "COLUMN")]
    pub bag: Option<String>,
    /// The column with its shelf
    #[arg(long, value_name = "COLUMN")]
    pub shelf: Option<String>,
    /// The column with work and purchases still open
    #[arg(long, value_name = "COLUMN")]
    pub needs: Option<String>,
    /// The column with what took its place
    #[arg(long, value_name = "COLUMN")]
    pub replaced: Option<String>,
    /// The column with the time it took
    #[arg(long, value_name = "COLUMN")]
    pub hours: Option<String>,
    /// A column to keep as a line of its own below the text, others without a
    /// use left out; may be repeated
    #[arg(long, value_name = "COLUMN")]
    pub also: Vec<String>,
    /// One entry for each row instead of one for each day and vehicle
    #[arg(long)]
    pub entry_per_row: bool,
    /// Of a folder that holds both: which of them are brought in
    #[arg(long, value_enum, value_name = "KIND")]
    pub only: Option<AdoptOnly>,
    /// Of texts: a sheet of what their prose says of parts, to be ticked
    #[arg(long, conflicts_with = "yes")]
    pub infer: bool,
    /// Of texts: their lists of facts are meant as records
    #[arg(long)]
    pub records: bool,
    /// Of a camera's folder: the part that all of it shows
    #[arg(long, value_name = "NAME")]
    pub of_part: Option<String>,
    /// Of a camera's folder: what to add to each time, as its clock was wrong:
    /// "+1:00", "-0:35", "+365d 2:00"
    #[arg(long, value_name = "SHIFT", allow_hyphen_values = true)]
    pub clock: Option<String>,
    /// Of a camera's folder: copy clips too, not only pictures
    #[arg(long)]
    pub copy_clips: bool,
    #[command(flatten)]
    pub output: Output<WordsForm>,
}

/// What of a folder is brought in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum AdoptOnly {
    /// Markdown and plain text
    Texts,
    /// Pictures and clips
    Pictures,
}

/// The side on which the driver sits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum DrivenSide {
    /// On the left
    Left,
    /// On the right
    Right,
}

/// In which order a date's numbers stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum DateOrder {
    /// 2026-03-14
    Ymd,
    /// 14.3.2026
    Dmy,
    /// 3/14/2026
    Mdy,
    /// 46095, as most spreadsheets count days
    Number,
    /// 44633, as spreadsheets count days from 1904
    Number1904,
}

/// What marks decimals.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Decimal {
    /// 1,234.50
    Point,
    /// 1.234,50
    Comma,
}
