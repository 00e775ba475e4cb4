//! One line of facts before anyone knows what it means: from a Markdown list
//! or from YAML, both give the same.

use std::ops::Range;

use serde::{Deserialize, Serialize};

/// A fact as written, with what is nested below it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Item {
    /// The word before the first colon, if there is one.
    pub key: Option<String>,
    /// What stands after the colon, or everything where there is none.
    pub value: String,
    /// The bytes of key and value in the entry's text.
    pub span: Range<usize>,
    /// Nested items.
    pub children: Vec<Item>,
}

impl Item {
    /// Splits `text` at its first colon.
    #[must_use]
    pub fn of_text(text: &str, span: Range<usize>) -> Item {
        let text = trim(text);
        let (key, value) = match text.split_once([':', '\u{ff1a}']) {
            Some((key, value)) => (Some(trim(key).to_owned()), trim(value).to_owned()),
            None => (None, text.to_owned()),
        };
        Item {
            key,
            value,
            span,
            children: Vec::new(),
        }
    }

    /// Key and value as one text again: for items that turned out to be plain.
    #[must_use]
    pub fn whole(&self) -> String {
        match &self.key {
            Some(key) if self.value.is_empty() => format!("{key}:"),
            Some(key) => format!("{key}: {}", self.value),
            None => self.value.clone(),
        }
    }
}

/// Without white space and stray byte-order marks at both ends.
#[must_use]
pub fn trim(text: &str) -> &str {
    text.trim_matches(|c: char| c.is_whitespace() || c == '\u{feff}')
}
