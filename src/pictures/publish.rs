//! A picture as it may leave the journal: its pixels, as many as a screen needs, its
//! orientation, its colours.
//!
//! Position, device, times, comments, thumbnails and what follows the end are gone:
//! each format keeps a list of what a viewer needs, and everything else is left out.

use super::{PictureKind, Withheld, heic, jpeg, png, scaled, webp};

/// A picture without a word about where, when and with what it was taken.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PublishedPicture {
    /// Its media type (RFC 6838).
    pub media_type: &'static str,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

/// The picture as it may leave the journal. HEIC becomes a JPEG, a JPEG larger
/// than a screen a smaller one; of every other picture the pixels are those of the original.
///
/// # Errors
/// Says why the picture stays in the journal.
pub fn published(bytes: &[u8]) -> Result<PublishedPicture, Withheld> {
    let kind = PictureKind::of(bytes).ok_or(Withheld::Unknown)?;
    let (media_type, bytes) = match kind {
        PictureKind::Jpeg => {
            let parts = jpeg::parts(bytes)?;
            let whole = parts.whole();
            let smaller = scaled::smaller(&parts, &whole);
            ("image/jpeg", smaller.unwrap_or(whole))
        }
        PictureKind::Png => ("image/png", png::cleaned(bytes)?),
        PictureKind::WebP => ("image/webp", webp::cleaned(bytes)?),
        PictureKind::Heic => ("image/jpeg", heic::as_jpeg(bytes)?),
        PictureKind::Avif | PictureKind::Gif | PictureKind::Tiff => {
            return Err(Withheld::Unsupported(kind));
        }
    };
    Ok(PublishedPicture { media_type, bytes })
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// Beginnings, segments and chunks, so that random bytes get past the first check.
    fn pieces() -> impl Strategy<Value = Vec<u8>> {
        let known = prop::sample::select(vec![
            &b"\xff\xd8\xff\xe0\0\x10JFIF\0\x01\x02\x01\0\x48\0\x48\0\0"[..],
            b"\xff\xe1\0\x22Exif\0\0MM\0*\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0\x06\0\0\0\0\0\0",
            b"\xff\xc0\0\x0b\x08\0\x10\0\x08\x01\x01\x11\0",
            b"\xff\xda\0\x08\x01\x01\0\0\x3f\0pix\xff\0els",
            b"\xff\xfe\0\x04hi",
            b"\xff\xd9",
            b"\x89PNG\r\n\x1a\n\0\0\0\x0dIHDR\0\0\0\x01\0\0\0\x01\x08\0\0\0\0\x3a\x7e\x9b\x55",
            b"\0\0\0\0IDAT\x35\xaf\x06\x1e",
            b"\0\0\0\0IEND\xae\x42\x60\x82",
            b"RIFF\x46\0\0\0WEBP",
            b"VP8X\x0a\0\0\0\xff\0\0\0\x07\0\0\x07\0\0",
            b"EXIF\x1a\0\0\0MM\0*\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0\x06\0\0\0\0\0\0",
            b"VP8L\x06\0\0\0\x2f\x07\xc0\x01\0p",
            b"\0\0\0\x18ftypheic\0\0\0\0mif1heic",
        ]);
        prop_oneof![
            4 => known.prop_map(<[u8]>::to_vec),
            1 => prop::collection::vec(any::<u8>(), 0..40),
        ]
    }

    proptest! {
        #[test]
        fn any_bytes_are_published_or_refused(pieces in prop::collection::vec(pieces(), 0..9)) {
            let bytes = pieces.concat();
            if let Ok(once) = published(&bytes) {
                prop_assert_eq!(published(&once.bytes), Ok(once.clone()));
                prop_assert!(once.bytes.len() <= bytes.len() + 4, "only ever less");
            }
        }
    }

    #[test]
    fn the_pieces_make_pictures() {
        let whole: [&[&[u8]]; 3] = [
            &[
                b"\xff\xd8\xff\xe0\0\x10JFIF\0\x01\x02\x01\0\x48\0\x48\0\0",
                b"\xff\xc0\0\x0b\x08\0\x10\0\x08\x01\x01\x11\0",
                b"\xff\xda\0\x08\x01\x01\0\0\x3f\0pix\xff\0els",
                b"\xff\xd9",
            ],
            &[
                b"\x89PNG\r\n\x1a\n\0\0\0\x0dIHDR\0\0\0\x01\0\0\0\x01\x08\0\0\0\0\x3a\x7e\x9b\x55",
                b"\0\0\0\0IDAT\x35\xaf\x06\x1e",
                b"\0\0\0\0IEND\xae\x42\x60\x82",
            ],
            &[
                b"RIFF\x46\0\0\0WEBP",
                b"VP8X\x0a\0\0\0\xff\0\0\0\x07\0\0\x07\0\0",
                b"EXIF\x1a\0\0\0MM\0*\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0\x06\0\0\0\0\0\0",
                b"VP8L\x06\0\0\0\x2f\x07\xc0\x01\0p",
            ],
        ];
        for pieces in whole {
            let bytes = pieces.concat();
            assert!(published(&bytes).is_ok(), "{bytes:?}");
        }
    }
}
