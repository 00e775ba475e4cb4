//! The options of the verbs that ask something.

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use clap_complete::ArgValueCompleter;

use super::super::offers;
use super::output::{
    BagsForm, NeedsForm, Output, RecapForm, RefitForm, ReplacedForm, TallyForm, WordsForm,
};
use super::shared::{AsOfArgs, DateRangeArgs, ScopeArgs};

#[derive(Debug, Args)]
pub struct FindArgs {
    /// Words, "quoted words", sizes, part numbers, `bag 31`
    #[arg(required = true)]
    pub words: Vec<String>,
    #[command(flatten)]
    pub only: ScopeArgs,
    #[command(flatten)]
    pub days: DateRangeArgs,
    /// Only records that gave a part this status
    #[arg(long, short, add = ArgValueCompleter::new(offers::statuses))]
    pub status: Option<String>,
    /// How many to show at most
    #[arg(long, default_value = "10", value_name = "COUNT", value_parser = clap::value_parser!(u16).range(1..))]
    pub most: u16,
    #[command(flatten)]
    pub output: Output<WordsForm>,
}

#[derive(Debug, Args)]
pub struct PartArgs {
    /// The name, with its position: "wheel cylinder, left front"
    #[arg(add = ArgValueCompleter::new(offers::parts))]
    pub name: Vec<String>,
    #[command(flatten)]
    pub times: AsOfArgs,
    /// Only this vehicle
    #[arg(long, short, add = ArgValueCompleter::new(offers::vehicles))]
    pub vehicle: Option<String>,
    /// List the parts of this system
    #[arg(long, add = ArgValueCompleter::new(offers::systems))]
    pub system: Option<String>,
    /// List the parts with this status
    #[arg(long, short, add = ArgValueCompleter::new(offers::statuses))]
    pub status: Option<String>,
    /// How a list is ordered
    #[arg(long, value_enum, default_value_t = PartsOrderArg::System)]
    pub by: PartsOrderArg,
    #[command(flatten)]
    pub output: Output<WordsForm>,
}

/// How a list of parts is ordered.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum PartsOrderArg {
    /// By system, in the order in which they go back
    System,
    /// By status
    Status,
    /// By shelf
    Shelf,
}

#[derive(Debug, Args)]
pub struct ReplacedArgs {
    #[command(flatten)]
    pub only: ScopeArgs,
    #[command(flatten)]
    pub days: DateRangeArgs,
    #[command(flatten)]
    pub times: AsOfArgs,
    #[command(flatten)]
    pub output: Output<ReplacedForm>,
}

#[derive(Debug, Args)]
pub struct NeedsArgs {
    #[command(flatten)]
    pub only: ScopeArgs,
    /// Only what is to buy
    #[arg(long)]
    pub buy: bool,
    /// Only what has a day, and is due by then: 14d, 2w, or a date
    #[arg(long, value_name = "SPAN|DAY")]
    pub due: Option<String>,
    #[command(flatten)]
    pub times: AsOfArgs,
    #[command(flatten)]
    pub output: Output<NeedsForm>,
}

#[derive(Debug, Args)]
pub struct BagsArgs {
    /// A bag by its number or words: 31, coffee tin; several numbers for
    /// several bags [default: all bags]
    #[arg(value_name = "BAG")]
    pub label: Vec<String>,
    /// What to get: single-use, broken, lost and short pieces, by kind and size
    #[arg(long, conflicts_with = "label")]
    pub buy: bool,
    #[command(flatten)]
    pub paper: PaperArgs,
    #[command(flatten)]
    pub only: ScopeArgs,
    #[command(flatten)]
    pub times: AsOfArgs,
    #[command(flatten)]
    pub output: Output<BagsForm>,
}

/// On what `--as labels` prints; what is not said, `journal.toml` says.
#[derive(Debug, Default, Args)]
pub struct PaperArgs {
    /// For labels: one label, in millimetres [default: 70x37]
    #[arg(long, value_name = "WIDTHxHEIGHT")]
    pub label_size: Option<String>,
    /// For labels: the sheet, in millimetres [default: 210x297]
    #[arg(long, value_name = "WIDTHxHEIGHT")]
    pub sheet: Option<String>,
    /// For labels: where the first begins on the sheet [default: all centred]
    #[arg(long, value_name = "LEFTxTOP")]
    pub margin: Option<String>,
    /// For labels: between two of them, in millimetres [default: 0x0]
    #[arg(long, value_name = "ACROSSxDOWN")]
    pub gap: Option<String>,
    /// For labels: continuous tape of this width instead of sheets, in millimetres
    #[arg(long, value_name = "WIDTH", conflicts_with_all = ["sheet", "margin", "gap"])]
    pub tape: Option<String>,
}

#[derive(Debug, Args)]
pub struct RefitArgs {
    /// Only this vehicle
    #[arg(long, short, add = ArgValueCompleter::new(offers::vehicles))]
    pub vehicle: Option<String>,
    /// Only this system, with what has to go on before
    #[arg(long, conflicts_with = "to", add = ArgValueCompleter::new(offers::systems))]
    pub system: Option<String>,
    /// What it takes to get this part on
    #[arg(long, value_name = "PART", num_args = 1.., add = ArgValueCompleter::new(offers::parts))]
    pub to: Option<Vec<String>>,
    /// What can go on tonight, in full, and what perhaps can
    #[arg(long, conflicts_with_all = ["to", "step"])]
    pub tonight: bool,
    /// Leave out what takes more than one person
    #[arg(long, conflicts_with_all = ["to", "step"])]
    pub alone: bool,
    /// One step in full
    #[arg(long, value_name = "NUMBER", conflicts_with = "to")]
    pub step: Option<usize>,
    #[command(flatten)]
    pub times: AsOfArgs,
    #[command(flatten)]
    pub output: Output<RefitForm>,
}

#[derive(Debug, Args)]
pub struct TorqueArgs {
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
    #[arg(long = "for", value_name = "PART|SYSTEM", add = ArgValueCompleter::new(offers::parts))]
    pub for_part: Option<String>,
    #[command(flatten)]
    pub output: Output<WordsForm>,
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
pub struct TallyArgs {
    /// By what to add up [default: system; a picture is by month]
    #[arg(long, value_enum)]
    pub by: Option<TallyBy>,
    #[command(flatten)]
    pub only: ScopeArgs,
    #[command(flatten)]
    pub days: DateRangeArgs,
    #[command(flatten)]
    pub times: AsOfArgs,
    /// How many rows to show at most [default: 20 parts or suppliers, else all]
    #[arg(long, value_name = "COUNT", value_parser = clap::value_parser!(u32).range(1..))]
    pub most: Option<u32>,
    #[command(flatten)]
    pub output: Output<TallyForm>,
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
pub struct RecapArgs {
    #[command(flatten)]
    pub only: ScopeArgs,
    #[command(flatten)]
    pub days: DateRangeArgs,
    /// How long it should be, read aloud [default: 8, or what the outline says]
    #[arg(long, short, value_name = "MINUTES", value_parser = clap::value_parser!(u16).range(1..=240))]
    pub minutes: Option<u16>,
    /// Tell what is ticked in this outline, as you have edited it; `-` reads it from
    /// standard input
    #[arg(long, value_name = "FILE", conflicts_with_all = ["untold", "episode"])]
    pub from: Option<PathBuf>,
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
    #[command(flatten)]
    pub output: Output<RecapForm>,
    /// Put the draft among the episodes: its records count as told from then on
    #[arg(long)]
    pub write: bool,
}

#[derive(Debug, Args)]
pub struct PastArgs {
    /// An entry (its path or a piece of it) or a part [default: everything]
    pub what: Vec<String>,
    /// Show how the texts differ, line by line
    #[arg(long)]
    pub text: bool,
    #[command(flatten)]
    pub days: DateRangeArgs,
    /// As the journal stood: at a commit, or at the end of a day
    #[arg(long, value_name = "DAY|COMMIT")]
    pub as_written: Option<String>,
    /// How many changes to show at most
    #[arg(long, default_value_t = 20, value_name = "COUNT")]
    pub most: usize,
    /// Put the entry's text back as it stood at this day or commit
    #[arg(long, value_name = "DAY|COMMIT", conflicts_with = "as_written")]
    pub bring_back: Option<String>,
    #[command(flatten)]
    pub output: Output<WordsForm>,
}

#[derive(Debug, Args)]
pub struct CheckArgs {
    /// Only this entry: its file
    #[arg(value_name = "ENTRY")]
    pub entry: Option<std::path::PathBuf>,
    /// What was understood of it, one line a record
    #[arg(long, requires = "entry")]
    pub facts: bool,
    /// As the journal stood: at a commit, or at the end of a day
    #[arg(long, value_name = "DAY|COMMIT")]
    pub as_written: Option<String>,
    /// Only errors and warnings
    #[arg(long)]
    pub no_notes: bool,
    /// A picture that is meant to be gone, or as it is now: says so in
    /// pictures-sha256.txt and checks nothing else
    #[arg(long, value_name = "PICTURE", conflicts_with_all = ["entry", "as_written"])]
    pub accept: Vec<std::path::PathBuf>,
    /// Show all problems, not only the first twenty
    #[arg(long)]
    pub all: bool,
    #[command(flatten)]
    pub output: Output<WordsForm>,
}

#[derive(Debug, Args)]
pub struct BookArgs {
    /// Where the pages go: a new folder, or one that this verb made [default: book, in
    /// the journal's folder]
    pub folder: Option<PathBuf>,
    /// For anybody: also leave out money, and people who must be asked first
    #[arg(long)]
    pub public: bool,
    /// Write pages again as entries change, until you stop it (Ctrl-C)
    #[arg(long)]
    pub watch: bool,
    /// Show the pages to a browser, until you stop it: on this computer alone, or with
    /// ADDRESS, its own in your network, to a phone there, under a path that nobody guesses
    #[arg(long, value_name = "ADDRESS", num_args = 0..=1, require_equals = true)]
    pub serve: Option<Option<String>>,
    #[command(flatten)]
    pub output: Output<WordsForm>,
}

#[derive(Debug, Args)]
pub struct CompletionsArgs {
    /// The shell
    #[arg(value_enum)]
    pub shell: clap_complete::Shell,
}
