//! One stretch of work: "1h30", "half an hour", "from 7 to 9.30".
//!
//! Several of them are added up by the reader above.

use super::DurationReader;
use super::fractions::{Amount, decimal};
use super::tokens::HoursToken;
use crate::vocabulary::clock::{Clock, clock};
use crate::vocabulary::hardware_words::is_vague;
use crate::vocabulary::spoken_number::spoken_number;
use crate::vocabulary::words::one_slip;

impl DurationReader<'_> {
    pub(super) fn stretch(&mut self) -> Option<Stretch> {
        if let Some(span) = self.span() {
            return Some(span);
        }
        if self.is_range() {
            return None;
        }
        // "2 x 45 min"
        let mut times = 1;
        if let (Some(HoursToken::Number(count)), true) =
            (self.tokens.get(self.at), self.word(1) == "x")
        {
            times = count.parse().ok()?;
            self.at += 2;
        }
        if let Some(minutes) = self.minutes_of_colon()? {
            return Some(Stretch::Sure(minutes * times));
        }
        let amount = self.amount()?;
        let dash = usize::from(self.sign(0) == Some('-'));
        if self.word(dash) == "ish" {
            self.about = true;
            self.at += dash + 1;
        }
        self.ago_words();
        let Some(unit) = self.unit() else {
            return (times == 1).then_some(Stretch::Bare(amount));
        };
        let mut total = amount;
        if unit == 60 {
            if let Some(clock) = amount.clocklike {
                return Some(Stretch::Either(clock, amount.times(60)?));
            }
            if let Some(part) = self.and_part() {
                total = total.plus(part);
            } else if let Some(minutes) = self.bare_minutes() {
                let hours = total.times(60)?;
                return hours
                    .checked_add(minutes)?
                    .checked_mul(times)
                    .map(Stretch::Sure);
            }
        }
        total.times(unit)?.checked_mul(times).map(Stretch::Sure)
    }

    /// "1:30".
    pub(super) fn minutes_of_colon(&mut self) -> Option<Option<u32>> {
        let Some(HoursToken::Number(number)) = self.tokens.get(self.at) else {
            return Some(None);
        };
        let Some((hours, minutes)) = number.split_once(':') else {
            return Some(None);
        };
        let hours: u32 = hours.parse().ok()?;
        let minutes: u32 = minutes
            .parse()
            .ok()
            .filter(|found| minutes.len() == 2 && *found < 60)?;
        self.at += 1;
        if self.unit() == Some(1) {
            return None;
        }
        hours.checked_mul(60)?.checked_add(minutes).map(Some)
    }

    /// Minutes behind hours, with or without their unit: "1h30", "2 hrs 10".
    pub(super) fn bare_minutes(&mut self) -> Option<u32> {
        let Some(HoursToken::Number(number)) = self.tokens.get(self.at) else {
            return None;
        };
        let minutes: u32 = number.parse().ok().filter(|found| *found < 60)?;
        let before = self.at;
        self.at += 1;
        match self.unit() {
            None | Some(1) => Some(minutes),
            Some(_) => {
                self.at = before;
                None
            }
        }
    }

    /// "and a half" behind a unit.
    pub(super) fn and_part(&mut self) -> Option<Amount> {
        // "3h½"
        if matches!(self.tokens.get(self.at), Some(HoursToken::Number(number)) if number.contains('/'))
        {
            return self.part();
        }
        if self.word(0) != "and" {
            return None;
        }
        let before = self.at;
        self.at += 1;
        let part = self.part();
        // "an hour and half an hour" is said in full.
        let whole = matches!(self.word(0), "an" | "hour" | "hours" | "of");
        if part.is_none() || whole {
            self.at = before;
            return None;
        }
        part
    }

    /// "half", "a half", "three quarters", "1/2".
    pub(super) fn part(&mut self) -> Option<Amount> {
        let article = usize::from(matches!(self.word(0), "a" | "one"));
        match self.word(article) {
            "half" => {
                self.at += article + 1;
                return Some(Amount::new(1, 2));
            }
            "quarter" => {
                self.at += article + 1;
                return Some(Amount::new(1, 4));
            }
            "third" => {
                self.at += article + 1;
                return Some(Amount::new(1, 3));
            }
            _ => {}
        }
        if self.word(0) == "three" && matches!(self.word(1), "quarters" | "quarter") {
            self.at += 2;
            return Some(Amount::new(3, 4));
        }
        if let Some(HoursToken::Number(number)) = self.tokens.get(self.at)
            && let Some((over, under)) = number.split_once('/')
        {
            let (over, under) = (over.parse().ok()?, under.parse().ok()?);
            if over < under && under <= 8 {
                self.at += 1;
                return Some(Amount::new(over, under));
            }
        }
        None
    }

    /// A number in any writing.
    pub(super) fn amount(&mut self) -> Option<Amount> {
        if let Some(part) = self.part() {
            return Some(part);
        }
        let amount = match self.tokens.get(self.at)? {
            HoursToken::Number(number) => {
                let amount = decimal(number)?;
                self.at += 1;
                amount
            }
            HoursToken::Word(_) => {
                let words: Vec<&str> = (0..5).map(|ahead| self.word(ahead)).collect();
                if matches!(words[0], "a" | "an") && !is_vague(words[1]) {
                    self.at += 1;
                    let before = self.at;
                    let counted = self.unit().is_some();
                    self.at = before;
                    counted.then(|| Amount::new(1, 1))?
                } else if words[0] == "a" && words[1] == "couple" || words[0] == "couple" {
                    let used = 1 + usize::from(words[0] == "a");
                    self.about = true;
                    self.at += used;
                    Amount::new(2, 1)
                } else {
                    let (number, used) = spoken_number(&words)?;
                    self.at += used;
                    Amount::new(u64::from(number), 1)
                }
            }
            HoursToken::Sign(_) => return None,
        };
        // "1-1/2", "1 1/2", "one and a half"
        let before = self.at;
        if self.sign(0) == Some('-') || self.word(0) == "and" {
            self.at += 1;
        }
        let whole = amount.under == 1;
        match self.part().filter(|_| whole) {
            Some(part) if !matches!(self.word(0), "an" | "of") => Some(amount.plus(part)),
            Some(_) | None => {
                self.at = before;
                Some(amount)
            }
        }
    }

    /// "of an", "an", "of a" between a part and its unit.
    pub(super) fn ago_words(&mut self) {
        while matches!(self.word(0), "of" | "an" | "a") {
            self.at += 1;
        }
        if self.sign(0) == Some('-') && !self.word(1).is_empty() {
            self.at += 1;
        }
    }

    /// Past a unit: minutes in it.
    pub(super) fn unit(&mut self) -> Option<u64> {
        if self.sign(0) == Some('\'') {
            self.at += 1;
            return Some(1);
        }
        let word = self.word(0);
        let unit = match word {
            "h" | "hr" | "hrs" | "hs" | "hour" | "hours" | "std" | "stunde" | "stunden" => 60,
            "m" | "min" | "mins" | "minute" | "minutes" | "minuten" => 1,
            word if ["hours", "hour"]
                .iter()
                .any(|known| word.len() > 3 && one_slip(word, known)) =>
            {
                60
            }
            word if ["minutes", "minute"]
                .iter()
                .any(|known| one_slip(word, known)) =>
            {
                1
            }
            _ => return None,
        };
        self.at += 1;
        if self.sign(0) == Some('.') {
            self.at += 1;
        }
        Some(unit)
    }

    /// "7-9pm", "from 7 to 9.30", "10:30-12:00": from one time of day to
    /// another, in minutes.
    pub(super) fn span(&mut self) -> Option<Stretch> {
        let start = self.at;
        let found = self.read_span();
        if found.is_none() {
            self.at = start;
        }
        found
    }

    pub(super) fn read_span(&mut self) -> Option<Stretch> {
        let mut sure = matches!(
            self.word(0),
            "from" | "between" | "since" | "start" | "started" | "starting" | "began"
        );
        self.at += usize::from(sure);
        self.past_about();
        let (mut from, mut used) = clock(&self.tokens[self.at..])?;
        let joins = |token: Option<&HoursToken>| match token {
            Some(HoursToken::Sign(sign)) => matches!(sign, '-' | ','),
            Some(HoursToken::Word(word)) => {
                matches!(
                    word.as_str(),
                    "to" | "till" | "til" | "until" | "untill" | "and"
                )
            }
            Some(HoursToken::Number(_)) | None => false,
        };
        // "ten to two" before nothing that joins is from ten until two.
        if !joins(self.tokens.get(self.at + used)) && self.word(1) == "to" {
            (from, used) = clock(&self.tokens[self.at..=self.at])?;
        }
        self.at += used;
        if self.sign(0) == Some(',') {
            self.at += 1;
        }
        match (self.sign(0), self.word(0)) {
            (Some('-'), _) | (None, "to" | "and") => {}
            (None, "till" | "til" | "until" | "untill" | "upto") => sure = true,
            (None, "finish" | "finished" | "stopped" | "end" | "ended") => sure = true,
            (_, _) => return None,
        }
        self.at += 1;
        if self.sign(0) == Some('>') {
            self.at += 1;
        }
        self.past_about();
        let (until, used) = clock(&self.tokens[self.at..])?;
        self.at += used;
        let before = self.at;
        let unit = self.unit().is_some();
        self.at = before;
        sure |= from.said || until.said || from.minutes && until.minutes;
        if !sure || unit {
            return None;
        }
        let minutes = Clock::between(from, until)?;
        let earlier = |clock: Clock| Clock {
            minute: clock.minute - if clock.is_half { 60 } else { 0 },
            ..clock
        };
        Some(match Clock::between(earlier(from), earlier(until)) {
            Some(other) if other != minutes => Stretch::Either(minutes, other),
            Some(_) | None => Stretch::Sure(minutes),
        })
    }

    /// "2-3 hours", "2 to 3", "2 or 3".
    pub(super) fn is_range(&self) -> bool {
        let number = |ahead: usize| matches!(self.tokens.get(self.at + ahead), Some(HoursToken::Number(number)) if !number.contains('/'));
        let words = |ahead: usize| number(ahead) || spoken_number(&[self.word(ahead)]).is_some();
        let joined =
            self.sign(1) == Some('-') && number(0) || matches!(self.word(1), "to" | "or" | "till");
        words(0) && joined && words(2)
    }
}

/// One stretch of time.
pub(super) enum Stretch {
    /// In minutes.
    Sure(u32),
    /// A number without a unit.
    Bare(Amount),
    /// Two readings.
    Either(u32, u32),
}
