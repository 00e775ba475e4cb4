//! What is left as words, and what is said where a fact may have been meant.
//!
//! It makes no record.

use std::ops::Range;

use super::short_form::has_short_form;
use super::{Walk, heading_width};
use crate::entry::fact_lines;
use crate::entry::key::Key;
use crate::entry::model::Passage;
use crate::entry::outline::Section;
use crate::entry::session::unknown_key;
use crate::entry::understand::FactContext;
use crate::handbook::heading::read_heading;
use crate::handbook::parts::known_part;
use crate::problem::Severity;
use crate::vocabulary::bag_phrase::bag_phrase;
use crate::vocabulary::position::Driven;
use crate::vocabulary::status_words::mentions_standing;
use crate::vocabulary::words::fold;

impl<'r, 'a> Walk<'r, 'a> {
    /// A heading without facts: prose, of the record above if it is deeper.
    pub(super) fn without_facts(&mut self, section: &Section) {
        let heading = section.heading.start..section.heading.start + heading_width(self, section);
        if section.list.as_ref().is_some_and(has_short_form) {
            let list_start = section.list.as_ref().map_or(0, |list| list.range.start);
            self.reader.warning(
                list_start..list_start + 1,
                "the short form stands only under the title or a system's heading",
                "move the line there, or write `- status: removed` under the part's own heading",
            );
        }
        let is_part = known_part(&read_heading(&section.title, Driven::Unsaid).name).is_some();
        for item in section.list.iter().flat_map(|list| &list.items) {
            let word = item.key.as_deref().unwrap_or_default();
            let meant = is_part && !word.is_empty() && !item.value.is_empty();
            if meant || Key::likest(word).is_some_and(|key| key.word().len() >= 6) {
                unknown_key(self.reader, word, item);
            }
        }
        if is_part {
            self.lines_read_as_words(section.body.clone());
        }
        let spot = self.reader.lines.spot(heading.clone());
        if self.session.said.contains(&Key::Status) && section.level > 1 && self.open.is_none() {
            self.reader.note(
                heading,
                format!("`{}` has no facts, so it is prose", section.title),
                "if it is a part that came off, add `- hardware: ...` or `- stored: ...` right under the heading",
            );
        } else if !section.title.is_empty() {
            self.entry.bare_headings.push((section.title.clone(), spot));
        }
        match self.open {
            Some((at, _)) => self.entry.records[at].passage.bytes.end = section.body.end,
            None => self.prose(section, section.body.start),
        }
    }

    /// A first line under a part that may say where it stands, and is read as words.
    pub(super) fn standing_read_as_words(&mut self, line: Range<usize>) {
        let said = &self.reader.lines.text()[line.clone()];
        if said.split_whitespace().count() > LONGEST_LINE || !mentions_standing(said) {
            return;
        }
        self.reader.warning(
            line,
            format!("`{said}` is read as words: where does the part stand?"),
            "write it as a fact: `status: removed`",
        );
    }

    /// Short lines under a part that are read as words although a fact stands in them.
    pub(super) fn lines_read_as_words(&mut self, bytes: Range<usize>) {
        let new = self.reader.problems.iter().skip(self.told_until);
        let serious = new.filter(|problem| problem.severity != Severity::Note);
        self.told.extend(serious.map(|problem| problem.spot.line));
        self.told_until = self.reader.problems.len();
        let text = self.reader.lines.text();
        let from = bytes.start;
        let mut at = from;
        for line in text[bytes].split_inclusive('\n') {
            let start = at;
            at += line.len();
            let said = line.trim().trim_start_matches(['-', '*', '•', ' ']);
            let count = said.split_whitespace().count();
            let told = self.told.contains(&self.reader.lines.number_of(start));
            let is_long = count > LONGEST_LINE;
            if told || is_long && said.len() > LONGEST_TALE {
                continue;
            }
            // A sentence that ends is told; "both in fitted" is a note.
            let in_brackets = said.starts_with('(') && said.ends_with(')');
            let is_note =
                count > 0 && !in_brackets && !said.ends_with(['.', '!', '?', ':', '>', '|']);
            let first = text[from..start].trim().is_empty();
            let standing = first && mentions_standing(said);
            let hidden = is_long && hides_a_fact(said);
            if hidden || !is_long && (is_note || fact_lines::holds_a_fact(said) || standing) {
                self.reader.warning(
                    start..start + line.trim_end().len(),
                    format!("`{said}` is read as words: nothing in it counts"),
                    "write it as facts: `status: removed`, `bag: 12`, `stored: rack 3`",
                );
            }
        }
    }

    pub(super) fn prose(&mut self, section: &Section, from: usize) {
        let text = self.reader.lines.text();
        if section.title.is_empty() && text[from..section.body.end].trim().is_empty() {
            return;
        }
        let has_list = from > section.body.start;
        let start = if has_list {
            from
        } else {
            section.heading.start
        };
        self.entry.prose.push(Passage {
            title: section.title.clone(),
            bytes: start..section.body.end,
            prose: from,
            line: self
                .reader
                .lines
                .number_of(start.min(text.len().saturating_sub(1))),
        });
    }
}

/// Whether a story says in some short piece of it where the part stands, in which bag its
/// hardware is, what was found or what it needs.
fn hides_a_fact(story: &str) -> bool {
    let sentences = story
        .split(". ")
        .flat_map(|sentence| sentence.split([',', ';']));
    sentences.map(str::trim).any(|piece| {
        let folded = fold(piece);
        let words: Vec<&str> = folded.split(' ').collect();
        let says = |wanted: &[&str]| words.iter().any(|word| wanted.contains(word));
        let bagged = bag_phrase(piece).is_some_and(|bag| bag.label.is_some());
        let found = words.windows(2).any(|pair| {
            pair[0] == "found"
                && matches!(
                    pair[1],
                    "a" | "an" | "it" | "the" | "some" | "two" | "rust" | "cracks"
                )
        });
        let lead = words
            .iter()
            .take_while(|word| {
                matches!(**word, "it" | "its" | "now" | "so" | "and" | "then" | "but")
            })
            .count();
        let stands = fact_lines::holds_a_fact(&words[lead..].join(" "))
            || mentions_standing(&words[lead..].join(" "));
        words.len() <= LONGEST_LINE
            && (bagged
                || found
                || stands
                || says(&["needs", "wants", "needing"]) && words.len() > 1)
    })
}

/// Bytes of the longest line in which a fact said in passing is looked for.
const LONGEST_TALE: usize = 400;

/// More words than a line of facts has; more are a story.
pub(super) const LONGEST_LINE: usize = 10;

pub(super) fn passage(section: &Section, prose: usize, reader: &FactContext<'_>) -> Passage {
    Passage {
        title: section.title.clone(),
        bytes: section.heading.start..section.body.end,
        prose,
        line: reader.lines.number_of(section.heading.start),
    }
}
