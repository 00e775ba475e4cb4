//! A picture that a text names.
//!
//! Whether there is such a file is not known here.

use serde::{Deserialize, Serialize};

/// A picture that a text names.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct NamedPicture {
    /// Its path inside the journal.
    pub path: String,
    /// What is to be seen, if the text says it.
    pub caption: Option<String>,
}

impl NamedPicture {
    /// A picture of which nothing but the path is known.
    #[must_use]
    pub fn at(path: String) -> NamedPicture {
        NamedPicture {
            path,
            caption: None,
        }
    }

    /// "photos/a.jpg (the strap)".
    #[must_use]
    pub fn written(&self) -> String {
        match &self.caption {
            Some(caption) => format!("{} ({caption})", self.path),
            None => self.path.clone(),
        }
    }
}
