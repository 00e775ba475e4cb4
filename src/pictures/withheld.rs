//! Why a picture is not published.
//!
//! The words are for the person who asked for the page.

use std::fmt::{self, Display, Formatter};

use super::PictureKind;

/// Why a picture is not published.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Withheld {
    /// No kind of picture that is known begins like this.
    Unknown,
    /// A kind whose hidden data nothing here can take out.
    Unsupported(PictureKind),
    /// It ends too early, or its structure contradicts itself.
    Damaged(PictureKind),
    /// Width and height in pixels; decoding that many would exhaust a phone.
    TooLarge(u32, u32),
}

impl Display for Withheld {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        match self {
            Withheld::Unknown => write!(f, "it is no picture of a kind that is known"),
            Withheld::Unsupported(kind) => {
                write!(f, "it is a {kind}; save it as JPEG, PNG or WebP")
            }
            Withheld::Damaged(kind) => write!(
                f,
                "the {kind} is damaged or incomplete; copy it again from the camera"
            ),
            Withheld::TooLarge(width, height) => write!(
                f,
                "it says that it has {width} x {height} pixels; save a smaller copy"
            ),
        }
    }
}

/// The most pixels that are published: a good phone takes 50 million.
const MOST_PIXELS: u64 = 60_000_000;

/// Refuses more pixels than a phone can decode.
///
/// # Errors
/// [`Withheld::TooLarge`].
pub(super) fn bounded(width: u32, height: u32) -> Result<(), Withheld> {
    if u64::from(width) * u64::from(height) > MOST_PIXELS {
        return Err(Withheld::TooLarge(width, height));
    }
    Ok(())
}
