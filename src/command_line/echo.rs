//! What was understood of entries that were just written or kept.
//!
//! What it is compared with comes from the index; how it is shown is for
//! `presentation`.

use std::collections::BTreeSet;

use super::fresh_index::Fresh;
use super::kept_states::HardwareScope;
use crate::entry::Entry;
use crate::reports::understood::{KnownNames, Understood, understood};

/// What was understood of these entries, in the order given, with what no other
/// entry names marked as new. Entries that say nothing of parts and bags cost no look
/// at the journal.
pub(super) fn of_entries<'e>(entries: &[&'e Entry], fresh: &Fresh) -> Vec<Understood<'e>> {
    let names_any = |entry: &&Entry| !entry.records.is_empty() || !entry.bags.is_empty();
    let paths: BTreeSet<&str> = entries.iter().map(|entry| entry.path.as_str()).collect();
    // Where the index cannot be read, every name is called new.
    let whole = entries
        .iter()
        .any(names_any)
        .then(|| fresh.whole_journal(HardwareScope::Taken));
    let mut known = match whole {
        Some(Ok(whole)) => KnownNames::in_journal(&whole, &paths),
        Some(Err(_)) | None => KnownNames::default(),
    };
    entries
        .iter()
        .map(|entry| understood(entry, &mut known, &fresh.aliases))
        .collect()
}
