//! What several questions understand: which parts, which days, as of when.

use clap::Args;

/// Which parts a question is about.
#[derive(Debug, Default, Args)]
pub struct Only {
    /// Only this vehicle
    #[arg(long, short)]
    pub vehicle: Option<String>,
    /// Only this system
    #[arg(long)]
    pub system: Option<String>,
    /// Only this part
    #[arg(long, short)]
    pub part: Option<String>,
}

/// Which days a question is about.
#[derive(Debug, Default, Args)]
pub struct Days {
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
