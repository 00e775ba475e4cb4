//! What each section of an entry is: a record, a short form, a bag, prose.
//!
//! The rules of `docs/entry-format.md` stand here, one function each.

use std::collections::HashSet;
use std::ops::Range;

use super::fact::Fact;
use super::fact_lines;
use super::item::Item;
use super::key::Key;
use super::key_words;
use super::model::{BagFilling, Entry, Passage, Record};
use super::outline::{List, MOST_ITEMS, Section};
use super::record::RecordBuilder;
use super::session::Session;
use super::stated::Stated;
use super::understand::{FactContext, Value, joins_parts};
use crate::handbook::heading::{Heading, read_heading};
use crate::handbook::parts::known_part;
use crate::handbook::tools::is_tool;
use crate::problem::{Problem, Severity};
use crate::vocabulary::bag_phrase::bag_phrase;
use crate::vocabulary::hedge::is_elsewhere;
use crate::vocabulary::label::BagLabel;
use crate::vocabulary::name::singular;
use crate::vocabulary::position::{Driven, Position};
use crate::vocabulary::reference::without_note;
use crate::vocabulary::status::{Status, StatusWord, near_status, read_status};
use crate::vocabulary::status_words::{StatusReading, mentions_standing, read_bare, read_opening};
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
            self.section(section);
            self.facts_in_prose(section);
            let is_prose = |list: &List| !has_facts(list) && !has_dressed_facts(list);
            if section.level > 1
                && self.names_a_part(section)
                && section.list.as_ref().is_some_and(is_prose)
            {
                self.bags_in_prose(section);
            }
        }
    }

    /// The section with facts that stand in it without marks of a list, or in a
    /// list of nothing but facts behind its prose; `None` if there are none.
    fn facts_anywhere(&self, section: &Section) -> Option<Section> {
        if section.level < 2 || !self.names_a_part(section) {
            return None;
        }
        let mut list = section.list.clone().filter(has_facts);
        let mut later = section.later.clone();
        let none_yet = list.is_none() && section.list.is_none();
        let of_part = self.is_of_part(section);
        let text = self.reader.lines.text();
        if none_yet && let Some(found) = paragraph_of_facts(text, section, of_part) {
            list = Some(found);
        }
        if of_part {
            later.extend(paragraphs_behind(text, section));
        }
        let behind = |found: &List| {
            let is_fact = |item: &Item| of_part && fact_lines::begins_with_fact(item);
            found
                .items
                .iter()
                .all(|item| is_known_fact(item) || is_fact(item))
        };
        let more: Vec<List> = later.extract_if(.., |found| behind(found)).collect();
        for found in more {
            match &mut list {
                Some(list) => list.items.extend(found.items),
                None => {
                    list = Some(List {
                        range: section.body.start..found.range.end,
                        prose: section.body.start,
                        items: found.items,
                        left_out: found.left_out,
                    });
                }
            }
        }
        let mut list = list?;
        // "Taken off with the grille.", and then a list.
        if of_part
            && !list.items.iter().any(fact_lines::says_status)
            && let Some(first) = first_line(text, section, &list)
            && read_opening(&text[first.clone()]) != StatusReading::Unread
        {
            list.items.push(Item::of_text(&text[first.clone()], first));
        }
        list.items.sort_by_key(|item| item.span.start);
        // A list glued to a line that is a fact is found twice.
        list.items
            .dedup_by(|again, item| again.span.start < item.span.end);
        (section.list.as_ref() != Some(&list)).then(|| Section {
            list: Some(list),
            later,
            ..section.clone()
        })
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

    /// A list right under a part that is read as prose although it names a bag: who
    /// wrote it may have meant what is in it.
    fn bags_in_prose(&mut self, section: &Section) {
        let list = section.list.iter().flat_map(|list| &list.items);
        let named = list.filter(|item| {
            bag_phrase(&item.whole()).is_some_and(|found| {
                let numbered =
                    |label: &BagLabel| label.written().starts_with(|c: char| c.is_ascii_digit());
                found.label.as_ref().is_some_and(numbered)
            })
        });
        for item in named {
            self.reader.warning(
                item.span.clone(),
                format!(
                    "`{}` is read as prose: no bag and no hardware counts",
                    item.whole()
                ),
                "write `bag: LABEL`, or `hardware:` with the pieces and their bag",
            );
        }
    }

    /// Facts behind other text are prose; who wrote them meant them to count.
    fn facts_in_prose(&mut self, section: &Section) {
        for list in &section.later {
            let key = |item: &Item| Key::read(item.key.as_deref()?);
            let first = list.items.iter().find_map(|item| Some((key(item)?, item)));
            if let Some((key, item)) = first {
                self.reader.warning(
                    item.span.clone(),
                    format!(
                        "`{}` stands behind other text, so it is prose and counts for nothing",
                        key.word()
                    ),
                    "move the list up, directly under its heading",
                );
            }
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

    /// `- removed: horn; horn bracket` under the title or a system heading.
    fn short_form(&mut self, section: &Section, list: &List) {
        let mut shared = self.draft(list.range.start..list.range.start);
        let mut parts: Vec<(Value, StatusWord)> = Vec::new();
        for item in &list.items {
            match short_key(self.reader, item) {
                Some(_) if self.reader.is_too_long(item) => {}
                Some(key) => {
                    let values = self.reader.values(Key::Of, item);
                    if values.is_empty() {
                        self.reader.warning(
                            item.span.clone(),
                            format!("`{}` names no part", item.whole()),
                            "write the parts behind the colon, parted with `;`",
                        );
                    }
                    let (tools, values): (Vec<Value>, Vec<Value>) = values
                        .into_iter()
                        .partition(|value| is_tool(without_note(&value.text)));
                    for tool in tools {
                        self.reader.note(
                            tool.span,
                            format!("`{}` is a tool, so it is no part of the vehicle", tool.text),
                            "write `- tool: NAME`",
                        );
                    }
                    for value in values {
                        let several = self.reader.parted_at_commas(&value);
                        parts.extend(several.into_iter().map(|part| (part, key.clone())));
                    }
                }
                None => shared.items(self.reader, std::slice::from_ref(item)),
            }
        }
        if parts.is_empty() && !shared.is_empty() {
            self.reader.warning(
                list.items[0].span.clone(),
                format!("`{}` belongs to no part", list.items[0].whole()),
                "write `- removed: PART; PART` above it, or put it under a `## PART` heading",
            );
        }
        let count = parts.len();
        for (at, (value, word)) in parts.into_iter().enumerate() {
            let record = self.short_record(&shared, &value, word, section, (at, count));
            self.entry.records.push(record);
        }
        self.prose(section, list.prose);
    }

    fn short_record(
        &mut self,
        shared: &RecordBuilder,
        value: &Value,
        word: StatusWord,
        section: &Section,
        share: (usize, usize),
    ) -> Record {
        let mut draft = shared.copied(self.reader, value.span.clone());
        let driven = draft.driven(self.reader);
        let connection = (word == StatusWord::Standing(Status::Undone))
            .then(|| self.reader.connection(value))
            .flatten()
            .filter(|link| link.to.is_some());
        let named = match &connection {
            Some(link) => Heading {
                name: link.what.name.written().to_owned(),
                at: Some(link.what.at.clone())
                    .filter(|at| !at.is_empty())
                    .into_iter()
                    .collect(),
                remarks: Vec::new(),
            },
            None => read_heading(without_note(&value.text), driven),
        };
        if named.name.contains(',') && connection.is_none() {
            self.reader.warning(
                value.span.clone(),
                format!("`{}` was read as the name of one part", value.text),
                "part several names with `;`: commas never separate",
            );
        }
        draft.push(self.reader, Key::Status, value, word.into());
        if let Some(link) = connection {
            draft.push(self.reader, Key::Undone, value, Fact::Undone(link));
        }
        draft.name(self.reader, named, value.span.clone());
        let line = self.reader.lines.number_of(value.span.start);
        let bytes = self
            .reader
            .lines
            .range(self.reader.lines.index_of(value.span.start));
        let passage = Passage {
            title: section.title.clone(),
            prose: bytes.end,
            bytes,
            line,
        };
        draft.finish(self.reader, passage, Some(share))
    }

    /// A section `## Bag 12`.
    fn bag(&mut self, section: &Section, label: BagLabel, list: &List) {
        let heading = section.heading.start..section.heading.start + heading_width(self, section);
        if label.key().is_empty() {
            self.reader.error(
                heading,
                "this bag has no label",
                "write its number or words behind `## Bag`",
            );
            return self.prose(section, section.body.start);
        }
        let mut draft = self.draft(heading.clone());
        draft.items(self.reader, &list.items);
        let mut filling = BagFilling {
            label,
            vehicle: draft.vehicle.clone(),
            date: draft.date,
            holds: Vec::new(),
            hardware: Vec::new(),
            stored: None,
            passage: passage(section, list.prose, self.reader),
            spot: self.reader.lines.spot(heading.clone()),
        };
        for stated in draft.facts() {
            if let Fact::Holds(part) = &stated.fact {
                filling.holds.push((part.clone(), stated.spot.clone()));
            } else if let Fact::Hardware(item) = &stated.fact {
                filling.hardware.push((item.clone(), stated.spot.clone()));
            } else if let Fact::Stored(shelf) = &stated.fact {
                filling.stored = Some(shelf.clone());
            } else if stated.key.is_of_session()
                && !stated.key.is_for_sections()
                && !matches!(stated.fact, Fact::Hours(_))
            {
                // What a tin cost was still paid: it is of the evening.
                self.entry.facts.push(stated.clone());
            } else if !matches!(stated.fact, Fact::Footage(_) | Fact::Unknown(_)) {
                let problem = Problem::warning(
                    stated.spot.clone(),
                    format!(
                        "`{}` belongs to a part, and this is a bag",
                        stated.key.word()
                    ),
                );
                self.reader
                    .problems
                    .push(problem.hint("write it under a `## PART` heading"));
            }
        }
        if filling.holds.is_empty() && filling.hardware.is_empty() {
            self.reader.warning(
                heading,
                format!("bag {} is said to hold nothing", filling.label.written()),
                "add `- holds: PART; PART` or `- hardware: 4 hex nut 1/2-13`",
            );
        }
        self.entry.bags.push(filling);
    }

    /// A heading without facts: prose, of the record above if it is deeper.
    fn without_facts(&mut self, section: &Section) {
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
                super::session::unknown_key(self.reader, word, item);
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
    fn standing_read_as_words(&mut self, line: Range<usize>) {
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
    fn lines_read_as_words(&mut self, bytes: Range<usize>) {
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
            if count > LONGEST_LINE || told {
                continue;
            }
            // A sentence that ends is told; "both in fitted" is a note.
            let in_brackets = said.starts_with('(') && said.ends_with(')');
            let is_note =
                count > 0 && !in_brackets && !said.ends_with(['.', '!', '?', ':', '>', '|']);
            let first = text[from..start].trim().is_empty();
            let standing = first && mentions_standing(said);
            if is_note || fact_lines::holds_a_fact(said) || standing {
                self.reader.warning(
                    start..start + line.trim_end().len(),
                    format!("`{said}` is read as words: nothing in it counts"),
                    "write it as facts: `status: removed`, `bag: 12`, `stored: rack 3`",
                );
            }
        }
    }

    fn prose(&mut self, section: &Section, from: usize) {
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

/// More words than a line of facts has; more are a story.
const LONGEST_LINE: usize = 10;

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

fn passage(section: &Section, prose: usize, reader: &FactContext<'_>) -> Passage {
    Passage {
        title: section.title.clone(),
        bytes: section.heading.start..section.body.end,
        prose,
        line: reader.lines.number_of(section.heading.start),
    }
}

/// The label in a heading "Bag 12"; an empty one for a mere "Bag".
fn bag_label(title: &str) -> Option<BagLabel> {
    let folded = fold(title);
    (folded == "bag")
        .then(|| BagLabel::new(""))
        .or_else(|| folded.starts_with("bag ").then(|| BagLabel::new(title)))
}

/// Whether some item has a known key or one slip from it.
fn has_facts(list: &List) -> bool {
    list.items.iter().any(|item| {
        item.key
            .as_deref()
            .is_some_and(|key| Key::read(key).is_some() || Key::near(key).is_some())
    })
}

/// Whether some item is a fact in other words, and none could be a sentence.
fn has_dressed_facts(list: &List) -> bool {
    let text = |item: &Item| item.whole();
    let elsewhere = |item: &Item| is_elsewhere(&text(item));
    let some = list
        .items
        .iter()
        .any(|item| fact_lines::is_fact(item) || elsewhere(item));
    let short = |item: &Item| {
        fact_lines::is_fact(item) || elsewhere(item) || text(item).split(' ').count() <= 4
    };
    some && list.items.iter().all(short)
}

/// Whether an item has a key of its own, in whatever words.
fn is_known_fact(item: &Item) -> bool {
    item.key.as_deref().is_some_and(|key| {
        Key::read(key).is_some() || key_words::read(key).is_some_and(|word| !word.is_guess)
    })
}

/// Bytes of the marks that may stand before the first fact of a line: "> - ".
const LONGEST_MARK: usize = 8;

/// The lines right under a heading that are facts without marks of a list.
fn paragraph_of_facts(text: &str, section: &Section, of_part: bool) -> Option<List> {
    let body = &text[section.body.clone()];
    let start = section.body.start + (body.len() - body.trim_start().len());
    let end = text[start..section.body.end]
        .find("\n\n")
        .map_or(section.body.end, |at| start + at + 1);
    let (items, prose) = fact_lines::of_paragraph(text, start..end, of_part);
    // What is told before the first fact stays prose.
    let told = items
        .first()
        .is_some_and(|first| first.span.start > start + LONGEST_MARK);
    let range = start..prose;
    (!items.is_empty()).then_some(List {
        range,
        prose: if told { section.body.start } else { prose },
        items,
        left_out: None,
    })
}

/// The paragraphs behind the first one of a section in which every line is a fact.
fn paragraphs_behind(text: &str, section: &Section) -> Vec<List> {
    let mut found = Vec::new();
    let body = &text[section.body.clone()];
    let mut at = section.body.start;
    for (number, paragraph) in body.split_inclusive("\n\n").enumerate() {
        let range = at..at + paragraph.len();
        at = range.end;
        // Marks of a list, a quote, a table or code are Markdown's to read.
        let marked = paragraph
            .trim_start()
            .starts_with(['-', '*', '+', '>', '|', '`', '<']);
        if number == 0 || marked || paragraph.starts_with([' ', '\t']) {
            continue;
        }
        let (items, _) = fact_lines::of_paragraph(text, range.clone(), false);
        let lines = paragraph
            .lines()
            .filter(|line| !line.trim().is_empty())
            .count();
        if !items.is_empty() && items.len() == lines && items.iter().any(is_known_fact) {
            found.push(List {
                range: range.clone(),
                prose: range.end,
                items,
                left_out: None,
            });
        }
    }
    found
}

/// Whether some item has a status or surface word as its key.
fn has_short_form(list: &List) -> bool {
    list.items.iter().any(|item| {
        item.key.as_deref().and_then(exact_short_key).is_some()
            || on_or_off(item).is_some()
            || near_short(item).is_some()
    })
}

/// Whether the list under the name of a system is about the part of that name, the
/// engine, the gearbox: of short forms it has only `undone`, which a part has as well,
/// and it says what is no word for several parts.
fn is_of_the_part(title: &str, list: &List) -> bool {
    let keys = || list.items.iter().filter_map(|item| item.key.as_deref());
    let undone_only = keys()
        .filter_map(exact_short_key)
        .all(|word| word == StatusWord::Standing(Status::Undone));
    let is_shared = |key: Key| matches!(key, Key::Bag | Key::Stored | Key::Footage | Key::Date);
    let own = keys()
        .filter(|key| exact_short_key(key).is_none())
        .any(|key| Key::read(key).is_some_and(|key| !is_shared(key)));
    undone_only && own && known_part(title).is_some()
}

fn exact_short_key(key: &str) -> Option<StatusWord> {
    // "on:" and "off:" begin too many sentences to mean a status here.
    if key.len() < 4 && key != "out" {
        return None;
    }
    match read_status(key) {
        Some(StatusWord::Work(_)) => None,
        Some(word @ (StatusWord::Standing(_) | StatusWord::Surface(_))) => Some(word),
        None if Key::read(key).is_some() => None,
        // "taken off", "back on", "off for good", "undid"
        None => match read_bare(key) {
            StatusReading::Clear(word @ StatusWord::Standing(_)) => Some(word),
            StatusReading::Clear(StatusWord::Work(_) | StatusWord::Surface(_))
            | StatusReading::Doubtful(_)
            | StatusReading::Unread => None,
        },
    }
}

/// The status of `on: grille; horn` and `off: fan belt`, where some of what stands
/// behind it is the name of a known part.
fn on_or_off(item: &Item) -> Option<StatusWord> {
    let status = match fold(item.key.as_deref()?).as_str() {
        "on" | "in" | "back" => Status::Fitted,
        "off" => Status::Removed,
        _ => return None,
    };
    let names =
        |piece: &str| known_part(&read_heading(piece.trim(), Driven::Unsaid).name).is_some();
    let named = item.value.split([';', ',']).any(names);
    named.then_some(StatusWord::Standing(status))
}

fn near_short(item: &Item) -> Option<&'static str> {
    let key = item.key.as_deref()?;
    if Key::read(key).is_some() || Key::near(key).is_some() {
        return None;
    }
    near_status(key).filter(|word| word.len() >= 5)
}

fn short_key(reader: &mut FactContext<'_>, item: &Item) -> Option<StatusWord> {
    let key = item.key.as_deref()?;
    if let Some(word) = exact_short_key(key).or_else(|| on_or_off(item)) {
        return Some(word);
    }
    let near = near_short(item)?;
    reader.warning(
        item.span.clone(),
        format!("`{key}` was read as `{near}`"),
        &format!("write `{near}`"),
    );
    exact_short_key(near)
}

#[cfg(test)]
mod tests {
    use crate::entry::{Context, read};
    use crate::vocabulary::money::Currency;

    fn context() -> Context {
        Context {
            systems: vec!["brakes".into()],
            vehicles: Vec::new(),
            currency: Currency::EUR,
        }
    }

    /// The records of a text as `name: key value; key value`, and its warnings.
    fn read_below(body: &str) -> (Vec<String>, Vec<String>) {
        let text = format!("---\ndate: 2026-03-14\nvehicle: wren\n---\n\n# An evening\n\n{body}\n");
        let (entry, problems) = read(&text, &context());
        let record = |record: &crate::entry::Record| {
            let facts: Vec<String> = record
                .facts
                .iter()
                .map(|stated| format!("{} {}", stated.key.word(), stated.written))
                .collect();
            format!("{}: {}", record.name.written(), facts.join("; "))
        };
        let grave =
            |problem: &&crate::problem::Problem| problem.severity != crate::problem::Severity::Note;
        (
            entry.records.iter().map(record).collect(),
            problems
                .iter()
                .filter(grave)
                .map(|problem| problem.message.clone())
                .collect(),
        )
    }

    #[test]
    fn facts_under_a_part_however_they_are_typed() {
        for (body, expected) in [
            (
                "## Horn\n\nRemoved today. Bag 5. Put on rack 3.",
                "Horn: status Removed today; bag 5; stored rack 3",
            ),
            (
                "## Horn\n\noff, 2 springs, bag 4",
                "Horn: status off; hardware 2 springs, bag 4",
            ),
            (
                "## Horn\n\nA pig to get at.\n\nstatus: off\nbag: 18",
                "Horn: status off; bag 18",
            ),
            (
                "## Horn\n\nStatsu: removed\nStored rack 4\nFuond: stuck",
                "Horn: status removed; stored rack 4; found stuck",
            ),
            (
                "## Horn\n\n- Removed\n- it was hot that day",
                "Horn: status Removed",
            ),
            (
                "## Horn\n\n- condtion: good\n- Put: bottom shelf",
                "Horn: found good; stored bottom shelf",
            ),
            (
                "## Horn\n\n- off. 4 nuts bag six, the fifth would not",
                "Horn: status off; hardware 4 nuts bag six, the fifth would not",
            ),
            (
                "## Horn\n\n- lives: under the bench\n- off",
                "Horn: stored under the bench; status off",
            ),
            (
                "## Horn\n\n- still on the floor\n- removed",
                "Horn: stored on the floor; status removed",
            ),
            (
                "## Horn\n\nThis one was a pig.\nremoved\nbag 3",
                "Horn: status removed; bag 3",
            ),
            (
                "## Horn\n\nTaken off with the grille.\n\n- found: dusty",
                "Horn: status Taken off with the grille; found dusty",
            ),
            (
                "## Horn\n\nOff it came\nbag 3",
                "Horn: status Off it came; bag 3",
            ),
            (
                "## Horn\n\nRemoved it this am.\n- hardware: 2 nuts M6, bag 3",
                "Horn: status Removed it this am; hardware 2 nuts M6, bag 3",
            ),
            (
                "## Horn\n\nremoved. 4 screws, no bag yet. Cracked at the mount.",
                "Horn: status removed; hardware 4 screws, no bag yet; found Cracked at the mount",
            ),
            (
                "## Horn\n\nhardware 4 bolts M8 bag 3",
                "Horn: hardware 4 bolts M8 bag 3",
            ),
            (
                "## Horn\n\n- off, in bag 2, 1.5 h",
                "Horn: status off; bag 2; hours 1.5 h",
            ),
            (
                "## Horn\n\n- off - bag 3 - loft",
                "Horn: status off; bag 3; stored loft",
            ),
            ("## Horn\n\n- off (bag 3)", "Horn: status off; bag 3"),
            (
                "## Horn\n\n- status: removed bag: 3 stored: loft",
                "Horn: status removed; bag 3; stored loft",
            ),
            (
                "## Horn\n\n- status: off\n- stored: shelf 3, bag 12",
                "Horn: status off; stored shelf 3; bag 12",
            ),
            (
                "## Horn\n\n- status: off\n- stored: on the bench, in the box frame",
                "Horn: status off; stored on the bench, in the box frame",
            ),
            (
                "## Horn\n\n- status: off\n- found: worn, needs a new bush",
                "Horn: status off; found worn; needs a new bush",
            ),
            (
                "## Horn\n\n- on\n- one screw short",
                "Horn: status on; short one screw",
            ),
            (
                "## Horn\n\n- bags: 8 and 9\n- off",
                "Horn: bag 8; bag 9; status off",
            ),
            (
                "## Horn\n\n- off, all nuts in bag 4",
                "Horn: status off; bag 4",
            ),
            (
                "## Horn\n\n- missing 1 screw\n- off",
                "Horn: hardware missing 1 screw; status off",
            ),
        ] {
            let (records, _) = read_below(body);
            let first = records
                .first()
                .map(|found| found.split("; found it was").next().unwrap_or(found));
            assert_eq!(first, Some(expected), "{body}: {records:?}");
        }
    }

    #[test]
    fn stories_stay_stories() {
        for body in [
            "## Lessons\n\n- Buy: beer\n- off to bed",
            "## What I thought\n\n- off to the shop tomorrow for a while\n- bag everything",
            "## Horn\n\nIt had been off once before, long ago, and somebody had put it back with string.",
            "## Horn\n\nThe note on it said so.\n\nOn saturday: rain. On sunday: more.",
            "- on: monday we rested\n- off: nobody came",
        ] {
            let (records, _) = read_below(body);
            assert!(records.is_empty(), "{body}: {records:?}");
        }
    }

    #[test]
    fn what_is_not_read_under_a_part_is_said() {
        for (body, said) in [
            (
                "## Horn\n\n- Removed\n- linings down to the rivets",
                "has no key",
            ),
            (
                "## Horn\n\nwith the other one.\nin bag 4 then",
                "is read as words",
            ),
            (
                "## Horn\n\nThe old one was taken off in spring.\n\n- found: dusty",
                "where does the part stand",
            ),
            (
                "## Horn\n\nThe old one was taken off in spring.",
                "is read as words",
            ),
            ("- off: fan belt, air filter", "was read as 2 parts"),
            (
                "## Bottom one same corner\n\n- off",
                "points to another heading",
            ),
            (
                "## The other one\n\n- status: off",
                "points to another heading",
            ),
            ("## Wiper arm, left?\n\n- status: off", "is it so"),
            (
                "## Inlet and exhaust manifold\n\n- status: off",
                "name of one part",
            ),
            ("## Horn\n\n- off\n- one screw short", "was read as `short`"),
            (
                "## Horn\n\n- off\n- same again but two screws",
                "leaves open",
            ),
        ] {
            let (_, problems) = read_below(body);
            assert!(
                problems.iter().any(|one| one.contains(said)),
                "{body}: {problems:?}"
            );
        }
    }

    #[test]
    fn the_short_form_in_other_words() {
        for (body, expected) in [
            (
                "- off: horn; fan belt",
                vec!["horn: status off", "fan belt: status off"],
            ),
            (
                "- on: grille, horn",
                vec!["grille: status on", "horn: status on"],
            ),
            ("- undid: earth wire", vec!["earth wire: status undid"]),
            ("- taken off: horn", vec!["horn: status taken off"]),
            ("- put back: horn", vec!["horn: status put back"]),
            (
                "- off for good: wiper arms",
                vec!["wiper arms: status off for good"],
            ),
            ("- unplugged: horn", vec!["horn: status unplugged"]),
        ] {
            let (records, problems) = read_below(body);
            let names: Vec<&str> = records
                .iter()
                .filter_map(|one| one.split(':').next())
                .collect();
            let expected: Vec<&str> = expected
                .iter()
                .filter_map(|one| one.split(':').next())
                .collect();
            assert_eq!(names, expected, "{body}: {records:?} {problems:?}");
        }
    }
}
