//! What a question put as a whole sentence says besides its words: the month or year, and
//! the vehicle.

use jiff::civil::date;

use super::scope::DateSpan;
use crate::entry::Context;
use crate::index::is_question;
use crate::vocabulary::calendar_words::month;
use crate::vocabulary::vehicle_words::is_sort_of_vehicle;
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

/// Takes "in March 2007", "in 2007", "at the end of 2007" or "in 2007 and 2008" out of a
/// question. A season is its year.
fn take_days(words: &mut Vec<&str>) -> Option<(DateSpan, String)> {
    let (at, first) = (0..words.len()).find_map(|at| Some((at, year(words[at])?)))?;
    let folded = |at: usize| words.get(at).map_or(String::new(), |word| fold(bare(word)));
    let is_among = |at: usize, list: &[&str]| list.contains(&folded(at).as_str());
    let second = words.get(at + 2).and_then(|word| year(word));
    let last = second.filter(|last| *last > first && is_among(at + 1, &["and", "or", "to"]));
    let is_month = |at: &usize| month(&folded(*at)).is_some();
    let is_of_time =
        |at: &usize| is_month(at) || is_among(*at, &TIMES_OF_YEAR) || is_among(*at, &AROUND_TIMES);
    let begins = (0..at).rev().take_while(is_of_time).last().unwrap_or(at);
    let month_at = (begins..at).rev().find(is_month);
    let says_time = month_at.is_some() || (begins..at).any(|at| is_among(at, &TIMES_OF_YEAR));
    let joined = begins
        .checked_sub(1)
        .filter(|at| is_among(*at, &BEFORE_TIMES));
    if !says_time && joined.is_none() {
        return None;
    }
    let month = month_at.filter(|_| last.is_none());
    let month = month.and_then(|at| month_of(&folded(at)));
    let (since, until, said) = match (month, last) {
        (Some(month), _) => {
            let day = date(first, month, 1);
            (day, day.last_of_month(), day.strftime("%B %Y").to_string())
        }
        (None, None) => (date(first, 1, 1), date(first, 12, 31), first.to_string()),
        (None, Some(last)) => (
            date(first, 1, 1),
            date(last, 12, 31),
            format!("{first} to {last}"),
        ),
    };
    let ends = if last.is_some() { at + 2 } else { at };
    words.drain(joined.unwrap_or(begins)..=ends);
    let days = DateSpan {
        since: Some(since),
        until: Some(until),
    };
    Some((days, said))
}

/// The number of a month in a date.
fn month_of(name: &str) -> Option<i8> {
    i8::try_from(month(name)?).ok()
}

/// With these a time begins.
const BEFORE_TIMES: [&str; 8] = [
    "about", "around", "at", "between", "by", "during", "from", "in",
];

/// Words that say what time of a year is meant.
const TIMES_OF_YEAR: [&str; 16] = [
    "autumn",
    "beginning",
    "christmas",
    "early",
    "easter",
    "end",
    "fall",
    "half",
    "late",
    "middle",
    "months",
    "spring",
    "start",
    "summer",
    "winter",
    "years",
];

/// Words that may stand among those.
const AROUND_TIMES: [&str; 7] = ["first", "of", "or", "second", "the", "to", "year"];

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
                let sort = fold(bare(words[at - 1]));
                let is_called = at > 1 && is_sort_of_vehicle(&sort);
                words.drain(at - usize::from(is_called)..at + count);
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
                "What was wrong with the fan on",
                "looked only at d in March 2007",
            ),
            (
                "What did the engine cost at the end of 2012?",
                "What did the engine cost",
                "looked only in 2012",
            ),
            (
                "Which jobs in 2008 and 2009 were done elsewhere?",
                "Which jobs were done elsewhere?",
                "looked only in 2008 to 2009",
            ),
            (
                "What broke just before Christmas 2007?",
                "What broke just before",
                "looked only in 2007",
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
