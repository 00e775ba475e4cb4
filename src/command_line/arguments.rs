//! What can be typed: verbs and options, with their help.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};

/// A journal for taking an old vehicle apart at home, and for putting it all
/// back.
#[derive(Debug, Parser)]
#[command(
    name = "matchmark",
    version,
    max_term_width = 80,
    disable_help_subcommand = true,
    after_help = "First time here? `matchmark tour` unpacks a demo journal and walks you through it.\n\
                  Your own: `matchmark begin my-van`, `cd my-van`, `matchmark write`, `matchmark keep`."
)]
pub struct Arguments {
    #[command(flatten)]
    pub common: Common,
    #[command(subcommand)]
    pub verb: Verb,
}

/// Options that every verb understands.
#[derive(Debug, Args)]
pub struct Common {
    /// The journal's folder [default: the journal around the current folder]
    #[arg(short, long, global = true, value_name = "FOLDER")]
    pub journal: Option<PathBuf>,
    /// Answer in JSON (docs/json.md lists the keys)
    #[arg(long, global = true)]
    pub json: bool,
}

/// The verbs, in the order of the work.
#[derive(Debug, Subcommand)]
pub enum Verb {
    /// See the main job done on the demo journal
    Tour(Tour),
    /// Start a journal
    Begin(Begin),
    /// Write down what happened: in your editor, from options, or from standard input
    Write(Box<Write>),
    /// Put everything written into the history, problems or not
    Keep(Keep),
    /// Bring in notes you have as a table (CSV)
    Adopt(Adopt),
    /// Find a passage, a bag, a size; see where the part is now
    Find(Find),
    /// Everything about a part; without a name, all parts
    Part(Part),
    /// What was replaced, with what, and what it cost
    Replaced(Replaced),
    /// Open work, purchases, questions, tools to return
    Needs(Needs),
    /// Bags of hardware: what is in them, labels, and what to buy
    Bags(Bags),
    /// The order for putting it back, and what can go on tonight
    Refit(Refit),
    /// General torques for a thread, with their cautions; torques in other units
    Torque(Torque),
    /// Hours and money, added up
    Tally(Tally),
    /// Draft the next episode from what has not been told
    Recap(Recap),
    /// How the records themselves changed
    Past(Past),
    /// All problems, with their lines
    Check(Check),
    /// Completions for your shell
    Completions(Completions),
    /// The manual page, as troff
    Manual,
}

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

/// Which records a question is about.
#[derive(Debug, Default, Args)]
pub struct Scope {
    /// Only this vehicle
    #[arg(long, short)]
    pub vehicle: Option<String>,
    /// Only this system
    #[arg(long)]
    pub system: Option<String>,
    /// Not before this day
    #[arg(long, value_name = "DAY")]
    pub since: Option<String>,
    /// Not after this day
    #[arg(long, value_name = "DAY")]
    pub until: Option<String>,
}

/// When a question is asked of.
#[derive(Debug, Default, Args)]
pub struct Times {
    /// As the vehicle stood at the end of this day
    #[arg(long, value_name = "DAY")]
    pub on: Option<String>,
    /// As the journal stood: at a commit, or at the end of a day
    #[arg(long, value_name = "DAY|COMMIT")]
    pub as_written: Option<String>,
}

#[derive(Debug, Args)]
pub struct Find {
    /// Words, "quoted words", sizes, part numbers, `bag 31`
    #[arg(required = true)]
    pub words: Vec<String>,
    #[command(flatten)]
    pub scope: Scope,
    /// Only records about this part
    #[arg(long, short)]
    pub part: Option<String>,
    /// Only records that gave a part this status
    #[arg(long, short)]
    pub status: Option<String>,
    /// How many to show at most
    #[arg(long, default_value = "10", value_name = "COUNT", value_parser = clap::value_parser!(u16).range(1..))]
    pub most: u16,
}

#[derive(Debug, Args)]
pub struct Part {
    /// The name, with its position: "wheel cylinder, left front"
    pub name: Vec<String>,
    #[command(flatten)]
    pub times: Times,
    /// Only this vehicle
    #[arg(long, short)]
    pub vehicle: Option<String>,
    /// List the parts of this system
    #[arg(long)]
    pub system: Option<String>,
    /// List the parts with this status
    #[arg(long, short)]
    pub status: Option<String>,
    /// How a list is ordered
    #[arg(long, value_enum, default_value_t = By::System)]
    pub by: By,
}

/// How a list of parts is ordered.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum By {
    /// By system, in the order in which they go back
    System,
    /// By status
    Status,
    /// By shelf
    Shelf,
}

#[derive(Debug, Args)]
pub struct Replaced {
    #[command(flatten)]
    pub scope: Scope,
    /// Only this part
    #[arg(long, short)]
    pub part: Option<String>,
    #[command(flatten)]
    pub times: Times,
    /// Answer as CSV
    #[arg(long)]
    pub csv: bool,
    /// Write a page to print to this file
    #[arg(long, value_name = "FILE.html")]
    pub page: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub struct Needs {
    /// Only this vehicle
    #[arg(long, short)]
    pub vehicle: Option<String>,
    /// Only this system
    #[arg(long)]
    pub system: Option<String>,
    /// Only this part
    #[arg(long, short)]
    pub part: Option<String>,
    /// Only what is to buy
    #[arg(long)]
    pub buy: bool,
    /// Only what has a day, and is due by then: 14d, 2w, or a date
    #[arg(long, value_name = "SPAN|DAY")]
    pub due: Option<String>,
    #[command(flatten)]
    pub times: Times,
    /// Write what has a day to this calendar file (RFC 5545)
    #[arg(long, value_name = "FILE.ics")]
    pub calendar: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub struct Bags {
    /// A bag by its number or words: 31, coffee tin; several numbers for
    /// several bags [default: all bags]
    #[arg(value_name = "BAG")]
    pub label: Vec<String>,
    /// What to get: single-use, broken, lost and short pieces, by kind and size
    #[arg(long, conflicts_with_all = ["label", "labels"])]
    pub buy: bool,
    /// Write labels to print to this file: of the bags named, or of all that
    /// hold something
    #[arg(long, value_name = "FILE.html|.svg")]
    pub labels: Option<PathBuf>,
    #[command(flatten)]
    pub paper: Paper,
    /// Only bags of this vehicle
    #[arg(long, short)]
    pub vehicle: Option<String>,
    /// Only bags with parts of this system
    #[arg(long)]
    pub system: Option<String>,
    /// Only bags with hardware of this part
    #[arg(long, short)]
    pub part: Option<String>,
    #[command(flatten)]
    pub times: Times,
}

/// On what labels are printed; what is not said, `journal.toml` says.
#[derive(Debug, Default, Args)]
pub struct Paper {
    /// One label, in millimetres [default: 70x37]
    #[arg(long, value_name = "WIDTHxHEIGHT", requires = "labels")]
    pub label_size: Option<String>,
    /// The sheet, in millimetres [default: 210x297]
    #[arg(long, value_name = "WIDTHxHEIGHT", requires = "labels")]
    pub sheet: Option<String>,
    /// Where the first label begins on the sheet [default: all centred]
    #[arg(long, value_name = "LEFTxTOP", requires = "labels")]
    pub margin: Option<String>,
    /// Between two labels, in millimetres [default: 0x0]
    #[arg(long, value_name = "ACROSSxDOWN", requires = "labels")]
    pub gap: Option<String>,
    /// Continuous tape of this width instead of sheets, in millimetres
    #[arg(long, value_name = "WIDTH", requires = "labels", conflicts_with_all = ["sheet", "margin", "gap"])]
    pub tape: Option<String>,
}

#[derive(Debug, Args)]
pub struct Refit {
    /// Only this vehicle
    #[arg(long, short)]
    pub vehicle: Option<String>,
    /// Only this system, with what has to go on before
    #[arg(long, conflicts_with = "to")]
    pub system: Option<String>,
    /// What it takes to get this part on
    #[arg(long, value_name = "PART")]
    pub to: Option<String>,
    /// What can go on tonight, in full, and what perhaps can
    #[arg(long, conflicts_with_all = ["to", "step", "page"])]
    pub tonight: bool,
    /// Leave out what takes more than one person
    #[arg(long)]
    pub alone: bool,
    /// One step in full
    #[arg(long, value_name = "NUMBER", conflicts_with_all = ["to", "page"])]
    pub step: Option<usize>,
    #[command(flatten)]
    pub times: Times,
    /// Write a checklist to print to this file
    #[arg(long, value_name = "FILE.html")]
    pub page: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub struct Torque {
    /// A thread (`7/16-20`, `M8x1`), or a torque to convert (`75 lbf·ft`)
    #[arg(required = true, value_name = "THREAD|TORQUE")]
    pub what: Vec<String>,
    /// The grade of an inch bolt: 1, 2, 5, 5.2, 8, 8.2
    #[arg(long, conflicts_with = "class")]
    pub grade: Option<String>,
    /// The property class of a metric bolt: 8.8, 10.9 ...
    #[arg(long)]
    pub class: Option<String>,
    /// The state of thread and head
    #[arg(long, value_enum, default_value_t = OfThread::Zinc, value_name = "STATE")]
    pub friction: OfThread,
    /// The share of the bolt's proof load
    #[arg(long, default_value = "75%", value_name = "SHARE")]
    pub share: String,
    /// What it is for, a part or a system: shows what is recorded, and refuses
    /// where only the manual's figure counts
    #[arg(long = "for", value_name = "PART|SYSTEM")]
    pub for_part: Option<String>,
}

/// The state of a thread, for its friction.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum OfThread {
    /// Plain steel, dry
    Plain,
    /// Zinc plated, dry
    Zinc,
    /// Oiled or greased
    Lubricated,
    /// Cadmium plated
    Cadmium,
    /// With an anti-seize paste
    AntiSeize,
}

#[derive(Debug, Args)]
pub struct Tally {
    /// By what to add up
    #[arg(long, value_enum, default_value_t = TallyBy::System)]
    pub by: TallyBy,
    #[command(flatten)]
    pub scope: Scope,
    /// Only this part
    #[arg(long, short)]
    pub part: Option<String>,
    #[command(flatten)]
    pub times: Times,
    /// Answer as CSV
    #[arg(long)]
    pub csv: bool,
    /// How many rows to show at most [default: 20 parts or suppliers, else all]
    #[arg(long, value_name = "COUNT", value_parser = clap::value_parser!(u32).range(1..))]
    pub most: Option<u32>,
}

/// By what hours and money are added up.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum TallyBy {
    /// Vehicle, with its budget
    Vehicle,
    /// System, in the order in which they go back
    System,
    /// Part, the dearest first
    Part,
    /// Month
    Month,
    /// Year
    Year,
    /// From whom units came
    Supplier,
    /// Kind of unit that took another's place: reproduction, used, rebuilt ...
    Kind,
}

#[derive(Debug, Args)]
pub struct Recap {
    #[command(flatten)]
    pub scope: Scope,
    /// Only records about this part
    #[arg(long, short)]
    pub part: Option<String>,
    /// How long it should be, read aloud
    #[arg(long, short, default_value = "8", value_name = "MINUTES", value_parser = clap::value_parser!(u16).range(1..=240))]
    pub minutes: u16,
    /// Tell again what was told already
    #[arg(long)]
    pub again: bool,
    /// Show for each sentence why it is there
    #[arg(long)]
    pub why: bool,
    /// List what has not been told, and what was told twice
    #[arg(long)]
    pub untold: bool,
    /// How many of these to show at most
    #[arg(long, default_value_t = 20, value_name = "COUNT", requires = "untold")]
    pub most: usize,
    /// Take the episode with this number, as you have edited it
    #[arg(long, value_name = "NUMBER", conflicts_with_all = ["untold", "again", "why", "write", "system", "part", "since", "until"])]
    pub episode: Option<u32>,
    /// What to make of it
    #[arg(long = "as", value_enum, default_value_t = Form::Draft, value_name = "FORM")]
    pub form: Form,
    /// The shot list as CSV
    #[arg(long)]
    pub csv: bool,
    /// Put the draft among the episodes: its records count as told from then on
    #[arg(long)]
    pub write: bool,
}

/// In which form a draft leaves.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Form {
    /// Markdown, to be edited
    Draft,
    /// A web article, one HTML file
    Article,
    /// Chapter marks as WebVTT
    Chapters,
    /// Chapter marks as a plain list
    Marks,
    /// The text below a film
    Description,
    /// Which clips show what
    Shots,
}

#[derive(Debug, Args)]
pub struct Past {
    /// An entry (its path or a piece of it) or a part [default: everything]
    pub what: Vec<String>,
    /// Show how the texts differ, line by line
    #[arg(long)]
    pub text: bool,
    /// Not before this day
    #[arg(long, value_name = "DAY")]
    pub since: Option<String>,
    /// Not after this day
    #[arg(long, value_name = "DAY")]
    pub until: Option<String>,
    /// As the journal stood: at a commit, or at the end of a day
    #[arg(long, value_name = "DAY|COMMIT")]
    pub as_written: Option<String>,
    /// How many changes to show at most
    #[arg(long, default_value_t = 20, value_name = "COUNT")]
    pub most: usize,
    /// Put the entry's text back as it stood at this day or commit
    #[arg(long, value_name = "DAY|COMMIT", conflicts_with = "as_written")]
    pub bring_back: Option<String>,
}

#[derive(Debug, Args)]
pub struct Check {
    /// As the journal stood: at a commit, or at the end of a day
    #[arg(long, value_name = "DAY|COMMIT")]
    pub as_written: Option<String>,
    /// Only errors and warnings
    #[arg(long)]
    pub no_notes: bool,
}

#[derive(Debug, Args)]
pub struct Completions {
    /// The shell
    #[arg(value_enum)]
    pub shell: clap_complete::Shell,
}
