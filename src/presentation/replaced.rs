//! What was replaced, for a terminal.

use super::export::{Document, Exporter};
use super::terminal::Terminal;
use super::text::{StyledText, Text, TextStyle, counted, plain};
use crate::entry::ReplacementKind;
use crate::reports::replaced::ReplacedRow;
use crate::vocabulary::money::{Money, sum_by_currency};

impl Exporter<[ReplacedRow]> for Terminal {
    fn export(&self, rows: &[ReplacedRow]) -> Document {
        self.document(&render(rows, self.width))
    }
}

/// The rows, each in a few lines: a table of fourteen columns fits no terminal.
fn render(rows: &[ReplacedRow], width: usize) -> Text {
    let mut text = Text::new(width);
    if rows.is_empty() {
        text.line(0, TextStyle::Plain, "nothing was replaced");
        return text;
    }
    for row in rows {
        let mut head: Vec<StyledText> = vec![
            (TextStyle::Title, row.date.to_string()),
            plain(" "),
            (TextStyle::Part, label(row)),
        ];
        let mut aside = vec![row.vehicle.clone()];
        aside.extend(row.system_words());
        head.push((TextStyle::Faint, format!(" ({})", aside.join(", "))));
        text.wrapped(0, 2, &head);
        text.wrapped(
            2,
            4,
            &[(TextStyle::Faint, "was: ".into()), plain(row.old.clone())],
        );
        text.wrapped(
            2,
            4,
            &[(TextStyle::Faint, "became: ".into()), plain(new_words(row))],
        );
        if let Some(fate) = &row.fate {
            text.wrapped(
                2,
                4,
                &[(TextStyle::Faint, "old one: ".into()), plain(fate.clone())],
            );
        }
        let mut place = format!("{}:{}", row.entry, row.line);
        if let Some(recorded) = &row.recorded {
            place.push_str(&format!(
                " recorded {} in {}",
                recorded.date, recorded.commit
            ));
        }
        if let Some(changed) = row.changed.as_ref().filter(|_| row.changed != row.recorded) {
            place.push_str(&format!(", changed {} in {}", changed.date, changed.commit));
        }
        text.line(2, TextStyle::Faint, &place);
        text.gap();
    }
    let sums = sums(rows);
    let mut total = counted(rows.len(), "unit replaced", "units replaced");
    if !sums.is_empty() {
        let sums: Vec<String> = sums.iter().map(ToString::to_string).collect();
        total.push_str(&format!(", {}", sums.join(" and ")));
    }
    text.line(0, TextStyle::Faint, &total);
    text
}

/// Name and position.
#[must_use]
pub fn label(row: &ReplacedRow) -> String {
    if row.at.is_empty() {
        row.part.clone()
    } else {
        format!("{}, {}", row.part, row.at)
    }
}

/// The new unit in words.
#[must_use]
pub fn new_words(row: &ReplacedRow) -> String {
    let mut words = Vec::new();
    words.extend(kind_and_words(row.kind, &row.what));
    words.extend(row.number.clone());
    words.extend(row.from.as_ref().map(|from| format!("from {from}")));
    words.extend(row.cost.map(|cost| cost.to_string()));
    if words.is_empty() {
        "another one".to_owned()
    } else {
        words.join(", ")
    }
}

/// A unit's kind and what was written of it; the kind once.
#[must_use]
pub fn kind_and_words(kind: Option<ReplacementKind>, what: &str) -> Vec<String> {
    let mut words = Vec::new();
    if let Some(kind) = kind.filter(|kind| !what.starts_with(kind.word())) {
        words.push(kind.word().to_owned());
    }
    if !what.is_empty() {
        words.push(what.to_owned());
    }
    words
}

/// What the new units cost, a sum for each currency.
#[must_use]
pub fn sums(rows: &[ReplacedRow]) -> Vec<Money> {
    sum_by_currency(rows.iter().filter_map(|row| row.cost))
}
