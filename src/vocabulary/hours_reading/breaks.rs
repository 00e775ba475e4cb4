//! Breaks that are taken off: "7 to 12, half an hour for tea".
//!
//! What time is left is decided where the stretches are added up.

use super::DurationReader;
use super::one_duration::Stretch;
use super::tokens::HoursToken;
use crate::vocabulary::spoken_number::spoken_number;

impl DurationReader<'_> {
    /// The time without what was taken off it: "2 hrs less 15 mins for tea". Where a
    /// break may be taken off already ("3 hours without the half hour of lunch"), the
    /// time comes back as nothing, with both readings.
    pub(super) fn without_breaks(&mut self, minutes: u32) -> Option<(u32, Option<(u32, u32)>)> {
        let before = self.at;
        if matches!(self.sign(0), Some(',' | '(' | ';')) {
            self.at += 1;
        }
        let sure = match self.word(0) {
            "less" | "minus" | "bar" => true,
            "without" | "excluding" | "excl" | "except" => false,
            "not" if self.word(1) == "counting" => {
                self.at += 1;
                false
            }
            "take" | "knock" if self.word(1) == "off" => {
                self.at += 1;
                true
            }
            _ => {
                self.at = before;
                return Some((minutes, None));
            }
        };
        self.at += 1;
        while matches!(self.word(0), "the" | "about") {
            self.at += 1;
        }
        match self.stretch() {
            Some(Stretch::Sure(taken)) => {
                let left = minutes.checked_sub(taken).filter(|left| *left > 0)?;
                if self.sign(0) == Some(')') {
                    self.at += 1;
                }
                Some(match sure {
                    true => (left, None),
                    false => (0, Some((left, minutes))),
                })
            }
            Some(Stretch::Bare(_) | Stretch::Either(..)) | None => {
                self.at = before;
                Some((minutes, None))
            }
        }
    }

    /// What stands behind the last stretch; `None` where it says something
    /// else than the duration.
    pub(super) fn rest(&mut self) -> Option<Rest> {
        if matches!(self.sign(0), Some('.' | '!')) {
            self.at += 1;
        }
        if self.at == self.tokens.len() {
            return Some(Rest::Nothing);
        }
        if matches!(self.word(0), "each" | "both" | "apiece") {
            return Some(Rest::Times(2));
        }
        if matches!(self.word(0), "x" | "times" | "for" | "by" | "with")
            || self.sign(0) == Some('*')
        {
            let number = match self.tokens.get(self.at + 1) {
                Some(HoursToken::Number(digits)) => digits.parse().ok(),
                Some(HoursToken::Word(word)) => {
                    spoken_number(&[word.as_str()]).map(|found| found.0)
                }
                Some(HoursToken::Sign(_)) | None => None,
            };
            if let Some(people) = number {
                return Some(Rest::Times(people));
            }
        }
        let rest = &self.tokens[self.at..];
        let figures = rest
            .iter()
            .any(|token| matches!(token, HoursToken::Number(_)));
        let per = rest.iter().any(|token| matches!(token, HoursToken::Word(word) if matches!(word.as_str(), "per" | "minus" | "less" | "without" | "people" | "days" | "day")));
        let signs = rest
            .iter()
            .all(|token| matches!(token, HoursToken::Sign(_)));
        let unsure = rest
            .iter()
            .all(|token| matches!(token, HoursToken::Sign('?' | '+')));
        if figures || per || signs && !unsure {
            return None;
        }
        Some(Rest::Words)
    }
}

/// What stands behind a duration.
pub(super) enum Rest {
    Nothing,
    /// Words that were not read.
    Words,
    /// A number of people.
    Times(u32),
}
