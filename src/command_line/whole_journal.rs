//! The whole journal for a report: as it is now, or as it was.
//!
//! Now it comes from what the index keeps. Only another day or another commit is
//! folded from texts. What is asked about it is each verb's own.

use jiff::civil::Date;

use super::arguments::Times;
use super::failure::Failure;
use super::fresh_index::fresh;
use super::kept_states::Hardware;
use super::world::World;
use super::{Reply, opened};
use crate::entry::Context;
use crate::index::Index;
use crate::journal::{Journal, VehicleFile};
use crate::reports::whole_journal::WholeJournal;

/// What a verb that reports about the whole journal starts from.
pub(super) struct Asked {
    /// The ledger and what stands beside it. It lives as long as the process: giving
    /// its memory back piece by piece would take longer than an answer may.
    pub whole: &'static mut WholeJournal,
    /// What entries are read with.
    pub context: Context,
    /// The vehicles.
    pub vehicles: Vec<VehicleFile>,
    /// The day of `--on`.
    pub on: Option<Date>,
    index: Option<Index>,
}

impl Asked {
    /// The reply, with what is left to do for the index once it was shown.
    pub fn replied(self, mut reply: Reply) -> Reply {
        if let Some(index) = self.index {
            reply.afterwards = Some(Box::new(move || index.end()));
        }
        reply
    }
}

/// The whole journal, at the time that was asked for.
///
/// # Errors
/// When it cannot be read, or there is no such day or commit.
pub(super) fn asked(
    times: &Times,
    hardware: Hardware,
    journal: &Journal,
    world: &World,
) -> Result<Asked, Failure> {
    let on = opened::maybe_day("--on", times.on.as_ref(), world)?;
    if on.is_none() && times.as_written.is_none() {
        let fresh = fresh(journal, world)?;
        // Where what is kept cannot be read, the texts can.
        if let Ok(whole) = fresh.whole_journal(hardware) {
            fresh.say_uncounted(world);
            return Ok(Asked {
                whole: Box::leak(Box::new(whole)),
                context: journal.context(),
                vehicles: journal.vehicles().to_vec(),
                on,
                index: Some(fresh.index),
            });
        }
    }
    let contents = opened::counted(journal, times.as_written.as_ref(), world)?;
    let whole = WholeJournal::read(&contents.entries, on);
    Ok(Asked {
        whole: Box::leak(Box::new(whole)),
        context: contents.context(),
        vehicles: contents.vehicles,
        on,
        index: None,
    })
}
