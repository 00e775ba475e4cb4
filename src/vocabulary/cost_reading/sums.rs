//! Costs that have to be reckoned: so many at so much, this and that.
//!
//! Which amounts belong together is decided in `chosen`.

use super::CostReading;
use super::chosen::{ChosenAmount, is_charge};
use super::doubts::{CostDoubt, CostError};
use super::found_amounts::FoundAmount;
use crate::vocabulary::hardware_words::is_piece_word;

impl CostReading<'_> {
    /// Whether a sign adds the second amount to the first.
    pub(super) fn joins(&self, first: &FoundAmount, second: &FoundAmount) -> bool {
        (first.until..second.from).any(|at| {
            self.sign(at) == Some('+')
                || matches!(self.word(at).as_str(), "plus" | "less" | "minus")
        })
    }

    /// "3 x 4.50", "2 @ 7.90", "4 caps at 4.50 each".
    pub(super) fn product(
        &mut self,
        first: &FoundAmount,
        second: &FoundAmount,
    ) -> Option<ChosenAmount> {
        // "4 st à 3,20", "£8 ea., 2 wiper arms": each piece at its price.
        let each = usize::from(self.is_each(first.until));
        let counted = usize::from(is_piece_word(&self.word(first.until)) && each == 0);
        let sign = first.until + each + counted;
        let times = second.from == sign + 1
            && (matches!(self.sign(sign), Some('@' | '*'))
                || matches!(self.word(sign).as_str(), "x" | "at" | "à" | "@"));
        let whole = |amount: &FoundAmount| {
            !amount.is_money
                && !amount.negative
                && amount.written.bytes().all(|b| b.is_ascii_digit())
        };
        let behind = (first.until + each..second.from)
            .all(|at| matches!(self.sign(at), Some(',' | '.' | ':')));
        let priced_first = each == 1 && behind && whole(second);
        let (count, price, until) = if priced_first {
            (second, first, second.until)
        } else if times && whole(first) {
            (first, second, second.until)
        } else if times && whole(second) {
            (second, first, second.until)
        } else if whole(first)
            && (self.sign(second.from - 1) == Some('@') || self.word(second.from - 1) == "x")
            || whole(first) && self.is_each(second.until)
        {
            (first, second, second.until)
        } else if whole(first) && self.word(second.from - 1) == "at" && second.is_money {
            self.doubts.push(CostDoubt::ForEach);
            (first, second, second.until)
        } else {
            return None;
        };
        let unit = 10_i64.pow(u32::try_from(count.money.currency.decimals()).ok()?);
        let single = self.single(price, price.from);
        let minor = single.minor.checked_mul(count.money.minor / unit)?;
        // The words between number and price are what was bought.
        let from = if times || priced_first {
            first.from
        } else {
            second.from
        };
        Some(ChosenAmount {
            minor,
            from,
            until: until + usize::from(self.is_each(until)),
            ..single
        })
    }

    /// Whether the word at a place says that an amount is for one piece.
    pub(super) fn is_each(&self, at: usize) -> bool {
        let word = self.word(at);
        let next = self.word(at + 1);
        matches!(
            word.as_str(),
            "each" | "apiece" | "ea" | "pc" | "pce" | "per"
        ) || word == "a" && matches!(next.as_str(), "piece" | "pop" | "go")
    }

    pub(super) fn in_brackets(&self, amount: &FoundAmount) -> bool {
        let open = (0..amount.from)
            .filter(|at| self.sign(*at) == Some('('))
            .count();
        let closed = (0..amount.from)
            .filter(|at| self.sign(*at) == Some(')'))
            .count();
        open > closed
    }

    /// Further amounts: added, taken off, or told of.
    pub(super) fn sum(
        &mut self,
        mut chosen: ChosenAmount,
        rest: &[FoundAmount],
    ) -> Result<ChosenAmount, CostError> {
        for amount in rest {
            let joint: Vec<String> = (chosen.until..amount.from)
                .map(|at| self.tokens[at].word())
                .collect();
            let last = joint.last().map(String::as_str).unwrap_or_default();
            let inside = joint.iter().any(|word| {
                matches!(
                    word.as_str(),
                    "incl" | "incl." | "including" | "inc" | "inc."
                )
            });
            let add = last == "+" || last == "plus" || joint.iter().any(|word| word == "+");
            let take = matches!(last, "less" | "minus" | "-" | "discount" | "off");
            let percent = self.sign(amount.until) == Some('%');
            if inside {
                continue;
            }
            if percent && (add || take) {
                let hundredths = amount.money.minor;
                let unit =
                    10_i64.pow(u32::try_from(amount.money.currency.decimals()).unwrap_or(0)) * 100;
                let part = chosen
                    .minor
                    .checked_mul(hundredths)
                    .map(|part| (part + unit / 2) / unit)
                    .unwrap_or(0);
                chosen.minor += if take { -part } else { part };
                chosen.until = amount.until + 1;
                continue;
            }
            if percent {
                self.doubts
                    .push(CostDoubt::UnsaidCharge(format!("{}%", amount.written)));
                continue;
            }
            let taken_back =
                joint.iter().any(|word| word == "or") || amount.negative && !take && !add;
            if taken_back {
                self.doubts
                    .push(CostDoubt::SecondAmount(amount.written.clone()));
                continue;
            }
            if self.in_brackets(amount) {
                if amount.named {
                    self.doubts
                        .push(CostDoubt::InBrackets(amount.written.clone()));
                }
                continue;
            }
            if add || take {
                let one = chosen.currency == amount.money.currency;
                // "£32 + 6.50": the second counts in the first's currency.
                if !one && amount.named {
                    return Err(CostError::TwoCurrencies);
                }
                if amount.comma {
                    self.doubts.push(CostDoubt::CommaAsDecimal);
                }
                if !one {
                    self.doubts
                        .push(CostDoubt::CurrencyOfSecond(amount.written.clone()));
                }
                let part = if take {
                    -amount.money.minor
                } else {
                    amount.money.minor
                };
                chosen.minor = chosen.minor.saturating_add(part);
                chosen.until = amount.until;
                continue;
            }
            let charge = (amount.until..amount.until + 2).any(|at| is_charge(&self.word(at)));
            if amount.is_money || charge || self.is_unused(amount) {
                self.doubts
                    .push(CostDoubt::SecondAmount(amount.written.clone()));
            }
        }
        Ok(chosen)
    }
}
