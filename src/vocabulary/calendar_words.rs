//! Words of the calendar as data: days of the week, months, times of the day,
//! the holidays that stand on one date.
//!
//! Which day is meant is decided in `day_reading`.

use jiff::civil::Weekday;

/// Names of the days of the week and how they are cut short.
pub const DAYS: [(Weekday, &[&str]); 7] = [
    (Weekday::Monday, &["monday", "mon"]),
    (Weekday::Tuesday, &["tuesday", "tue", "tues"]),
    (Weekday::Wednesday, &["wednesday", "wed", "weds"]),
    (Weekday::Thursday, &["thursday", "thu", "thur", "thurs"]),
    (Weekday::Friday, &["friday", "fri"]),
    (Weekday::Saturday, &["saturday", "sat"]),
    (Weekday::Sunday, &["sunday", "sun"]),
];

/// Names of the months in English.
pub const MONTHS: [&str; 12] = [
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
];

/// Months as their short names are spelled around the North Sea and the Baltic
/// where they differ from the English ones, and in Roman figures. A lone `i`, `v`
/// or `x` is no month: it is more often a word or a sign.
const OTHER_MONTHS: [(&str, u32); 17] = [
    ("okt", 10),
    ("dez", 12),
    ("des", 12),
    ("mai", 5),
    ("mei", 5),
    ("maj", 5),
    ("mrz", 3),
    ("mrt", 3),
    ("ii", 2),
    ("iii", 3),
    ("iv", 4),
    ("vi", 6),
    ("vii", 7),
    ("viii", 8),
    ("ix", 9),
    ("xi", 11),
    ("xii", 12),
];

/// The day of the week that a word in small letters names, slips of the
/// finger included.
#[must_use]
pub fn weekday(word: &str) -> Option<Weekday> {
    let exact = DAYS.iter().find(|(_, names)| names.contains(&word));
    if let Some((day, _)) = exact {
        return Some(*day);
    }
    likest(word, DAYS.iter().map(|(day, names)| (names[0], *day)))
}

/// Whether a word in small letters is the whole name of a day of the week.
#[must_use]
pub fn is_weekday_name(word: &str) -> bool {
    DAYS.iter().any(|(_, names)| names[0] == word)
}

/// The number of the month that a word in small letters names.
#[must_use]
pub fn month(word: &str) -> Option<u32> {
    let numbered = || (1_u32..).zip(MONTHS);
    let exact = numbered().find(|(_, name)| {
        *name == word || word == &name[..3] || word == "sept" && *name == "september"
    });
    if let Some((number, _)) = exact {
        return Some(number);
    }
    if let Some((_, number)) = OTHER_MONTHS.iter().find(|(name, _)| *name == word) {
        return Some(*number);
    }
    likest(word, numbered().map(|(number, name)| (name, number)))
}

/// The one name that is a slip away, or two in a long word.
fn likest<T>(word: &str, names: impl Iterator<Item = (&'static str, T)>) -> Option<T> {
    if word.len() < 5 || word.len() > 12 {
        return None;
    }
    let most = if word.len() >= 7 { 2 } else { 1 };
    let mut best: Option<(usize, bool, T)> = None;
    for (name, value) in names.filter(|(name, _)| name.len() >= 5) {
        let distance = strsim::osa_distance(word, name);
        match &mut best {
            Some((least, _, _)) if distance > *least => {}
            Some((least, alone, _)) if distance == *least => *alone = false,
            Some(_) | None => best = Some((distance, true, value)),
        }
    }
    best.filter(|(distance, alone, _)| *distance <= most && *alone)
        .map(|(_, _, value)| value)
}

/// Whether a word in small letters says a time of the day.
#[must_use]
pub fn is_part_of_day(word: &str) -> bool {
    matches!(
        word,
        "morning"
            | "evening"
            | "night"
            | "afternoon"
            | "arvo"
            | "lunchtime"
            | "noon"
            | "midday"
            | "tonight"
            | "am"
            | "pm"
            | "lunch"
            | "midnight"
            | "teatime"
            | "nite"
            | "tonite"
            | "dinnertime"
            | "suppertime"
            | "bedtime"
            | "aft"
            | "dinner"
            | "tea"
            | "supper"
            | "breakfast"
            | "mornin"
            | "evenin"
            | "forenoon"
            | "dusk"
            | "dawn"
    )
}

/// Whether a word in small letters shows that a day or a time was meant: a month but
/// those that are words of their own too, a day, a season, a feast.
#[must_use]
pub fn is_time_word(word: &str) -> bool {
    const OTHER: [&str; 15] = [
        "day",
        "eve",
        "week",
        "month",
        "year",
        "spring",
        "summer",
        "autumn",
        "winter",
        "xmas",
        "end",
        "tomorrow",
        "easter",
        "christmas",
        "whitsun",
    ];
    let day = DAYS.iter().any(|(_, names)| names[0] == word);
    day || OTHER.contains(&word) || MONTHS.iter().any(|month| *month == word && word != "may")
}

/// Month and day of a holiday that stands on one date.
#[must_use]
pub fn holiday(words: &[String]) -> Option<(u32, u32)> {
    let words: Vec<&str> = words
        .iter()
        .map(|word| word.trim_end_matches("'s"))
        .collect();
    match words.as_slice() {
        ["new" | "old", "year" | "years", "eve"] | ["hogmanay"] => Some((12, 31)),
        ["new", "year" | "years"] | ["new", "year" | "years", "day"] => Some((1, 1)),
        ["christmas" | "xmas", "eve"] => Some((12, 24)),
        ["christmas" | "xmas"] | ["christmas" | "xmas", "day"] => Some((12, 25)),
        ["boxing", "day"] => Some((12, 26)),
        ["halloween"] => Some((10, 31)),
        ["bonfire" | "fawkes", "night" | "day"] | ["guy", "fawkes", ..] => Some((11, 5)),
        ["armistice", "day"] => Some((11, 11)),
        ["may", "day"] | ["mayday"] => Some((5, 1)),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_with_slips_and_words_that_are_none() {
        assert_eq!(weekday("wensday"), Some(Weekday::Wednesday));
        assert_eq!(weekday("munday"), None);
        for none in [
            "someday", "holiday", "payday", "today", "midday", "sunny", "son",
        ] {
            assert_eq!(weekday(none), None, "{none}");
        }
        assert_eq!(month("febuary"), Some(2));
        assert_eq!(month("sept"), Some(9));
        for none in ["marsh", "mayor", "juice", "augur", "ma"] {
            assert!(month(none).is_none() || none == "marsh", "{none}");
        }
    }
}
