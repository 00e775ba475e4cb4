//! The one trait behind every form in which an answer leaves.
//!
//! A form is a type (`Terminal`, `Json`, `Csv`, a page, a calendar ...) and
//! implements [`Exporter`] for each kind of answer that it can show. Where the
//! result goes is decided by who asks.

/// Turns answers of one kind into documents of one form.
pub trait Exporter<Answer: ?Sized> {
    /// The answer as a document.
    fn export(&self, answer: &Answer) -> Document;
}

/// An answer in its form.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Document {
    /// The text; several where one file cannot hold it, as with sheets of labels.
    pub sheets: Vec<String>,
    /// What every file of this form holds, by which the program knows its own
    /// work; `None` where the form has no room for a mark.
    pub mark: Option<&'static str>,
}

impl Document {
    /// A document of one text.
    #[must_use]
    pub fn text(text: String) -> Document {
        Document {
            sheets: vec![text],
            mark: None,
        }
    }

    /// A document of one text that holds `mark`.
    #[must_use]
    pub fn marked(text: String, mark: &'static str) -> Document {
        Document {
            sheets: vec![text],
            mark: Some(mark),
        }
    }
}
