//! What was understood of entries that were just written or kept.
//!
//! What it is compared with comes from the index; how it is shown is for
//! `presentation`.

use std::collections::BTreeSet;

use super::fresh_index::Fresh;
use crate::entry::Entry;
use crate::reports::known_names::UsedName;
use crate::reports::understood::{Understood, understood};

/// What was understood of these entries, in the order given, with what no other
/// entry names marked as new.
pub(super) fn of_entries<'e>(entries: &[&'e Entry], fresh: &Fresh) -> Vec<Understood<'e>> {
    let paths: BTreeSet<&str> = entries.iter().map(|entry| entry.path.as_str()).collect();
    let used = entries.iter();
    let mut used: Vec<UsedName> = used
        .flat_map(|entry| UsedName::all_in(entry, &fresh.aliases))
        .collect();
    used.sort();
    used.dedup();
    // Where the index cannot be read, every name is called new.
    let mut known = fresh.known_names(&used, &paths).unwrap_or_default();
    entries
        .iter()
        .map(|entry| understood(entry, &mut known, &fresh.aliases))
        .collect()
}
