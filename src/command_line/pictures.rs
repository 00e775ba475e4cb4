//! The photos of a journal, for pages.

use crate::journal::Journal;

/// A larger photo makes a page that no phone likes to load.
const LARGEST_PHOTO: u64 = 4_000_000;

/// The bytes of a photo of the journal. A path that leads out of it is none.
pub(super) fn picture(journal: &Journal, path: &str) -> Option<Vec<u8>> {
    journal.picture(path, LARGEST_PHOTO)
}
