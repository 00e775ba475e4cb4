//! Paths: from the journal folder (what the rest of the program says) to the
//! top of the repository (what git says), and back.
//!
//! Looks at no file.

use gix::bstr::{BStr, BString, ByteSlice};

use super::{HistoryError, Result};

/// Where the journal lies below the top of the repository: empty, or `a/b/`.
#[derive(Clone, Debug, Default)]
pub(super) struct Prefix(pub(super) String);

impl Prefix {
    /// The path from the top of the repository for one from the journal.
    ///
    /// Refuses whatever could leave the journal or reach into a `.git`, also in
    /// the disguises that other systems' disks would see through. Names that are
    /// merely unlucky elsewhere (`aux.md`) are let through: nothing written is
    /// held back.
    pub(super) fn to_repository(&self, path: &str) -> Result<BString> {
        let protect = gix::validate::path::component::Options {
            protect_windows: cfg!(windows),
            protect_hfs: true,
            protect_ntfs: false,
        };
        let sound = path.split('/').all(|part| {
            !part.contains('\0')
                && !part.eq_ignore_ascii_case(".git")
                && !part.eq_ignore_ascii_case("git~1")
                && gix::validate::path::component(part.as_bytes().as_bstr(), None, protect).is_ok()
        });
        if sound {
            Ok(self.join(path))
        } else {
            Err(HistoryError::BadPath { path: path.into() })
        }
    }

    /// The same for a path that is known to be sound.
    pub(super) fn join(&self, path: &str) -> BString {
        format!("{}{path}", self.0).into()
    }

    /// The path from the journal for one from the top of the repository; `None` if it
    /// is not in the journal or not Unicode.
    pub(super) fn to_journal<'a>(&self, path: &'a BStr) -> Option<&'a str> {
        path.strip_prefix(self.0.as_bytes())?.to_str().ok()
    }

    /// The path from the journal for one that we made, for messages.
    pub(super) fn in_words(&self, path: &BString) -> String {
        self.to_journal(path.as_bstr()).unwrap_or_default().into()
    }

    /// The folders on the way down to the journal.
    pub(super) fn folders(&self) -> impl Iterator<Item = &str> {
        self.0.split('/').filter(|part| !part.is_empty())
    }
}

/// `a/b` and `a` for `a/b/c`.
pub(super) fn folders_above(path: &BStr) -> impl Iterator<Item = &BStr> {
    path.rfind_iter(b"/").map(|end| path[..end].as_bstr())
}
