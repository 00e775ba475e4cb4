//! Pictures inside a page, so that it stays one file.
//!
//! Where they come from, and what of them may be published, is decided elsewhere.

use base64::prelude::{BASE64_STANDARD, Engine as _};

use crate::pictures::PublishedPicture;

/// Finds a picture by its path, as it may leave the journal.
pub type Picture<'p> = dyn Fn(&str) -> Option<PublishedPicture> + 'p;

/// A picture as the source of an `img`.
#[must_use]
pub(super) fn source(picture: &PublishedPicture) -> String {
    format!(
        "data:{};base64,{}",
        picture.media_type,
        BASE64_STANDARD.encode(&picture.bytes)
    )
}
