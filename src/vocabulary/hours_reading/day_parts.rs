//! Times that are said for each part of the day: "2 hrs morning, 1.5 after lunch"; and
//! words that only stand for others.
//!
//! What the times come to is read in `hours_reading`.

use super::tokens::HoursToken;
use crate::vocabulary::calendar_words::is_part_of_day;

fn word(token: Option<&HoursToken>) -> &str {
    match token {
        Some(HoursToken::Word(word)) => word,
        Some(HoursToken::Number(_) | HoursToken::Sign(_)) | None => "",
    }
}

/// The tokens with the times of the parts of a day joined by plus signs. A time of the
/// clock stays what it is.
pub(super) fn joined_parts(tokens: Vec<HoursToken>) -> Vec<HoursToken> {
    const CLOCK: [&str; 9] = [
        "to", "til", "till", "until", "from", "between", "less", "minus", "at",
    ];
    let clock = |token: &HoursToken| match token {
        HoursToken::Word(word) => CLOCK.contains(&word.as_str()),
        HoursToken::Sign(sign) => matches!(sign, '-' | '('),
        HoursToken::Number(number) => number.contains(':'),
    };
    let numbers = tokens
        .iter()
        .filter(|token| matches!(token, HoursToken::Number(_)))
        .count();
    let parts = tokens
        .iter()
        .filter(|token| is_part_of_day(word(Some(token))))
        .count();
    if numbers < 2 || numbers != parts || tokens.iter().any(clock) {
        return tokens;
    }
    let mut out: Vec<HoursToken> = Vec::new();
    for token in tokens {
        let dropped = match &token {
            HoursToken::Word(word) => {
                is_part_of_day(word)
                    || matches!(
                        word.as_str(),
                        "in" | "the" | "after" | "before" | "this" | "and" | "then" | "on"
                    )
            }
            HoursToken::Sign(sign) => matches!(sign, ',' | ';' | '+' | '&'),
            HoursToken::Number(_) => false,
        };
        if !dropped {
            out.push(token);
        } else if !out.is_empty() && out.last() != Some(&HoursToken::Sign('+')) {
            out.push(HoursToken::Sign('+'));
        }
    }
    if out.last() == Some(&HoursToken::Sign('+')) {
        out.pop();
    }
    out
}

/// "Hour and a half" with its article, and minutes behind "an hour and" with their unit.
pub(super) fn with_units(mut tokens: Vec<HoursToken>) -> Vec<HoursToken> {
    if word(tokens.first()) == "hour" {
        tokens.insert(0, HoursToken::Word("an".to_owned()));
    }
    let count = tokens.len();
    let hours = |at: usize| matches!(word(tokens.get(at)), "hour" | "hours" | "hr" | "hrs" | "h");
    if count >= 3
        && hours(count - 3)
        && word(tokens.get(count - 2)) == "and"
        && let Some(HoursToken::Number(minutes)) = tokens.last()
        && minutes
            .parse::<u32>()
            .is_ok_and(|minutes| (5..60).contains(&minutes))
    {
        tokens.push(HoursToken::Word("min".to_owned()));
    }
    tokens
}
