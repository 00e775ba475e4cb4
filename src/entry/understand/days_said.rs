//! Days within a value: when it is to come back, by when it is needed.
//!
//! The words of a day are read in `day_reading`.

use jiff::civil::Date;

use super::{FactContext, Value};
use crate::vocabulary::calendar_words::is_time_word;
use crate::vocabulary::day::read_date;
use crate::vocabulary::day_reading::{ReadDay, Toward, read_day};

impl FactContext<'_> {
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
        if crate::vocabulary::words::words(day).any(|word| is_time_word(&word)) {
            self.warning(
                span,
                format!("`{day}` was not read as a date"),
                "write the day as 2026-05-01, so that it can be due",
            );
        }
        (text.to_owned(), None)
    }
}
