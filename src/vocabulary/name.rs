//! The name of a part, and when two names are the same.
//!
//! Which names are joined by `also` is not known here: that is collected from
//! the whole journal by `ledger`.

use std::cmp::Ordering;

use serde::{Deserialize, Serialize};

use super::words::fold;

/// A part's name as someone wrote it, with the key by which it compares:
/// without case, accents, white space, or the plural s of the last word.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Name {
    written: String,
    key: String,
}

impl Name {
    /// The name in `text`, white space at its ends dropped.
    #[must_use]
    pub fn new(text: &str) -> Name {
        let written = text.split_whitespace().collect::<Vec<_>>().join(" ");
        let mut key: String = fold(&written).split(' ').collect();
        key.truncate(key.len() - plural(&key));
        Name { written, key }
    }

    /// The name as it was written.
    #[must_use]
    pub fn written(&self) -> &str {
        &self.written
    }

    /// The name as it compares. Never shown to anyone.
    #[must_use]
    pub fn key(&self) -> &str {
        &self.key
    }

    /// Whether there is no name at all.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.key.is_empty()
    }
}

/// How many letters of a folded word are the mark of its plural: one in
/// "hinges", two in "bushes", none in "glass", "bus", "chassis" and "lens".
fn plural(word: &str) -> usize {
    let ends = |ends: &[&str]| ends.iter().any(|end| word.ends_with(end));
    if word.len() <= 2 || !word.ends_with('s') || ends(&["ss", "us", "is", "lens"]) {
        0
    } else if ends(&["shes", "ches", "xes", "sses", "lenses"]) {
        2
    } else {
        1
    }
}

/// A name as it is for one piece: without the mark of a plural.
#[must_use]
pub fn singular(name: &str) -> &str {
    let small = name.to_ascii_lowercase();
    &name[..name.len() - plural(&small)]
}

/// Whether a name is another, or ends with it: "wheel cylinder" with "cylinder".
#[must_use]
pub fn ends_with_name(name: &str, end: &str) -> bool {
    name.strip_suffix(end)
        .is_some_and(|before| before.is_empty() || before.ends_with(' '))
}

impl PartialEq for Name {
    fn eq(&self, other: &Name) -> bool {
        self.key == other.key
    }
}

impl Eq for Name {}

impl PartialOrd for Name {
    fn partial_cmp(&self, other: &Name) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Name {
    fn cmp(&self, other: &Name) -> Ordering {
        self.key.cmp(&other.key)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_part_by_any_spelling() {
        for (a, b) in [
            ("Fuel tank", "fuel  TANK"),
            ("brake shoes", "brake shoe"),
            ("Loadfloor", "load floor"),
            ("bushes", "bush"),
            ("lamp lenses", "lamp lens"),
            ("Kühler", "kuhler"),
        ] {
            assert_eq!(Name::new(a), Name::new(b), "{a} / {b}");
        }
    }

    #[test]
    fn an_s_that_is_no_plural_stays() {
        for (a, b) in [
            ("glass", "glas"),
            ("bus", "bu"),
            ("chassis", "chassi"),
            ("lens", "len"),
        ] {
            assert_ne!(Name::new(a), Name::new(b), "{a} / {b}");
        }
    }
}
