//! The label of a bag or tin of hardware: a number or words.
//!
//! A label is text: `031` and `31` are two bags.

use serde::{Deserialize, Serialize};

use super::spoken_number::number_word;
use super::words::fold;

/// A label as written, with the key by which it compares.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct BagLabel {
    written: String,
    key: String,
}

impl BagLabel {
    /// The label in `text`; the word "bag" before it does not belong to it.
    #[must_use]
    pub fn new(text: &str) -> BagLabel {
        let text = text.trim();
        let bare = text
            .get(..4)
            .filter(|start| start.eq_ignore_ascii_case("bag "))
            .map_or(text, |start| &text[start.len()..])
            .trim();
        // "bag nine" is bag 9; "nine inch" is a name.
        let number = number_word(&bare.to_lowercase());
        let written = number.map_or_else(|| bare.to_owned(), |number| number.to_string());
        BagLabel {
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

impl PartialEq for BagLabel {
    fn eq(&self, other: &BagLabel) -> bool {
        self.key == other.key
    }
}

impl Eq for BagLabel {}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_label_is_text() {
        assert_eq!(BagLabel::new("bag 31"), BagLabel::new("31"));
        assert_eq!(BagLabel::new("Coffee Tin"), BagLabel::new("coffee tin"));
        assert_ne!(BagLabel::new("031"), BagLabel::new("31"));
        for (said, meant) in [("bag nine", "9"), ("Twelve", "12"), ("twenty-one", "21")] {
            assert_eq!(BagLabel::new(said), BagLabel::new(meant), "{said}");
        }
        for name in ["nine inch", "one of two", "the tin", "seventh", "ones"] {
            assert_eq!(BagLabel::new(name).written(), name);
        }
    }
}
