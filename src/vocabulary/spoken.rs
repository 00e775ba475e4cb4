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

/// "March 2025", "March to May 2025", "December 2025 to January 2026".
#[must_use]
pub fn months((first, last): (Date, Date)) -> String {
    if (first.year(), first.month()) == (last.year(), last.month()) {
        month_and_year(first)
    } else if first.year() == last.year() {
        format!("{} to {}", month(first), month_and_year(last))
    } else {
        format!("{} to {}", month_and_year(first), month_and_year(last))
    }
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

/// A part as one says it: "left front hub", "left and right front hub", "damper
/// at all four corners". Of more places than one can listen to, only the name.
#[must_use]
pub fn said_part(name: &str, at: &[Position]) -> String {
    let name = uncapitalised(name);
    let places: Vec<String> = at
        .iter()
        .map(ToString::to_string)
        .filter(|at| !at.is_empty())
        .collect();
    let corners = ["left front", "right front", "left rear", "right rear"];
    let is_corner = |corner: &str| places.iter().any(|at| at == corner);
    match &places[..] {
        [] => name,
        [_, _, _, _] if corners.into_iter().all(is_corner) => {
            format!("{name} at all four corners")
        }
        [one, other] => {
            let split = |at: &str| {
                let (side, rest) = at.split_once(' ')?;
                Some((side.to_owned(), rest.to_owned()))
            };
            match split(one).zip(split(other)) {
                Some(((one, rest), (other, same))) if rest == same => {
                    format!("{one} and {other} {rest} {name}")
                }
                Some(_) | None => format!("{one} and {other} {name}"),
            }
        }
        [_] | [_, _, _] | [_, _, _, _] => format!("{} {name}", listed(&places)),
        [..] => name,
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

/// "1 part", "3 parts".
#[must_use]
pub fn counted(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
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

/// What a text wants at its end before the next begins: a full stop, if it has
/// no mark at all there. What has one stands as it was written.
#[must_use]
pub fn full_stop(text: &str) -> &'static str {
    let inside = text.trim_end_matches(['"', '\'', '”', '’', ')', ']']);
    if inside.ends_with(char::is_alphanumeric) {
        "."
    } else {
        ""
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::vocabulary::money::Currency;
    use crate::vocabulary::position::Driven;
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

    #[test]
    fn what_ends_with_a_mark_stays_as_it_is() {
        for (text, added) in [
            ("drain it first", "."),
            ("two bolts (behind the bracket)", "."),
            ("he said \"yes\"", "."),
            ("It ran!", ""),
            ("(He laughed.)", ""),
            ("\"You have it all,\" he said ...", ""),
            ("What I do not have:", ""),
            ("and then -", ""),
        ] {
            assert_eq!(full_stop(text), added, "{text}");
        }
    }

    #[test]
    fn places_are_said_in_few_words_and_none_too_many() {
        let at = |places: &[&str]| -> Vec<Position> {
            let read = places.iter().map(|at| Position::free(at, Driven::Unsaid));
            read.collect()
        };
        for (places, said) in [
            (&[][..], "damper"),
            (&["left front"], "left front damper"),
            (
                &["left front", "right front"],
                "left and right front damper",
            ),
            (&["left", "right"], "left and right damper"),
            (
                &["left front", "right rear"],
                "left front and right rear damper",
            ),
            (
                &["left front", "right front", "left rear"],
                "left front, right front and left rear damper",
            ),
            (
                &["right rear", "left front", "right front", "left rear"],
                "damper at all four corners",
            ),
        ] {
            assert_eq!(said_part("Damper", &at(places)), said);
        }
    }

    #[test]
    fn thousands_are_said_apart() {
        let said = |minor| {
            spoken_money(&Money {
                minor,
                currency: Currency::EUR,
            })
        };
        assert_eq!(said(421_390), "4,213.90 EUR");
        assert_eq!(said(99_905), "999.05 EUR");
        assert_eq!(said(-123_456_700), "1,234,567.00 EUR");
    }
}
