//! Who says to which system a part belongs.
//!
//! It knows no systems: their names are the journal's.

use serde::{Deserialize, Serialize};

/// Who says it, the weakest first: a stronger one replaces a weaker one.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum SystemSource {
    /// Nobody: it is the usual one of parts of this name.
    #[default]
    Assumed,
    /// The front matter of an entry or a heading above.
    Inherited,
    /// A record of the part itself.
    Stated,
}

/// A system's name for a person, marked if it is `assumed`.
#[must_use]
pub fn marked(system: Option<&str>, assumed: bool) -> Option<String> {
    let source = match assumed {
        true => SystemSource::Assumed,
        false => SystemSource::Stated,
    };
    system.map(|system| source.mark(system))
}

impl SystemSource {
    /// A system's name for a person, marked where nobody said it.
    #[must_use]
    pub fn mark(self, system: &str) -> String {
        match self {
            SystemSource::Assumed => format!("{system}, assumed"),
            SystemSource::Inherited | SystemSource::Stated => system.to_owned(),
        }
    }
}
