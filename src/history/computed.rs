//! Files of computed things in `.matchmark/`, which anybody may throw away.
//!
//! Written whole or not at all, and not waited for: each carries a checksum, and one that
//! is damaged or of another form counts as missing. What is in them is not known here.

use std::{fs, io::Write, path::PathBuf};

use super::{History, HistoryError, Result, index_file::checksum};
use crate::journal::UNFINISHED_BY_HISTORY;

impl History {
    /// What was written under this name in this form; `None` if it is missing or damaged.
    pub fn computed(&self, name: &str, form: &str) -> Option<Vec<u8>> {
        let bytes = fs::read(self.computed_file(name)).ok()?;
        let (sum, rest) = bytes.split_first_chunk()?;
        if *sum != checksum(rest) {
            return None;
        }
        let rest = rest.strip_prefix(form.as_bytes())?;
        Some(rest.strip_prefix(b"\n")?.to_vec())
    }

    /// Writes it in the place of what was there.
    ///
    /// # Errors
    /// When the folder cannot be written to. Nothing is lost then but time.
    pub fn keep_computed(&self, name: &str, form: &str, bytes: &[u8]) -> Result<()> {
        let folder = self.computed_folder()?;
        let trouble = |error| HistoryError::file("write into", &folder)(error);
        let rest = [form.as_bytes(), b"\n", bytes].concat();
        let mut file = tempfile::Builder::new()
            .prefix(UNFINISHED_BY_HISTORY)
            .tempfile_in(&folder)
            .map_err(trouble)?;
        file.write_all(&checksum(&rest))
            .and_then(|()| file.write_all(&rest))
            .map_err(trouble)?;
        file.persist(self.computed_file(name))
            .map_err(|error| trouble(error.error))?;
        Ok(())
    }

    fn computed_file(&self, name: &str) -> PathBuf {
        self.root.join(".matchmark").join(name)
    }
}
