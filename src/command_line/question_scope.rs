//! What a question put as a whole sentence says besides its words: the month or year, and
//! the vehicle.

use jiff::civil::{Date, date};

use super::scope::DateSpan;
use crate::entry::Context;
use crate::index::is_question;
use crate::vocabulary::calendar_words::month;
use crate::vocabulary::words::fold;

/// The most words of a vehicle's name.
const LONGEST_NAME: usize = 4;

/// A question without what it says of time and vehicle.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Narrowed {
    /// The words that are left.
    pub(super) text: String,
    /// The vehicle, by its slug.
    pub(super) vehicle: Option<String>,
    /// The month or year.
    pub(super) days: DateSpan,
    /// What it was narrowed to, in words.
    pub(super) said: String,
}

impl Narrowed {
    /// Reads a question; `None` if it says neither, or nothing else, or is no whole sentence.
    pub(super) fn of(text: &str, context: &Context) -> Option<Narrowed> {
        if !is_question(text) {
            return None;
        }
        let mut words: Vec<&str> = text.split_whitespace().collect();
        let span = take_days(&mut words);
        let vehicle = take_vehicle(&mut words, context);
        if words.is_empty() || span.is_none() && vehicle.is_none() {
            return None;
        }
        let in_time = span.as_ref().map(|(_, said)| format!("in {said}"));
        let at = vehicle.as_ref().map(|slug| format!("at {slug}"));
        let said: Vec<String> = at.into_iter().chain(in_time).collect();
        let all = DateSpan {
            since: None,
            until: None,
        };
        Some(Narrowed {
            text: words.join(" "),
            vehicle,
            days: span.map_or(all, |(days, _)| days),
            said: format!("looked only {}", said.join(" ")),
        })
    }
}

/// Takes "in March 2007" or "in 2007" out of a question.
fn take_days(words: &mut Vec<&str>) -> Option<(DateSpan, String)> {
    let (at, year) = (0..words.len()).find_map(|at| Some((at, year(words[at])?)))?;
    let before = |back: usize| at.checked_sub(back).map(|at| fold(bare(words[at])));
    let month_at = (1..=2).find(|back| before(*back).is_some_and(|word| month(&word).is_some()));
    let month = month_at.and_then(before).and_then(|word| month(&word));
    let begins = at - month_at.unwrap_or(0);
    let joined = begins.checked_sub(1).map(|at| fold(words[at]));
    let is_joined = joined.is_some_and(|word| ["in", "during"].contains(&word.as_str()));
    let (since, until, said): (Date, Date, &str) = match month {
        Some(month) => {
            let first = date(year, i8::try_from(month).ok()?, 1);
            (first, first.last_of_month(), "%B %Y")
        }
        None if is_joined => (date(year, 1, 1), date(year, 12, 31), "%Y"),
        None => return None,
    };
    words.drain(begins - usize::from(is_joined)..=at);
    let days = DateSpan {
        since: Some(since),
        until: Some(until),
    };
    Some((days, since.strftime(said).to_string()))
}

/// Takes the name of a vehicle out of a question: its slug.
fn take_vehicle(words: &mut Vec<&str>, context: &Context) -> Option<String> {
    for count in (1..=LONGEST_NAME).rev() {
        for at in 1..(words.len() + 1).saturating_sub(count) {
            let named: Vec<&str> = words[at..at + count]
                .iter()
                .map(|word| bare(word))
                .collect();
            let named = named.join(" ");
            // "A" and "I" are words as well.
            let is_letter = named.chars().count() == 1;
            if is_letter && (!named.chars().all(char::is_uppercase) || named == "I") {
                continue;
            }
            if let Some(vehicle) = context.vehicle(&named) {
                words.drain(at..at + count);
                return Some(vehicle.slug.clone());
            }
        }
    }
    None
}

/// A word without the signs around it, and without the ending of possession.
fn bare(word: &str) -> &str {
    let word = word.trim_matches(|c: char| !c.is_alphanumeric());
    word.strip_suffix("'s")
        .or_else(|| word.strip_suffix("\u{2019}s"))
        .unwrap_or(word)
}

/// A year of this century or the last.
fn year(word: &str) -> Option<i16> {
    let word = bare(word);
    let is_year = word.len() == 4 && word.bytes().all(|digit| digit.is_ascii_digit());
    word.parse()
        .ok()
        .filter(|year| is_year && (1900..2100).contains(year))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::entry::Vehicle;
    use crate::vocabulary::money::Currency;
    use crate::vocabulary::position::Driven;

    fn read(text: &str) -> Option<(String, String)> {
        let vehicle = |slug: &str, name: &str| Vehicle {
            slug: slug.to_owned(),
            name: name.to_owned(),
            driven: Driven::Unsaid,
        };
        let context = Context {
            systems: Vec::new(),
            vehicles: vec![vehicle("wren", "Brindle Wren"), vehicle("d", "D")],
            currency: Currency::EUR,
        };
        Narrowed::of(text, &context).map(|narrowed| (narrowed.text, narrowed.said))
    }

    #[test]
    fn month_year_and_vehicle_are_taken_out_of_a_sentence() {
        for (text, left, said) in [
            (
                "What was wrong with the fan in March 2007 on digger D?",
                "What was wrong with the fan on digger",
                "looked only at d in March 2007",
            ),
            (
                "When did the horn fail, in Oct. of 2008?",
                "When did the horn fail,",
                "looked only in October 2008",
            ),
            (
                "What did I do in 2026 to the Brindle Wren's brakes?",
                "What did I do to the brakes?",
                "looked only at wren in 2026",
            ),
        ] {
            assert_eq!(
                read(text),
                Some((left.to_owned(), said.to_owned())),
                "{text}"
            );
        }
        for text in [
            "brakes March 2007",
            "Where is a spanner of 2008 mm?",
            "Where did I put a d shaped washer?",
            "When did I buy 2010 washers?",
        ] {
            assert_eq!(read(text), None, "{text}");
        }
    }
}
