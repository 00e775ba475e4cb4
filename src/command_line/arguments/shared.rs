//! What several questions understand: which parts, which days, as of when.

use clap::Args;
use clap_complete::ArgValueCompleter;

use super::super::offers;

/// Which parts a question is about.
#[derive(Debug, Default, Args)]
pub struct ScopeArgs {
    /// Only this vehicle
    #[arg(long, short, add = ArgValueCompleter::new(offers::vehicles))]
    pub vehicle: Option<String>,
    /// Only this system
    #[arg(long, add = ArgValueCompleter::new(offers::systems))]
    pub system: Option<String>,
    /// Only this part
    #[arg(long, short, add = ArgValueCompleter::new(offers::parts))]
    pub part: Option<String>,
}

/// Which days a question is about.
#[derive(Debug, Default, Args)]
pub struct DateRangeArgs {
    /// Not before this day
    #[arg(long, value_name = "DAY")]
    pub since: Option<String>,
    /// Not after this day
    #[arg(long, value_name = "DAY")]
    pub until: Option<String>,
}

/// When a question is asked of.
#[derive(Debug, Default, Args)]
pub struct AsOfArgs {
    /// As the vehicle stood at the end of this day
    #[arg(long, value_name = "DAY")]
    pub on: Option<String>,
    /// As the journal stood: at a commit, or at the end of a day
    #[arg(long, value_name = "DAY|COMMIT")]
    pub as_written: Option<String>,
}
