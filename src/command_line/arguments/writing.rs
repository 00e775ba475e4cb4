//! The options of the verbs that write something down.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

#[derive(Debug, Args)]
pub struct Tour {
    /// The folder for the demo journal; it must not exist yet
    #[arg(default_value = "wren-journal")]
    pub folder: PathBuf,
}

#[derive(Debug, Args)]
pub struct Begin {
    /// The folder; made if it is not there
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
}

#[derive(Debug, Args)]
pub struct Write {
    /// Prose to add; `-` reads Markdown from standard input
    pub text: Vec<String>,
    /// The part it is about, with its position: "brake drum, left front"
    #[arg(long, short)]
    pub part: Option<String>,
    /// Its position, if not said with the name
    #[arg(long)]
    pub at: Option<String>,
    /// Where it stands: removed, fitted, loose, undone, apart, out, ready ...
    #[arg(long, short)]
    pub status: Option<String>,
    /// Its system: brakes, fuel ...
    #[arg(long)]
    pub system: Option<String>,
    /// What had to come off first
    #[arg(long, value_name = "PART")]
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
    /// Money: "84.50 hinge, reproduction"
    #[arg(long, value_name = "AMOUNT")]
    pub cost: Vec<String>,
    /// What to do differently
    #[arg(long, value_name = "WORDS")]
    pub lesson: Vec<String>,
    /// What can hurt someone
    #[arg(long, value_name = "WORDS")]
    pub caution: Vec<String>,
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
    /// Hours spent on this part: 2:30
    #[arg(long)]
    pub hours: Option<String>,
    /// Mark it as worth telling (yes) or private (no)
    #[arg(long, value_name = "yes|no")]
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
    #[arg(long, short)]
    pub vehicle: Option<String>,
    /// The title, if this begins a new entry
    #[arg(long, short)]
    pub title: Option<String>,
    /// Begin a new entry even if that day has one
    #[arg(long)]
    pub new: bool,
    /// List all keys a fact may have
    #[arg(long)]
    pub keys: bool,
}

#[derive(Debug, Args)]
pub struct Keep {
    /// A message of your own instead of the composed one
    #[arg(long, short)]
    pub message: Option<String>,
    /// Clear locks that a killed program left in the repository
    #[arg(long)]
    pub clear_locks: bool,
}

#[derive(Debug, Args)]
pub struct Adopt {
    /// The table, with a header line
    #[arg(value_name = "TABLE.csv")]
    pub table: PathBuf,
    /// Go on without asking; otherwise only what would be done is shown
    #[arg(long)]
    pub yes: bool,
    /// The column with the day
    #[arg(long, value_name = "COLUMN")]
    pub date: Option<String>,
    /// How the days are written: year, month, day in their order
    #[arg(long, value_enum, value_name = "ORDER")]
    pub date_order: Option<DateOrder>,
    /// The column with the text; may be repeated
    #[arg(long, value_name = "COLUMN")]
    pub text: Vec<String>,
    /// The column with the vehicle
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
    /// The column with the part's name
    #[arg(long, value_name = "COLUMN")]
    pub part: Option<String>,
    /// A column to keep as a line of its own below the text; may be repeated
    #[arg(long, value_name = "COLUMN")]
    pub also: Vec<String>,
    /// One entry for each row instead of one for each day and vehicle
    #[arg(long)]
    pub entry_per_row: bool,
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
}
