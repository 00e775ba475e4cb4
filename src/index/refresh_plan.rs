//! What a refresh of the index has to do: read changed files, or make everything anew.
//!
//! Writes nothing.

use tantivy::IndexReader;

use super::documents::SeenFile;
use super::error::IndexError;
use super::places;
use super::schema::IndexFields;
use super::stamps::{StampChanges, StampTable};

/// What a refresh is going to do.
pub(super) struct RefreshPlan<'s> {
    pub changes: StampChanges<'s>,
    /// Everything is made anew; nothing that is stored counts.
    pub everything: bool,
}

/// What changed since the stored stamps; `None` if the index does not fit this
/// journal at all, or does not hold what it says.
pub(super) fn changes<'s>(
    reader: &IndexReader,
    fields: &IndexFields,
    fingerprint: &str,
    seen: &[SeenFile<'s>],
) -> Result<Option<StampChanges<'s>>, IndexError> {
    let searcher = reader.searcher();
    let compare = || -> Result<_, IndexError> {
        let Some(table) = places::stamps(&searcher, fields)? else {
            return Ok(None);
        };
        let (head, table) = StampTable::open(&table)?;
        if head.fingerprint != fingerprint || head.documents != searcher.num_docs() {
            return Ok(None);
        }
        table.changes(seen).map(Some)
    };
    match compare() {
        Err(IndexError::Damaged(_)) => Ok(None),
        other => other,
    }
}

/// What to do about some changes; `None` if nothing.
pub(super) fn planned<'s>(
    changes: Option<StampChanges<'s>>,
    seen: &[SeenFile<'s>],
) -> Option<RefreshPlan<'s>> {
    match changes {
        None => Some(everything(seen)),
        Some(changes) if changes.none() => None,
        // So many single deletions cost more than writing it all again.
        Some(changes) if changes.files().count() * 3 > changes.known.max(9) => {
            Some(everything(seen))
        }
        Some(changes) => Some(RefreshPlan {
            changes,
            everything: false,
        }),
    }
}

pub(super) fn everything<'s>(seen: &[SeenFile<'s>]) -> RefreshPlan<'s> {
    RefreshPlan {
        changes: StampChanges {
            read: seen.iter().map(|file| file.path).collect(),
            ..StampChanges::default()
        },
        everything: true,
    }
}
