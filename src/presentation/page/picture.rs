//! Pictures inside a page, so that it stays one file.
//!
//! Where their bytes come from is not known here.

use base64::prelude::{BASE64_STANDARD, Engine as _};
use maud::{Markup, html};

use crate::presentation::text::shown;
use crate::recap::Photo;

/// Finds the bytes of a photo by its path.
pub type Picture<'p> = dyn Fn(&str) -> Option<Vec<u8>> + 'p;

/// A picture as the source of an `img`; `None` where `picture` does not find
/// it, or where no browser shows its kind.
#[must_use]
pub fn inside(path: &str, picture: &dyn Fn(&str) -> Option<Vec<u8>>) -> Option<String> {
    let (kind, bytes) = kind(path).zip(picture(path))?;
    Some(format!(
        "data:{kind};base64,{}",
        BASE64_STANDARD.encode(bytes)
    ))
}

/// A picture inside the page, with its caption; nothing if there is none.
pub(super) fn figure(photo: &Photo, picture: &Picture<'_>) -> Option<Markup> {
    let source = inside(&photo.path, picture)?;
    Some(html! {
        figure {
            img src=(source) alt=(shown(&photo.caption));
            @if !photo.caption.is_empty() { figcaption { (shown(&photo.caption)) } }
        }
    })
}

/// The kind of a picture that any browser shows, by its file's ending.
fn kind(path: &str) -> Option<&'static str> {
    let ending = path.rsplit_once('.')?.1.to_ascii_lowercase();
    match ending.as_str() {
        "jpg" | "jpeg" => Some("image/jpeg"),
        "png" => Some("image/png"),
        "webp" => Some("image/webp"),
        "gif" => Some("image/gif"),
        _ => None,
    }
}
