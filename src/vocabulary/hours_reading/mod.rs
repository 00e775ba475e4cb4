//! Time worked as people write it: "1h30", "half an hour", "from 7 to 9.30".
//!
//! Reads the words only; what is told to the person about a doubt is decided
//! where entries are read.

mod breaks;
mod day_parts;
mod fractions;
mod one_duration;
mod tokens;

use breaks::Rest;
use day_parts::{joined_parts, with_units};
use fractions::{Amount, decimal};
use one_duration::Stretch;
pub(super) use tokens::{HoursToken, tokens};

use super::hardware_words::is_about;
use super::hours::Minutes;
use super::spoken_number::spoken_number;
use super::words::straighten;

/// What was read of a time worked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ReadHours {
    /// It can only mean this.
    Exactly(Minutes),
    /// Not meant exactly, or with words that were not read.
    About(Minutes),
    /// It can mean either.
    Either(Minutes, Minutes),
    /// No duration.
    Unread,
}

impl ReadHours {
    /// The duration, if it can only mean one.
    #[must_use]
    pub const fn sure(self) -> Option<Minutes> {
        match self {
            ReadHours::Exactly(minutes) => Some(minutes),
            ReadHours::About(_) | ReadHours::Either(..) | ReadHours::Unread => None,
        }
    }
}

/// Bytes of the longest duration that is read.
const LONGEST_DURATION: usize = 200;

/// Reads a duration. Decimals are rounded to the nearest minute.
#[must_use]
pub fn read_hours(text: &str) -> ReadHours {
    if text.len() > LONGEST_DURATION {
        return ReadHours::Unread;
    }
    let plain = straighten(text.trim()).to_lowercase();
    let tokens = with_units(joined_parts(tokens(&plain)));
    if tokens.is_empty() || plain.starts_with('-') {
        return ReadHours::Unread;
    }
    let mut reader = DurationReader {
        tokens: &tokens,
        at: 0,
        about: false,
    };
    reader.all().unwrap_or(ReadHours::Unread)
}

struct DurationReader<'a> {
    tokens: &'a [HoursToken],
    at: usize,
    about: bool,
}

impl DurationReader<'_> {
    fn word(&self, ahead: usize) -> &str {
        match self.tokens.get(self.at + ahead) {
            Some(HoursToken::Word(word)) => word,
            Some(HoursToken::Number(_) | HoursToken::Sign(_)) | None => "",
        }
    }

    fn sign(&self, ahead: usize) -> Option<char> {
        match self.tokens.get(self.at + ahead) {
            Some(HoursToken::Sign(sign)) => Some(*sign),
            Some(HoursToken::Number(_) | HoursToken::Word(_)) | None => None,
        }
    }

    fn all(&mut self) -> Option<ReadHours> {
        self.past_opening();
        let mut sum = 0_u32;
        let mut bare: Option<Amount> = None;
        let mut either = None;
        loop {
            match self.stretch()? {
                Stretch::Sure(minutes) => sum = sum.checked_add(minutes)?,
                Stretch::Either(one, other) => either = Some((one, other)),
                Stretch::Bare(amount) if bare.is_none() => bare = Some(amount),
                Stretch::Bare(amount) => bare = bare.map(|all| all.plus(amount)),
            }
            if !self.joined() {
                break;
            }
        }
        if bare.is_none() && either.is_none() {
            (sum, either) = self.without_breaks(sum)?;
        }
        self.past_total(sum);
        let rest = self.rest()?;
        let found = match (bare, either, sum) {
            (None, None, sum) => ReadHours::Exactly(Minutes(sum)),
            (None, Some((one, other)), 0) => ReadHours::Either(Minutes(one), Minutes(other)),
            (Some(amount), None, 0) => {
                let minutes = amount.times(60)?;
                match amount.clocklike {
                    Some(clock) => ReadHours::Either(Minutes(clock), Minutes(minutes)),
                    None => ReadHours::Exactly(Minutes(minutes)),
                }
            }
            // "2 hrs + 1.5": a small number behind hours is hours too.
            (Some(amount), None, sum) if amount.clocklike.is_none() => {
                let minutes = amount.times(60).filter(|minutes| *minutes <= 300)?;
                ReadHours::Exactly(Minutes(sum.checked_add(minutes)?))
            }
            (_, _, _) => return None,
        };
        Some(match (found, &rest) {
            (ReadHours::Exactly(minutes), Rest::Nothing) if !self.about => {
                ReadHours::Exactly(minutes)
            }
            (ReadHours::Exactly(minutes), Rest::Nothing | Rest::Words) => ReadHours::About(minutes),
            (ReadHours::Exactly(minutes), Rest::Times(people)) => {
                ReadHours::Either(minutes, Minutes(minutes.0.checked_mul(*people)?))
            }
            (found, Rest::Nothing | Rest::Words) => found,
            (_, Rest::Times(_)) => return None,
        })
        .filter(|_| !(bare.is_some() && matches!(rest, Rest::Words) && !self.ends_unsure()))
    }

    /// Past words that only lead up to the time: "about", "worked", "spent", "total:".
    fn past_opening(&mut self) {
        loop {
            let word = self.word(0);
            let doubt = is_about(word) && !word.is_empty()
                || matches!(
                    word,
                    "say" | "maybe" | "reckon" | "probably" | "prob" | "nearly"
                )
                || self.sign(0) == Some('~');
            let leads = matches!(
                word,
                "worked"
                    | "did"
                    | "spent"
                    | "took"
                    | "total"
                    | "put"
                    | "i"
                    | "we"
                    | "was"
                    | "were"
                    | "on"
                    | "it"
                    | "me"
                    | "us"
                    | "in"
            );
            if !(doubt || leads) || self.at + 1 >= self.tokens.len() {
                return;
            }
            // "ca. 2 h": the point shortens the word; "total: 2 h".
            let marked = matches!(self.sign(1), Some('.' | ':'));
            self.about |= doubt;
            self.at += 1 + usize::from(marked);
        }
    }

    /// Past who did how much of a time that is called the total, where these add up:
    /// "6h total (me 4, my cousin 2)".
    fn past_total(&mut self, minutes: u32) {
        let is_total = matches!(
            self.word(0),
            "total" | "altogether" | "combined" | "together"
        ) || matches!(self.word(0), "in" | "all")
            && matches!(self.word(1), "all" | "in" | "told");
        if !is_total {
            return;
        }
        let shares = self.tokens[self.at..]
            .iter()
            .filter_map(|token| match token {
                HoursToken::Number(number) => {
                    Some(decimal(number).and_then(|hours| hours.times(60)))
                }
                HoursToken::Word(_) | HoursToken::Sign(_) => None,
            });
        let sum: Option<u32> = shares.sum();
        if sum == Some(minutes) || sum == Some(0) {
            self.at = self.tokens.len();
        }
    }

    /// Whether nothing but signs of doubt follows: "2?".
    fn ends_unsure(&self) -> bool {
        let sign = |token: &HoursToken| matches!(token, HoursToken::Sign(_));
        self.tokens[self.at..].iter().all(sign)
    }

    /// Past what joins two stretches.
    fn joined(&mut self) -> bool {
        let number = |token: Option<&HoursToken>| match token {
            Some(HoursToken::Number(_)) => true,
            Some(HoursToken::Word(word)) => {
                matches!(word.as_str(), "half" | "a" | "an" | "from")
                    || spoken_number(&[word.as_str()]).is_some()
            }
            Some(HoursToken::Sign(_)) | None => false,
        };
        // ", plus": one join in two signs.
        if matches!(self.sign(0), Some(',' | ';')) && matches!(self.word(1), "and" | "plus") {
            self.at += 1;
        }
        let sign = matches!(self.sign(0), Some('+' | ',' | '&' | ';'))
            || matches!(self.word(0), "and" | "plus");
        let next = self.tokens.get(self.at + usize::from(sign));
        let joined = number(next) && (sign || matches!(next, Some(HoursToken::Number(_))));
        if joined && sign {
            self.at += 1;
        }
        joined
    }

    /// Past "at" and "about" before a time of day.
    fn past_about(&mut self) {
        if self.word(0) == "at" {
            self.at += 1;
        }
        if is_about(self.word(0)) && !self.word(0).is_empty() {
            self.about = true;
            self.at += 1;
        }
    }
}

#[cfg(test)]
mod tests;
