//! A picture of the journal, asked for by the path that a text gives.

use std::fmt::{self, Display, Formatter};
use std::fs;
use std::io::Read;
use std::path::{Component, Path};

use super::disk::Journal;
use crate::vocabulary::moment::nanoseconds;

/// Why there is no picture to show.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoPicture {
    /// The path leads out of the journal's folder.
    Outside,
    /// There is no such file, or it cannot be read.
    Missing,
    /// It has so many bytes.
    TooLong(u64),
}

impl Display for NoPicture {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        match self {
            NoPicture::Outside => write!(f, "the path leads out of the journal"),
            NoPicture::Missing => write!(f, "no such file can be read"),
            NoPicture::TooLong(bytes) => write!(
                f,
                "it has {}.{} MB; save a smaller copy",
                bytes / 1_000_000,
                bytes / 100_000 % 10
            ),
        }
    }
}

/// As much of a picture as tells its kind, in bytes.
const START: u64 = 32;

/// What tells one state of a picture from another.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PictureLook {
    /// Length in bytes.
    pub size: u64,
    /// When it was last changed, nanoseconds since 1970.
    pub modified_ns: i64,
    /// Its first bytes.
    pub start: Vec<u8>,
}

impl Journal {
    /// What the disk says of a file in the journal's folder, and how it begins.
    ///
    /// # Errors
    /// As [`Journal::picture`], whatever its length.
    pub fn picture_look(&self, path: &str) -> Result<PictureLook, NoPicture> {
        if !is_inside(path) {
            return Err(NoPicture::Outside);
        }
        let file = self.root.join(path);
        let metadata = fs::metadata(&file).ok().filter(fs::Metadata::is_file);
        let metadata = metadata.ok_or(NoPicture::Missing)?;
        let mut start = Vec::new();
        let opened = fs::File::open(&file).map_err(|_| NoPicture::Missing)?;
        let read = opened.take(START).read_to_end(&mut start);
        read.map_err(|_| NoPicture::Missing)?;
        Ok(PictureLook {
            size: metadata.len(),
            modified_ns: metadata.modified().map_or(0, nanoseconds),
            start,
        })
    }

    /// The bytes of a file in the journal's folder.
    ///
    /// # Errors
    /// When the path leads out of the folder (it is not followed), when there is no
    /// such file, or when it has more than `most` bytes.
    pub fn picture(&self, path: &str, most: u64) -> Result<Vec<u8>, NoPicture> {
        if !is_inside(path) {
            return Err(NoPicture::Outside);
        }
        let length = fs::metadata(self.root.join(path))
            .map_err(|_| NoPicture::Missing)?
            .len();
        if length > most {
            return Err(NoPicture::TooLong(length));
        }
        self.bytes(path).map_err(|_| NoPicture::Missing)
    }
}

fn is_inside(path: &str) -> bool {
    let mut parts = Path::new(path).components();
    parts.all(|part| matches!(part, Component::Normal(_)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_path_that_leads_out_is_none() {
        for path in ["photos/a.jpg", "a.jpg", "photos/2026/a.jpg"] {
            assert!(is_inside(path), "{path}");
        }
        for path in ["../a.jpg", "/a.jpg", "photos/../../a.jpg"] {
            assert!(!is_inside(path), "{path}");
        }
    }
}
