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
    /// Which of the entry's records of that name, from 1; `None` for all.
    pub record: Option<u32>,
}

/// How the number of a record is written behind its part: "Horn, record 2".
const NUMBERED: &str = ", record ";

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
        let numbered = part.as_deref().and_then(|part| {
            let (part, number) = part.rsplit_once(NUMBERED)?;
            Some((part.to_owned(), number.parse().ok()?))
        });
        let (part, record) = match numbered {
            Some((part, number)) => (Some(part), Some(number)),
            None => (part.filter(|part| !part.is_empty()), None),
        };
        Some(RecordName {
            entry: entry.to_owned(),
            part,
            record,
        })
    }

    /// The name as it is written into an episode.
    #[must_use]
    pub fn written(&self) -> String {
        let mut written = self.entry.clone();
        if let Some(part) = &self.part {
            written.push_str(&format!(", {part}"));
        }
        if let Some(number) = self.record {
            written.push_str(&format!("{NUMBERED}{number}"));
        }
        written
    }

    /// Whether this means the record of this name, without regard to case and
    /// white space. A record that is the only one of its name is the first.
    #[must_use]
    pub fn means(&self, record: &RecordName) -> bool {
        let is_part = |own: &String| {
            record
                .part
                .as_ref()
                .is_some_and(|part| key(own) == key(part))
        };
        self.entry == record.entry
            && self.part.as_ref().is_none_or(is_part)
            && self
                .record
                .is_none_or(|number| number == record.record.unwrap_or(1))
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
            "entries/2026/2026-03-14-tank.md, Horn, left, record 2",
            "entries/2026/2026-03-14-tank.md",
        ] {
            let name = RecordName::read(text).expect("a name");
            assert_eq!(name.written(), text);
        }
        assert_eq!(RecordName::read("the tank"), None);
        assert_eq!(RecordName::read("a.mdx, b"), None);
    }

    #[test]
    fn a_name_means_its_record() {
        for (told, record, expected) in [
            ("e.md", "e.md, Fuel tank", true),
            ("e.md", "e.md, session", true),
            ("e.md", "f.md, Fuel tank", false),
            ("e.md, fuel  TANK", "e.md, Fuel tank", true),
            ("e.md, fuel tank", "e.md, session", false),
            ("e.md, Horn", "e.md, Horn, record 2", true),
            ("e.md, Horn, record 1", "e.md, Horn, record 2", false),
            ("e.md, Horn, record 2", "e.md, Horn, record 2", true),
            // The other one was deleted since.
            ("e.md, Horn, record 1", "e.md, Horn", true),
        ] {
            let name = |text| RecordName::read(text).expect("a name");
            assert_eq!(name(told).means(&name(record)), expected, "{told} {record}");
        }
    }
}
