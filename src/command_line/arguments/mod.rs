//! What can be typed: verbs and options, with their help.

use std::path::PathBuf;

mod asking;
mod shared;
mod writing;

use clap::{Args, Parser, Subcommand};

pub use asking::*;
pub use shared::{Days, Only, Times};
pub use writing::*;

/// A journal for taking an old vehicle apart at home, and for putting it all
/// back.
#[derive(Debug, Parser)]
#[command(
    name = "matchmark",
    version,
    max_term_width = 80,
    disable_help_subcommand = true,
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

impl Verb {
    /// In which form, other than JSON, this is going to be answered; `None` if
    /// JSON can be had, or if the verb itself says when not.
    pub fn other_form(&self) -> Option<&'static str> {
        const WORDS: Option<&str> = Some("words");
        const FILE: Option<&str> = Some("a file");
        match self {
            Verb::Tour(_) | Verb::Begin(_) | Verb::Write(_) | Verb::Keep(_) | Verb::Adopt(_) => {
                WORDS
            }
            Verb::Completions(_) => Some("a script"),
            Verb::Manual => Some("a manual page"),
            Verb::Replaced(Replaced { page: Some(_), .. })
            | Verb::Needs(Needs {
                calendar: Some(_), ..
            })
            | Verb::Bags(Bags {
                labels: Some(_), ..
            })
            | Verb::Refit(Refit { page: Some(_), .. }) => FILE,
            Verb::Replaced(Replaced { csv: true, .. }) | Verb::Tally(Tally { csv: true, .. }) => {
                Some("CSV")
            }
            Verb::Find(_)
            | Verb::Part(_)
            | Verb::Replaced(_)
            | Verb::Needs(_)
            | Verb::Bags(_)
            | Verb::Refit(_)
            | Verb::Torque(_)
            | Verb::Tally(_)
            | Verb::Recap(_)
            | Verb::Past(_)
            | Verb::Check(_) => None,
        }
    }
}
