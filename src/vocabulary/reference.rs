//! A part named in someone else's record: "after: filler neck".
//!
//! Which known place is meant is decided when a report asks, not here.

use serde::{Deserialize, Serialize};

use super::name::Name;
use super::position::Position;

/// A name with the position said beside it, empty when none was said.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Reference {
    /// The part's name.
    pub name: Name,
    /// The position said with it.
    pub at: Position,
    /// A vehicle named before it ("pavetta, starter motor"), for parts that
    /// come from elsewhere.
    pub vehicle: Option<String>,
}

impl Reference {
    /// The text as it would be written: "wheel cylinder, left front".
    #[must_use]
    pub fn written(&self) -> String {
        if self.at.is_empty() {
            self.name.written().to_owned()
        } else {
            format!("{}, {}", self.name.written(), self.at)
        }
    }
}

/// The text before a note in brackets at its end.
#[must_use]
pub fn without_note(text: &str) -> &str {
    let text = text.trim();
    match text.strip_suffix(')').and_then(|rest| rest.rfind('(')) {
        Some(open) if open > 0 => text[..open].trim_end(),
        Some(_) | None => text,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_note_in_brackets_is_not_part_of_the_name() {
        assert_eq!(
            without_note("shackle, left rear (the bent one)"),
            "shackle, left rear"
        );
        assert_eq!(without_note("(all of it)"), "(all of it)");
    }
}
