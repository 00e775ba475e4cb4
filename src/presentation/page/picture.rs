//! Pictures on a page: inside it, so that it stays one file, or beside it.
//!
//! Where they come from, and what of them may be published, is decided elsewhere.

use base64::prelude::{BASE64_STANDARD, Engine as _};
use maud::{Markup, html};

use crate::pictures::PublishedPicture;
use crate::presentation::text::shown;
use crate::recap::Photo;

/// Finds a picture by its path, as it may leave the journal.
pub type Picture<'p> = dyn Fn(&str) -> Option<PublishedPicture> + 'p;

/// Finds the address under which a page shows a picture, by its path.
pub type PictureAddress<'p> = dyn Fn(&str) -> Option<String> + 'p;

/// A picture with its caption; nothing if there is none.
pub(in crate::presentation) fn figure(
    photo: &Photo,
    picture: &PictureAddress<'_>,
) -> Option<Markup> {
    let source = picture(&photo.path)?;
    Some(html! {
        figure {
            img src=(source) alt=(shown(&photo.caption));
            @if !photo.caption.is_empty() { figcaption { (shown(&photo.caption)) } }
        }
    })
}

/// A picture as the source of an `img`.
#[must_use]
pub(super) fn source(picture: &PublishedPicture) -> String {
    format!(
        "data:{};base64,{}",
        picture.media_type,
        BASE64_STANDARD.encode(&picture.bytes)
    )
}
