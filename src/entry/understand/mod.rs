//! From a key and its words to facts.
//!
//! Every value yields a fact or a problem, often both: what was half
//! understood counts as far as it goes. What belongs together in one record is
//! decided in `sections`.

mod doubts;
mod hardware;
mod named_parts;
mod replacement;
mod values;

pub(super) use named_parts::joins_parts;

use std::ops::Range;

use jiff::civil::Date;

use super::context::Context;
use super::fact::{Connection, Fact};
use super::fact_lines::without_number_word;
use super::item::Item;
use super::key::{Key, Reads};
use super::source::Lines;
use super::stated::Stated;
use super::telling::Telling;
use crate::handbook::heading::read_reference;
use crate::problem::{Problem, Severity};
use crate::vocabulary::cost_reading::costs_in;
use crate::vocabulary::day::read_date;
use crate::vocabulary::day_reading::{ReadDay, Toward, read_day};
use crate::vocabulary::hedge::hedge;
use crate::vocabulary::label::BagLabel;
use crate::vocabulary::position::Driven;
use crate::vocabulary::reference::without_note;
use crate::vocabulary::status::{
    Status, StatusWord, Surface, near_status, read_status, read_surface,
};
use crate::vocabulary::status_words::{StatusReading, read_bare, read_said};
use crate::vocabulary::torque::{Torque, TorqueError};
use crate::vocabulary::torque_stages::by_hand;

/// What understanding a fact needs beside the fact.
pub(super) struct FactContext<'a> {
    /// The text, for places.
    pub lines: &'a Lines<'a>,
    /// The journal's systems, vehicles, currency.
    pub context: &'a Context,
    /// On which side the driver of the vehicle at hand sits.
    pub driven: Driven,
    /// The day of the entry, once it is known.
    pub day: Option<Date>,
    /// The day in the name of the entry's file.
    pub file_day: Option<Date>,
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
pub(super) const LONGEST_FACT: usize = 20_000;

/// One value of a fact with its bytes.
#[derive(Clone, Debug)]
pub(super) struct Value {
    /// The words.
    pub text: String,
    /// Where they stand.
    pub span: Range<usize>,
}

impl FactContext<'_> {
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
        // Names stand as they were typed.
        let is_read = matches!(
            key.reads(),
            Reads::Status | Reads::Bag | Reads::Hours | Reads::Cost | Reads::Pieces(_)
        );
        let mut add = |text: &str, span: &Range<usize>| {
            let source = self.lines.text().get(span.clone()).unwrap_or_default();
            let pieces = if key == Key::Bag {
                split_values(text).into_iter().flat_map(labels).collect()
            } else if key.takes_several() {
                split_values(text)
            } else if key == Key::Cost {
                costs_in(text, self.context.currency)
            } else {
                vec![text]
            };
            let mut from = 0;
            for piece in pieces {
                let mut piece = piece.trim();
                if is_read {
                    piece = piece.trim_end_matches(is_pictured);
                }
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

    /// All that an item with this key says; what its own words leave open is asked about.
    pub fn understand(&mut self, key: Key, item: &Item) -> Vec<Stated> {
        if let Some(kept) = self.elsewhere(key, item) {
            return vec![kept];
        }
        let told = self.problems.len();
        let stated = self.values_of(key, item);
        let is_grave = |problem: &Problem| problem.severity != Severity::Note;
        if !self.problems[told..].iter().any(is_grave) {
            self.ask_what_is_open(key, item);
        }
        stated
    }

    /// What the values of an item say.
    fn values_of(&mut self, key: Key, item: &Item) -> Vec<Stated> {
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
        if values.len() > 1 && key.is_single() {
            self.error(
                item.span.clone(),
                format!("`{}` can have one value only", key.word()),
                "the first one was taken; delete the others",
            );
            let fact = self.fact(key, &values[0]);
            return self.stated(key, &values[0], fact).into_iter().collect();
        }
        if says_none(key) && values.iter().all(|value| is_nothing(&value.text)) {
            return Vec::new();
        }
        if let Some(pieces) = self.pieces(key, &values) {
            return pieces;
        }
        let values = if let Reads::Part(_) = key.reads() {
            self.named_parts(&values)
        } else {
            values
        };
        values
            .iter()
            .filter_map(|value| {
                let fact = self.fact(key, value);
                self.stated(key, value, fact)
            })
            .collect()
    }

    /// The pieces that values of hardware name; `None` for any other key.
    fn pieces(&mut self, key: Key, values: &[Value]) -> Option<Vec<Stated>> {
        let Reads::Pieces(fact) = key.reads() else {
            return None;
        };
        let pieces = self.hardware(values);
        let stated = pieces
            .into_iter()
            .filter_map(|(at, piece)| self.stated(key, &values[at], Some(fact(piece))));
        Some(stated.collect())
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
        match key.reads() {
            Reads::Text(fact) => {
                self.kept_or_thrown_away(key, value);
                Some(fact(text.to_owned()))
            }
            Reads::Telling => Some(Fact::Tell(self.telling(value))),
            Reads::Part(fact) => Some(fact(read_reference(text, self.driven))),
            Reads::Status => self.status(value),
            Reads::Surface => self.surface(value).map(Fact::Surface),
            Reads::Connection => self.connection(value).map(Fact::Undone),
            Reads::People => self.hands(value),
            Reads::Sent => Some(Fact::SentTo(self.sent(value))),
            Reads::Bag => self.bag(value),
            Reads::Need if is_nothing(text) => None,
            Reads::Need => self.need(value).map(Fact::Needs),
            Reads::Cost => self.cost(value).map(Fact::Cost),
            Reads::Hours => self.hours(value).map(Fact::Hours),
            Reads::Torque => self.torque(value),
            Reads::Tool => Some(Fact::Tool(self.tool(value))),
            Reads::Clip => Some(Fact::Footage(self.clip(value))),
            Reads::System => self.system(value).map(Fact::System),
            // Pieces are read before, several from one value.
            Reads::Pieces(_) | Reads::Apart => Some(Fact::Unknown(text.to_owned())),
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
        let bare = without_note(&value.text);
        // "on (loose)": what stands in brackets says it more closely.
        let note = read_bare(value.text.trim()[bare.len()..].trim_matches(['(', ')', ' ']));
        let said = match note {
            StatusReading::Clear(StatusWord::Standing(_)) => value.text.as_str(),
            StatusReading::Clear(StatusWord::Surface(_) | StatusWord::Work(_))
            | StatusReading::Doubtful(_)
            | StatusReading::Unread => bare,
        };
        match read_said(said) {
            StatusReading::Clear(word) => return Some(word.into()),
            StatusReading::Doubtful(readings) => {
                self.error(
                    value.span.clone(),
                    format!("`{}` has more than one reading: {readings}", value.text),
                    "write the one you mean; what is only to be remembered goes below the facts",
                );
                return None;
            }
            StatusReading::Unread => {}
        }
        if let Some(near) = near_status(&value.text) {
            self.warning(
                value.span.clone(),
                format!("`{}` was read as `{near}`", value.text),
                &format!("write `{near}`"),
            );
            return read_status(near).map(Fact::from);
        }
        let known: Vec<&str> = Status::ALL.iter().map(|status| status.word()).collect();
        self.error(
            value.span.clone(),
            format!("`{}` is no status", value.text),
            &format!("a status is one of: {}", known.join(", ")),
        );
        None
    }

    /// "stored: bin" may say that the part is gone.
    fn kept_or_thrown_away(&mut self, key: Key, value: &Value) {
        let place = crate::vocabulary::words::fold(&value.text);
        let place = place.trim_start_matches("in ").trim_start_matches("the ");
        let is_bin = matches!(
            place,
            "bin"
                | "skip"
                | "trash"
                | "rubbish"
                | "tip"
                | "dump"
                | "dustbin"
                | "garbage"
                | "scrap"
                | "dumpster"
                | "scrap bin"
                | "scrap pile"
                | "rubbish bin"
        );
        if key == Key::Stored && is_bin {
            self.warning(
                value.span.clone(),
                format!("`{}`: kept there, or thrown away?", value.text),
                "write `status: scrapped` if it is gone",
            );
        }
    }

    /// The bag of a part's hardware; "12?" and "12 or 21" are not known yet.
    fn bag(&mut self, value: &Value) -> Option<Fact> {
        let said = without_denied(&value.text);
        let text = without_number_word(without_note(said));
        let either =
            crate::vocabulary::words::words(text).any(|word| word == "or" || word == "and");
        if either || hedge(said).is_some() || is_from_to(text) || is_nowhere(text) {
            self.error(
                value.span.clone(),
                format!("`{}` does not say which bag", value.text),
                "write one label; two bags stand in two `hardware` lines, each with its bag",
            );
            return None;
        }
        let note = &said[without_note(said).len()..];
        if note.bytes().any(|b| b.is_ascii_digit()) {
            self.warning(
                value.span.clone(),
                format!(
                    "`{}` was read as bag {text}; `{}` counts for nothing",
                    value.text,
                    note.trim()
                ),
                "write what else you mean as a fact of its own: `stored: shelf 3`",
            );
        }
        Some(Fact::Bag(BagLabel::new(text)))
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
            what: read_reference(what, self.driven),
            to: to
                .filter(|to| !to.is_empty())
                .map(|to| read_reference(to, self.driven)),
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
                if is_one_of_two(text) {
                    self.warning(
                        value.span.clone(),
                        format!("`{text}`: which of the figures?"),
                        "write the one that counts, or a range as `25-30 N·m`",
                    );
                }
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
            Err(TorqueError::NoFigure) if by_hand(text).is_some() => {
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

    /// A day that lies ahead, counted from the day of the entry.
    pub fn day_to_come(&self, text: &str) -> ReadDay {
        match (read_date(text), self.day) {
            (Some(date), _) => ReadDay::Exactly(date),
            (None, Some(from)) => read_day(text, from, Toward::Coming),
            (None, None) => ReadDay::Unread,
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
        match self.day_to_come(day) {
            ReadDay::Exactly(date) => {
                // "by friday" is counted from the entry's day: worth a look.
                if !day.contains(|c: char| c.is_ascii_digit()) {
                    let message = format!("`{day}` was read as {date}");
                    self.warning(span, message, &format!("write `{word} {date}`"));
                }
                return (before, Some(date));
            }
            ReadDay::Either(days) => {
                let days: Vec<String> = days.iter().map(ToString::to_string).collect();
                let message = format!("`{day}` can mean {}", days.join(" or "));
                self.error(span, message, &format!("write `{word} {}`", days[0]));
                return (before, None);
            }
            ReadDay::Unread => {}
        }
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

/// The labels in "8 and 9", "12 + 13", "12, 13"; what is no row of short labels is one
/// value.
fn labels(text: &str) -> Vec<&str> {
    let is_label = |piece: &str| {
        let figures = piece.bytes().any(|b| b.is_ascii_digit());
        let letter = piece.len() == 1 && piece.bytes().all(|b| b.is_ascii_alphabetic());
        piece.len() <= 4 && (figures || letter) && piece.bytes().all(|b| b.is_ascii_alphanumeric())
    };
    for mark in [" and ", "&", "+", ","] {
        let pieces: Vec<&str> = text.split(mark).map(str::trim).collect();
        if pieces.len() > 1 && pieces.iter().all(|piece| is_label(piece)) {
            return pieces;
        }
    }
    vec![text]
}

/// "14 not 12", "3 (not 8)" without what it is not.
fn without_denied(text: &str) -> &str {
    [" (not ", ", not ", " not "]
        .iter()
        .filter_map(|mark| text.find(mark))
        .min()
        .map_or(text, |at| text[..at].trim())
}

/// Whether a sign is one of a phone's little pictures, or a blank before it.
fn is_pictured(sign: char) -> bool {
    matches!(sign, ' ' | '\u{200d}' | '\u{fe0f}' | '\u{2600}'..='\u{27bf}' | '\u{1f000}'..='\u{1faff}')
}

/// "25/30 Nm", "25 Nm (or 30)": two figures of which one is meant. Halves and quarters
/// are one figure.
fn is_one_of_two(text: &str) -> bool {
    let figure = |text: &str| -> Option<u32> {
        let end = text
            .find(|c: char| !c.is_ascii_digit())
            .unwrap_or(text.len());
        text[..end].parse().ok()
    };
    let slashed = text
        .split_once('/')
        .and_then(|(one, other)| Some(figure(one.trim())? > 3 && figure(other)? > 3))
        .unwrap_or_default();
    let either = text.split([' ', '(']).any(|word| word == "or");
    slashed || either
}

/// Whether a label says only that nobody knows the bag.
fn is_nowhere(text: &str) -> bool {
    matches!(
        crate::vocabulary::words::fold(text).as_str(),
        "somewhere" | "lost" | "unknown" | "missing" | "gone" | "anywhere" | "tba" | "see photo"
    )
}

/// "12/13", "12-14": two figures with a mark between them.
fn is_from_to(text: &str) -> bool {
    let two = text.split_once(['/', '-']);
    let figure = |text: &str| text.trim().parse::<u32>().ok();
    two.and_then(|(one, other)| Some(figure(one)? < figure(other)?))
        .unwrap_or_default()
}

/// Whether "none" under this key says nothing of the part: there is just none of it.
fn says_none(key: Key) -> bool {
    matches!(
        key,
        Key::After
            | Key::OffAfter
            | Key::RefitAfter
            | Key::Of
            | Key::Undone
            | Key::Leftover
            | Key::Short
            | Key::Bag
            | Key::Number
            | Key::Also
            | Key::Lesson
            | Key::Caution
            | Key::Tool
            | Key::Photo
            | Key::Footage
            | Key::Manual
            | Key::Question
    )
}

/// Whether there is nothing to do.
fn is_nothing(text: &str) -> bool {
    matches!(
        crate::vocabulary::words::fold(text).trim_end_matches('.'),
        "nothing"
            | "none"
            | "no"
            | "nil"
            | "-"
            | "--"
            | "n/a"
            | "na"
            | "nothing more"
            | "nothing else"
            | "no work"
            | "nothing to do"
            | "nothing open"
            | "nowt"
            | "nada"
            | "zero"
            | "nothing left"
            | "nothing for now"
            | "not a thing"
            | "no needs"
            | "no bag"
            | "none left"
            | "all done"
    )
}

/// Words that show that a day was meant.
fn names_a_time(text: &str) -> bool {
    const WORDS: [&str; 33] = [
        "day",
        "eve",
        "week",
        "month",
        "year",
        "spring",
        "summer",
        "autumn",
        "winter",
        "xmas",
        "end",
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
