//! What each section of an entry is: a record, a short form, a bag, prose.
//!
//! The rules of `docs/entry-format.md` stand here, one function each.

mod bag_sections;
mod facts_in_words;
mod short_form;
mod words_only;

use std::collections::HashSet;
use std::ops::Range;

use bag_sections::bag_label;
use facts_in_words::has_dressed_facts;
use short_form::{has_short_form, is_of_the_part};
use words_only::passage;

use super::fact::Fact;
use super::key::Key;
use super::model::{Entry, Record};
use super::outline::{List, MOST_ITEMS, Section};
use super::record::RecordBuilder;
use super::session::Session;
use super::stated::Stated;
use super::understand::{FactContext, joins_parts};
use super::{fact_lines, key_words};
use crate::handbook::heading::read_heading;
use crate::handbook::parts::known_part;
use crate::handbook::tools::is_tool;
use crate::vocabulary::hedge::is_elsewhere;
use crate::vocabulary::name::singular;
use crate::vocabulary::position::{Driven, Position};
use crate::vocabulary::words::fold;

/// Walks through the sections of an entry from top to bottom.
pub(super) struct Walk<'r, 'a> {
    pub reader: &'r mut FactContext<'a>,
    pub session: &'r Session,
    pub entry: &'r mut Entry,
    /// The system whose heading the walk is below, with its level.
    system: Option<(String, u8)>,
    /// The record whose prose is under way, with its level.
    open: Option<(usize, u8)>,
    /// Whether the first `#` heading was seen.
    titled: bool,
    /// Lines of which a problem more serious than a note is said, as far as the first
    /// `told_until` problems go.
    told: HashSet<u32>,
    told_until: usize,
    /// What the heading says under which the walk is.
    heading: HeadingSaid,
}

/// What a heading says, looked at once: it is asked again for each line below.
#[derive(Default)]
struct HeadingSaid {
    title: String,
    names_a_part: bool,
    is_of_part: bool,
}

impl<'r, 'a> Walk<'r, 'a> {
    pub fn new(
        reader: &'r mut FactContext<'a>,
        session: &'r Session,
        entry: &'r mut Entry,
    ) -> Walk<'r, 'a> {
        Walk {
            reader,
            session,
            entry,
            system: None,
            open: None,
            titled: false,
            told: HashSet::new(),
            told_until: 0,
            heading: HeadingSaid::default(),
        }
    }

    /// Reads all sections.
    pub fn all(mut self, sections: &[Section]) {
        for section in sections {
            self.heading = self.heading_said(&section.title);
            if self
                .system
                .as_ref()
                .is_some_and(|(_, level)| section.level <= *level)
            {
                self.system = None;
            }
            if self.open.is_some_and(|(_, level)| section.level <= level) {
                self.open = None;
            }
            if let Some(at) = section.list.as_ref().and_then(|list| list.left_out) {
                self.reader.error(
                    at..at + 1,
                    format!("this list has more than {MOST_ITEMS} lines; the rest is left out"),
                    "write several lists, each under a heading of its own",
                );
            }
            let dressed = self.facts_anywhere(section);
            let section = dressed.as_ref().unwrap_or(section);
            let records = self.entry.records.len();
            self.section(section);
            self.facts_in_prose(section);
            let is_prose = self.entry.records.len() == records
                && section.level > 1
                && self.names_a_part(section);
            if is_prose {
                self.bags_in_prose(section);
            }
        }
    }

    /// Whether a heading could name a part: it is no word for a kind of facts
    /// ("Lessons"), no system and no bag.
    fn names_a_part(&self, section: &Section) -> bool {
        debug_assert_eq!(section.title, self.heading.title);
        self.heading.names_a_part
    }

    /// Whether a heading surely names a part: the handbook knows it, or it says where
    /// the part sits.
    fn is_of_part(&self, section: &Section) -> bool {
        debug_assert_eq!(section.title, self.heading.title);
        self.heading.is_of_part
    }

    fn heading_said(&self, title: &str) -> HeadingSaid {
        let names_a_part = !title.is_empty()
            && key_words::read(title).is_none()
            && key_words::read(singular(title)).is_none()
            && self.reader.context.system(title).is_none()
            && bag_label(title).is_none();
        let is_of_part = names_a_part && {
            let heading = read_heading(title, Driven::Unsaid);
            known_part(&heading.name).is_some() || !heading.at.is_empty()
        };
        HeadingSaid {
            title: title.to_owned(),
            names_a_part,
            is_of_part,
        }
    }

    fn section(&mut self, section: &Section) {
        let is_title = section.level == 0 || (section.level == 1 && !self.titled);
        if section.level == 1 && !self.titled {
            self.titled = true;
            if self.entry.title.is_none() && !section.title.is_empty() {
                self.entry.title = Some(section.title.clone());
            }
        }
        if is_title {
            return self.under_title(section);
        }
        let names_a_part = self.names_a_part(section);
        let facts = section.list.as_ref().filter(|list| {
            has_facts(list)
                || (names_a_part && has_dressed_facts(list))
                || self.is_of_part(section) && list.items.iter().any(fact_lines::begins_with_fact)
        });
        if let Some(label) = bag_label(&section.title)
            && let Some(list) = section.list.as_ref()
            && (facts.is_some() || !list.items.is_empty())
        {
            return self.bag(section, label, list);
        }
        if let Some(system) = self
            .reader
            .context
            .system(&section.title)
            .map(str::to_owned)
        {
            let short = section.list.as_ref().filter(|list| has_short_form(list));
            let short = short.filter(|list| !is_of_the_part(&section.title, list));
            if short.is_some() || facts.is_none() {
                self.system = Some((system, section.level));
                match short {
                    Some(list) => self.short_form(section, list),
                    None => self.prose(section, section.body.start),
                }
                return;
            }
        }
        match facts {
            Some(list) => self.record(section, list),
            None => self.without_facts(section),
        }
    }

    /// The title, or what stands above all headings: prose, a short form, or
    /// more facts of a single part.
    fn under_title(&mut self, section: &Section) {
        let list = section
            .list
            .as_ref()
            .filter(|list| has_short_form(list) || has_facts(list));
        match list {
            Some(list) if self.session.part.is_some() => self.single(section, Some(list)),
            Some(list) => self.short_form(section, list),
            None if self.session.part.is_some() && self.is_main(section) => {
                self.single(section, None);
            }
            None => self.prose(section, section.body.start),
        }
    }

    /// Whether this is the section that stands for the entry as a whole.
    fn is_main(&self, section: &Section) -> bool {
        section.level == 1 || !self.entry.outline.iter().any(|other| other.level == 1)
    }

    /// A section that names a part, with its facts.
    fn record(&mut self, section: &Section, list: &List) {
        let heading = section.heading.start..section.heading.start + heading_width(self, section);
        if section.level == 1 {
            self.reader.warning(
                heading.clone(),
                "a part under `#`, which is for the entry's title",
                "begin the line with `##`",
            );
        }
        if section.title.is_empty() {
            self.reader.error(
                heading,
                "this heading names no part, so its facts belong to nothing",
                "write the part's name behind the `##`",
            );
            return self.prose(section, section.body.start);
        }
        let mut draft = self.draft(heading.clone());
        draft.items(self.reader, &list.items);
        if self.is_of_part(section)
            && !draft.facts().iter().any(|stated| stated.key == Key::Status)
            && let Some(first) = first_line(self.reader.lines.text(), section, list)
        {
            self.standing_read_as_words(first);
        }
        for line in list.words.clone() {
            self.lines_read_as_words(line);
        }
        let driven = draft.driven(self.reader);
        let named = read_heading(&section.title, driven);
        self.ask_about_heading(section, &named.name, &heading);
        if is_tool(&named.name) {
            return self.tool(section, &draft, heading);
        }
        if named.at.is_empty() && Position::of_words(&named.name, driven).is_some() {
            self.reader.error(
                heading.clone(),
                format!("`{}` is a position and names no part", section.title),
                "write the part before it: `## Brake drum, left front`",
            );
        }
        draft.name(self.reader, named, heading);
        // Lines of a list go on until an empty one; what is glued to a paragraph of facts
        // may have been meant as one more.
        let text = self.reader.lines.text();
        let glued = &text[list.prose..section.body.end];
        let is_glued = !glued.starts_with('\n') && !text[..list.prose].ends_with("\n\n");
        if is_glued && self.is_of_part(section) {
            let end = glued.find("\n\n").unwrap_or(glued.len());
            self.lines_read_as_words(list.prose..list.prose + end);
        }
        let passage = passage(section, list.prose, self.reader);
        let record = draft.finish(self.reader, passage, None);
        self.push(record, section.level);
    }

    /// Asks about a heading that doubts its own words, or names no part but points to
    /// one: "Bottom one, same corner".
    fn ask_about_heading(&mut self, section: &Section, name: &str, heading: &Range<usize>) {
        let folded = fold(name);
        let mut words = folded
            .split([' ', ','])
            .filter(|word| !word.is_empty() && *word != "the");
        let nameless = words
            .clone()
            .next()
            .is_some_and(|word| matches!(word, "one" | "ones" | "other" | "others"));
        let points = is_elsewhere(&section.title) || nameless || words.any(|word| word == "same");
        if points {
            self.reader.warning(
                heading.clone(),
                format!(
                    "`{}` points to another heading; it was read as a name",
                    section.title
                ),
                "write the part's own name, with its place: `## Wheel cylinder, left front lower`",
            );
        } else if joins_parts(name) {
            self.reader.warning(
                heading.clone(),
                format!("`{}` was read as the name of one part", section.title),
                "two parts stand under two headings; a hyphen keeps a word in a name",
            );
        } else {
            self.reader.ask_about_doubt(&section.title, heading.clone());
        }
    }

    /// A section about a tool, which is no part of the vehicle: what it says of the
    /// session counts, the rest is words.
    fn tool(&mut self, section: &Section, draft: &RecordBuilder, heading: Range<usize>) {
        let of_session =
            |stated: &&Stated| stated.key.is_of_session() && !matches!(stated.fact, Fact::Hours(_));
        let facts = draft.facts().iter().filter(of_session);
        self.entry.facts.extend(facts.cloned());
        self.reader.note(
            heading,
            format!("`{}` is a tool, so it is no part of the vehicle", section.title),
            "write `tool: NAME, borrowed from ...` or `tool: NAME, broke` under the part it was for",
        );
        self.prose(section, section.body.start);
    }

    fn draft(&mut self, spot: Range<usize>) -> RecordBuilder {
        RecordBuilder::new(self.reader, self.session, &self.system, spot)
    }

    fn push(&mut self, record: Record, level: u8) {
        self.open = Some((self.entry.records.len(), level));
        self.entry.records.push(record);
    }

    /// The entry itself as a record of the part in its front matter.
    fn single(&mut self, section: &Section, list: Option<&List>) {
        let Some((name, span)) = &self.session.part else {
            return;
        };
        let mut draft = RecordBuilder::of_single(self.reader, self.session, span.clone());
        if let Some(list) = list {
            draft.items(self.reader, &list.items);
        }
        let named = read_heading(name, draft.driven(self.reader));
        draft.name(self.reader, named, span.clone());
        draft.positions(self.reader, &self.session.at);
        let prose = list.map_or(section.body.start, |list| list.prose);
        let passage = passage(section, prose, self.reader);
        let record = draft.finish(self.reader, passage, None);
        self.push(record, 1);
    }
}

/// The first line under a heading, where it stands above the facts.
fn first_line(text: &str, section: &Section, list: &List) -> Option<Range<usize>> {
    let items = list.items.iter().map(|item| item.span.start);
    let end = items.min()?.clamp(section.body.start, section.body.end);
    let above = text.get(section.body.start..end)?;
    let start = section.body.start + (above.len() - above.trim_start().len());
    let line = text[start..end.max(start)].lines().next()?.trim_end();
    let is_text = line.starts_with(|c: char| c.is_alphanumeric());
    let whole = start + line.len() < end;
    (is_text && whole).then(|| start..start + line.len())
}

/// The width of a heading's text on its line.
fn heading_width(walk: &Walk<'_, '_>, section: &Section) -> usize {
    walk.reader.lines.text()[section.heading.clone()]
        .trim_end()
        .len()
}

/// Whether some item has a known key or one slip from it.
fn has_facts(list: &List) -> bool {
    list.items.iter().any(|item| {
        item.key
            .as_deref()
            .is_some_and(|key| Key::read(key).is_some() || Key::near(key).is_some())
    })
}

#[cfg(test)]
mod tests;
