//! The short form: a status or surface word as the key, parts as the value.
//!
//! A list under the heading of a part is a record, and read above.

use super::Walk;
use crate::entry::fact::Fact;
use crate::entry::item::Item;
use crate::entry::key::Key;
use crate::entry::model::{Passage, Record};
use crate::entry::outline::{List, Section};
use crate::entry::record::RecordBuilder;
use crate::entry::understand::{FactContext, Value};
use crate::handbook::heading::{Heading, read_heading};
use crate::handbook::parts::known_part;
use crate::handbook::tools::is_tool;
use crate::vocabulary::position::Driven;
use crate::vocabulary::reference::without_note;
use crate::vocabulary::status::{Status, StatusWord, near_status, read_status};
use crate::vocabulary::status_words::{StatusReading, read_bare};
use crate::vocabulary::words::fold;

impl<'r, 'a> Walk<'r, 'a> {
    /// `- removed: horn; horn bracket` under the title or a system heading.
    pub(super) fn short_form(&mut self, section: &Section, list: &List) {
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

    pub(super) fn short_record(
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
}

/// Whether some item has a status or surface word as its key.
pub(super) fn has_short_form(list: &List) -> bool {
    list.items.iter().any(|item| {
        item.key.as_deref().and_then(exact_short_key).is_some()
            || on_or_off(item).is_some()
            || near_short(item).is_some()
    })
}

/// Whether the list under the name of a system is about the part of that name, the
/// engine, the gearbox: of short forms it has only `undone`, which a part has as well,
/// and it says what is no word for several parts.
pub(super) fn is_of_the_part(title: &str, list: &List) -> bool {
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

pub(super) fn exact_short_key(key: &str) -> Option<StatusWord> {
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
pub(super) fn on_or_off(item: &Item) -> Option<StatusWord> {
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

pub(super) fn near_short(item: &Item) -> Option<&'static str> {
    let key = item.key.as_deref()?;
    if Key::read(key).is_some() || Key::near(key).is_some() {
        return None;
    }
    near_status(key).filter(|word| word.len() >= 5)
}

pub(super) fn short_key(reader: &mut FactContext<'_>, item: &Item) -> Option<StatusWord> {
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
