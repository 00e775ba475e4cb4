//! The label of a bag or tin of hardware: a number or words.
//!
//! A label is text: `031` and `31` are two bags.

use serde::{Deserialize, Serialize};

use super::hardware_words::{is_bag, is_bag_kind};
use super::spoken_number::number_word;
use super::words::fold;

/// A label as written, with the key by which it compares.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct BagLabel {
    written: String,
    key: String,
}

impl BagLabel {
    /// The label in `text`; the word for a bag before it does not belong to it.
    #[must_use]
    pub fn new(text: &str) -> BagLabel {
        let text = text.trim();
        let bare = behind_bag_word(text).unwrap_or(text);
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

    /// The number, where a letter that looks like a figure stands in it: "1O" may be 10,
    /// "l2" 12.
    #[must_use]
    pub fn letters_as_figures(&self) -> Option<String> {
        let as_figure = |letter: char| match letter {
            'O' | 'o' => '0',
            'l' | 'I' => '1',
            other => other,
        };
        let number: String = self.written.chars().map(as_figure).collect();
        let is_number = number.bytes().all(|b| b.is_ascii_digit());
        let has_figure = self.written.bytes().any(|b| b.is_ascii_digit());
        (is_number && has_figure && number != self.written).then_some(number)
    }
}

/// What stands behind a word for a bag: anything behind "bag" itself, and only a number or
/// another short sign behind the other words, as a "sack truck" is none.
#[must_use]
pub fn behind_bag_word(text: &str) -> Option<&str> {
    let (word, rest) = text.trim().split_once(char::is_whitespace)?;
    let (word, rest) = (word.to_lowercase(), rest.trim());
    if word == "bag" || is_bag(&word) && is_sign(rest) {
        return Some(rest);
    }
    let (kind, sign) = rest.split_once(char::is_whitespace)?;
    let said = is_bag_kind(&word) && is_bag(&kind.to_lowercase()) && is_sign(sign.trim());
    said.then(|| sign.trim())
}

/// "12", "B7", "C", "nine".
fn is_sign(text: &str) -> bool {
    let numbered = text.len() <= 4 && text.bytes().any(|byte| byte.is_ascii_digit());
    let letter = text.len() == 1 && text.bytes().all(|byte| byte.is_ascii_alphabetic());
    numbered || letter || number_word(&text.to_lowercase()).is_some()
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
        for (said, meant) in [
            ("sack 12", "12"),
            ("Baggie B7", "B7"),
            ("zip bag 4", "4"),
            ("ziploc nine", "9"),
            ("bag coffee tin", "coffee tin"),
        ] {
            assert_eq!(BagLabel::new(said), BagLabel::new(meant), "{said}");
        }
        for name in [
            "nine inch",
            "one of two",
            "the tin",
            "seventh",
            "ones",
            "sack truck",
            "small tin",
        ] {
            assert_eq!(BagLabel::new(name).written(), name);
        }
    }

    #[test]
    fn a_letter_may_stand_for_a_figure() {
        let meant = |text: &str| BagLabel::new(text).letters_as_figures();
        assert_eq!(meant("1O").as_deref(), Some("10"));
        assert_eq!(meant("l2").as_deref(), Some("12"));
        for text in ["12", "10A", "O", "oil 1", "I"] {
            assert_eq!(meant(text), None, "{text}");
        }
    }
}
