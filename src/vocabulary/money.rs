//! Amounts of money, exact, in the minor unit of their currency.
//!
//! Amounts of two currencies are never added: there is no way to write it.

use iso_currency::Currency as Iso;
use serde::{Deserialize, Serialize};
use std::fmt;

/// A currency of ISO 4217, with as many decimals as the standard gives it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Currency(Iso);

impl Currency {
    /// The euro: what a journal counts in when its settings say nothing.
    pub const EUR: Currency = Currency(Iso::EUR);

    /// The currency with this code of three letters.
    #[must_use]
    pub fn from_code(code: &str) -> Option<Currency> {
        Iso::from_code(&code.to_ascii_uppercase()).map(Currency)
    }

    /// The code of three letters.
    #[must_use]
    pub fn code(self) -> &'static str {
        self.0.code()
    }

    /// How many decimals an amount has (ISO 4217, table one); none where the
    /// standard gives none.
    #[must_use]
    pub fn decimals(self) -> usize {
        self.0.exponent().map_or(0, usize::from)
    }
}

impl TryFrom<String> for Currency {
    type Error = String;

    fn try_from(code: String) -> Result<Currency, String> {
        Currency::from_code(&code).ok_or_else(|| format!("{code} is not a code of ISO 4217"))
    }
}

impl From<Currency> for String {
    fn from(currency: Currency) -> String {
        currency.code().to_owned()
    }
}

/// An amount in the minor unit (cents, pence, fils) of a currency.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Money {
    /// How many of the minor unit; negative for money that came back.
    pub minor: i64,
    /// What it is counted in.
    pub currency: Currency,
}

impl fmt::Display for Money {
    /// The amount with its code: `84.50 EUR`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.amount(), self.currency.code())
    }
}

impl Money {
    /// The amount alone, with all decimals of the currency: `84.50`.
    #[must_use]
    pub fn amount(&self) -> String {
        let decimals = self.currency.decimals();
        let digits = format!(
            "{:0>width$}",
            self.minor.unsigned_abs(),
            width = decimals + 1
        );
        let (whole, part) = digits.split_at(digits.len() - decimals);
        let sign = if self.minor < 0 { "-" } else { "" };
        if part.is_empty() {
            format!("{sign}{whole}")
        } else {
            format!("{sign}{whole}.{part}")
        }
    }
}

/// Amounts added up, one sum for each currency, in the order in which the
/// currencies first come.
#[must_use]
pub fn sum_by_currency(amounts: impl Iterator<Item = Money>) -> Vec<Money> {
    let mut sums: Vec<Money> = Vec::new();
    for money in amounts {
        match sums.iter_mut().find(|sum| sum.currency == money.currency) {
            Some(sum) => sum.minor = sum.minor.saturating_add(money.minor),
            None => sums.push(money),
        }
    }
    sums
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Minor units after ISO 4217, table one.
    #[test]
    fn currencies_have_the_decimals_of_iso_4217() {
        for (code, decimals) in [
            ("USD", 2),
            ("EUR", 2),
            ("GBP", 2),
            ("JPY", 0),
            ("ISK", 0),
            ("KWD", 3),
            ("BHD", 3),
        ] {
            let currency = Currency::from_code(code).expect(code);
            assert_eq!(currency.decimals(), decimals, "{code}");
        }
        assert_eq!(Currency::from_code("XYZ"), None);
    }
}
