//! From a key and its words to facts.
//!
//! Every value yields a fact or a problem, often both: what was half
//! understood counts as far as it goes. What belongs together in one record is
//! decided in `sections`.

mod days_said;
mod several_values;
mod standing;
mod torque_said;

use std::ops::Range;

use jiff::civil::Date;
pub(super) use named_parts::joins_parts;
use several_values::{is_nothing, says_none};

use super::context::Context;
use super::fact::{Connection, Fact};
use super::item::Item;
use super::key::{Key, Reads};
use super::source::Lines;
use super::stated::Stated;
use super::telling::Telling;
use crate::handbook::heading::read_reference;
use crate::problem::{Problem, Severity};
use crate::vocabulary::position::Driven;
use crate::vocabulary::reference::without_note;

mod doubts;
mod hardware;
mod named_parts;
mod replacement;
mod values;

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
}
