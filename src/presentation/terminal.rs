//! The form for a person at a terminal: text wrapped to its width.
//!
//! How an answer reads is written beside it (`needs`, `bags`, `part` ...).

use super::export::Document;
use super::text::Text;

/// A terminal, or whatever stands in its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Terminal {
    /// Columns.
    pub width: usize,
    /// Whether it shows colours.
    pub colours: bool,
}

impl Terminal {
    /// A text made for this terminal.
    #[must_use]
    pub fn document(&self, text: &Text) -> Document {
        Document::text(text.render(self.colours))
    }
}
