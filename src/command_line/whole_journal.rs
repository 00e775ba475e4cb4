//! The whole journal for a report: as it is now, or as it was.
//!
//! Now it comes from what the index keeps. Only another day or another commit is
//! folded from texts. What is asked about it is each verb's own.

use jiff::civil::Date;

use super::arguments::AsOfArgs;
use super::failure::Failure;
use super::fresh_index::{Fresh, fresh};
use super::kept_reply::Question;
use super::kept_states::HardwareScope;
use super::world::World;
use super::{Reply, opened};
use crate::entry::Context;
use crate::journal::{Journal, VehicleFile};
use crate::reports::whole_journal::WholeJournal;

/// What a verb that reports about the whole journal starts from.
pub(super) struct ReportInput {
    /// The ledger and what stands beside it. It lives as long as the process: giving
    /// its memory back piece by piece would take longer than an answer may.
    pub whole: &'static mut WholeJournal,
    /// What entries are read with.
    pub context: Context,
    /// The vehicles.
    pub vehicles: Vec<VehicleFile>,
    /// The day of `--on`.
    pub on: Option<Date>,
}

/// The reply to a question about the whole journal at the time that was asked for: the
/// one that was kept, or the one that is made.
///
/// # Errors
/// When it cannot be read, or there is no such day or commit, or as `make` fails.
pub(super) fn replied(
    question: &Question,
    times: &AsOfArgs,
    hardware: HardwareScope,
    (journal, world): (&Journal, &World),
    make: impl FnOnce(&ReportInput) -> Result<Reply, Failure>,
) -> Result<Reply, Failure> {
    if times.on.is_some() || times.as_written.is_some() {
        return make(&then(times, journal, world)?);
    }
    let fresh = fresh(journal, world)?;
    let keeper = match question.kept(&fresh, journal) {
        Ok(mut reply) => {
            fresh.say_uncounted(world);
            reply.afterwards = Some(Box::new(move || fresh.index.end()));
            return Ok(reply);
        }
        Err(keeper) => keeper,
    };
    match now(&fresh, hardware, journal, world) {
        Some(asked) => Ok(keeper.keeping(make(&asked)?, fresh)),
        None => make(&then(times, journal, world)?),
    }
}

/// The journal as the index keeps it; `None` where that cannot be read, as the texts
/// can.
fn now(
    fresh: &Fresh,
    hardware: HardwareScope,
    journal: &Journal,
    world: &World,
) -> Option<ReportInput> {
    let whole = fresh.whole_journal(hardware).ok()?;
    fresh.say_uncounted(world);
    Some(ReportInput {
        whole: Box::leak(Box::new(whole)),
        context: journal.context(),
        vehicles: journal.vehicles().to_vec(),
        on: None,
    })
}

/// The journal folded from its texts.
fn then(times: &AsOfArgs, journal: &Journal, world: &World) -> Result<ReportInput, Failure> {
    let on = opened::maybe_day("--on", times.on.as_ref(), world)?;
    let contents = opened::counted(journal, times.as_written.as_ref(), world)?;
    let whole = WholeJournal::read(&contents.entries, on);
    Ok(ReportInput {
        whole: Box::leak(Box::new(whole)),
        context: contents.context(),
        vehicles: contents.vehicles,
        on,
    })
}
