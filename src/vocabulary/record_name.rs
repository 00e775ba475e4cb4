//! How an episode names a record: the entry's path, and the part as its
//! heading calls it.
//!
//! Lines move when an entry is edited, headings hardly ever do: a name made of
//! path and part still means the same record afterwards.

use super::words::fold;

/// The word for what an entry says apart from its parts.
pub const SESSION: &str = "session";

/// The name of a record, or of a whole entry.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct RecordName {
    /// The entry's path inside the journal.
    pub entry: String,
    /// The part's label; [`SESSION`] for the entry's own words; `None` for
    /// everything in the entry.
    pub part: Option<String>,
}

impl RecordName {
    /// Reads `entries/2026/2026-03-14-tank.md, fuel tank`; an entry's path
    /// alone means all of it. `None` if it begins with no path of a text.
    #[must_use]
    pub fn read(text: &str) -> Option<RecordName> {
        let text = text.trim();
        let end = text.find(".md")? + ".md".len();
        let (entry, rest) = text.split_at(end);
        let rest = rest.trim();
        let part = match rest.strip_prefix(',') {
            Some(part) => Some(part.trim().to_owned()),
            None if rest.is_empty() => None,
            None => return None,
        };
        Some(RecordName {
            entry: entry.to_owned(),
            part: part.filter(|part| !part.is_empty()),
        })
    }

    /// The name as it is written into an episode.
    #[must_use]
    pub fn written(&self) -> String {
        match &self.part {
            Some(part) => format!("{}, {part}", self.entry),
            None => self.entry.clone(),
        }
    }

    /// Whether this means the record `part` of `entry`, without regard to case
    /// and white space.
    #[must_use]
    pub fn means(&self, entry: &str, part: &str) -> bool {
        self.entry == entry && self.part.as_ref().is_none_or(|own| key(own) == key(part))
    }
}

fn key(part: &str) -> String {
    fold(part).split(' ').collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_reads_back() {
        for text in [
            "entries/2026/2026-03-14-tank.md, Fuel tank, left and right",
            "entries/2026/2026-03-14-tank.md, session",
            "entries/2026/2026-03-14-tank.md",
        ] {
            let name = RecordName::read(text).expect("a name");
            assert_eq!(name.written(), text);
        }
        assert_eq!(RecordName::read("the tank"), None);
        assert_eq!(RecordName::read("a.mdx, b"), None);
    }

    #[test]
    fn a_whole_entry_means_every_record_of_it() {
        let whole = RecordName::read("e.md").expect("a name");
        let one = RecordName::read("e.md, fuel  TANK").expect("a name");
        assert!(whole.means("e.md", "Fuel tank") && whole.means("e.md", SESSION));
        assert!(one.means("e.md", "Fuel tank") && !one.means("e.md", SESSION));
        assert!(!whole.means("f.md", "Fuel tank"));
    }
}
