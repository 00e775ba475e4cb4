//! Days as people say them: "thursday", "14.3.", "two days ago", "mar 14th".
//!
//! The day they are counted from is handed in; nothing here looks at a clock.

use jiff::civil::{Date, ISOWeekDate, Weekday, date};
use jiff::{Span, ToSpan};

use super::calendar_words::{holiday, is_part_of_day, month, weekday};
use super::day::read_date;
use super::hours_reading::{HoursToken, tokens};
use super::spoken_number::number_word;
use super::words::{fold, one_slip};

/// Whether a day without a year or a week lies behind or ahead.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Toward {
    /// The latest one up to the given day.
    Past,
    /// The next one from the given day.
    Coming,
}

/// What was read of a day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ReadDay {
    /// It can only mean this.
    Exactly(Date),
    /// It can mean any of these.
    Either(Vec<Date>),
    /// No day.
    Unread,
}

/// Bytes of the longest day that is read.
const LONGEST_DAY: usize = 60;

/// Reads a day as one says it, counted from `today`. A month (`2026-03`)
/// means its first day.
#[must_use]
pub fn read_day(text: &str, today: Date, toward: Toward) -> ReadDay {
    if text.len() > LONGEST_DAY {
        return ReadDay::Unread;
    }
    let folded = fold(text);
    let month = (folded.len() == 7)
        .then(|| read_date(&format!("{folded}-01")))
        .flatten();
    if let Some(date) = read_date(&folded).or(month) {
        return ReadDay::Exactly(date);
    }
    let said = SaidDay::of(&folded);
    match said.relative(today, toward) {
        ReadDay::Unread => {}
        found @ (ReadDay::Exactly(_) | ReadDay::Either(_)) => return found,
    }
    let mut days: Vec<Date> = Vec::new();
    for day in said.days(today, toward) {
        if !days.contains(&day) {
            days.push(day);
        }
    }
    match days.as_slice() {
        [] => ReadDay::Unread,
        [one] => ReadDay::Exactly(*one),
        _ => ReadDay::Either(days),
    }
}

/// A day in its words: what is no number, the numbers, and their separator.
#[derive(Debug, Default)]
struct SaidDay {
    words: Vec<String>,
    /// Numbers that stand together, as "3/14", or alone.
    numbers: Vec<Vec<u32>>,
    /// Whether points part the numbers.
    pointed: bool,
    /// Whether a number was said as "14th".
    ordinal: bool,
    /// Whether dashes part the numbers.
    dashed: bool,
}

impl SaidDay {
    fn of(folded: &str) -> SaidDay {
        const JOINING: [&str; 6] = ["on", "the", "of", "at", "in", "late"];
        let mut said = SaidDay::default();
        let tokens = without_errand(tokens(folded));
        let mut dash = false;
        for (at, token) in tokens.iter().enumerate() {
            match token {
                HoursToken::Number(number) => {
                    // "26.XI.2026": the point before the year ends the month.
                    let number = number.trim_start_matches('.').to_owned();
                    said.pointed |= number.contains('.');
                    let numbers: Option<Vec<u32>> = number
                        .split(['.', '/'])
                        .map(|part| {
                            part.parse()
                                .ok()
                                .filter(|_| part.len() <= 4 || part.len() == 8)
                        })
                        .collect();
                    let Some(numbers) = numbers else {
                        said.words.push(number.clone());
                        continue;
                    };
                    match said.numbers.last_mut().filter(|_| dash) {
                        Some(group) => group.extend(numbers),
                        None => said.numbers.push(numbers),
                    }
                    dash = false;
                }
                HoursToken::Word(word) if matches!(word.as_str(), "st" | "nd" | "rd" | "th") => {
                    said.ordinal = true
                }
                HoursToken::Word(word) if JOINING.contains(&word.as_str()) => {}
                HoursToken::Word(word)
                    if ordinal(word).is_some()
                        && (at == 0 || matches!(tokens.get(at - 1), Some(HoursToken::Word(_)))) =>
                {
                    said.ordinal = true;
                    said.numbers
                        .extend(ordinal(word).map(|number| vec![number]));
                }
                HoursToken::Word(word) => said.words.push(word.clone()),
                HoursToken::Sign(mark @ ('-' | '/')) => {
                    let number =
                        |token: Option<&HoursToken>| matches!(token, Some(HoursToken::Number(_)));
                    dash = at > 0 && number(tokens.get(at - 1)) && number(tokens.get(at + 1));
                    said.dashed |= dash && *mark == '-';
                }
                HoursToken::Sign('.' | ',' | '\'') => {}
                HoursToken::Sign(sign) => said.words.push(sign.to_string()),
            }
        }
        // "14. 3. 26"
        if said.numbers.len() > 1
            && said.words.iter().all(|word| weekday(word).is_some())
            && folded.contains('.')
        {
            let all = said.numbers.concat();
            said.numbers = vec![all];
            said.pointed = true;
        }
        said
    }

    /// The day as its distance, if it is said so.
    fn relative(&self, today: Date, toward: Toward) -> ReadDay {
        let mut words = self.words.clone();
        match self.numbers.as_slice() {
            [] => {}
            [count] if count.len() == 1 && words.last().is_some_and(|word| is_ago(word)) => {
                words.insert(0, count[0].to_string());
            }
            _ => return ReadDay::Unread,
        }
        relative(&words, today, toward)
    }

    /// All days that a date can be, the likelier first.
    fn days(&self, today: Date, toward: Toward) -> Vec<Date> {
        let mut named = None;
        let mut in_month = None;
        let in_week = self
            .words
            .iter()
            .any(|word| matches!(word.as_str(), "wk" | "week" | "kw" | "cw"));
        // Letters of business: of this month, of the last, of the next.
        let mut told_month = 0;
        // "dec 19 last year"
        let (said, years_ago) = match self.words.as_slice() {
            [said @ .., last, year] if year == "year" && last == "last" => (said, Some(1)),
            [said @ .., this, year] if year == "year" && this == "this" => (said, Some(0)),
            said => (said, None),
        };
        for word in said {
            match word.as_str() {
                "inst" | "instant" if self.ordinal => {
                    told_month = today.month();
                    continue;
                }
                "ult" | "ultimo" if self.ordinal => {
                    told_month = if today.month() == 1 {
                        12
                    } else {
                        today.month() - 1
                    };
                    continue;
                }
                "wk" | "week" | "kw" | "cw" if !self.numbers.is_empty() => continue,
                _ => {}
            }
            if let Some(day) = weekday(word).filter(|_| named.is_none()) {
                named = Some(day);
            } else if let Some(number) = month(word).filter(|_| in_month.is_none()) {
                in_month = Some(number);
            } else if !is_part_of_day(word) {
                return holiday(&self.words)
                    .and_then(|(month, day)| without_year(month, day, today, toward))
                    .into_iter()
                    .collect();
            }
        }
        let mut numbers: Vec<u32> = self.numbers.concat();
        if let Some(ago) = years_ago {
            if in_month.is_none() || numbers.len() != 1 {
                return Vec::new();
            }
            numbers.extend(u32::try_from(today.year() - ago));
        }
        let whole = |year: u32, month: u32, day: u32| {
            let year = if year < 100 { year + 2000 } else { year };
            let year = i16::try_from(year).ok()?;
            Date::new(year, i8::try_from(month).ok()?, i8::try_from(day).ok()?).ok()
        };
        let yearless = |month: u32, day: u32| without_year(month, day, today, toward);
        let found: Vec<Option<Date>> = match (in_month, numbers.as_slice()) {
            (None, [week]) if in_week => vec![in_numbered_week(*week, named, today, toward)],
            (None, [day]) if told_month != 0 && self.ordinal => {
                vec![in_told_month(*day, told_month, today)]
            }
            (Some(month), [day]) => around(yearless(month, *day), today, toward),
            (Some(month), [day, year]) => vec![whole(*year, month, *day)],
            (None, [packed]) if *packed > 9_999_999 => {
                vec![whole(packed / 10_000, packed / 100 % 100, packed % 100)]
            }
            (None, [day]) if self.ordinal || named.is_some() => {
                vec![in_some_month(*day, named, today, toward)]
            }
            (None, [first, second]) if self.numbers.len() == 1 => {
                let days = self.both(&[yearless(*second, *first), yearless(*first, *second)]);
                let all = days.into_iter().flatten();
                all.flat_map(|day| around(Some(day), today, toward))
                    .collect()
            }
            (None, [year, month, day]) if *year > 999 => vec![whole(*year, *month, *day)],
            (None, [first, second, year]) => {
                let mut days =
                    self.both(&[whole(*year, *second, *first), whole(*year, *first, *second)]);
                // "26-11-20": the year may stand first, where that is the later one.
                let other = days.iter().any(Option::is_some);
                if self.dashed && other && first > year && *year < 100 {
                    days.push(whole(*first, *second, *year));
                }
                days
            }
            (_, _) => Vec::new(),
        };
        let fits = |day: &Date| named.is_none_or(|named| day.weekday() == named);
        found.into_iter().flatten().filter(fits).collect()
    }

    /// Day first and month first; behind points the day comes first wherever
    /// there is such a day.
    fn both(&self, days: &[Option<Date>]) -> Vec<Option<Date>> {
        if self.pointed {
            let first = days.iter().flatten().next();
            return vec![first.copied()];
        }
        days.to_vec()
    }
}

/// A day of the month in words: "first", "tenth".
fn ordinal(word: &str) -> Option<u32> {
    const ORDINALS: [&str; 12] = [
        "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth",
        "tenth", "eleventh", "twelfth",
    ];
    let at = ORDINALS.iter().position(|known| *known == word)?;
    u32::try_from(at + 1).ok()
}

/// The tokens without what only says when on that day: "after work", "before tea".
fn without_errand(mut tokens: Vec<HoursToken>) -> Vec<HoursToken> {
    let word = |token: Option<&HoursToken>| match token {
        Some(HoursToken::Word(word)) => word.clone(),
        Some(HoursToken::Number(_) | HoursToken::Sign(_)) | None => String::new(),
    };
    let errand = |word: &str| {
        is_part_of_day(word) || matches!(word, "work" | "school" | "church" | "dark" | "hours")
    };
    let at = (0..tokens.len()).find(|at| {
        matches!(word(tokens.get(*at)).as_str(), "after" | "before")
            && errand(&word(tokens.get(at + 1)))
    });
    if let Some(at) = at.filter(|at| *at > 0) {
        tokens.drain(at..at + 2);
    }
    tokens
}

/// The day of a week of the year, as ISO 8601 counts weeks: the nearest such year.
fn in_numbered_week(
    week: u32,
    named: Option<Weekday>,
    today: Date,
    toward: Toward,
) -> Option<Date> {
    let week = i8::try_from(week).ok()?;
    let step = match toward {
        Toward::Past => -1,
        Toward::Coming => 1,
    };
    (0..2)
        .filter_map(|years| {
            let year = today.year() + step * years;
            ISOWeekDate::new(year, week, named?)
                .ok()
                .map(ISOWeekDate::date)
        })
        .find(|found| match toward {
            Toward::Past => *found <= today,
            Toward::Coming => *found >= today,
        })
}

/// A day of this month or of the one before it.
fn in_told_month(day: u32, month: i8, today: Date) -> Option<Date> {
    let year = today.year() - i16::from(month > today.month());
    Date::new(year, month, i8::try_from(day).ok()?).ok()
}

/// The nearest such day of a year that is not said.
fn without_year(month: u32, day: u32, today: Date, toward: Toward) -> Option<Date> {
    let (month, day) = (i8::try_from(month).ok()?, i8::try_from(day).ok()?);
    let step = match toward {
        Toward::Past => -1,
        Toward::Coming => 1,
    };
    (0..9)
        .filter_map(|years| Date::new(today.year() + step * years, month, day).ok())
        .find(|found| match toward {
            Toward::Past => *found <= today,
            Toward::Coming => *found >= today,
        })
}

/// A day without a year that will come within a month: it may be that of last
/// year, or a slip.
fn around(day: Option<Date>, today: Date, toward: Toward) -> Vec<Option<Date>> {
    let soon = day
        .filter(|_| toward == Toward::Past)
        .and_then(|day| Date::new(day.year() + 1, day.month(), day.day()).ok())
        .filter(|next| *next > today && today.checked_add(31.days()).is_ok_and(|end| *next <= end));
    std::iter::once(day).chain(soon.map(Some)).collect()
}

/// "the 21st", "friday 13": the nearest such day of a month.
fn in_some_month(day: u32, named: Option<Weekday>, today: Date, toward: Toward) -> Option<Date> {
    let day = i8::try_from(day).ok()?;
    let months = if named.is_some() { 2 } else { 12 };
    (0..months)
        .filter_map(|months| {
            let span = Span::new().months(months);
            let first = date(today.year(), today.month(), 1);
            let month = match toward {
                Toward::Past => first.checked_sub(span),
                Toward::Coming => first.checked_add(span),
            };
            let month = month.ok()?;
            Date::new(month.year(), month.month(), day).ok()
        })
        .filter(|found| named.is_none_or(|named| found.weekday() == named))
        .find(|found| match toward {
            Toward::Past => *found <= today,
            Toward::Coming => *found >= today,
        })
}

/// Days said by their distance: "yesterday evening", "two days ago", "last
/// sunday".
fn relative(words: &[String], today: Date, toward: Toward) -> ReadDay {
    let exactly = |day: Result<Date, jiff::Error>| day.map_or(ReadDay::Unread, ReadDay::Exactly);
    let parts = words.iter().any(|word| is_part_of_day(word));
    let words: Vec<&str> = words
        .iter()
        .map(String::as_str)
        .filter(|word| !is_part_of_day(word))
        .collect();
    match words.as_slice() {
        ["today" | "now"] => return ReadDay::Exactly(today),
        ["this"] | [] if parts => return ReadDay::Exactly(today),
        ["last"] if parts => return exactly(today.yesterday()),
        ["tomorrow"] => return exactly(today.tomorrow()),
        ["yesterday" | "yest" | "yday" | "yesterdays"] => return exactly(today.yesterday()),
        // "a week ago today"
        [rest @ .., last, "today"] if is_ago(last) => {
            return span(rest).map_or(ReadDay::Unread, |span| exactly(today.checked_sub(span)));
        }
        ["day", "before", "yesterday"] => return exactly(today.checked_sub(2.days())),
        [word] if one_slip(word, "yesterday") => return exactly(today.yesterday()),
        [rest @ .., last] if is_ago(last) => {
            return span(rest).map_or(ReadDay::Unread, |span| exactly(today.checked_sub(span)));
        }
        _ => {}
    }
    named_day(&words, today, toward)
}

fn is_ago(word: &str) -> bool {
    matches!(word, "ago" | "back" | "earlier")
}

/// "3 days", "a week", "a fortnight".
fn span(words: &[&str]) -> Option<Span> {
    let (count, unit) = match words {
        [unit @ ("week" | "fortnight" | "month" | "year")] => (1, *unit),
        ["a" | "an" | "one", unit] => (1, *unit),
        [count, unit] => (
            number_word(count)
                .map(i64::from)
                .or_else(|| count.parse().ok())?,
            *unit,
        ),
        _ => return None,
    };
    (count < 10_000).then_some(())?;
    Some(match unit {
        "day" | "days" | "night" | "nights" | "evening" | "evenings" => count.days(),
        "week" | "weeks" => count.weeks(),
        "fortnight" | "fortnights" => (count * 2).weeks(),
        "month" | "months" => count.months(),
        "year" | "years" => count.years(),
        _ => return None,
    })
}

/// "thursday", "last sunday", "sunday just gone", "tuesday last week".
fn named_day(words: &[&str], today: Date, toward: Toward) -> ReadDay {
    let found = words
        .iter()
        .enumerate()
        .find_map(|(at, word)| Some((at, weekday(word)?)));
    let Some((at, wanted)) = found else {
        return ReadDay::Unread;
    };
    let (before, behind) = (&words[..at], &words[at + 1..]);
    let days = |day: Date, days: i64| day.checked_add(days.days()).ok();
    let Ok(recent) = today.nth_weekday(-1, wanted) else {
        return ReadDay::Unread;
    };
    let Ok(next) = today.nth_weekday(1, wanted) else {
        return ReadDay::Unread;
    };
    let is_today = today.weekday() == wanted;
    let since_monday = i64::from(today.weekday().to_monday_zero_offset());
    let this_week = days(today, -since_monday).is_some_and(|monday| recent >= monday);
    let either = |all: Vec<Option<Date>>| ReadDay::Either(all.into_iter().flatten().collect());
    match (before, behind, toward) {
        ([], [], Toward::Past) if is_today => either(vec![Some(today), Some(recent)]),
        ([], [], Toward::Past)
        | (["past"], [], _)
        | ([], ["past"] | ["just", "gone"] | ["gone"], _) => ReadDay::Exactly(recent),
        (["last"], [], _) | ([], ["last"], _) if this_week => {
            either(vec![Some(recent), days(recent, -7)])
        }
        (["last"], [], _) | ([], ["last"], _) => ReadDay::Exactly(recent),
        ([], ["last", "week"], _) | (["last", "week"], [], _) => {
            let offset = i64::from(wanted.to_monday_zero_offset());
            days(today, offset - since_monday - 7).map_or(ReadDay::Unread, ReadDay::Exactly)
        }
        ([] | ["this"], [], Toward::Coming) => ReadDay::Exactly(next),
        ([], ["this", "week"], Toward::Past) if this_week => ReadDay::Exactly(recent),
        (["this"], [], Toward::Past) if is_today => ReadDay::Exactly(today),
        (["this"], [], Toward::Past) => either(vec![Some(recent), Some(next)]),
        (["next"], [], _) => either(vec![Some(next), days(next, 7)]),
        (_, _, _) => ReadDay::Unread,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 2026-11-28 is a Saturday.
    fn read(text: &str, toward: Toward) -> String {
        match read_day(text, date(2026, 11, 28), toward) {
            ReadDay::Exactly(day) => day.to_string(),
            ReadDay::Either(days) => {
                let days: Vec<String> = days.iter().map(ToString::to_string).collect();
                days.join(" or ")
            }
            ReadDay::Unread => "?".to_owned(),
        }
    }

    #[test]
    fn days_that_have_been() {
        for (text, day) in [
            ("today", "2026-11-28"),
            ("this morning", "2026-11-28"),
            ("Yesterday", "2026-11-27"),
            ("yesterday teatime", "2026-11-27"),
            ("friday after work", "2026-11-27"),
            ("this aft", "2026-11-28"),
            ("week ago today", "2026-11-21"),
            ("first of november", "2026-11-01"),
            ("nov the tenth", "2026-11-10"),
            ("bonfire night", "2026-11-05"),
            ("thursday last", "2026-11-26 or 2026-11-19"),
            ("yesteday", "2026-11-27"),
            ("yesterday evening", "2026-11-27"),
            ("last night", "2026-11-27"),
            ("the day before yesterday", "2026-11-26"),
            ("5 okt", "2026-10-05"),
            ("2. mai", "2026-05-02"),
            ("7.IX.2026", "2026-09-07"),
            ("7 iv 2026", "2026-04-07"),
            ("12th inst.", "2026-11-12"),
            ("20th ult.", "2026-10-20"),
            ("monday wk 46", "2026-11-09"),
            ("friday of week 45", "2026-11-06"),
            ("thursday", "2026-11-26"),
            ("thurs", "2026-11-26"),
            ("thrusday", "2026-11-26"),
            ("wensday", "2026-11-25"),
            ("Fri arvo", "2026-11-27"),
            ("last sunday", "2026-11-22"),
            ("last saturday", "2026-11-21"),
            ("sunday just gone", "2026-11-22"),
            ("tuesday last week", "2026-11-17"),
            ("dec 19 last year", "2025-12-19"),
            ("3rd march last year", "2025-03-03"),
            ("14 feb this year", "2026-02-14"),
            ("2 days ago", "2026-11-26"),
            ("two weeks ago", "2026-11-14"),
            ("a fortnight ago", "2026-11-14"),
            ("3/14", "2026-03-14"),
            ("14/3", "2026-03-14"),
            ("14.3.", "2026-03-14"),
            ("14.3.26", "2026-03-14"),
            ("14. 3. 2026", "2026-03-14"),
            ("3.4.", "2026-04-03"),
            ("5/5", "2026-05-05"),
            ("14 March", "2026-03-14"),
            ("30 Dec", "2025-12-30"),
            ("mar 14th", "2026-03-14"),
            ("14th of march", "2026-03-14"),
            ("14-Mar-26", "2026-03-14"),
            ("Nov. 14, 2026", "2026-11-14"),
            ("2026-3-1", "2026-03-01"),
            ("2026/11/9", "2026-11-09"),
            ("20260301", "2026-03-01"),
            ("2025-11", "2025-11-01"),
            ("21/11/26", "2026-11-21"),
            ("Tuesday 10/11", "2026-11-10"),
            ("the 21st", "2026-11-21"),
            ("fri 13th", "2026-11-13"),
            ("new year's eve", "2025-12-31"),
            ("boxing day", "2025-12-26"),
            ("29 feb", "2024-02-29"),
        ] {
            assert_eq!(read(text, Toward::Past), day, "{text}");
        }
    }

    #[test]
    fn days_that_are_asked_about() {
        for (text, days) in [
            ("3/4", "2026-04-03 or 2026-03-04"),
            ("03/04/26", "2026-04-03 or 2026-03-04"),
            ("3-4-26", "2026-04-03 or 2026-03-04"),
            ("26-11-20", "2020-11-26 or 2026-11-20"),
            ("saturday", "2026-11-28 or 2026-11-21"),
            ("december 5", "2025-12-05 or 2026-12-05"),
            ("last friday", "2026-11-27 or 2026-11-20"),
            ("this monday", "2026-11-23 or 2026-11-30"),
            ("the other day", "?"),
            ("one evening last week", "?"),
            ("week 47", "?"),
            ("31/11/2026", "?"),
            ("monday 10/11", "?"),
            ("march", "?"),
            ("soon", "?"),
            ("a couple of days ago", "?"),
            ("abc1234", "?"),
            ("14", "?"),
            ("1,250", "?"),
            ("", "?"),
        ] {
            assert_eq!(read(text, Toward::Past), days, "{text}");
        }
    }

    #[test]
    fn days_that_are_to_come() {
        for (text, day) in [
            ("friday", "2026-12-04"),
            ("saturday", "2026-12-05"),
            ("tomorrow", "2026-11-29"),
            ("14 march", "2027-03-14"),
            ("14.12.", "2026-12-14"),
            ("christmas", "2026-12-25"),
            ("3/4", "2027-04-03 or 2027-03-04"),
        ] {
            assert_eq!(read(text, Toward::Coming), day, "{text}");
        }
    }

    proptest::proptest! {
        #[test]
        fn any_text_can_be_read(text in "([0-9]{1,9}|[./, -]|mar|fri|last|ago|days|\\PC){0,8}") {
            let _ = read_day(&text, date(2026, 11, 28), Toward::Past);
            let _ = read_day(&text, date(2026, 11, 28), Toward::Coming);
        }
    }
}
