//! What can be typed: verbs and options, with their help.

use std::path::PathBuf;

mod asking;
mod output;
mod renamed;
mod shared;
mod writing;

use clap::builder::Resettable;
use clap::{Args, CommandFactory, FromArgMatches, Parser, Subcommand};

pub use asking::*;
pub use output::{
    BagsForm, Forms, NeedsForm, Output, RecapForm, RefitForm, ReplacedForm, TallyForm, WordsForm,
};
pub use renamed::renamed;
pub use shared::{AsOfArgs, DateRangeArgs, ScopeArgs};
pub use writing::*;

/// A journal for taking an old vehicle apart at home, and for putting it all
/// back.
#[derive(Debug, Parser)]
#[command(
    name = "matchmark",
    version,
    max_term_width = 80,
    after_help = "First time here? `matchmark tour` unpacks a demo journal and walks you through it.\n\
                  Your own: `matchmark begin my-van --vehicle \"My van\"`, `cd my-van`, then for each\n\
                  session `matchmark write` and `matchmark keep`."
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
}

/// The verbs, in the order of the work.
#[derive(Debug, Subcommand)]
pub enum Verb {
    /// See the main job done on the demo journal
    Tour(TourArgs),
    /// Start a journal
    Begin(BeginArgs),
    /// Write down what happened: in your editor, from options, or from standard input
    Write(Box<WriteArgs>),
    /// Put everything written into the history, problems or not
    Keep(KeepArgs),
    /// Bring in a table (CSV), a folder of notes, a narration's captions, a camera's pictures
    Adopt(Box<AdoptArgs>),
    /// Find a passage, a bag, a size; see where the part is now
    Find(FindArgs),
    /// Everything about a part; without a name, all parts
    Part(PartArgs),
    /// What was replaced, with what, and what it cost
    Replaced(ReplacedArgs),
    /// Open work, purchases, questions, tools to return
    Needs(NeedsArgs),
    /// Bags of hardware: what is in them, labels, and what to buy
    Bags(BagsArgs),
    /// The order for putting it back, and what can go on tonight
    Refit(RefitArgs),
    /// General torques for a thread, with their cautions; torques in other units
    Torque(TorqueArgs),
    /// Hours and money, added up
    Tally(TallyArgs),
    /// Draft the next episode from what has not been told
    Recap(RecapArgs),
    /// How the records themselves changed
    Past(PastArgs),
    /// All problems, with their lines
    Check(CheckArgs),
    /// The journal as a folder of pages, for the phone in the shop
    Book(BookArgs),
    /// Completions for your shell
    Completions(CompletionsArgs),
    /// The manual page, as troff
    Manual,
}

/// What was typed.
///
/// # Errors
/// When it cannot be understood, or asks for help.
pub fn parse() -> Result<Arguments, clap::Error> {
    // An outline comes in JSON as well, so that there the two options go together.
    let command = Arguments::command().mut_subcommand("recap", |recap| {
        recap.mut_arg("json", |json| json.conflicts_with(Resettable::Reset))
    });
    Arguments::from_arg_matches(&command.try_get_matches()?)
}
