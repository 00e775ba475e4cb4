//! Times of day as people write them: "7", "9.30", "7pm", "noon".
//!
//! Knows no day and no duration but the one between two times.

use super::hours_reading::HoursToken;
use super::spoken_number::number_word;

/// A time of day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Clock {
    /// Minutes since midnight, as written.
    pub minute: u32,
    /// Before or after noon, where that was said.
    pub after_noon: Option<bool>,
    /// Whether the writing shows that it is a time of day.
    pub said: bool,
    /// Whether minutes were written behind a point, as in "9.30".
    pub minutes: bool,
    /// Whether it is "half three": half past three to some, half past two to others.
    pub is_half: bool,
}

/// The time of day at the start of tokens, and how many of them it takes.
pub(super) fn clock(tokens: &[HoursToken]) -> Option<(Clock, usize)> {
    let word = |at: usize| match tokens.get(at) {
        Some(HoursToken::Word(word)) => word.as_str(),
        Some(HoursToken::Number(_) | HoursToken::Sign(_)) | None => "",
    };
    let whole = |minute, after_noon| Clock {
        minute,
        after_noon: Some(after_noon),
        said: true,
        minutes: false,
        is_half: false,
    };
    match word(0) {
        "noon" | "midday" => return Some((whole(12 * 60, true), 1)),
        "midnight" => return Some((whole(12 * 60, false), 1)),
        _ => {}
    }
    if let Some(found) = spoken_clock(tokens) {
        return Some(found);
    }
    let spelled = number_word(word(0)).filter(|hour| (1..=12).contains(hour));
    let spelled = spelled.map(|hour| hour.to_string());
    let number = match (tokens.first()?, &spelled) {
        (HoursToken::Number(number), _) => number,
        (HoursToken::Word(_), Some(hour)) => hour,
        (HoursToken::Word(_) | HoursToken::Sign(_), _) => return None,
    };
    let (hour, minute) = match number.split_once([':', '.']) {
        Some((hour, minute)) if minute.len() == 2 => (hour, minute),
        Some(_) => return None,
        // "0830", "1745"
        None if number.len() == 4 => number.split_at(2),
        None => (number.as_str(), "0"),
    };
    // "18h30"
    if word(1) == "h"
        && let (Some(HoursToken::Number(minutes)), Ok(hours)) =
            (tokens.get(2), number.parse::<u32>())
        && minutes.len() == 2
        && (6..24).contains(&hours)
    {
        let minutes: u32 = minutes.parse().ok().filter(|minutes| *minutes < 60)?;
        let clock = Clock {
            minute: hours * 60 + minutes,
            after_noon: None,
            said: true,
            minutes: true,
            is_half: false,
        };
        return Some((clock, 3));
    }
    let hour: u32 = hour.parse().ok().filter(|hour| *hour <= 24)?;
    let minute: u32 = minute.parse().ok().filter(|minute| *minute < 60)?;
    let (after_noon, used) = match word(1) {
        "am" | "a" => (Some(false), 2),
        "pm" | "p" => (Some(true), 2),
        "uhr" | "o'clock" | "oclock" => (None, 2),
        // "14h": hours of the day only where nobody works so long.
        "h" if number.len() <= 2 => (None, 2),
        _ => (None, 1),
    };
    let clock = Clock {
        minute: hour * 60 + minute,
        after_noon: after_noon.filter(|_| hour <= 12),
        said: used == 2 && (word(1) != "h" || hour >= 13) || number.contains(':'),
        minutes: number.contains('.') || number.len() == 4,
        is_half: false,
    };
    Some((clock, used))
}

/// "half two", "quarter past nine", "ten to four", "20 past 2", "half two"
/// as in Britain and Ireland, half past.
fn spoken_clock(tokens: &[HoursToken]) -> Option<(Clock, usize)> {
    let word = |at: usize| match tokens.get(at) {
        Some(HoursToken::Word(word)) => word.as_str(),
        Some(HoursToken::Number(_) | HoursToken::Sign(_)) | None => "",
    };
    let number = |at: usize| match tokens.get(at) {
        Some(HoursToken::Number(digits)) => digits.parse::<u32>().ok(),
        Some(HoursToken::Word(word)) => number_word(word),
        Some(HoursToken::Sign(_)) | None => None,
    };
    let first = usize::from(word(0) == "a");
    let (minutes, mut at) = match word(first) {
        "half" => (30, first + 1),
        "quarter" => (15, first + 1),
        _ => (
            number(0).filter(|minutes| (5..60).contains(minutes) && minutes % 5 == 0)?,
            1,
        ),
    };
    if matches!(word(at), "min" | "mins" | "minutes") {
        at += 1;
    }
    let is_half = minutes == 30 && word(at) != "past" && word(at) != "gone" && first == 0;
    let before = match word(at) {
        "past" | "after" | "gone" => false,
        // "half to two" nobody says.
        "to" | "before" if minutes < 30 => true,
        _ if minutes == 30 && first == 0 => {
            at -= 1;
            false
        }
        _ => return None,
    };
    let hour = number(at + 1).filter(|hour| (1..=12).contains(hour))?;
    at += 2;
    let after_noon = match word(at) {
        "am" => Some(false),
        "pm" => Some(true),
        _ => None,
    };
    at += usize::from(after_noon.is_some());
    let minute = match before {
        true => (hour * 60 + 12 * 60 - minutes) % (12 * 60),
        false => hour * 60 + minutes,
    };
    let clock = Clock {
        minute,
        after_noon,
        said: true,
        minutes: false,
        is_half,
    };
    Some((clock, at))
}

impl Clock {
    /// Minutes from one time to the next other one, the hours that nobody
    /// said being the nearest that fit; `None` where both are the same.
    #[must_use]
    pub fn between(from: Clock, until: Clock) -> Option<u32> {
        const HALF: u32 = 12 * 60;
        let fixed = |clock: Clock| match clock.after_noon {
            Some(true) => clock.minute % HALF + HALF,
            Some(false) => clock.minute % HALF,
            None => clock.minute,
        };
        let mut start = fixed(from);
        let mut end = fixed(until);
        if from.after_noon.is_none() && until.after_noon == Some(true) && start < HALF {
            // "7-9pm" begins after noon, "11-1pm" before.
            let later = start + HALF;
            if later < end {
                start = later;
            }
        } else if until.after_noon.is_none() && from.after_noon == Some(true) && end <= HALF {
            let later = end % HALF + HALF;
            end = if later > start { later } else { end };
        }
        if end <= start
            && from.after_noon.is_none()
            && until.after_noon.is_none()
            && start <= HALF
            && end <= HALF
        {
            end += HALF;
        } else if end <= start {
            end += 2 * HALF;
        }
        (end > start && end - start < 2 * HALF).then(|| end - start)
    }
}
