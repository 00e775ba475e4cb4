//! What kept versions of entries say about replaced units, read once for each.
//!
//! A stored text never changes, so what it says is kept in `.matchmark/` as long as
//! settings and vehicles stay the same. It can be thrown away.

use std::collections::BTreeMap;

use super::failure::Failure;
use super::fresh_index::fingerprint;
use crate::entry::{Context, decode, read_file};
use crate::history::{History, TextId};
use crate::journal::Journal;
use crate::reports::replaced::{Replacing, replacing};

/// The name of the file.
const FILE: &str = "replacing";

/// Texts that were read, by name.
pub(super) struct TextCache<'h> {
    history: &'h History,
    context: Context,
    form: String,
    said: BTreeMap<TextId, Vec<Replacing>>,
    /// Whether there is more in it than was kept.
    has_news: bool,
}

impl<'h> TextCache<'h> {
    /// Those that were kept; none if there are none that can be trusted.
    pub(super) fn of(history: &'h History, journal: &Journal) -> TextCache<'h> {
        let form = fingerprint(journal);
        let kept = history.computed(FILE, &form);
        let said = kept.and_then(|bytes| postcard::from_bytes(&bytes).ok());
        TextCache {
            history,
            context: journal.context(),
            form,
            said: said.unwrap_or_default(),
            has_news: false,
        }
    }

    /// What a text says that stood at `path`.
    ///
    /// # Errors
    /// When it cannot be read from the history.
    pub(super) fn replacing(&mut self, id: TextId, path: &str) -> Result<Vec<Replacing>, Failure> {
        if let Some(said) = self.said.get(&id) {
            return Ok(said.clone());
        }
        let text = decode(self.history.text(id)?).text;
        let said = replacing(&read_file(path, &text, &self.context).0);
        self.said.insert(id, said.clone());
        self.has_news = true;
        Ok(said)
    }

    /// Keeps them for the next question; where that cannot be, it reads them again.
    pub(super) fn keep(&self) {
        if self.has_news
            && let Ok(bytes) = postcard::to_stdvec(&self.said)
        {
            let _ = self.history.keep_computed(FILE, &self.form, &bytes);
        }
    }
}
