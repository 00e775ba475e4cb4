//! What is wrong, where, and what to do about it.
//!
//! A problem is an answer, not a failure: whoever finds one goes on reading.

use serde::{Deserialize, Serialize};

/// How much a problem matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Severity {
    /// Something written could not be taken into account.
    Error,
    /// Probably a slip; it was read as well as it could be.
    Warning,
    /// Worth knowing.
    Note,
}

impl Severity {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Severity::Error => "error",
            Severity::Warning => "warning",
            Severity::Note => "note",
        }
    }
}

/// A place in a text of the journal.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct Spot {
    /// The file, inside the journal, with `/` between folders; empty while a
    /// text that has no name yet is read.
    pub file: String,
    /// The line, from 1; 0 for the file as a whole.
    pub line: u32,
    /// The first column, in Unicode scalars, from 1.
    pub column: u32,
    /// How many Unicode scalars are meant.
    pub width: u32,
}

/// One problem.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Problem {
    /// How much it matters.
    pub severity: Severity,
    /// Where it is.
    pub spot: Spot,
    /// What is wrong, in plain words, no full stop.
    pub message: String,
    /// What to do about it.
    pub hint: Option<String>,
}

impl Problem {
    /// An error at `spot`.
    #[must_use]
    pub fn error(spot: Spot, message: impl Into<String>) -> Problem {
        Problem::new(Severity::Error, spot, message)
    }

    /// A warning at `spot`.
    #[must_use]
    pub fn warning(spot: Spot, message: impl Into<String>) -> Problem {
        Problem::new(Severity::Warning, spot, message)
    }

    /// A note at `spot`.
    #[must_use]
    pub fn note(spot: Spot, message: impl Into<String>) -> Problem {
        Problem::new(Severity::Note, spot, message)
    }

    fn new(severity: Severity, spot: Spot, message: impl Into<String>) -> Problem {
        Problem {
            severity,
            spot,
            message: message.into(),
            hint: None,
        }
    }

    /// The same problem with what to do about it.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Problem {
        self.hint = Some(hint.into());
        self
    }
}
