//! The few plain words that join what a person wrote: months, "a week later",
//! the name of a part as one says it.
//!
//! They vary with the dates, never by chance, and say nothing that the records
//! do not.

use jiff::civil::Date;

use crate::vocabulary::money::Money;
use crate::vocabulary::position::Position;

const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// "March".
#[must_use]
pub fn month(day: Date) -> &'static str {
    let index = usize::try_from(day.month() - 1).unwrap_or(0);
    MONTHS[index.min(11)]
}

/// "March 2026".
#[must_use]
pub fn month_and_year(day: Date) -> String {
    format!("{} {}", month(day), day.year())
}

/// "14 March 2026".
#[must_use]
pub fn in_full(day: Date) -> String {
    format!("{} {}", day.day(), month_and_year(day))
}

/// When something happened, for someone who has just heard of `before`.
#[must_use]
pub fn later(before: Option<Date>, day: Date) -> Option<String> {
    let Some(before) = before else {
        return Some(month_and_year(day));
    };
    let days = day.duration_since(before).as_hours() / 24;
    match days {
        0 => None,
        1 => Some("The next day".to_owned()),
        7 => Some("A week later".to_owned()),
        14 => Some("Two weeks later".to_owned()),
        _ if (day.year(), day.month()) == (before.year(), before.month()) => {
            Some("Later that month".to_owned())
        }
        _ if day.year() == before.year() => Some(format!("In {}", month(day))),
        _ => Some(month_and_year(day)),
    }
}

/// A part as one says it: "left front hub", "fuel tank", "left and right tank
/// straps" stays "left and right tank strap".
#[must_use]
pub fn said_part(name: &str, at: &[Position]) -> String {
    let places: Vec<String> = at
        .iter()
        .map(ToString::to_string)
        .filter(|at| !at.is_empty())
        .collect();
    let name = uncapitalised(name);
    // Of all four corners nobody wants to hear each.
    if places.is_empty() || places.len() > 2 {
        name
    } else {
        format!("{} {name}", listed(&places))
    }
}

/// An amount as one reads it aloud, its thousands apart: "4,213.90 EUR"; without
/// a sign, as the words around it say whether it went or came back.
#[must_use]
pub fn spoken_money(money: &Money) -> String {
    let written = money.to_string();
    let written = written.trim_start_matches('-');
    let digits = written
        .find(|c: char| !c.is_ascii_digit())
        .unwrap_or(written.len());
    let (whole, rest) = written.split_at(digits);
    let mut grouped = String::new();
    for (at, digit) in whole.chars().enumerate() {
        if at > 0 && (whole.len() - at) % 3 == 0 {
            grouped.push(',');
        }
        grouped.push(digit);
    }
    grouped + rest
}

/// A word with a small letter at its beginning, unless it is written large for
/// a reason: "U-bolt", "SM6".
#[must_use]
pub fn uncapitalised(text: &str) -> String {
    let mut letters = text.chars();
    let (first, second) = (letters.next(), letters.next());
    match first {
        Some(first) if second.is_none_or(char::is_lowercase) => {
            first.to_lowercase().chain(text.chars().skip(1)).collect()
        }
        Some(_) | None => text.to_owned(),
    }
}

/// A text with a capital at its beginning.
#[must_use]
pub fn capitalised(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// "a", "a and b", "a, b and c".
#[must_use]
pub fn listed(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// What a sentence made of a fact still wants at its end.
#[must_use]
pub fn full_stop(text: &str) -> &'static str {
    let ends = ['.', '!', '?', '…', '"', '”', ')', '。'];
    if text.ends_with(ends) && !text.ends_with(')') {
        ""
    } else {
        "."
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn time_is_said_as_people_say_it() {
        let before = date(2026, 3, 14);
        for (day, words) in [
            (date(2026, 3, 14), None),
            (date(2026, 3, 15), Some("The next day")),
            (date(2026, 3, 21), Some("A week later")),
            (date(2026, 3, 30), Some("Later that month")),
            (date(2026, 5, 1), Some("In May")),
            (date(2027, 1, 9), Some("January 2027")),
        ] {
            assert_eq!(later(Some(before), day).as_deref(), words, "{day}");
        }
        assert_eq!(later(None, before).as_deref(), Some("March 2026"));
    }

    #[test]
    fn names_are_said_small() {
        assert_eq!(uncapitalised("Fuel tank"), "fuel tank");
        assert_eq!(uncapitalised("U-bolt"), "U-bolt");
        assert_eq!(uncapitalised(""), "");
        assert_eq!(listed(&["a".into(), "b".into(), "c".into()]), "a, b and c");
    }
}
