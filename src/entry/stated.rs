//! A fact as it stands in an entry: under which key, in which words, where.
//!
//! What it says is in `fact`.

use serde::{Deserialize, Serialize};

use super::fact::Fact;
use super::key::Key;
use crate::problem::Spot;
use crate::vocabulary::reference::Reference;

/// A fact with the words that said it and the place where they stand.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Stated {
    /// What it says.
    pub fact: Fact,
    /// The key it was written under.
    pub key: Key,
    /// The value as written.
    pub written: String,
    /// Where.
    pub spot: Spot,
    /// Whether the section took it from the front matter.
    pub inherited: bool,
}

impl Stated {
    /// The part that goes back before or after this one, or that this one is a piece
    /// of, with the key for it.
    #[must_use]
    pub fn relation(&self) -> Option<(Key, &Reference)> {
        if let Fact::After(part) = &self.fact {
            Some((Key::After, part))
        } else if let Fact::OffAfter(part) = &self.fact {
            Some((Key::OffAfter, part))
        } else if let Fact::RefitAfter(part) = &self.fact {
            Some((Key::RefitAfter, part))
        } else if let Fact::Of(part) = &self.fact {
            Some((Key::Of, part))
        } else {
            None
        }
    }

    /// All parts that it names.
    #[must_use]
    pub fn parts(&self) -> Vec<&Reference> {
        if let Some((_, part)) = self.relation() {
            vec![part]
        } else if let Fact::HoldsUp(part) | Fact::Holds(part) = &self.fact {
            vec![part]
        } else if let Fact::Undone(link) = &self.fact {
            std::iter::once(&link.what).chain(&link.to).collect()
        } else {
            Vec::new()
        }
    }
}
