//! Values with a form of their own: money, hours, days, tools, clips.

use super::super::fact::{Clip, Fact, Need, Return, Sent, Tool};
use super::{FactContext, Value};
use crate::vocabulary::cost::Cost;
use crate::vocabulary::cost_reading::{CostDoubt, CostError, may_be_another, read_cost};
use crate::vocabulary::day::read_date;
use crate::vocabulary::day_reading::ReadDay;
use crate::vocabulary::hours::Minutes;
use crate::vocabulary::hours_reading::{ReadHours, read_hours};
use crate::vocabulary::spoken_number::spoken_number;
use crate::vocabulary::words::fold;

/// Longer than anyone works in one session.
const LONGEST: Minutes = Minutes(16 * 60);

impl FactContext<'_> {
    /// Reads an amount of money.
    pub fn cost(&mut self, value: &Value) -> Option<Cost> {
        match read_cost(&value.text, self.context.currency) {
            Ok(read) => {
                let another = may_be_another(&value.text).filter(|_| read.doubts.is_empty());
                let another = another.map(|piece| CostDoubt::SecondAmount(piece.to_owned()));
                for doubt in read.doubts.iter().chain(&another) {
                    self.cost_doubt(value, &read.cost, doubt);
                }
                Some(read.cost)
            }
            Err(error) => {
                let hint = match &error {
                    CostError::NoAmount => "begin with the amount: `84.50 hinge, reproduction`",
                    CostError::UnknownCurrency(_) | CostError::UnclearCurrency(_) => {
                        "a currency is a code of three letters: `GBP 12 postage`"
                    }
                    CostError::TwoCurrencies => "write a `cost` line for each amount",
                    CostError::Unreadable(_) | CostError::Either(..) => {
                        "write it with a decimal point: `1234.50`"
                    }
                    CostError::TooFine(..) => "round it to what can be paid",
                    CostError::Range(_) => "write what was paid",
                };
                let message = format!("{error}: `{}`", value.text);
                self.error(value.span.clone(), message, hint);
                None
            }
        }
    }

    /// Asks about what is not sure of a cost.
    fn cost_doubt(&mut self, value: &Value, cost: &Cost, doubt: &CostDoubt) {
        let span = value.span.clone();
        let (text, money) = (&value.text, &cost.money);
        let amount = format!("write `{} {}`", money.currency.code(), money.amount());
        match doubt {
            CostDoubt::CommaAsDecimal => {
                let message = format!("the comma in `{text}` was read as the decimal mark");
                self.note(span, message, &format!("write {}", money.amount()));
            }
            CostDoubt::About => {
                let message = format!("`{text}` was counted as {money}");
                self.warning(span, message, "write the amount alone once it is known");
            }
            CostDoubt::GuessedCurrency(word) => {
                let message = format!("`{word}` was read as {}", money.currency.code());
                self.warning(span, message, &amount);
            }
            CostDoubt::InBrackets(written) => {
                let message = format!("`{written}` is a second amount; only {money} is counted");
                let hint = "what was paid stands first; a note in brackets is not counted";
                self.note(span, message, hint);
            }
            CostDoubt::SecondAmount(written) => {
                let message = format!("`{written}` is a second amount; only {money} is counted");
                self.error(
                    span,
                    message,
                    "write a `cost` line for each amount, or `+` between them",
                );
            }
            CostDoubt::NotAllPaid(word) => {
                let message = format!("`{word}`: was {money} paid? It was counted");
                self.warning(span, message, "write what was paid so far");
            }
            CostDoubt::CurrencyOfSecond(written) => {
                let code = money.currency.code();
                let message = format!("`{written}` was counted in {code} as well");
                self.warning(
                    span,
                    message,
                    &format!("write each with its currency: `{code} {written}`"),
                );
            }
            CostDoubt::UnsaidCharge(written) => {
                let message = format!("`{written}`: is it in {money}, or on top of it?");
                self.warning(span, message, "write what was paid in all");
            }
            CostDoubt::Year(written) => {
                let message = format!("`{written}` was read as {money}, and looks like a year");
                self.warning(span, message, &amount);
            }
            CostDoubt::CountOrAmount(written) => {
                let message =
                    format!("{money} was counted, and `{written}` taken for a number of pieces");
                self.warning(
                    span,
                    message,
                    "begin with the amount: `84.50 hinge, reproduction`",
                );
            }
            CostDoubt::ForEach => {
                let message = format!("`{text}` was counted as {money}: for each, or for all?");
                self.warning(span, message, "write the sum, or `4 x 4.50`");
            }
            CostDoubt::MoneyBack(word) => {
                let message =
                    format!("`{word}`: {money} was counted; was it paid, or did it come back?");
                self.warning(
                    span,
                    message,
                    "money that came back has a minus sign: `-20 core`",
                );
            }
            CostDoubt::LoneNumber(written) => {
                let message = format!("`{written}` was read as {money}");
                self.warning(
                    span,
                    message,
                    "begin with the amount: `84.50 hinge, reproduction`",
                );
            }
        }
    }

    /// Reads a duration.
    pub fn hours(&mut self, value: &Value) -> Option<Minutes> {
        let span = value.span.clone();
        let minutes = match read_hours(&value.text) {
            ReadHours::Exactly(minutes) => minutes,
            ReadHours::About(minutes) => {
                let message = format!("`{}` was read as {minutes}", value.text);
                self.warning(span.clone(), message, &format!("write `{minutes}`"));
                minutes
            }
            ReadHours::Either(one, other) => {
                let message = format!("`{}` can mean {one} or {other}", value.text);
                self.error(span, message, &format!("write `{one}` or `{other}`"));
                return None;
            }
            ReadHours::Unread => {
                let message = format!("`{}` is no duration", value.text);
                self.error(span, message, "write hours as `3:15` or `3.25`");
                return None;
            }
        };
        if minutes > LONGEST {
            self.warning(
                span,
                format!("`{}` was read as {minutes} in one session", value.text),
                "write hours and minutes with a colon: `3:15`",
            );
        }
        Some(minutes)
    }

    pub(super) fn hands(&mut self, value: &Value) -> Option<Fact> {
        let hands = people(&value.text);
        match hands.filter(|hands| (1..=99).contains(hands)) {
            Some(hands) => Some(Fact::Hands(hands)),
            None => {
                self.error(
                    value.span.clone(),
                    format!("`{}` is no number of people", value.text),
                    "write `hands: 2`",
                );
                None
            }
        }
    }

    pub(super) fn need(&mut self, value: &Value) -> Option<Need> {
        let told = self.problems.len();
        let (mut text, mut by) = self.trailing_day(value, "by");
        for word in ["before", "until", "till", "due"] {
            if by.is_none() && self.problems.len() == told {
                (text, by) = self.trailing_day(value, word);
            }
        }
        if text.is_empty() {
            self.error(
                value.span.clone(),
                format!("`{}` is a day and no work", value.text),
                "put the day behind the work with a comma: `new boards, by 2026-05-01`",
            );
            return None;
        }
        let last = text.rsplit(',').next().unwrap_or_default().trim();
        if by.is_none() && read_date(last).is_some() {
            self.warning(
                value.span.clone(),
                format!("`{last}` was read as words, not as the day it is due"),
                &format!("write `by {last}`"),
            );
        }
        Some(Need { text, by })
    }

    pub(super) fn sent(&mut self, value: &Value) -> Sent {
        let (to, back_by) = self.trailing_day(value, "back by");
        let lower = to.to_lowercase();
        if back_by.is_none()
            && let Some(at) = lower.rfind("back by")
        {
            let day = to.get(at + 7..).unwrap_or_default().trim().to_owned();
            self.error(
                value.span.clone(),
                format!("`{day}` is no date to be back by"),
                "write `back by 2026-05-01`",
            );
        } else if back_by.is_none() && says_when(&lower) {
            self.warning(
                value.span.clone(),
                format!("all of `{to}` was read as a name, without a day to be back by"),
                "write `NAME, back by 2026-05-01`; a part that came back is `removed` or `ready`",
            );
        }
        Sent { to, back_by }
    }

    pub(super) fn tool(&mut self, value: &Value) -> Tool {
        let text = value.text.as_str();
        let lower = text.to_ascii_lowercase();
        if let Some(name) = went_back(text) {
            return Tool {
                name,
                back: Some(Return::Went),
            };
        }
        let Some(at) = lower.rfind("return ") else {
            if says_when(&lower) {
                self.warning(
                    value.span.clone(),
                    format!("all of `{text}` was read as a name, without a day to return it"),
                    "write `NAME, return by 2026-05-01` or `NAME, return within 90 days`",
                );
            }
            return Tool {
                name: text.to_owned(),
                back: None,
            };
        };
        let name = text[..at].trim_end_matches([',', ' ']).to_owned();
        let when = text[at + "return ".len()..].trim();
        let lower = when.to_ascii_lowercase();
        let back = if let Some(day) = lower.strip_prefix("by") {
            match self.day_to_come(day) {
                ReadDay::Exactly(date) => Some(Return::By(date)),
                ReadDay::Either(_) | ReadDay::Unread => None,
            }
        } else if let Some(span) = lower.strip_prefix("within") {
            days(span.trim()).map(Return::Within)
        } else {
            // "return spring pliers": a tool, not a promise.
            if name.len() < at && text[..at].trim_end().ends_with(',') {
                self.warning(
                    value.span.clone(),
                    format!("`return {when}` does not say when"),
                    "write `return by 2026-05-01` or `return within 90 days`",
                );
            }
            return Tool {
                name: text.to_owned(),
                back: None,
            };
        };
        if back.is_none() {
            self.error(
                value.span.clone(),
                format!("`return {when}` does not say when"),
                "write `return by 2026-05-01` or `return within 90 days`",
            );
        }
        Tool { name, back }
    }

    /// `A018 00:00-09:30`.
    pub fn clip(&mut self, value: &Value) -> Clip {
        let text = crate::vocabulary::words::straighten(&value.text);
        let (name, times) = text
            .rsplit_once(' ')
            .filter(|(_, times)| times.contains(':'))
            .unwrap_or((&text, ""));
        let (from, until) = times.split_once('-').unwrap_or((times, ""));
        let clip = Clip {
            name: name.trim().to_owned(),
            from: seconds(from),
            until: seconds(until),
        };
        let unread = |text: &str, read: Option<u32>| !text.is_empty() && read.is_none();
        if unread(from, clip.from) || unread(until, clip.until) {
            self.warning(
                value.span.clone(),
                format!("`{times}` is no time in a clip"),
                "write minutes and seconds: `00:00-09:30`",
            );
        } else if clip.until.is_some() && clip.until < clip.from {
            self.warning(
                value.span.clone(),
                format!("the times `{times}` run backwards"),
                "write the earlier time first",
            );
        }
        clip
    }
}

/// Whether words about something given away speak of when it comes back.
fn says_when(lower: &str) -> bool {
    const WORDS: [&str; 11] = [
        "back", "due", "week", "weeks", "wk", "wks", "till", "until", "returned", "asap", "ready",
    ];
    let mut words = lower.split(|c: char| !c.is_alphanumeric());
    words.any(|word| WORDS.contains(&word))
}

/// The number in "2", "two people", "3 at least", "two of us".
fn people(text: &str) -> Option<u32> {
    const MORE: [&str; 15] = [
        "people", "persons", "men", "man", "hands", "of", "us", "at", "least", "min", "minimum",
        "lift", "job", "needed", "pairs",
    ];
    let folded = fold(text);
    let words: Vec<&str> = folded.split(' ').collect();
    let (number, used) = match words.first()?.parse() {
        Ok(number) => (number, 1),
        Err(_) => spoken_number(&words)?,
    };
    words[used..]
        .iter()
        .all(|word| MORE.contains(word))
        .then_some(number)
}

/// The name in "wheel bearing packer, returned": the word stands behind a comma
/// or at the end, and more may follow it.
fn went_back(text: &str) -> Option<String> {
    let lower = text.to_ascii_lowercase();
    let word = "returned";
    let at = lower.rfind(word)?;
    let ends = lower[at + word.len()..]
        .chars()
        .next()
        .is_none_or(|c| !c.is_alphanumeric());
    let before = text[..at].trim_end();
    let parted = before.ends_with(',') || at + word.len() == lower.trim_end().len();
    let name = before.trim_end_matches([',', ' ']);
    (ends && parted && !name.is_empty() && name.len() < at).then(|| name.to_owned())
}

/// "90 days", "2 weeks", in days.
fn days(text: &str) -> Option<u32> {
    let (count, unit) = text.split_once(' ').unwrap_or((text, "days"));
    let count: u32 = count.parse().ok().filter(|count| *count < 10_000)?;
    match unit.trim() {
        "day" | "days" => Some(count),
        "week" | "weeks" => Some(count * 7),
        "month" | "months" => Some(count * 30),
        _ => None,
    }
}

/// `09:30` or `1:09:30` in seconds.
fn seconds(text: &str) -> Option<u32> {
    let parts: Vec<&str> = text.split(':').collect();
    if !(2..=3).contains(&parts.len()) {
        return None;
    }
    parts.iter().enumerate().try_fold(0_u32, |sum, (at, part)| {
        let digits = (1..=3).contains(&part.len()) && part.bytes().all(|b| b.is_ascii_digit());
        let number: u32 = part.parse().ok().filter(|_| digits)?;
        (at == 0 || number < 60).then_some(sum * 60 + number)
    })
}
