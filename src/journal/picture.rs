//! A picture of the journal, asked for by the path that a text gives.

use std::fmt::{self, Display, Formatter};
use std::fs;
use std::path::{Component, Path};

use super::disk::Journal;

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

impl Journal {
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
