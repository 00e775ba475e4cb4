//! Values with a form of their own: money, hours, days, tools, clips.

use super::super::fact::{Clip, Fact, Need, Return, Sent, Tool};
use super::{Reader, Value};
use crate::vocabulary::day::read_date;
use crate::vocabulary::hours::Minutes;
use crate::vocabulary::money::{Cost, MoneyError};

/// Longer than anyone works in one session.
const LONGEST: Minutes = Minutes(48 * 60);

impl Reader<'_> {
    /// Reads an amount of money.
    pub fn cost(&mut self, value: &Value) -> Option<Cost> {
        match Cost::read(&value.text, self.context.currency) {
            Ok(cost) => {
                if cost.comma_as_decimal {
                    let amount = cost.money.amount();
                    self.note(
                        value.span.clone(),
                        format!("the comma in `{}` was read as the decimal mark", value.text),
                        &format!("write {amount}"),
                    );
                }
                self.second_amount(value, &cost);
                if cost.currency_behind {
                    let code = cost.money.currency.code();
                    self.warning(
                        value.span.clone(),
                        format!("{code} was read as the currency"),
                        &format!("put it before the amount: `{code} {}`", cost.money.amount()),
                    );
                }
                Some(cost)
            }
            Err(error) => {
                let hint = match &error {
                    MoneyError::NoAmount => "begin with the amount: `84.50 hinge, reproduction`",
                    MoneyError::UnknownCurrency(_) => {
                        "a currency is a code of three letters: `GBP 12 postage`"
                    }
                    MoneyError::Unreadable(_) => "write it with a decimal point: `1234.50`",
                    MoneyError::TooFine(..) => "round it to what can be paid",
                };
                self.error(
                    value.span.clone(),
                    format!("{error}: `{}`", value.text),
                    hint,
                );
                None
            }
        }
    }

    /// Says that one line holds one amount, if there are more in it.
    fn second_amount(&mut self, value: &Value, cost: &Cost) {
        let Some(second) = cost.second_amount() else {
            return;
        };
        let message = format!(
            "`{}` is a second amount; only {} is counted",
            second.written, cost.money
        );
        if second.in_brackets {
            let hint = "what was paid stands first; a note in brackets is not counted";
            self.note(value.span.clone(), message, hint);
        } else {
            let hint = "write a `cost` line for each amount";
            self.error(value.span.clone(), message, hint);
        }
    }

    /// Reads a duration.
    pub fn hours(&mut self, value: &Value) -> Option<Minutes> {
        let Some(minutes) = Minutes::read(&value.text) else {
            self.error(
                value.span.clone(),
                format!("`{}` is no duration", value.text),
                "write hours as `3:15` or `3.25`",
            );
            return None;
        };
        if minutes > LONGEST {
            self.warning(
                value.span.clone(),
                format!("{} hours in one session", value.text),
                "write hours and minutes with a colon: `3:15`",
            );
        }
        Some(minutes)
    }

    pub(super) fn hands(&mut self, value: &Value) -> Option<Fact> {
        let hands = value.text.parse::<u32>().ok();
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
        let (text, by) = self.trailing_day(value, "by");
        if text.is_empty() {
            self.error(
                value.span.clone(),
                format!("`{}` is a day and no work", value.text),
                "put the day behind the work with a comma: `new boards, by 2026-05-01`",
            );
            return None;
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
            return Tool {
                name: text.to_owned(),
                back: None,
            };
        };
        let name = text[..at].trim_end_matches([',', ' ']).to_owned();
        let when = text[at + "return ".len()..].trim();
        let lower = when.to_ascii_lowercase();
        let back = if let Some(day) = lower.strip_prefix("by") {
            read_date(day).map(Return::By)
        } else if let Some(span) = lower.strip_prefix("within") {
            days(span.trim()).map(Return::Within)
        } else {
            // "return spring pliers": a tool, not a promise.
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
