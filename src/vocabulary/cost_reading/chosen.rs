//! Which of several numbers of a line is its cost.
//!
//! It adds nothing up; that is done in `sums`.

use super::CostReading;
use super::doubts::{CostDoubt, CostError};
use super::found_amounts::FoundAmount;
use crate::vocabulary::cost_tokens::Figure;
use crate::vocabulary::money::Currency;
use crate::vocabulary::spoken_number::number_word;

impl CostReading<'_> {
    /// The amount of a line that begins with one.
    pub(super) fn choose(&mut self, amounts: &[FoundAmount]) -> Result<ChosenAmount, CostError> {
        let first = &amounts[0];
        if let Some(whole) = self.with_hundredths(first) {
            let rest = amounts
                .iter()
                .skip_while(|amount| amount.from < whole.until);
            let rest: Vec<FoundAmount> = rest.cloned().collect();
            return self.sum(whole, &rest);
        }
        if let Some(second) = amounts.get(1) {
            self.refuse_two_readings(first, second)?;
            if let Some(product) = self.product(first, second) {
                return self.sum(product, &amounts[2..]);
            }
            let joined = self.joins(first, second);
            let later = amounts[1..]
                .iter()
                .find(|amount| amount.is_money && !self.in_brackets(amount));
            let last = amounts[1..].iter().find(|amount| {
                let next = self.word(amount.until);
                let total = matches!(next.as_str(), "total" | "altogether" | "together");
                (total || amount.until == self.tokens.len()) && !self.in_brackets(amount)
            });
            let later = later.or(last);
            if let Some(price) = later.filter(|_| !first.is_money && !joined) {
                self.doubts
                    .push(CostDoubt::CountOrAmount(first.written.clone()));
                return Ok(self.single(price, 0));
            }
        }
        if self.word(first.until) == "%" || self.sign(first.until) == Some('%') {
            return Err(CostError::Unreadable(format!("{}%", first.written)));
        }
        // "ten euros fifty", "twelve fifty"
        let spelled = first.written.contains(char::is_alphabetic);
        if spelled && number_word(&self.word(first.until)).is_some() {
            let whole = first.money.amount();
            let with = format!("{whole} and {}", self.word(first.until));
            return Err(CostError::Either(whole, with));
        }
        let year = first.written.len() == 4 && first.written.bytes().all(|b| b.is_ascii_digit());
        if year
            && (190_000..=209_900).contains(&first.money.minor)
            && first.until < self.tokens.len()
        {
            self.doubts.push(CostDoubt::Year(first.written.clone()));
        }
        let chosen = self.single(first, first.from);
        self.sum(chosen, &amounts[1..])
    }

    /// "16 euro 20", "eleven euros fifty": two figures behind the currency, and nothing
    /// behind them that they could count.
    pub(super) fn with_hundredths(&mut self, first: &FoundAmount) -> Option<ChosenAmount> {
        let token = self.tokens.get(first.until)?;
        let part = match &token.figure {
            Figure::Number(number) if number.digits.len() == 2 => number.digits.parse().ok()?,
            Figure::Word(_) => number_word(&token.word()).filter(|number| number % 10 == 0)?,
            Figure::Number(_) | Figure::Sign(_) => return None,
        };
        let until = first.until + 1;
        let ends = until == self.tokens.len() || matches!(self.sign(until), Some(',' | ';' | ')'));
        let is_whole = first.money.currency.decimals() == 2 && first.money.minor % 100 == 0;
        if !(first.named && is_whole && ends && !first.negative && part > 4) {
            return None;
        }
        let whole = self.single(first, first.from);
        Some(ChosenAmount {
            minor: whole.minor + i64::from(part),
            until,
            ..whole
        })
    }

    pub(super) fn single(&mut self, amount: &FoundAmount, from: usize) -> ChosenAmount {
        if amount.comma {
            self.doubts.push(CostDoubt::CommaAsDecimal);
        }
        if let Some(word) = &amount.guessed {
            self.doubts.push(CostDoubt::GuessedCurrency(word.clone()));
        }
        let minor = if amount.negative {
            -amount.money.minor
        } else {
            amount.money.minor
        };
        ChosenAmount {
            minor,
            currency: amount.money.currency,
            from: from.max(amount.from),
            until: amount.until,
        }
    }

    /// The amount of a line that begins with words.
    pub(super) fn choose_behind(
        &mut self,
        amounts: &[FoundAmount],
        lead: usize,
    ) -> Result<ChosenAmount, CostError> {
        self.refuse_misspelt(amounts, lead)?;
        for (at, pair) in amounts.windows(2).enumerate() {
            // "bearings 2x 9.00"
            if self.word(pair[1].from - 1) == "x"
                && let Some(product) = self.product(&pair[0], &pair[1])
            {
                return self.sum(product, &amounts[at + 2..]);
            }
        }
        let money: Vec<&FoundAmount> = amounts.iter().filter(|amount| amount.is_money).collect();
        let chosen = match (money.as_slice(), amounts) {
            ([], [only]) => {
                self.doubts
                    .push(CostDoubt::LoneNumber(only.written.clone()));
                only
            }
            ([], _) => return Err(CostError::NoAmount),
            ([first, ..], _) => *first,
        };
        let at = amounts
            .iter()
            .position(|amount| amount.from == chosen.from)
            .unwrap_or(0);
        if let Some(second) = amounts.get(at + 1) {
            self.refuse_two_readings(chosen, second)?;
        }
        let single = self.single(chosen, chosen.from);
        self.sum(single, &amounts[at + 1..])
    }

    /// A first word that should be the amount and is none: "l2.50", "XYZ 20".
    pub(super) fn refuse_misspelt(
        &self,
        amounts: &[FoundAmount],
        lead: usize,
    ) -> Result<(), CostError> {
        let first = &self.tokens[lead.min(self.tokens.len() - 1)];
        let Figure::Word(word) = first.figure else {
            return match first.figure {
                Figure::Sign('-') => Err(CostError::Unreadable(
                    self.plain
                        .split_whitespace()
                        .next()
                        .unwrap_or_default()
                        .to_owned(),
                )),
                Figure::Sign(_) | Figure::Number(_) | Figure::Word(_) => Ok(()),
            };
        };
        let code = word.len() == 3 && word.bytes().all(|b| b.is_ascii_uppercase());
        let adjacent = amounts
            .first()
            .is_some_and(|amount| amount.from == lead + 1);
        if code && adjacent {
            return Err(CostError::UnknownCurrency(word.to_owned()));
        }
        let figures = word.bytes().filter(u8::is_ascii_digit).count();
        let odd = figures * 2 >= word.len() && figures > 0;
        if odd && !amounts.iter().any(|amount| amount.is_money) {
            return Err(CostError::Unreadable(word.to_owned()));
        }
        Ok(())
    }

    /// Two numbers side by side, or from one to the other.
    pub(super) fn refuse_two_readings(
        &self,
        first: &FoundAmount,
        second: &FoundAmount,
    ) -> Result<(), CostError> {
        let between: Vec<String> = (first.until..second.from)
            .map(|at| self.tokens[at].word())
            .collect();
        let written = || {
            self.plain[self.tokens[first.from].from..self.tokens[second.until - 1].until].to_owned()
        };
        let dash = matches!(self.sign(first.until), Some('-'))
            && second.from == first.until + 1
            && !second.negative
            || second.negative
                && second.from == first.until
                && self.tokens[second.from].from == self.tokens[first.until - 1].until;
        let to = between.len() == 1 && matches!(between[0].as_str(), "to" | "or" | "till" | "/");
        if dash || to {
            return Err(CostError::Range(written()));
        }
        let adjacent = second.from == first.until && !second.named && !first.written.ends_with(',');
        if adjacent && !second.negative {
            let with = format!(
                "{}.{}",
                first.money.amount().split('.').next().unwrap_or_default(),
                second.written
            );
            return Err(CostError::Either(with, first.money.amount()));
        }
        Ok(())
    }
}

/// The amount of a line, and the tokens it takes.
pub(super) struct ChosenAmount {
    pub(super) minor: i64,
    pub(super) currency: Currency,
    pub(super) from: usize,
    pub(super) until: usize,
}

/// Words for what is charged beside a price.
pub(super) fn is_charge(word: &str) -> bool {
    matches!(
        word.trim_end_matches('.'),
        "vat"
            | "tax"
            | "mwst"
            | "gst"
            | "postage"
            | "post"
            | "shipping"
            | "p&p"
            | "carriage"
            | "delivery"
            | "freight"
            | "customs"
            | "duty"
            | "fee"
            | "fees"
            | "handling"
    )
}
