//! What a person marked as worth telling, or as private.
//!
//! A mark stands in the front matter, among the facts of a record, or at the
//! beginning of a paragraph. What is told is not decided here.

use std::ops::Range;

use serde::{Deserialize, Serialize};

use super::fact::Fact;
use super::footnotes;
use super::model::{Entry, Passage};
use super::paragraphs::paragraphs;
use super::stated::Stated;
use crate::problem::Problem;
use crate::vocabulary::words::fold;

/// A person's mark.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Telling {
    /// Worth telling: `tell: yes`, `! `.
    Worth,
    /// Never to be published: `tell: no`, `~ `.
    Private,
}

impl Telling {
    /// Reads the value of `tell`.
    #[must_use]
    pub fn read(text: &str) -> Option<Telling> {
        match fold(text).trim_end_matches(['.', '!']) {
            "yes" | "y" | "true" => Some(Telling::Worth),
            "no" | "n" | "false" | "never" | "private" => Some(Telling::Private),
            _ => None,
        }
    }

    /// The mark with which a paragraph begins, and its length in bytes.
    #[must_use]
    pub fn at_start(paragraph: &str) -> Option<(Telling, usize)> {
        let mut letters = paragraph.chars();
        let mark = match letters.next()? {
            '!' => Telling::Worth,
            '~' => Telling::Private,
            _ => return None,
        };
        let blank = letters.next().filter(|c| c.is_whitespace())?;
        Some((mark, 1 + blank.len_utf8()))
    }

    /// The mark as a paragraph begins with it.
    #[must_use]
    pub const fn prefix(self) -> &'static str {
        match self {
            Telling::Worth => "! ",
            Telling::Private => "~ ",
        }
    }
}

/// The mark among these facts. Private if any of them says so.
#[must_use]
pub fn telling(facts: &[Stated]) -> Option<Telling> {
    let marks = facts.iter().filter_map(|stated| {
        if let Fact::Tell(mark) = stated.fact {
            Some(mark)
        } else {
            None
        }
    });
    marks.max_by_key(|mark| *mark == Telling::Private)
}

/// The bytes of an entry's text that are private. Inside of what is private,
/// a mark that says otherwise counts for nothing.
#[must_use]
pub fn private_bytes(entry: &Entry) -> Vec<Range<usize>> {
    if telling(&entry.facts) == Some(Telling::Private) {
        return std::iter::once(0..entry.text.len()).collect();
    }
    let mut found = Vec::new();
    for record in &entry.records {
        if telling(&record.facts) == Some(Telling::Private) {
            found.push(record.passage.bytes.clone());
        }
    }
    // Most entries have no mark, and need not be read as Markdown again.
    if entry.text.contains('~') {
        let records = entry.records.iter().map(|record| &record.passage);
        let bags = entry.bags.iter().map(|bag| &bag.passage);
        for passage in entry.prose.iter().chain(records).chain(bags) {
            let marked = marked(entry, passage);
            found.extend(
                marked.filter_map(|(mark, range)| (mark == Telling::Private).then_some(range)),
            );
        }
    }
    found.extend(footnotes::of_hidden(&entry.text, &found));
    found.sort_by_key(|range| (range.start, range.end));
    found.dedup();
    found
}

/// The marked paragraphs of a passage, with their bytes.
fn marked(entry: &Entry, passage: &Passage) -> impl Iterator<Item = (Telling, Range<usize>)> {
    let start = passage.prose.clamp(passage.bytes.start, passage.bytes.end);
    paragraphs(&entry.text, start..passage.bytes.end)
        .into_iter()
        .filter_map(|paragraph| Some((paragraph.mark?, paragraph.bytes)))
}

/// Where a mark says "tell" inside of what is private: which of the two is
/// meant, only the person knows.
pub(super) fn contradictions(entry: &Entry) -> Vec<Problem> {
    let mut problems = Vec::new();
    let mut ask = |spot: crate::problem::Spot, inside: &str| {
        problems.push(
            Problem::warning(
                spot,
                format!(
                    "marked as worth telling, inside {inside} that is private: is it to be told?"
                ),
            )
            .hint("it stays private; take one of the two marks away"),
        );
    };
    let whole = telling(&entry.facts) == Some(Telling::Private);
    for record in &entry.records {
        let own = telling(&record.facts);
        if whole && own == Some(Telling::Worth) {
            ask(record.spot.clone(), "an entry");
        }
    }
    let lines: Vec<usize> = entry.text.match_indices('\n').map(|(at, _)| at).collect();
    let line = |byte: usize| lines.partition_point(|end| *end < byte) + 1;
    let records = entry.records.iter();
    let passages = records.map(|record| (&record.passage, telling(&record.facts)));
    let passages = passages.chain(entry.prose.iter().map(|passage| (passage, None)));
    for (passage, own) in passages {
        let inside = match (whole, own) {
            (true, _) => "an entry",
            (false, Some(Telling::Private)) => "a record",
            (false, Some(Telling::Worth) | None) => continue,
        };
        for (mark, range) in marked(entry, passage) {
            if mark == Telling::Worth {
                let spot = crate::problem::Spot {
                    line: u32::try_from(line(range.start)).unwrap_or(u32::MAX),
                    column: 1,
                    width: 1,
                    ..crate::problem::Spot::default()
                };
                ask(spot, inside);
            }
        }
    }
    problems.dedup();
    problems
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::entry::{Context, read};
    use crate::vocabulary::money::Currency;

    fn entry(text: &str) -> (Entry, Vec<Problem>) {
        let context = Context {
            systems: Vec::new(),
            vehicles: Vec::new(),
            currency: Currency::EUR,
        };
        read(text, &context)
    }

    #[test]
    fn a_mark_is_a_sign_and_a_blank() {
        for (text, mark) in [
            ("! It broke.", Some(Telling::Worth)),
            ("~ He is ill.", Some(Telling::Private)),
            ("!It broke.", None),
            ("~12 bolts", None),
            ("It broke! ~ and", None),
            ("!", None),
        ] {
            assert_eq!(
                Telling::at_start(text).map(|(mark, _)| mark),
                mark,
                "{text}"
            );
        }
    }

    #[test]
    fn private_are_paragraphs_records_and_entries() {
        let text = "---\ndate: 2026-03-14\nvehicle: wren\n---\n\n# A\n\nOne.\n\n~ Two,\nand three.\n\nFour.\n\n## Horn\n\n- tell: no\n- found: bent\n\nFive.\n\n## Coil\n\n- found: good\n\n~ Six.\n";
        let (own, _) = entry(text);
        let blank = |own: &Entry| {
            let hidden: Vec<&str> = private_bytes(own)
                .into_iter()
                .map(|range| own.text[range].trim())
                .collect();
            hidden.join("|")
        };
        let hidden = blank(&own);
        for (words, is_hidden) in [
            ("One", false),
            ("Two", true),
            ("and three", true),
            ("Four", false),
            ("Five", true),
            ("bent", true),
            ("good", false),
            ("Six", true),
        ] {
            assert_eq!(hidden.contains(words), is_hidden, "{words}: {hidden}");
        }
        let (whole, problems) = entry(
            &text
                .replace("wren\n", "wren\ntell: no\n")
                .replace("Four", "! Four"),
        );
        assert_eq!(private_bytes(&whole).first(), Some(&(0..whole.text.len())));
        let asks = problems
            .iter()
            .any(|problem| problem.message.contains("is it to be told"));
        assert!(asks, "{problems:?}");
        let (odd, problems) = entry(&text.replace("tell: no", "tell: later"));
        assert!(blank(&odd).contains("Five"));
        assert!(
            problems
                .iter()
                .any(|one| one.message.contains("private until"))
        );
    }
}
