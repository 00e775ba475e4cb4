//! Facts that are not typed as a list under their heading.
//!
//! What a fact means is decided in `understand`.

use std::ops::Range;

use super::short_form::{exact_short_key, has_short_form};
use super::{Walk, first_line, has_facts};
use crate::entry::fact_lines::FactParagraph;
use crate::entry::item::Item;
use crate::entry::key::Key;
use crate::entry::outline::{List, Section};
use crate::entry::{fact_lines, key_words};
use crate::vocabulary::hedge::is_elsewhere;
use crate::vocabulary::status_words::{StatusReading, read_opening};

impl<'r, 'a> Walk<'r, 'a> {
    /// The section with facts that stand in it without marks of a list, or in a
    /// list of nothing but facts behind its prose; `None` if there are none.
    pub(super) fn facts_anywhere(&self, section: &Section) -> Option<Section> {
        if section.level < 2 {
            return self.short_form_in_words(section);
        }
        if self.reader.context.system(&section.title).is_some() {
            let short = self.short_form_in_words(section);
            return short.or_else(|| self.keyed_under_a_system(section));
        }
        if !self.names_a_part(section) {
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
                        words: Vec::new(),
                    });
                }
            }
        }
        let mut list = list?;
        // "Taken off with the grille.", and then a list.
        if of_part
            && let Some(first) = first_line(text, section, &list)
            && read_opening(&text[first.clone()]) != StatusReading::Unread
            && !list.items.iter().any(fact_lines::says_status)
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

    /// The short form without marks of a list, under the title or a system: the first
    /// paragraph in which each line has a key.
    fn short_form_in_words(&self, section: &Section) -> Option<Section> {
        if section.list.is_some() {
            return None;
        }
        let text = self.reader.lines.text();
        let mut at = section.body.start;
        for paragraph in text[section.body.clone()].split_inclusive("\n\n") {
            let range = at..at + paragraph.len();
            at = range.end;
            let key = paragraph.split_once(':').map(|(key, _)| key.trim());
            if key.is_none_or(|key| key.len() > LONGEST_KEY || key.contains('\n')) {
                continue;
            }
            let lines = paragraph.lines().filter(|line| !line.trim().is_empty());
            let found = fact_lines::of_paragraph(text, range.clone(), false);
            let list = List {
                range: range.start..found.prose,
                prose: section.body.start,
                items: found.items,
                left_out: None,
                words: Vec::new(),
            };
            let whole = list.items.len() == lines.count();
            let keyed = list.items.iter().all(|item| {
                let key = item.key.as_deref();
                key.is_some_and(|key| exact_short_key(key).is_some()) || is_known_fact(item)
            });
            if whole && keyed && has_short_form(&list) {
                return Some(Section {
                    list: Some(list),
                    ..section.clone()
                });
            }
        }
        None
    }

    /// Facts with keys right under a heading that is a system's name, and a part's:
    /// the engine, the gearbox.
    fn keyed_under_a_system(&self, section: &Section) -> Option<Section> {
        if section.list.is_some() {
            return None;
        }
        let list = paragraph_of_facts(self.reader.lines.text(), section, true)?;
        let keyed = list.items.iter().any(is_known_fact) && has_facts(&list);
        keyed.then(|| Section {
            list: Some(list),
            ..section.clone()
        })
    }

    /// Facts behind other text are prose; who wrote them meant them to count.
    pub(super) fn facts_in_prose(&mut self, section: &Section) {
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
}

/// Whether some item is a fact in other words, and none could be a sentence.
pub(super) fn has_dressed_facts(list: &List) -> bool {
    let text = |item: &Item| item.whole();
    let elsewhere = |item: &Item| is_elsewhere(&text(item));
    let some = list.items.iter().any(|item| {
        fact_lines::is_fact(item) && !fact_lines::only_describes(item) || elsewhere(item)
    });
    let short = |item: &Item| {
        fact_lines::is_fact(item) || elsewhere(item) || text(item).split(' ').count() <= 4
    };
    some && list.items.iter().all(short)
}

/// Whether an item has a key of its own, in whatever words.
pub(super) fn is_known_fact(item: &Item) -> bool {
    item.key.as_deref().is_some_and(|key| {
        Key::read(key).is_some() || key_words::read(key).is_some_and(|word| !word.is_guess)
    })
}

/// More bytes than the words of a key have.
const LONGEST_KEY: usize = 40;

/// Bytes of the marks that may stand before the first fact of a line: "> - ".
pub(super) const LONGEST_MARK: usize = 8;

/// The lines right under a heading that are facts without marks of a list.
pub(super) fn paragraph_of_facts(text: &str, section: &Section, of_part: bool) -> Option<List> {
    let body = &text[section.body.clone()];
    let start = section.body.start + (body.len() - body.trim_start().len());
    let end = text[start..section.body.end]
        .find("\n\n")
        .map_or(section.body.end, |at| start + at + 1);
    let FactParagraph {
        items,
        prose,
        mut words,
    } = fact_lines::of_paragraph(text, start..end, of_part);
    // What is told before the first fact stays prose: "This one was a pig."
    let is_told = |line: &Range<usize>| {
        line.start <= start + LONGEST_MARK && text[line.clone()].ends_with(['.', '!'])
    };
    let told = words.first().is_some_and(is_told);
    if told {
        words.remove(0);
    }
    (!items.is_empty()).then_some(List {
        range: start..prose,
        prose: if told { section.body.start } else { prose },
        items,
        left_out: None,
        words,
    })
}

/// The paragraphs behind the first one of a section in which every line is a fact.
pub(super) fn paragraphs_behind(text: &str, section: &Section) -> Vec<List> {
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
        let items = fact_lines::of_paragraph(text, range.clone(), false).items;
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
                words: Vec::new(),
            });
        }
    }
    found
}
