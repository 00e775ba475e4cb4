//! From a key and its words to facts.
//!
//! Every value yields a fact or a problem, often both: what was half
//! understood counts as far as it goes. What belongs together in one record is
//! decided in `sections`.

mod hardware;
mod replacement;
mod values;

use std::ops::Range;

use jiff::civil::Date;

use super::context::Context;
use super::fact::{Connection, Fact, Stated};
use super::item::Item;
use super::key::Key;
use super::source::Lines;
use super::telling::Telling;
use crate::problem::Problem;
use crate::vocabulary::day::read_date;
use crate::vocabulary::label::Label;
use crate::vocabulary::position::Driven;
use crate::vocabulary::reference::{Reference, without_note};
use crate::vocabulary::status::{
    Status, StatusWord, Surface, near_status, read_status, read_surface,
};
use crate::vocabulary::torque::{Torque, TorqueError};

/// What understanding a fact needs beside the fact.
pub(super) struct Reader<'a> {
    /// The text, for places.
    pub lines: &'a Lines<'a>,
    /// The journal's systems, vehicles, currency.
    pub context: &'a Context,
    /// On which side the driver of the vehicle at hand sits.
    pub driven: Driven,
    /// What was found wrong so far.
    pub problems: Vec<Problem>,
    /// How many facts may still be copied to further parts; `None` once that
    /// was too many.
    pub copies: Option<usize>,
}

/// So many facts of one text may hold for several parts or places at once; far
/// more than anyone writes, and little enough for every memory.
pub(super) const MOST_COPIES: usize = 200_000;

/// Bytes of the longest fact that is read; far more than anyone types, and
/// little enough that no file can keep the reader busy for long.
const LONGEST_FACT: usize = 20_000;

/// One value of a fact with its bytes.
#[derive(Clone, Debug)]
pub(super) struct Value {
    /// The words.
    pub text: String,
    /// Where they stand.
    pub span: Range<usize>,
}

impl Reader<'_> {
    pub fn error(&mut self, span: Range<usize>, message: impl Into<String>, hint: &str) {
        let problem = Problem::error(self.lines.spot(span), message);
        self.push(problem, hint);
    }

    pub fn warning(&mut self, span: Range<usize>, message: impl Into<String>, hint: &str) {
        let problem = Problem::warning(self.lines.spot(span), message);
        self.push(problem, hint);
    }

    pub fn note(&mut self, span: Range<usize>, message: impl Into<String>, hint: &str) {
        let problem = Problem::note(self.lines.spot(span), message);
        self.push(problem, hint);
    }

    fn push(&mut self, problem: Problem, hint: &str) {
        self.problems.push(if hint.is_empty() {
            problem
        } else {
            problem.hint(hint)
        });
    }

    /// The values of an item: its own, parted at semicolons where the key
    /// takes several, and the plain ones nested below.
    pub fn values(&self, key: Key, item: &Item) -> Vec<Value> {
        let mut values = Vec::new();
        let mut add = |text: &str, span: &Range<usize>| {
            let source = self.lines.text().get(span.clone()).unwrap_or_default();
            let pieces = if key.takes_several() {
                split_values(text)
            } else {
                vec![text]
            };
            let mut from = 0;
            for piece in pieces {
                let piece = piece.trim();
                if piece.is_empty() {
                    continue;
                }
                let span = match source.get(from..).and_then(|rest| rest.find(piece)) {
                    Some(at) => {
                        let start = span.start + from + at;
                        from += at + piece.len();
                        start..start + piece.len()
                    }
                    None => span.clone(),
                };
                values.push(Value {
                    text: piece.to_owned(),
                    span,
                });
            }
        };
        add(&item.value, &item.span);
        for child in &item.children {
            add(&child.whole(), &child.span);
        }
        values
    }

    /// Whether an item is too long to be read, which is then said.
    pub fn is_too_long(&mut self, item: &Item) -> bool {
        let too_long = item.span.len() > LONGEST_FACT;
        if too_long {
            let word = item.key.as_deref().unwrap_or_default();
            self.error(
                item.span.start..item.span.start,
                format!("this `{word}` is too long to be a fact"),
                "write it as prose below the facts",
            );
        }
        too_long
    }

    /// Whether so many facts may be copied to further parts: a short text in
    /// which very much holds for very many would fill every memory.
    pub fn affords(&mut self, copies: usize, span: Range<usize>) -> bool {
        let Some(left) = self.copies else {
            return copies == 0;
        };
        self.copies = left.checked_sub(copies);
        if self.copies.is_none() {
            self.error(
                span,
                "too many facts of this text hold for too many parts; from here on they are left out",
                "write several entries",
            );
        }
        self.copies.is_some()
    }

    /// All that an item with this key says.
    pub fn understand(&mut self, key: Key, item: &Item) -> Vec<Stated> {
        if key == Key::ReplacedBy {
            return self.replacement(item).into_iter().collect();
        }
        let values = self.values(key, item);
        if values.is_empty() {
            self.warning(
                item.span.clone(),
                format!("`{}` says nothing", key.word()),
                "write a value behind the colon, or delete the line",
            );
            return Vec::new();
        }
        if values.len() > 1 && !key.takes_several() && is_single(key) {
            self.error(
                item.span.clone(),
                format!("`{}` can have one value only", key.word()),
                "the first one was taken; delete the others",
            );
            let fact = self.fact(key, &values[0]);
            return self.stated(key, &values[0], fact).into_iter().collect();
        }
        values
            .iter()
            .filter_map(|value| {
                let fact = self.fact(key, value);
                self.stated(key, value, fact)
            })
            .collect()
    }

    fn stated(&self, key: Key, value: &Value, fact: Option<Fact>) -> Option<Stated> {
        Some(Stated {
            fact: fact?,
            key,
            written: value.text.clone(),
            spot: self.lines.spot(value.span.clone()),
            inherited: false,
        })
    }

    /// What one value under this key says; `None` after an error.
    fn fact(&mut self, key: Key, value: &Value) -> Option<Fact> {
        let text = value.text.as_str();
        let reference = || Reference::read(text, self.driven);
        match key {
            Key::Status => self.status(value),
            Key::Surface => self.surface(value).map(Fact::Surface),
            Key::HoldsUp => Some(Fact::HoldsUp(reference())),
            Key::After => Some(Fact::After(reference())),
            Key::OffAfter => Some(Fact::OffAfter(reference())),
            Key::RefitAfter => Some(Fact::RefitAfter(reference())),
            Key::Of => Some(Fact::Of(reference())),
            Key::Holds => Some(Fact::Holds(reference())),
            Key::Undone => self.connection(value).map(Fact::Undone),
            Key::Hands => self.hands(value),
            Key::Hardware => self.hardware(value).map(Fact::Hardware),
            Key::Leftover => self.hardware(value).map(Fact::Leftover),
            Key::Short => self.hardware(value).map(Fact::Short),
            Key::Bag => Some(Fact::Bag(Label::new(without_note(text)))),
            Key::Stored => Some(Fact::Stored(text.to_owned())),
            Key::SentTo => Some(Fact::SentTo(self.sent(value))),
            Key::Found => Some(Fact::Found(text.to_owned())),
            Key::Needs => self.need(value).map(Fact::Needs),
            Key::Done => Some(Fact::Done(text.to_owned())),
            Key::Question => Some(Fact::Question(text.to_owned())),
            Key::Answer => Some(Fact::Answer(text.to_owned())),
            Key::Cost => self.cost(value).map(Fact::Cost),
            Key::Hours => self.hours(value).map(Fact::Hours),
            Key::Torque => self.torque(value),
            Key::Manual => Some(Fact::Manual(text.to_owned())),
            Key::Tool => Some(Fact::Tool(self.tool(value))),
            Key::Photo => Some(Fact::Photo(text.to_owned())),
            Key::Footage => Some(Fact::Footage(self.clip(value))),
            Key::Lesson => Some(Fact::Lesson(text.to_owned())),
            Key::Caution => Some(Fact::Caution(text.to_owned())),
            Key::Tell => Some(Fact::Tell(self.telling(value))),
            Key::Ask => Some(Fact::Ask(text.to_owned())),
            Key::Number => Some(Fact::Number(text.to_owned())),
            Key::Also => Some(Fact::Also(text.to_owned())),
            Key::System => self.system(value).map(Fact::System),
            Key::Date
            | Key::Time
            | Key::Vehicle
            | Key::Title
            | Key::Helpers
            | Key::Part
            | Key::At
            | Key::ReplacedBy => Some(Fact::Unknown(text.to_owned())),
        }
    }

    /// What a person does not say clearly stays private until they do.
    fn telling(&mut self, value: &Value) -> Telling {
        Telling::read(&value.text).unwrap_or_else(|| {
            self.error(
                value.span.clone(),
                format!(
                    "is `{}` to be told or private? It is private until this says so",
                    value.text
                ),
                "write `tell: yes` or `tell: no`",
            );
            Telling::Private
        })
    }

    fn status(&mut self, value: &Value) -> Option<Fact> {
        match read_status(without_note(&value.text)) {
            Some(StatusWord::Standing(status)) => return Some(Fact::Status(status)),
            Some(StatusWord::Surface(surface)) => return Some(Fact::Surface(surface)),
            Some(StatusWord::Work(work)) => return Some(Fact::Done(work)),
            None => {}
        }
        if let Some(near) = near_status(&value.text) {
            self.warning(
                value.span.clone(),
                format!("`{}` was read as `{near}`", value.text),
                &format!("write `{near}`"),
            );
            return match read_status(near)? {
                StatusWord::Standing(status) => Some(Fact::Status(status)),
                StatusWord::Surface(surface) => Some(Fact::Surface(surface)),
                StatusWord::Work(work) => Some(Fact::Done(work)),
            };
        }
        let known: Vec<&str> = Status::ALL.iter().map(|status| status.word()).collect();
        self.error(
            value.span.clone(),
            format!("`{}` is no status", value.text),
            &format!("a status is one of: {}", known.join(", ")),
        );
        None
    }

    fn surface(&mut self, value: &Value) -> Option<Surface> {
        if let Some(surface) = read_surface(without_note(&value.text)) {
            return Some(surface);
        }
        if let Some(surface) = near_status(&value.text).and_then(read_surface) {
            let near = surface.word();
            self.warning(
                value.span.clone(),
                format!("`{}` was read as `{near}`", value.text),
                &format!("write `{near}`"),
            );
            return Some(surface);
        }
        let known: Vec<&str> = Surface::ALL.iter().map(|surface| surface.word()).collect();
        self.error(
            value.span.clone(),
            format!("`{}` is no surface", value.text),
            &format!("a surface is one of: {}", known.join(", ")),
        );
        None
    }

    /// "earth wire, to inner wing".
    pub fn connection(&mut self, value: &Value) -> Option<Connection> {
        let text = without_note(&value.text);
        let folded = text.to_lowercase();
        let (what, to) = match folded.rfind(", to") {
            Some(at) if folded[at + 4..].is_empty() || folded[at + 4..].starts_with(' ') => {
                // Lower case may change the length of exotic letters; the cut
                // is then not at a boundary and the text is taken whole.
                match (text.get(..at), text.get(at + 4..)) {
                    (Some(what), Some(to)) => (what, Some(to.trim())),
                    _ => (text, None),
                }
            }
            Some(_) | None => (text, None),
        };
        if to == Some("") {
            self.warning(
                value.span.clone(),
                format!("`{what}` goes to nothing"),
                "name the part behind `to`",
            );
        }
        Some(Connection {
            what: Reference::read(what, self.driven),
            to: to
                .filter(|to| !to.is_empty())
                .map(|to| Reference::read(to, self.driven)),
        })
    }

    /// The system with this name in the journal's list.
    pub fn system(&mut self, value: &Value) -> Option<String> {
        if let Some(system) = self.context.system(&value.text) {
            return Some(system.to_owned());
        }
        if let Some(near) = self.context.near_system(&value.text) {
            let near = near.to_owned();
            self.warning(
                value.span.clone(),
                format!("`{}` was read as the system `{near}`", value.text),
                &format!("write `{near}`"),
            );
            return Some(near);
        }
        let known = self.context.systems.join(", ");
        self.error(
            value.span.clone(),
            format!("`{}` is no system of this journal", value.text),
            &format!("the systems stand in journal.toml: {known}"),
        );
        None
    }

    fn torque(&mut self, value: &Value) -> Option<Fact> {
        let text = &value.text;
        let example = "write figure, unit and source: `75-90 lbf·ft, shop manual 3-12`";
        match Torque::read(text) {
            Ok(torque) => {
                if torque.unit.is_none() {
                    self.warning(
                        value.span.clone(),
                        format!("`{text}` names no unit"),
                        example,
                    );
                }
                if torque.comma_as_decimal {
                    self.note(
                        value.span.clone(),
                        format!("the comma in `{text}` was read as the decimal mark"),
                        &format!("write {}", torque.figures()),
                    );
                }
                Some(Fact::Torque(text.clone()))
            }
            Err(TorqueError::Backwards(_)) => {
                self.warning(
                    value.span.clone(),
                    format!("the range `{text}` runs backwards"),
                    "the smaller figure comes first",
                );
                Some(Fact::Torque(text.clone()))
            }
            Err(TorqueError::NoFigure) => {
                self.error(
                    value.span.clone(),
                    format!("`{text}` is no torque: it has no figure"),
                    example,
                );
                None
            }
            Err(TorqueError::UnknownUnit(unit)) => {
                self.error(
                    value.span.clone(),
                    format!("`{unit}` is no unit of torque"),
                    "the units are lbf·ft, lbf·in, ozf·in, N·m, kgf·m, kgf·cm",
                );
                None
            }
        }
    }

    /// The day at the end of a text, behind `word` ("by", "back by"), and the
    /// text before it. Words that are no day stay in the text.
    pub fn trailing_day(&mut self, value: &Value, word: &str) -> (String, Option<Date>) {
        let text = value.text.as_str();
        let lower = text.to_ascii_lowercase();
        let marker = format!("{word} ");
        let at = if lower.starts_with(&marker) {
            Some((0, marker.len()))
        } else {
            [format!(", {marker}"), format!(" {marker}")]
                .iter()
                .find_map(|mark| lower.rfind(mark.as_str()).map(|at| (at, at + mark.len())))
        };
        let Some((end, start)) = at else {
            return (text.to_owned(), None);
        };
        let before = text[..end].trim_end_matches([',', ' ']).to_owned();
        let day = text[start..].trim();
        if let Some(date) = read_date(day) {
            return (before, Some(date));
        }
        let span = value.span.end.saturating_sub(text.len() - start)..value.span.end;
        let span = if span.start >= value.span.start {
            span
        } else {
            value.span.clone()
        };
        let example = "write the day as 2026-05-01";
        if day.starts_with(|c: char| c.is_ascii_digit()) {
            self.error(span, format!("`{day}` is no date"), example);
            return (before, None);
        }
        if names_a_time(day) {
            self.warning(
                span,
                format!("`{day}` was not read as a date"),
                "write the day as 2026-05-01, so that it can be due",
            );
        }
        (text.to_owned(), None)
    }
}

/// Words that show that a day was meant.
fn names_a_time(text: &str) -> bool {
    const WORDS: [&str; 22] = [
        "monday",
        "tuesday",
        "wednesday",
        "thursday",
        "friday",
        "saturday",
        "sunday",
        "january",
        "february",
        "march",
        "april",
        "june",
        "july",
        "august",
        "september",
        "october",
        "november",
        "december",
        "tomorrow",
        "easter",
        "christmas",
        "whitsun",
    ];
    crate::vocabulary::words::words(text).any(|word| WORDS.contains(&word.as_str()))
}

/// Keys of which a record has one: a second value contradicts the first.
pub(super) const fn is_single(key: Key) -> bool {
    matches!(
        key,
        Key::Date
            | Key::Time
            | Key::Vehicle
            | Key::Hours
            | Key::System
            | Key::Hands
            | Key::Title
            | Key::Tell
    )
}

/// Parts a text at semicolons outside brackets.
fn split_values(text: &str) -> Vec<&str> {
    let mut pieces = Vec::new();
    let mut start = 0;
    let mut depth = 0_usize;
    let last_close = text.rfind(')').unwrap_or(0);
    for (at, c) in text.char_indices() {
        match c {
            '(' if at < last_close => depth += 1,
            ')' => depth = depth.saturating_sub(1),
            ';' | '；' if depth == 0 => {
                pieces.push(&text[start..at]);
                start = at + c.len_utf8();
            }
            _ => {}
        }
    }
    pieces.push(&text[start..]);
    pieces
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn semicolons_part_outside_brackets() {
        assert_eq!(
            split_values("2 nut (one bent; keep); 3 bolt"),
            ["2 nut (one bent; keep)", " 3 bolt"]
        );
        assert_eq!(split_values("a (b; c"), ["a (b", " c"]);
    }
}
