//! Days as people say them: a date, `today`, `yesterday`, `14d` ago.
//!
//! Today itself is handed in; nothing here looks at a clock.

use jiff::civil::Date;
use jiff::{Span, ToSpan};

use super::words::fold;

/// Reads an RFC 3339 full-date (`2026-03-14`) and nothing else.
#[must_use]
pub fn read_date(text: &str) -> Option<Date> {
    let text = text.trim();
    let shape = text.len() == 10
        && text.bytes().enumerate().all(|(at, byte)| match at {
            4 | 7 => byte == b'-',
            _ => byte.is_ascii_digit(),
        });
    shape.then(|| text.parse().ok()).flatten()
}

/// Reads a day as one says it on the command line: a date, `today`,
/// `yesterday`, a day of the week (the last one that has passed), `3 days
/// ago`, `2 weeks ago`, or a month (`2026-03`), meaning its first day.
#[must_use]
pub fn read_day(text: &str, today: Date) -> Option<Date> {
    let folded = fold(text);
    if let Some(date) = read_date(&folded) {
        return Some(date);
    }
    match folded.as_str() {
        "today" => return Some(today),
        "yesterday" => return today.yesterday().ok(),
        _ => {}
    }
    if folded.len() == 7 {
        return read_date(&format!("{folded}-01"));
    }
    weekday(&folded, today).or_else(|| ago(&folded, today))
}

/// The latest day before today with that name.
fn weekday(word: &str, today: Date) -> Option<Date> {
    use jiff::civil::Weekday;
    let word = word.strip_prefix("last ").unwrap_or(word);
    let wanted = match word {
        "monday" => Weekday::Monday,
        "tuesday" => Weekday::Tuesday,
        "wednesday" => Weekday::Wednesday,
        "thursday" => Weekday::Thursday,
        "friday" => Weekday::Friday,
        "saturday" => Weekday::Saturday,
        "sunday" => Weekday::Sunday,
        _ => return None,
    };
    today.nth_weekday(-1, wanted).ok()
}

/// "3 days ago", "2 weeks ago", "a month ago".
fn ago(text: &str, today: Date) -> Option<Date> {
    let mut words = text.strip_suffix(" ago")?.split(' ');
    let count: i64 = match words.next()? {
        "a" | "one" => 1,
        "two" => 2,
        "three" => 3,
        digits => digits.parse().ok().filter(|count| *count < 10_000)?,
    };
    let span: Span = match words.next()? {
        "day" | "days" => count.days(),
        "week" | "weeks" => count.weeks(),
        "month" | "months" => count.months(),
        "year" | "years" => count.years(),
        _ => return None,
    };
    today.checked_sub(span).ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn only_full_dates_are_dates() {
        assert_eq!(read_date("2026-03-14"), Some(date(2026, 3, 14)));
        for wrong in ["2026-02-30", "14.3.2026", "2026-3-14", "20260314", ""] {
            assert_eq!(read_date(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn days_as_people_say_them() {
        // 2026-03-14 is a Saturday.
        let today = date(2026, 3, 14);
        for (text, day) in [
            ("today", date(2026, 3, 14)),
            ("Yesterday", date(2026, 3, 13)),
            ("saturday", date(2026, 3, 7)),
            ("last friday", date(2026, 3, 13)),
            ("3 days ago", date(2026, 3, 11)),
            ("two weeks ago", date(2026, 2, 28)),
            ("2025-11", date(2025, 11, 1)),
        ] {
            assert_eq!(read_day(text, today), Some(day), "{text}");
        }
        assert_eq!(read_day("soon", today), None);
    }
}
