//! A HEIC as a JPEG that browsers show, as large as a screen needs.
//!
//! It is decoded within bounds; a decoder that fails, or that
//! panics, is a damaged picture.

use std::panic::{AssertUnwindSafe, catch_unwind};

use heifer::{Error, Options, decode_srgb_rgba8};

use super::{PictureKind, Withheld, scaled};

const DAMAGED: Withheld = Withheld::Damaged(PictureKind::Heic);

/// The largest that is decoded: phones take 12 or 24 million pixels, and the decoder
/// needs some ten bytes for each.
const MOST_PIXELS: u64 = 26_000_000;

/// The picture as a JPEG, turned upright, in sRGB, with no metadata.
///
/// # Errors
/// When it cannot be decoded within the bounds.
pub(super) fn as_jpeg(bytes: &[u8]) -> Result<Vec<u8>, Withheld> {
    let options = Options {
        max_pixels: MOST_PIXELS,
        max_threads: 0,
    };
    let decoded = catch_unwind(AssertUnwindSafe(|| decode_srgb_rgba8(bytes, &options)));
    let picture = match decoded {
        Ok(Ok(picture)) => picture,
        Ok(Err(Error::Unsupported(_))) => return Err(Withheld::Unsupported(PictureKind::Heic)),
        Ok(Err(Error::Container(_) | Error::Hevc(_) | Error::Encode(_) | Error::Invalid(_)))
        | Err(_) => return Err(DAMAGED),
    };
    let (width, height) = (picture.width, picture.height);
    scaled::as_jpeg(&picture.into_rgb8(), width, height).ok_or(DAMAGED)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_cannot_be_decoded_is_damaged() {
        assert_eq!(as_jpeg(b"\0\0\0\x18ftypheic\0\0\0\0"), Err(DAMAGED));
    }
}
