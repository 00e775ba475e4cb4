//! The day in a file's name, in a heading or behind a key of front matter.
//!
//! A day that can be read two ways is both: the person is asked, never guessed for.

use jiff::civil::Date;

use crate::import::days::DayOrder;

/// The days that stand first in some words.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct NoteDays {
    /// The day; several where the order of its numbers is open, none where there is none.
    pub days: Vec<Date>,
    /// The words without it and without the signs and weekdays around it.
    pub rest: String,
}

/// Orders in which numbers may stand.
const ORDERS: [DayOrder; 3] = [
    DayOrder::YearMonthDay,
    DayOrder::DayMonthYear,
    DayOrder::MonthDayYear,
];

/// Finds the first day in some words: `2026-03-14 tank`, `20260314`, `14 March 2026`,
/// `tank_14.3.2026`. A year of two digits counts only between points or strokes, as in
/// `14.3.26`. `order` says what the person said about the order.
#[must_use]
pub fn note_days(words: &str, order: Option<DayOrder>) -> NoteDays {
    let runs = runs(words);
    for first in 0..runs.len() {
        for count in [3, 1] {
            let Some(run) = runs.get(first..first + count) else {
                continue;
            };
            let days = days_of(words, run, order);
            if days.is_empty() {
                continue;
            }
            let (from, until) = (run[0].0, run[count - 1].1);
            let before = without_weekday(words[..from].trim_end_matches(is_joint));
            let rest = format!("{before} {}", words[until..].trim_start_matches(is_joint));
            let rest = rest.trim_matches(is_joint).to_owned();
            return NoteDays { days, rest };
        }
    }
    NoteDays {
        days: Vec::new(),
        rest: words.trim().to_owned(),
    }
}

/// Where letters and digits stand together: begin and end of each run.
fn runs(words: &str) -> Vec<(usize, usize)> {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for (at, sign) in words.char_indices() {
        if !sign.is_alphanumeric() {
            continue;
        }
        let end = at + sign.len_utf8();
        match runs.last_mut() {
            Some((_, last)) if *last == at => *last = end,
            Some(_) | None => runs.push((at, end)),
        }
    }
    runs
}

fn days_of(words: &str, run: &[(usize, usize)], order: Option<DayOrder>) -> Vec<Date> {
    let piece = |at: usize| &words[run[at].0..run[at].1];
    let is_number = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
    let written = match run {
        // A day with its time: `20260314T2105`.
        [_] => {
            let own = piece(0);
            let date = own.split_once('T').map_or(own, |(date, _)| date);
            match date.len() == 8 && is_number(date) {
                true => date.to_owned(),
                false => return Vec::new(),
            }
        }
        [_, _, _] => {
            let pieces = [
                piece(0),
                piece(1),
                piece(2).split('T').next().unwrap_or_default(),
            ];
            let gap = |one: usize| &words[run[one].1..run[one + 1].0];
            let is_short = |gap: &str| gap.chars().count() <= 2;
            let is_all_numbers = pieces.iter().all(|piece| is_number(piece));
            let has_year = pieces
                .iter()
                .any(|piece| piece.len() == 4 && is_number(piece));
            let is_joined = gap(0) == gap(1) && matches!(gap(0), "-" | "." | "/" | "_" | " ");
            let is_date = match is_all_numbers {
                true => is_joined && (has_year || matches!(gap(0), "." | "/")),
                false => has_year && is_short(gap(0)) && is_short(gap(1)),
            };
            match is_date {
                true => pieces.join("-"),
                false => return Vec::new(),
            }
        }
        _ => return Vec::new(),
    };
    let orders: Vec<DayOrder> = match order {
        Some(order) => vec![order],
        None => ORDERS.to_vec(),
    };
    let mut days: Vec<Date> = Vec::new();
    for order in orders {
        if let Some(day) = order.day(&written)
            && (1900..2100).contains(&day.year())
            && !days.contains(&day)
        {
            days.push(day);
        }
    }
    days
}

/// Signs between a day and the words around it.
fn is_joint(sign: char) -> bool {
    sign.is_whitespace()
        || matches!(
            sign,
            '-' | '_' | ',' | ':' | ';' | '.' | '–' | '—' | '(' | ')' | '[' | ']' | '#'
        )
}

/// Words without a weekday at their end.
fn without_weekday(words: &str) -> &str {
    const DAYS: [&str; 7] = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"];
    let from = words.rfind(is_joint).map_or(0, |at| at + 1);
    let last = words.get(from..).unwrap_or_default().to_lowercase();
    let is_day = last.is_ascii()
        && DAYS.iter().any(|day| last.starts_with(day))
        && (last.len() == 3 || last.ends_with("day"));
    match is_day {
        true => words[..from].trim_end_matches(is_joint),
        false => words,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_as_names_and_headings_have_them() {
        for (words, expected, rest) in [
            ("2026-03-14-tank-out", &["2026-03-14"][..], "tank-out"),
            ("2026_03_14 tank", &["2026-03-14"], "tank"),
            ("20260314", &["2026-03-14"], ""),
            ("IMG 20260314T2105", &["2026-03-14"], "IMG"),
            (
                "Saturday, 14th March 2026: the tank",
                &["2026-03-14"],
                "the tank",
            ),
            ("The tank (March 14, 2026)", &["2026-03-14"], "The tank"),
            ("2026-03-14T21:05:00+01:00", &["2026-03-14"], "05:00+01:00"),
            ("tank 25.3.2026", &["2026-03-25"], "tank"),
            ("3/4/2026", &["2026-04-03", "2026-03-04"], ""),
            ("rebuild notes", &[], "rebuild notes"),
            ("bag 3 4 12", &[], "bag 3 4 12"),
            ("M10-1-25 bolts", &[], "M10-1-25 bolts"),
            ("part 12345678", &[], "part 12345678"),
        ] {
            let found = note_days(words, None);
            let days: Vec<String> = found.days.iter().map(ToString::to_string).collect();
            assert_eq!(days, expected, "{words}");
            assert_eq!(found.rest, rest, "{words}");
        }
        let said = note_days("3/4/2026", Some(DayOrder::MonthDayYear));
        assert_eq!(said.days, [jiff::civil::date(2026, 3, 4)]);
    }
}
