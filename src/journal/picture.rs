//! A picture of the journal, asked for by the path that a text gives.

use std::fs;
use std::path::{Component, Path};

use super::disk::Journal;

impl Journal {
    /// The bytes of a file in the journal's folder that has `most` bytes at most.
    /// A path that leads out of the folder is none, and nobody looks where it
    /// leads.
    #[must_use]
    pub fn picture(&self, path: &str, most: u64) -> Option<Vec<u8>> {
        if !is_inside(path) {
            return None;
        }
        let length = fs::metadata(self.root.join(path)).ok()?.len();
        if length > most {
            return None;
        }
        self.bytes(path).ok()
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
