//! The kind of a picture, told by how its bytes begin.
//!
//! What the file is called does not count.

use std::fmt::{self, Display, Formatter};

/// A kind of picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PictureKind {
    /// ITU-T T.81.
    Jpeg,
    /// W3C PNG.
    Png,
    /// RFC 9649.
    WebP,
    /// ISO/IEC 23008-12 with HEVC inside, as phones write it.
    Heic,
    /// The same container with AV1 inside.
    Avif,
    /// GIF 87a or 89a.
    Gif,
    /// TIFF, and the raw formats of cameras that are built on it.
    Tiff,
}

impl PictureKind {
    /// The kind of a picture that begins like this.
    #[must_use]
    pub fn of(bytes: &[u8]) -> Option<PictureKind> {
        match bytes {
            [0xff, 0xd8, 0xff, ..] => Some(PictureKind::Jpeg),
            [b'G', b'I', b'F', b'8', ..] => Some(PictureKind::Gif),
            [b'I', b'I', 0x2a, 0, ..] | [b'M', b'M', 0, 0x2a, ..] => Some(PictureKind::Tiff),
            [
                b'R',
                b'I',
                b'F',
                b'F',
                _,
                _,
                _,
                _,
                b'W',
                b'E',
                b'B',
                b'P',
                ..,
            ] => Some(PictureKind::WebP),
            [_, _, _, _, b'f', b't', b'y', b'p', brand @ ..] => match brand.get(..4)? {
                b"heic" | b"heix" | b"heim" | b"heis" | b"mif1" | b"mif2" => {
                    Some(PictureKind::Heic)
                }
                b"avif" | b"avis" => Some(PictureKind::Avif),
                _ => None,
            },
            _ if bytes.starts_with(b"\x89PNG\r\n\x1a\n") => Some(PictureKind::Png),
            _ => None,
        }
    }
}

impl Display for PictureKind {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            PictureKind::Jpeg => "JPEG",
            PictureKind::Png => "PNG",
            PictureKind::WebP => "WebP",
            PictureKind::Heic => "HEIC",
            PictureKind::Avif => "AVIF",
            PictureKind::Gif => "GIF",
            PictureKind::Tiff => "TIFF",
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_kind_is_told_by_the_content() {
        let rows: [(&[u8], Option<PictureKind>); 12] = [
            (b"\xff\xd8\xff\xe0", Some(PictureKind::Jpeg)),
            (b"\x89PNG\r\n\x1a\n", Some(PictureKind::Png)),
            (b"RIFF\x04\0\0\0WEBPVP8 ", Some(PictureKind::WebP)),
            (b"\0\0\0\x18ftypheic", Some(PictureKind::Heic)),
            (b"\0\0\0\x18ftypavif", Some(PictureKind::Avif)),
            (b"\0\0\0\x18ftypqt  ", None),
            (b"\0\0\0\x18ftyp", None),
            (b"GIF89a", Some(PictureKind::Gif)),
            (b"MM\0*", Some(PictureKind::Tiff)),
            (b"RIFF\x04\0\0\0WAVE", None),
            (b"<svg onload=x>", None),
            (b"", None),
        ];
        for (bytes, kind) in rows {
            assert_eq!(PictureKind::of(bytes), kind, "{bytes:?}");
        }
    }
}
