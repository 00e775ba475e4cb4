//! Time worked, exact, in whole minutes.

use serde::{Deserialize, Serialize};
use std::fmt;

use super::words::straighten;

/// A duration in whole minutes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Minutes(pub u32);

impl Minutes {
    /// Reads `3:15`, `1.5`, `2`, `½`, `1½`; an `h` or `hours` after it is
    /// allowed, and `45 min` means minutes. Decimals are rounded to the
    /// nearest minute.
    #[must_use]
    pub fn read(text: &str) -> Option<Minutes> {
        let plain = straighten(text.trim()).to_lowercase();
        if let Some(minutes) = ["minutes", "minute", "mins", "min"]
            .iter()
            .find_map(|unit| plain.strip_suffix(unit))
        {
            return whole(minutes.trim()).map(Minutes);
        }
        let hours = ["hours", "hour", "hrs", "h"]
            .iter()
            .find_map(|unit| plain.strip_suffix(unit))
            .unwrap_or(&plain)
            .trim();
        if let Some((hours, minutes)) = hours.split_once(':') {
            let minutes = whole(minutes).filter(|_| minutes.len() == 2)?;
            return (minutes < 60)
                .then(|| whole(hours)?.checked_mul(60)?.checked_add(minutes))
                .flatten()
                .map(Minutes);
        }
        if let Some(fraction) = fraction(hours) {
            return Some(Minutes(fraction));
        }
        let (hours, decimals) = hours.split_once('.').unwrap_or((hours, "0"));
        if decimals.len() > 4 {
            return None;
        }
        let scale = 10_u32.pow(u32::try_from(decimals.len()).ok()?);
        let part = (whole(decimals)? * 60 + scale / 2) / scale;
        whole(hours)?
            .checked_mul(60)?
            .checked_add(part)
            .map(Minutes)
    }

    /// Both together; stays at the largest number there is.
    #[must_use]
    pub const fn plus(self, other: Minutes) -> Minutes {
        Minutes(self.0.saturating_add(other.0))
    }
}

/// `1/2` and `1-1/2` of an hour, in minutes; the parts that people say.
fn fraction(text: &str) -> Option<u32> {
    let (hours, part) = match text.rsplit_once(['-', ' ']) {
        Some((hours, part)) => (whole(hours)?, part),
        None => (0, text),
    };
    let minutes = match part {
        "1/4" => 15,
        "1/2" => 30,
        "3/4" => 45,
        _ => return None,
    };
    hours.checked_mul(60)?.checked_add(minutes)
}

/// A number of digits only, small enough for a life's work.
fn whole(text: &str) -> Option<u32> {
    (!text.is_empty() && text.len() <= 6 && text.bytes().all(|byte| byte.is_ascii_digit()))
        .then(|| text.parse().ok())
        .flatten()
}

impl fmt::Display for Minutes {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{:02}", self.0 / 60, self.0 % 60)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hours_in_every_usual_form() {
        for (text, minutes) in [
            ("3:15", 195),
            ("1.5", 90),
            ("2", 120),
            ("0.25", 15),
            ("1.33", 80),
            ("½", 30),
            ("1½", 90),
            ("2 h", 120),
            ("45 min", 45),
        ] {
            assert_eq!(Minutes::read(text), Some(Minutes(minutes)), "{text}");
        }
    }

    #[test]
    fn what_is_no_duration() {
        for text in [
            "", "3h15", "1:75", "1:5", "-2", "a while", "1.5.2", "9999999",
        ] {
            assert_eq!(Minutes::read(text), None, "{text}");
        }
    }
}
