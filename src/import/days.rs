//! Days in a column of a table, as people and spreadsheets write them.
//!
//! One column has one reading; where its cells allow several, it says so instead
//! of choosing. Days as one says them ("yesterday") are for `vocabulary::day_reading`.

use jiff::ToSpan;
use jiff::civil::Date;

use crate::vocabulary::calendar_words::MONTHS;

/// How the days of a column are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DayOrder {
    /// 2026-03-14
    YearMonthDay,
    /// 14.3.2026
    DayMonthYear,
    /// 3/14/2026
    MonthDayYear,
    /// 46095: days since the end of 1899, as spreadsheets count.
    DayNumber,
    /// 44633: days since the first day of 1904, as some spreadsheets count.
    DayNumber1904,
}

/// Why a column has no one reading, with cells that show it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum UnsureDays {
    /// This cell could be either day, and no other cell decides.
    Either {
        /// The cell.
        cell: String,
        /// Its readings.
        days: Vec<(DayOrder, Date)>,
    },
    /// These two cells contradict each other.
    Mixed(String, String),
}

impl DayOrder {
    /// The orders that are looked for. Numbers since 1904 have to be said: no
    /// cell shows them.
    const SEEN: [DayOrder; 4] = [
        DayOrder::YearMonthDay,
        DayOrder::DayMonthYear,
        DayOrder::MonthDayYear,
        DayOrder::DayNumber,
    ];

    /// The order in words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            DayOrder::YearMonthDay => "year, month, day",
            DayOrder::DayMonthYear => "day, month, year",
            DayOrder::MonthDayYear => "month, day, year",
            DayOrder::DayNumber => "a spreadsheet's day numbers",
            DayOrder::DayNumber1904 => "a spreadsheet's day numbers from 1904",
        }
    }

    /// The day in a cell; a time behind it is left out. A month in letters says
    /// itself where it stands.
    #[must_use]
    pub fn day(self, cell: &str) -> Option<Date> {
        let cell = cell.trim();
        match self {
            DayOrder::DayNumber => return numbered(cell, Date::constant(1899, 12, 30)),
            DayOrder::DayNumber1904 => return numbered(cell, Date::constant(1904, 1, 1)),
            DayOrder::YearMonthDay | DayOrder::DayMonthYear | DayOrder::MonthDayYear => {}
        }
        if let Some(day) = compact(cell).or_else(|| in_letters(cell)) {
            return Some(day);
        }
        let [first, second, third] = numbers(cell)?;
        let (year, month, day) = if first.len() == 4 {
            // A year in front is followed by its month, whatever the others do.
            (first, second, third)
        } else {
            match self {
                DayOrder::YearMonthDay => (first, second, third),
                DayOrder::DayMonthYear => (third, second, first),
                DayOrder::MonthDayYear => (third, first, second),
                DayOrder::DayNumber | DayOrder::DayNumber1904 => return None,
            }
        };
        date(year, month.parse().ok()?, day)
    }
}

/// How the days of these cells are written. Cells that are no day in any order
/// have no say.
///
/// # Errors
/// When several orders give different days, or none fits all cells.
pub fn day_order<'a>(cells: impl Iterator<Item = &'a str> + Clone) -> Result<DayOrder, UnsureDays> {
    let mut fitting = DayOrder::SEEN.to_vec();
    let mut narrowed_by = None;
    for cell in cells.clone() {
        let fits: Vec<DayOrder> = DayOrder::SEEN
            .into_iter()
            .filter(|order| order.day(cell).is_some())
            .collect();
        if fits.is_empty() {
            continue;
        }
        let both: Vec<DayOrder> = fitting
            .iter()
            .copied()
            .filter(|own| fits.contains(own))
            .collect();
        if both.is_empty() {
            let before: &str = narrowed_by.unwrap_or_default();
            return Err(UnsureDays::Mixed(before.trim().into(), cell.trim().into()));
        }
        if both.len() < fitting.len() {
            narrowed_by = Some(cell);
        }
        fitting = both;
    }
    for cell in cells {
        let mut days: Vec<(DayOrder, Date)> = Vec::new();
        for order in &fitting {
            if let Some(day) = order.day(cell)
                && days.iter().all(|(_, other)| *other != day)
            {
                days.push((*order, day));
            }
        }
        if days.len() > 1 {
            let cell = cell.trim().to_owned();
            return Err(UnsureDays::Either { cell, days });
        }
    }
    Ok(fitting.first().copied().unwrap_or(DayOrder::YearMonthDay))
}

/// The three numbers that a date is made of.
fn numbers(cell: &str) -> Option<[&str; 3]> {
    let day = cell.split([' ', 'T']).next()?;
    let mut parts = day.split(['-', '/', '.']);
    let mut next = || {
        let part = parts.next()?;
        let is_number = (1..=4).contains(&part.len()) && part.bytes().all(|b| b.is_ascii_digit());
        is_number.then_some(part)
    };
    let numbers = [next()?, next()?, next()?];
    parts.next().is_none().then_some(numbers)
}

/// `14-Mar-26`, `14 March 2026`, `Mar 14, 2026`, `Sat, 14 Mar 2026`.
fn in_letters(cell: &str) -> Option<Date> {
    let mut words = cell
        .split([' ', '-', '/', '.', ','])
        .filter(|word| !word.is_empty())
        .skip_while(|word| is_weekday(word));
    let [first, second, year] = [words.next()?, words.next()?, words.next()?];
    let (month, day) = match (month(first), month(second)) {
        (None, Some(month)) => (month, first),
        (Some(month), None) => (month, second),
        (None, None) | (Some(_), Some(_)) => return None,
    };
    let day = ["st", "nd", "rd", "th"]
        .iter()
        .find_map(|ending| day.strip_suffix(ending))
        .unwrap_or(day);
    if day.len() == 4 {
        // `2026 March 14`, `2026-Mar-14`
        return date(day, month, year);
    }
    date(year, month, day)
}

/// The number of a month by its name in English, or its first three letters.
fn month(word: &str) -> Option<i8> {
    let word = word.to_ascii_lowercase();
    let at = MONTHS.iter().position(|month| {
        *month == word || month[..3] == word || word == "sept" && *month == "september"
    })?;
    i8::try_from(at + 1).ok()
}

fn is_weekday(word: &str) -> bool {
    const DAYS: [&str; 7] = [
        "monday",
        "tuesday",
        "wednesday",
        "thursday",
        "friday",
        "saturday",
        "sunday",
    ];
    let word = word.to_ascii_lowercase();
    DAYS.iter().any(|day| *day == word || day[..3] == word)
}

/// `20260314` (ISO 8601, basic format).
fn compact(cell: &str) -> Option<Date> {
    let is_number = cell.len() == 8 && cell.bytes().all(|byte| byte.is_ascii_digit());
    if !is_number {
        return None;
    }
    date(&cell[..4], cell[4..6].parse().ok()?, &cell[6..]).filter(|day| day.year() >= 1800)
}

/// A number of days from a first day; a part of a day behind a mark is the time.
/// Only numbers of five digits: from 1927 to 2173, and no year is taken for one.
fn numbered(cell: &str, from: Date) -> Option<Date> {
    let (days, time) = cell.split_once(['.', ',']).unwrap_or((cell, "0"));
    let sound = days.len() == 5
        && [days, time]
            .iter()
            .all(|own| own.bytes().all(|b| b.is_ascii_digit()));
    let days: i64 = days.parse().ok().filter(|_| sound)?;
    from.checked_add(days.days()).ok()
}

/// A date of a year in four or two digits. Two digits are the years 1930 to 2029,
/// as spreadsheets read them (Microsoft, "Change the date system, format, or
/// two-digit year interpretation").
fn date(year: &str, month: i8, day: &str) -> Option<Date> {
    let number: i16 = year.parse().ok()?;
    let year = match year.len() {
        4 => number,
        2 if number < 30 => 2000 + number,
        2 => 1900 + number,
        _ => return None,
    };
    let day = day.parse().ok().filter(|_| day.len() <= 2)?;
    Date::new(year, month, day)
        .ok()
        .filter(|date| date.year() >= 1000)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_as_tables_hold_them() {
        use DayOrder::{DayMonthYear, DayNumber, DayNumber1904, MonthDayYear, YearMonthDay};
        for (order, cell, day) in [
            (YearMonthDay, "2026-03-14", Some("2026-03-14")),
            (YearMonthDay, "2026-03-14 00:00:00", Some("2026-03-14")),
            (YearMonthDay, "2026-03-14T08:15Z", Some("2026-03-14")),
            (YearMonthDay, "20260314", Some("2026-03-14")),
            (YearMonthDay, "26/03/14", Some("2026-03-14")),
            (DayMonthYear, "14.3.2026", Some("2026-03-14")),
            (DayMonthYear, "14/03/26", Some("2026-03-14")),
            (DayMonthYear, "2026-03-14", Some("2026-03-14")),
            (MonthDayYear, "03/15/26", Some("2026-03-15")),
            (MonthDayYear, "3/15/2026 12:00:00 AM", Some("2026-03-15")),
            (YearMonthDay, "14-Mar-26", Some("2026-03-14")),
            (YearMonthDay, "14-Mar-57", Some("1957-03-14")),
            (YearMonthDay, "14 March 2026", Some("2026-03-14")),
            (YearMonthDay, "Mar 14, 2026", Some("2026-03-14")),
            (
                YearMonthDay,
                "Saturday, 14th March 2026",
                Some("2026-03-14"),
            ),
            (YearMonthDay, "2026-Mar-14", Some("2026-03-14")),
            (DayNumber, "46095", Some("2026-03-14")),
            (DayNumber, "46095.7083", Some("2026-03-14")),
            (DayNumber1904, "44633", Some("2026-03-14")),
            (DayNumber, "2026", None),
            (DayMonthYear, "31/2/2026", None),
            (DayMonthYear, "14.3.", None),
            (YearMonthDay, "2026-03", None),
            (YearMonthDay, "March 2026", None),
            (YearMonthDay, "1.2.3.4", None),
        ] {
            let read = order.day(cell).map(|day| day.to_string());
            assert_eq!(read.as_deref(), day, "{cell}");
        }
    }

    #[test]
    fn one_column_has_one_order() {
        use DayOrder::{DayMonthYear, DayNumber, MonthDayYear, YearMonthDay};
        for (cells, order) in [
            (&["2026-03-04"][..], YearMonthDay),
            (&["14/3/2026", "3/4/2026"], DayMonthYear),
            (&["3/4/2026", "3/14/2026", "soon"], MonthDayYear),
            (&["3/14/26", "14-Mar-26"], MonthDayYear),
            (&["3/3/2026"], DayMonthYear),
            (&["46095", "46096.5", ""], DayNumber),
            (&["soon"], YearMonthDay),
        ] {
            assert_eq!(day_order(cells.iter().copied()), Ok(order), "{cells:?}");
        }
        for cells in [&["3/4/2026"][..], &["26-03-14"], &["03/04/05", "05/04/03"]] {
            let read = day_order(cells.iter().copied());
            assert!(
                matches!(read, Err(UnsureDays::Either { .. })),
                "{cells:?}: {read:?}"
            );
        }
        for cells in [&["14/3/2026", "3/14/2026"][..], &["2026-03-14", "46095"]] {
            let read = day_order(cells.iter().copied());
            assert!(
                matches!(read, Err(UnsureDays::Mixed(..))),
                "{cells:?}: {read:?}"
            );
        }
    }
}
