//! What was understood of entries that were just written or kept.
//!
//! What it is compared with comes from the index; how it is shown is for
//! `presentation`.

use std::collections::BTreeSet;

use super::fresh_index::Fresh;
use crate::entry::Entry;
use crate::reports::understood::{Understood, understood};

/// What was understood of these entries, in the order given, with what no other
/// entry names marked as new. Entries that say nothing of parts and bags cost no look
/// at the journal.
pub(super) fn of_entries<'e>(entries: &[&'e Entry], fresh: &Fresh) -> Vec<Understood<'e>> {
    let names_any = |entry: &&Entry| !entry.records.is_empty() || !entry.bags.is_empty();
    let paths: BTreeSet<&str> = entries.iter().map(|entry| entry.path.as_str()).collect();
    let known = entries
        .iter()
        .any(names_any)
        .then(|| fresh.known_names(&paths));
    // Where the index cannot be read, every name is called new.
    let mut known = known.and_then(Result::ok).unwrap_or_default();
    entries
        .iter()
        .map(|entry| understood(entry, &mut known, &fresh.aliases))
        .collect()
}
