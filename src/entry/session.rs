//! What the front matter says: of the session as a whole, and what its
//! sections take from it.

use jiff::civil::{Date, Time};
use std::ops::Range;

use super::item::Item;
use super::key::Key;
use super::key_words;
use super::stated::Stated;
use super::understand::{FactContext, Value};
use crate::vocabulary::day::read_date;
use crate::vocabulary::day_reading::{ReadDay, Toward, read_day};

/// The front matter, understood.
#[derive(Debug, Default)]
pub(super) struct Session {
    pub date: Option<Date>,
    pub time: Option<Time>,
    pub vehicle: Option<String>,
    pub title: Option<String>,
    pub helpers: Vec<String>,
    /// Which of these the front matter tried to say, rightly or not.
    pub said: Vec<Key>,
    /// `part:` with its `at:`, if the entry itself is a record.
    pub part: Option<(String, Range<usize>)>,
    pub at: Vec<Value>,
    /// Facts of the session as a whole.
    pub facts: Vec<Stated>,
    /// Facts of the part, if the entry itself is a record.
    pub part_facts: Vec<Stated>,
    /// What sections take over: status, stored, bag, footage.
    pub inherited: Vec<Stated>,
    /// The system that sections take over.
    pub system: Option<String>,
}

impl Session {
    /// Understands the items of the front matter.
    pub fn read(reader: &mut FactContext<'_>, items: &[Item]) -> Session {
        let mut session = Session::default();
        // The vehicle comes first: it decides what "driver's side" means.
        if let Some(item) = items.iter().find(|item| key_of(item) == Some(Key::Vehicle)) {
            session.vehicle = vehicle(reader, item);
            reader.driven = reader.context.driven(session.vehicle.as_deref());
        }
        let is_part = items.iter().any(|item| key_of(item) == Some(Key::Part));
        for item in items {
            session.item(reader, item, is_part);
        }
        session
    }

    fn item(&mut self, reader: &mut FactContext<'_>, item: &Item, is_part: bool) {
        let Some(key) = resolve(reader, item) else {
            return;
        };
        let repeated = self.said.contains(&key) && (key.is_single() || key == Key::Status);
        if repeated {
            reader.error(
                item.span.clone(),
                format!("a second `{}` in the front matter", key.word()),
                "the first one was taken; delete one of the two",
            );
            return;
        }
        if !self.said.contains(&key) {
            self.said.push(key);
        }
        if reader.is_too_long(item) {
            // What it says is left out.
        } else if key == Key::Vehicle {
            // Read before all others.
        } else if key == Key::Date {
            self.date = date(reader, item);
            reader.day = self.date;
        } else if key == Key::Time {
            self.time = time(reader, item);
        } else if key == Key::Title {
            self.title = Some(item.value.clone()).filter(|title| !title.is_empty());
        } else if key == Key::Helpers {
            let helpers = reader.values(key, item);
            self.helpers = helpers.into_iter().map(|value| value.text).collect();
        } else if key == Key::Part {
            let name = reader.values(key, item).into_iter().next();
            self.part = name.map(|value| (value.text, value.span));
        } else if key == Key::System {
            self.system = one_system(reader, item);
        } else if key == Key::At && is_part {
            self.at = reader.values(key, item);
        } else if !key.is_of_session() && !is_part {
            reader.warning(
                item.span.clone(),
                format!(
                    "`{}` belongs to a part, and no part is named here",
                    key.word()
                ),
                "add `part: NAME` to the front matter, or move it under a `##` heading",
            );
        } else {
            let stated = reader.understand(key, item);
            self.facts_under(key, stated, is_part);
        }
    }

    /// Facts of the session, of its part, or for its sections to take over.
    fn facts_under(&mut self, key: Key, stated: Vec<Stated>, is_part: bool) {
        let of_session = key.is_of_session_even_of_one_part();
        let for_sections = key.is_for_sections();
        if for_sections {
            self.inherited.extend(stated.clone());
        }
        if of_session || !(is_part || for_sections) {
            self.facts.extend(stated);
        } else if is_part {
            self.part_facts.extend(stated);
        }
    }
}

/// The key of an item in the front matter, reported where it is unknown.
fn resolve(reader: &mut FactContext<'_>, item: &Item) -> Option<Key> {
    let Some(word) = &item.key else {
        let text = item.whole();
        let first = text.split_whitespace().next().unwrap_or_default();
        let hint = match Key::read(first) {
            Some(key) => format!("a colon is missing behind `{}`", key.word()),
            None => "write `key: value`".to_owned(),
        };
        reader.warning(item.span.clone(), format!("`{text}` has no key"), &hint);
        return None;
    };
    if let Some(key) = Key::read(word) {
        return Some(key);
    }
    if let Some(meant) = key_words::read(word).filter(|meant| !meant.is_guess) {
        return Some(meant.key);
    }
    if let Some(key) = Key::near(word) {
        reader.warning(
            item.span.clone(),
            format!("`{word}` was read as `{}`", key.word()),
            &format!("write `{}`", key.word()),
        );
        return Some(key);
    }
    unknown_key(reader, word, item);
    None
}

/// Reports an unknown key.
pub(super) fn unknown_key(reader: &mut FactContext<'_>, word: &str, item: &Item) {
    let meant = key_words::read(word).map(|meant| meant.key);
    let likely = meant.or_else(|| Key::likest(word));
    let hint = match likely.filter(|_| !key_words::is_seller(word)) {
        None if key_words::is_seller(word) => {
            "who sold it stands behind the amount, `cost: 84.50 hinge, NAME`, or as `from: NAME` indented below `replaced by`".to_owned()
        }
        Some(key) => format!("did you mean `{}`?", key.word()),
        None => "the text is kept and searched; `matchmark write --keys` lists the keys".to_owned(),
    };
    reader.warning(
        item.span.clone(),
        format!("`{word}` is no key of a fact"),
        &hint,
    );
}

fn key_of(item: &Item) -> Option<Key> {
    let word = item.key.as_deref()?;
    let other = || key_words::read(word).filter(|meant| !meant.is_guess);
    Key::read(word)
        .or_else(|| other().map(|meant| meant.key))
        .or_else(|| Key::near(word))
}

/// The only value of a key that takes one; `None` after a problem.
fn only(reader: &mut FactContext<'_>, key: Key, item: &Item) -> Option<Value> {
    let values = reader.values(key, item);
    if values.len() > 1 {
        reader.error(
            item.span.clone(),
            format!("`{}` can have one value only", key.word()),
            "write one value behind the colon",
        );
    }
    let value = values.into_iter().next();
    if value.is_none() {
        reader.error(
            item.span.clone(),
            format!("`{}` says nothing", key.word()),
            "write a value behind the colon",
        );
    }
    value
}

/// Reads `date:`.
pub(super) fn date(reader: &mut FactContext<'_>, item: &Item) -> Option<Date> {
    let value = only(reader, Key::Date, item)?;
    let said = crate::vocabulary::words::straighten(&value.text);
    match written_day(&said, reader.file_day) {
        ReadDay::Exactly(day) => return Some(day),
        ReadDay::Either(days) => {
            let days: Vec<String> = days.iter().map(ToString::to_string).collect();
            reader.error(
                value.span,
                format!("`{}` can be {}", value.text, days.join(" or ")),
                &format!("write which one: `date: {}`", days[0]),
            );
        }
        ReadDay::Unread => reader.error(
            value.span,
            format!("`{}` is no date", value.text),
            "write the date as year-month-day: `2026-03-14`",
        ),
    }
    None
}

/// The day that was written, as `--date` reads days. Who reads a text later does not
/// know on which day it was written: what hangs on that is settled by the day in the
/// file's name, and is none without one.
fn written_day(said: &str, file_day: Option<Date>) -> ReadDay {
    if let Some(day) = read_date(said) {
        return ReadDay::Exactly(day);
    }
    // Two days long after every journal: a reading that is the same on both hangs on
    // no day.
    const LATE: Date = jiff::civil::date(2190, 6, 15);
    const LATER: Date = jiff::civil::date(2197, 1, 3);
    let found = read_day(said, LATE, Toward::Past);
    let found = match found == read_day(said, LATER, Toward::Past) {
        true => found,
        false => file_day.map_or(ReadDay::Unread, |day| without_year(said, day)),
    };
    match (found, file_day) {
        (ReadDay::Either(days), Some(day)) if days.contains(&day) => ReadDay::Exactly(day),
        (found, _) => found,
    }
}

fn time(reader: &mut FactContext<'_>, item: &Item) -> Option<Time> {
    let value = only(reader, Key::Time, item)?;
    let time = value.text.split_once(':').and_then(|(hour, minute)| {
        let hour: i8 = hour.parse().ok()?;
        let minute: i8 = minute.parse().ok().filter(|_| minute.len() == 2)?;
        Time::new(hour, minute, 0, 0).ok()
    });
    if time.is_none() {
        reader.error(
            value.span,
            format!("`{}` is no time of day", value.text),
            "write hours and minutes: `18:30`",
        );
    }
    time
}

/// Reads `vehicle:`; the slug of a vehicle of this journal.
pub(super) fn vehicle(reader: &mut FactContext<'_>, item: &Item) -> Option<String> {
    let value = only(reader, Key::Vehicle, item)?;
    if let Some(vehicle) = reader.context.vehicle(&value.text) {
        return Some(vehicle.slug.clone());
    }
    if reader.context.vehicles.is_empty() {
        return Some(value.text);
    }
    let hint = match reader.context.near_vehicle(&value.text) {
        Some(near) => format!("did you mean `{near}`?"),
        None => {
            let known: Vec<&str> = reader
                .context
                .vehicles
                .iter()
                .map(|vehicle| vehicle.slug.as_str())
                .collect();
            format!(
                "the vehicles are: {}; for a new one, add a file to vehicles/",
                known.join(", ")
            )
        }
    };
    reader.error(
        value.span,
        format!("`{}` is no vehicle of this journal", value.text),
        &hint,
    );
    None
}

fn one_system(reader: &mut FactContext<'_>, item: &Item) -> Option<String> {
    let value = only(reader, Key::System, item)?;
    reader.system(&value)
}

/// A day without a year, settled by the day in the file's name; what hangs on more than
/// the year ("yesterday") is only read where it is that very day.
fn without_year(said: &str, file_day: Date) -> ReadDay {
    let found = read_day(said, file_day, Toward::Past);
    let later = file_day.saturating_add(jiff::Span::new().days(40));
    let only_year = read_day(said, later, Toward::Past) == found;
    let is_file_day = match &found {
        ReadDay::Exactly(day) => *day == file_day,
        ReadDay::Either(days) => days.contains(&file_day),
        ReadDay::Unread => false,
    };
    match only_year || is_file_day {
        true => found,
        false => ReadDay::Unread,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(said: &str, file: Option<&str>) -> String {
        match written_day(said, file.and_then(read_date)) {
            ReadDay::Exactly(day) => day.to_string(),
            ReadDay::Either(days) => {
                let days: Vec<String> = days.iter().map(ToString::to_string).collect();
                days.join(" or ")
            }
            ReadDay::Unread => "unread".to_owned(),
        }
    }

    #[test]
    fn days_as_people_write_them() {
        for (said, day) in [
            ("2026-05-02", "2026-05-02"),
            ("21/2/26", "2026-02-21"),
            ("2026-8-2", "2026-08-02"),
            ("2/21/2026", "2026-02-21"),
            ("14.3.2026", "2026-03-14"),
            ("3.4.26", "2026-04-03"),
            ("Sat 2 May 2026", "2026-05-02"),
            ("Saturday, May 2nd, 2026", "2026-05-02"),
            ("2nd of May 2026", "2026-05-02"),
            ("2-May-26", "2026-05-02"),
            ("20260502", "2026-05-02"),
            ("2026/05/02", "2026-05-02"),
            ("3/4/26", "2026-04-03 or 2026-03-04"),
            ("Fri 2 May 2026", "unread"),
            ("2 May", "unread"),
            ("saturday", "unread"),
            ("yesterday", "unread"),
            ("31/2/26", "unread"),
            ("soon", "unread"),
        ] {
            assert_eq!(read(said, None), day, "{said}");
        }
    }

    #[test]
    fn the_name_of_the_file_says_which_of_several() {
        for (said, file, day) in [
            ("2 May", "2026-05-02", "2026-05-02"),
            ("2 May", "2026-05-04", "2026-05-02"),
            ("3/4/26", "2026-03-04", "2026-03-04"),
            ("3/4/26", "2026-04-09", "2026-04-03 or 2026-03-04"),
            ("yesterday", "2026-05-02", "unread"),
            ("saturday", "2026-05-02", "2026-05-02"),
            ("saturday", "2026-05-03", "unread"),
            // What says its year needs no name.
            ("21/2/26", "2026-05-02", "2026-02-21"),
        ] {
            assert_eq!(read(said, Some(file)), day, "{said}, {file}");
        }
    }
}
