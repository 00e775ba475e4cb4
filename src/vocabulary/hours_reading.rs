//! Time worked as people write it: "1h30", "half an hour", "from 7 to 9.30".
//!
//! Reads the words only; what is told to the person about a doubt is decided
//! where entries are read.

use super::clock::{Clock, clock};
use super::hardware_words::{is_about, is_vague};
use super::hours::Minutes;
use super::spoken_number::spoken_number;
use super::words::{one_slip, straighten};

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
    let tokens = tokens(&plain);
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

/// A number, a word or a sign; `;` and blanks are none.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum HoursToken {
    /// Digits with the marks between them: `1:30`, `2.5`, `3/4`.
    Number(String),
    /// Letters.
    Word(String),
    /// Anything else.
    Sign(char),
}

/// The tokens of a text in small letters and plain signs.
pub(super) fn tokens(text: &str) -> Vec<HoursToken> {
    let mut found = Vec::new();
    let mut chars = text.char_indices().peekable();
    while let Some((at, c)) = chars.next() {
        if c.is_whitespace() {
            continue;
        }
        let inside = |c: char, next: Option<char>| {
            c.is_ascii_digit()
                || matches!(c, '.' | ',' | ':' | '/')
                    && next.is_some_and(|next| next.is_ascii_digit())
        };
        let letters = |c: char| c.is_alphabetic() || c == '\'';
        let end = if c.is_ascii_digit()
            || c == '.' && text[at + 1..].starts_with(|c: char| c.is_ascii_digit())
        {
            run(text, at, &inside)
        } else if c.is_alphabetic() {
            run(text, at, &|c, _| letters(c))
        } else {
            at + c.len_utf8()
        };
        let piece = &text[at..end];
        while chars.peek().is_some_and(|(next, _)| *next < end) {
            chars.next();
        }
        found.push(
            if piece.starts_with(|c: char| c.is_ascii_digit() || c == '.')
                && piece.len() > usize::from(c == '.')
            {
                HoursToken::Number(piece.to_owned())
            } else if c.is_alphabetic() {
                HoursToken::Word(piece.trim_end_matches('\'').to_owned())
            } else {
                HoursToken::Sign(c)
            },
        );
    }
    found
}

fn run(text: &str, from: usize, inside: &dyn Fn(char, Option<char>) -> bool) -> usize {
    let mut chars = text[from..].char_indices().peekable();
    while let Some((at, c)) = chars.next() {
        let next = chars.peek().map(|(_, c)| *c);
        if at > 0 && !inside(c, next) {
            return from + at;
        }
    }
    text.len()
}

/// A number of hours or minutes as a fraction, exact.
#[derive(Clone, Copy, Debug)]
struct Amount {
    over: u64,
    under: u64,
    /// Written with two decimals that may be minutes: "1.30".
    clocklike: Option<u32>,
}

impl Amount {
    const fn new(over: u64, under: u64) -> Amount {
        Amount {
            over,
            under,
            clocklike: None,
        }
    }

    fn plus(self, other: Amount) -> Amount {
        Amount::new(
            self.over * other.under + other.over * self.under,
            self.under * other.under,
        )
    }

    fn times(self, minutes: u64) -> Option<u32> {
        let sum = self
            .over
            .checked_mul(minutes)?
            .checked_add(self.under / 2)?;
        u32::try_from(sum / self.under).ok()
    }
}

/// One stretch of time.
enum Stretch {
    /// In minutes.
    Sure(u32),
    /// A number without a unit.
    Bare(Amount),
    /// Two readings.
    Either(u32, u32),
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

    /// The time without what was taken off it: "2 hrs less 15 mins for tea". Where a
    /// break may be taken off already ("3 hours without the half hour of lunch"), the
    /// time comes back as nothing, with both readings.
    fn without_breaks(&mut self, minutes: u32) -> Option<(u32, Option<(u32, u32)>)> {
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
        let sign = matches!(self.sign(0), Some('+' | ',' | '&' | ';'))
            || matches!(self.word(0), "and" | "plus");
        let next = self.tokens.get(self.at + usize::from(sign));
        let joined = number(next) && (sign || matches!(next, Some(HoursToken::Number(_))));
        if joined && sign {
            self.at += 1;
        }
        joined
    }

    /// What stands behind the last stretch; `None` where it says something
    /// else than the duration.
    fn rest(&mut self) -> Option<Rest> {
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

    fn stretch(&mut self) -> Option<Stretch> {
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
    fn minutes_of_colon(&mut self) -> Option<Option<u32>> {
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
    fn bare_minutes(&mut self) -> Option<u32> {
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
    fn and_part(&mut self) -> Option<Amount> {
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
    fn part(&mut self) -> Option<Amount> {
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
    fn amount(&mut self) -> Option<Amount> {
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
    fn ago_words(&mut self) {
        while matches!(self.word(0), "of" | "an" | "a") {
            self.at += 1;
        }
        if self.sign(0) == Some('-') && !self.word(1).is_empty() {
            self.at += 1;
        }
    }

    /// Past a unit: minutes in it.
    fn unit(&mut self) -> Option<u64> {
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
    fn span(&mut self) -> Option<Stretch> {
        let start = self.at;
        let found = self.read_span();
        if found.is_none() {
            self.at = start;
        }
        found
    }

    fn read_span(&mut self) -> Option<Stretch> {
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

    /// "2-3 hours", "2 to 3", "2 or 3".
    fn is_range(&self) -> bool {
        let number = |ahead: usize| matches!(self.tokens.get(self.at + ahead), Some(HoursToken::Number(number)) if !number.contains('/'));
        let words = |ahead: usize| number(ahead) || spoken_number(&[self.word(ahead)]).is_some();
        let joined =
            self.sign(1) == Some('-') && number(0) || matches!(self.word(1), "to" | "or" | "till");
        words(0) && joined && words(2)
    }
}

/// What stands behind a duration.
enum Rest {
    Nothing,
    /// Words that were not read.
    Words,
    /// A number of people.
    Times(u32),
}

/// `2`, `2.5`, `2,5`, `1.30`.
fn decimal(number: &str) -> Option<Amount> {
    let number = number.replace(',', ".");
    let (whole, part) = number.split_once('.').unwrap_or((&number, ""));
    let digits = |text: &str| text.bytes().all(|b| b.is_ascii_digit());
    if whole.len() > 6 || part.len() > 4 || !digits(whole) || !digits(part) {
        return None;
    }
    let hours: u64 = if whole.is_empty() {
        0
    } else {
        whole.parse().ok()?
    };
    let scale = 10_u64.pow(u32::try_from(part.len()).ok()?);
    let over = hours * scale
        + if part.is_empty() {
            0
        } else {
            part.parse::<u64>().ok()?
        };
    let minutes: u64 = part.parse().unwrap_or(0);
    // A quarter, a half, a third: decimals. "1.30" may be an hour and thirty.
    let clocklike =
        part.len() == 2 && minutes < 60 && !matches!(minutes, 0 | 25 | 33 | 50) && hours > 0;
    let clock = u32::try_from(hours * 60 + minutes)
        .ok()
        .filter(|_| clocklike);
    Some(Amount {
        over,
        under: scale,
        clocklike: clock,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn durations_as_people_write_them() {
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
            ("1h30", 90),
            ("3 h minus 20 min", 160),
            ("2h less half an hour", 90),
            ("1:30h", 90),
            ("3h 20m", 200),
            ("2,5", 150),
            ("half an hour", 30),
            ("a half hour", 30),
            ("1/2 hour", 30),
            ("three quarters of an hour", 45),
            ("quarter of an hour", 15),
            ("an hour and a half", 90),
            ("one and a half hours", 90),
            ("2 and a half hrs", 150),
            ("1 hour 30", 90),
            ("2h + 45min", 165),
            ("1h, 45 min", 105),
            ("two hours and ten minutes", 130),
            ("1h 15'", 75),
            ("3 Std.", 180),
            ("2 x 45 min", 90),
            ("7-9pm", 120),
            ("7pm till 9.30", 150),
            ("from 7 to 9.30", 150),
            ("9:30 - 12:15", 165),
            ("10:30-1:15", 165),
            ("22:00-01:00", 180),
            ("10pm to 1am", 180),
            ("11-1pm", 120),
            ("9 till noon", 180),
            ("10:30-12:00, 13:00-15:30", 240),
            ("7.30-9.00", 90),
            ("2 huors", 120),
            ("3h½", 210),
            ("two and three quarter hours", 165),
            ("from seven to nine", 120),
            ("18h00-20h30", 150),
            ("1.5 + 2", 210),
            ("45 minuets", 45),
            ("10 till 1, less 20 min", 160),
            ("four hours bar ten minutes", 230),
            ("3h (minus 20 min)", 160),
            ("since 8:30 until 12:15", 225),
            ("started 9, finished 12", 180),
            ("start 9:00 end 12:30", 210),
            ("from 14h to 17h30", 210),
            ("14h-17h", 180),
            ("0830-1215", 225),
            ("1400 to 1730", 210),
            ("ten past two til half past four", 140),
            ("half past two till six", 210),
            ("half past 9 to 11", 90),
            ("quarter to nine till noon", 195),
            ("quarter past 7 - 9pm", 105),
            ("20 past two till ten to four", 90),
            ("from ten to two", 240),
            ("9 till half past eleven", 150),
            ("worked from 7 to 9.30", 150),
            ("total: 3 h", 180),
            ("6h total (me 4, my cousin 2)", 360),
            ("3 hours altogether", 180),
            ("2h30 all in", 150),
        ] {
            assert_eq!(
                read_hours(text),
                ReadHours::Exactly(Minutes(minutes)),
                "{text}"
            );
        }
    }

    #[test]
    fn durations_that_are_asked_about() {
        for (text, minutes) in [
            ("about 3 hours", 180),
            ("3 hours in the shed", 180),
            ("2h?", 120),
            ("a couple of hours", 120),
            ("4ish", 240),
            ("4-ish hours", 240),
            ("10 till 1, less 20 min for a brew", 160),
            ("2 till six, with tea", 240),
            ("from about 7 to 9.30", 150),
            ("say 3 hours", 180),
            ("reckon two hours", 120),
        ] {
            assert_eq!(
                read_hours(text),
                ReadHours::About(Minutes(minutes)),
                "{text}"
            );
        }
        for (text, one, other) in [
            ("1.30", 90, 78),
            ("1,45 h", 105, 87),
            ("2 hrs x 2 people", 120, 240),
            ("3 hours each", 180, 360),
            ("half three till five", 90, 150),
            ("ten past two til half four", 140, 80),
            ("3h without the half hour for lunch", 150, 180),
            ("4 hours not counting 20 min tea", 220, 240),
            ("3 hours excluding 15 minutes", 165, 180),
        ] {
            assert_eq!(
                read_hours(text),
                ReadHours::Either(Minutes(one), Minutes(other)),
                "{text}"
            );
        }
        for text in [
            "",
            "1:75",
            "1:5",
            "-2",
            "a while",
            "1.5.2",
            "9999999",
            "all evening",
            "2-3 hours",
            "2 to 3",
            "2 or 3 hours",
            "7-9",
            "a few hours",
            "two evenings",
            "1:3O",
            "3 hours minus 20",
            "2 hours per day",
            "9-5 less an hour",
            "6h total (me 4, my cousin 1)",
            "8h-10h",
            "ten to two",
            "3h less 20",
            "a good while",
            "half the day",
            "half",
        ] {
            let read = read_hours(text);
            assert!(
                read == ReadHours::Unread || text == "half",
                "{text}: {read:?}"
            );
        }
    }

    proptest::proptest! {
        #[test]
        fn any_text_can_be_read(text in "([0-9]{1,7}|[.:,/+' -]|h|min|and|half|to|pm|from|\\PC){0,9}") {
            let _ = read_hours(&text);
        }
    }
}
