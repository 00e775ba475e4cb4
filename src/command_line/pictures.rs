//! The photos of a journal, for pages.

use std::path::{Component, Path};

use crate::journal::Journal;

/// A larger photo makes a page that no phone likes to load.
const LARGEST_PHOTO: usize = 4_000_000;

/// The bytes of a photo of the journal. A path that leads out of it is none.
pub(super) fn picture(journal: &Journal, path: &str) -> Option<Vec<u8>> {
    let is_inside = Path::new(path)
        .components()
        .all(|part| matches!(part, Component::Normal(_)));
    let bytes = journal.bytes(path).ok().filter(|_| is_inside)?;
    (bytes.len() <= LARGEST_PHOTO).then_some(bytes)
}
