//! The label of a bag or tin of hardware: a number or words.
//!
//! A label is text: `031` and `31` are two bags.

use serde::{Deserialize, Serialize};

use super::spoken_number::number_word;
use super::words::fold;

/// A label as written, with the key by which it compares.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Label {
    written: String,
    key: String,
}

impl Label {
    /// The label in `text`; the word "bag" before it does not belong to it.
    #[must_use]
    pub fn new(text: &str) -> Label {
        let text = text.trim();
        let bare = text
            .get(..4)
            .filter(|start| start.eq_ignore_ascii_case("bag "))
            .map_or(text, |start| &text[start.len()..])
            .trim();
        // "bag nine" is bag 9; "nine inch" is a name.
        let number = number_word(&bare.to_lowercase());
        let written = number.map_or_else(|| bare.to_owned(), |number| number.to_string());
        Label {
            key: fold(&written),
            written,
        }
    }

    /// The label as it was written.
    #[must_use]
    pub fn written(&self) -> &str {
        &self.written
    }

    /// The label as it compares.
    #[must_use]
    pub fn key(&self) -> &str {
        &self.key
    }
}

impl PartialEq for Label {
    fn eq(&self, other: &Label) -> bool {
        self.key == other.key
    }
}

impl Eq for Label {}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_label_is_text() {
        assert_eq!(Label::new("bag 31"), Label::new("31"));
        assert_eq!(Label::new("Coffee Tin"), Label::new("coffee tin"));
        assert_ne!(Label::new("031"), Label::new("31"));
        for (said, meant) in [("bag nine", "9"), ("Twelve", "12"), ("twenty-one", "21")] {
            assert_eq!(Label::new(said), Label::new(meant), "{said}");
        }
        for name in ["nine inch", "one of two", "the tin", "seventh", "ones"] {
            assert_eq!(Label::new(name).written(), name);
        }
    }
}
