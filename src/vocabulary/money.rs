//! Amounts of money, exact, in the minor unit of their currency.
//!
//! Amounts of two currencies are never added: there is no way to write it.

use iso_currency::Currency as Iso;
use serde::{Deserialize, Serialize};
use std::fmt;

use super::words::straighten;

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

/// Why an amount could not be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum MoneyError {
    /// There is no number where the amount should stand.
    NoAmount,
    /// A word of three capitals that is no currency.
    UnknownCurrency(String),
    /// Marks in the number that cannot all mean something.
    Unreadable(String),
    /// More decimals than the currency has.
    TooFine(String, Currency),
}

/// An amount with the words after it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Cost {
    /// How much.
    pub money: Money,
    /// What it was for; may be empty.
    pub text: String,
    /// Whether a comma was taken for the decimal mark: worth a note.
    pub comma_as_decimal: bool,
    /// Whether the currency stood behind the amount: worth a look.
    pub currency_behind: bool,
}

impl Cost {
    /// Reads `84.50 hinge, reproduction`, `GBP 12 postage`, `£12`, `-20 core
    /// returned`. Without a currency it counts in `usual`.
    ///
    /// # Errors
    /// When there is no amount, or none that can only mean one thing.
    pub fn read(text: &str, usual: Currency) -> Result<Cost, MoneyError> {
        let text = straighten(text.trim());
        let (currency, rest) = leading_currency(&text, usual)?;
        let (amount, rest) = split_amount(rest);
        if !amount.contains(|c: char| c.is_ascii_digit()) {
            return Err(MoneyError::NoAmount);
        }
        let behind = currency
            .is_none()
            .then(|| trailing_currency(rest))
            .flatten();
        if behind.is_none() && rest.starts_with(char::is_alphanumeric) {
            // "12.5O", "1e3": the number does not end where it seems to.
            let word = text.split_whitespace().next().unwrap_or_default();
            return Err(MoneyError::Unreadable(word.to_owned()));
        }
        let currency_behind = behind.is_some();
        let (currency, rest) = behind.unwrap_or((currency.unwrap_or(usual), rest));
        let (minor, comma_as_decimal) = read_amount(amount, currency)?;
        Ok(Cost {
            money: Money { minor, currency },
            text: rest
                .trim()
                .trim_start_matches([',', ':', '.', '-'])
                .trim()
                .to_owned(),
            comma_as_decimal,
            currency_behind,
        })
    }
}

/// An amount in the words behind a cost.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SecondAmount {
    /// As it is written.
    pub written: String,
    /// Whether it stands in brackets, as a note does.
    pub in_brackets: bool,
}

impl Cost {
    /// Another amount with its currency in the words of the cost: money that
    /// is not counted. A number without a currency is none.
    #[must_use]
    pub fn second_amount(&self) -> Option<SecondAmount> {
        let bare = |word: &str| {
            word.trim_matches(['(', ')', ',', ';', '+', '=', '/'])
                .to_owned()
        };
        let words: Vec<&str> = self.text.split_whitespace().collect();
        let mut open = false;
        for (at, word) in words.iter().enumerate() {
            open |= word.starts_with('(');
            let next = words.get(at + 1).map(|next| bare(next));
            let own = bare(word);
            let written = if is_amount(own.trim_start_matches(is_sign)) && own.starts_with(is_sign)
                || is_amount(own.trim_end_matches(is_sign)) && own.ends_with(is_sign)
                || is_code_with_amount(&own)
            {
                Some(own)
            } else {
                next.filter(|next| {
                    is_code(&own) && is_amount(next)
                        || is_amount(&own) && (is_code(next) || is_lone_sign(next))
                        || is_lone_sign(&own) && is_amount(next)
                })
                .map(|next| format!("{own} {next}"))
            };
            if let Some(written) = written {
                return Some(SecondAmount {
                    written,
                    in_brackets: open,
                });
            }
            open &= !word.ends_with(')');
        }
        None
    }
}

fn is_sign(c: char) -> bool {
    matches!(c, '€' | '£' | '¥' | '$')
}

fn is_lone_sign(word: &str) -> bool {
    !word.is_empty() && word.chars().all(is_sign)
}

fn is_code(word: &str) -> bool {
    word.len() == 3
        && word.bytes().all(|byte| byte.is_ascii_uppercase())
        && Currency::from_code(word).is_some()
}

/// `EUR14`, `14EUR`.
fn is_code_with_amount(word: &str) -> bool {
    let front = word.get(..3).zip(word.get(3..));
    let back = word.len().checked_sub(3);
    let back = back.and_then(|at| word.get(at..).zip(word.get(..at)));
    [front, back]
        .into_iter()
        .flatten()
        .any(|(code, amount)| is_code(code) && is_amount(amount))
}

fn is_amount(word: &str) -> bool {
    let digits = word.trim_start_matches(['-', '+']);
    digits.starts_with(|c: char| c.is_ascii_digit())
        && digits
            .chars()
            .all(|c| c.is_ascii_digit() || matches!(c, '.' | ','))
}

/// A currency before the amount, by code or by sign.
fn leading_currency(text: &str, usual: Currency) -> Result<(Option<Currency>, &str), MoneyError> {
    if let Some((sign, currency)) = SIGNS.iter().find(|(sign, _)| text.starts_with(sign)) {
        return Ok((Some(*currency), text[sign.len()..].trim_start()));
    }
    if let Some(rest) = text.strip_prefix('$') {
        let dollars = match usual.code() {
            "AUD" | "CAD" | "NZD" | "USD" => usual,
            _ => Currency(Iso::USD),
        };
        return Ok((Some(dollars), rest.trim_start()));
    }
    let Some(word) = text
        .get(..3)
        .filter(|word| word.bytes().all(|byte| byte.is_ascii_uppercase()))
        .filter(|_| !text[3..].starts_with(|c: char| c.is_alphanumeric() && !c.is_ascii_digit()))
    else {
        return Ok((None, text));
    };
    match Currency::from_code(word) {
        Some(currency) => Ok((Some(currency), text[3..].trim_start())),
        None => Err(MoneyError::UnknownCurrency(word.to_owned())),
    }
}

/// Signs that mean one currency.
const SIGNS: [(&str, Currency); 3] = [
    ("€", Currency(Iso::EUR)),
    ("£", Currency(Iso::GBP)),
    ("¥", Currency(Iso::JPY)),
];

/// A currency right after the amount.
fn trailing_currency(text: &str) -> Option<(Currency, &str)> {
    let text = text.trim_start();
    if let Some((sign, currency)) = SIGNS.iter().find(|(sign, _)| text.starts_with(sign)) {
        return Some((*currency, &text[sign.len()..]));
    }
    let word = text.split([' ', ',']).next().unwrap_or_default();
    let is_code = word.len() == 3 && word.bytes().all(|byte| byte.is_ascii_uppercase());
    let currency = Currency::from_code(word).filter(|_| is_code)?;
    Some((currency, &text[3..]))
}

/// The sign, digits and marks at the start, and what follows them.
fn split_amount(text: &str) -> (&str, &str) {
    let end = text
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '+' | '\'')))
        .unwrap_or(text.len());
    let amount = text[..end].trim_end_matches([',', '.', '-']);
    text.split_at(amount.len())
}

/// The amount in minor units, and whether a comma was the decimal mark. A
/// point is the decimal mark; a comma groups only before three digits.
fn read_amount(written: &str, currency: Currency) -> Result<(i64, bool), MoneyError> {
    let unreadable = || MoneyError::Unreadable(written.to_owned());
    let (negative, digits) = match written.strip_prefix('-') {
        Some(rest) => (true, rest),
        None => (false, written.strip_prefix('+').unwrap_or(written)),
    };
    let (whole, decimals, comma) = split_decimals(digits).ok_or_else(unreadable)?;
    let wanted = currency.decimals();
    let decimals = if decimals.len() > wanted {
        let (kept, rest) = decimals.split_at(wanted);
        if rest.bytes().any(|byte| byte != b'0') {
            return Err(MoneyError::TooFine(written.to_owned(), currency));
        }
        kept
    } else {
        decimals
    };
    let text = format!("{whole}{decimals:0<wanted$}");
    let minor: i64 = text.parse().map_err(|_| unreadable())?;
    Ok((if negative { -minor } else { minor }, comma))
}

/// Whole digits, decimal digits, and whether a comma parted them.
fn split_decimals(digits: &str) -> Option<(String, &str, bool)> {
    let all_digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    let (whole, decimals, comma) = match digits.split_once('.') {
        Some((whole, decimals)) => (whole, decimals, false),
        None => match digits.rsplit_once(',') {
            Some((whole, last)) if last.len() != 3 => (whole, last, true),
            Some(_) | None => (digits, "", false),
        },
    };
    if !(decimals.is_empty() || all_digits(decimals)) || (comma && decimals.is_empty()) {
        return None;
    }
    let mut groups = whole.split(',');
    let first = groups.next()?;
    let rest: Vec<&str> = groups.collect();
    let grouped = rest.is_empty() || first.len() <= 3;
    let sound = all_digits(first)
        && grouped
        && rest
            .iter()
            .all(|group| group.len() == 3 && all_digits(group));
    // A number beginning with its decimal mark (".50") has no whole digits.
    if first.is_empty() && rest.is_empty() && !decimals.is_empty() {
        return Some(("0".to_owned(), decimals, comma));
    }
    sound.then(|| (format!("{first}{}", rest.concat()), decimals, comma))
}

impl fmt::Display for MoneyError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            MoneyError::NoAmount => f.write_str("there is no amount here"),
            MoneyError::UnknownCurrency(code) => write!(f, "`{code}` is no currency"),
            MoneyError::Unreadable(text) => write!(f, "`{text}` is no amount"),
            MoneyError::TooFine(text, currency) => {
                write!(f, "`{text}` has more decimals than {} has", currency.code())
            }
        }
    }
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

    fn read(text: &str) -> Result<(String, String, bool), MoneyError> {
        Cost::read(text, Currency::EUR)
            .map(|cost| (cost.money.to_string(), cost.text, cost.comma_as_decimal))
    }

    fn ok(amount: &str, text: &str, comma: bool) -> Result<(String, String, bool), MoneyError> {
        Ok((amount.to_owned(), text.to_owned(), comma))
    }

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

    #[test]
    fn amounts_as_people_write_them() {
        assert_eq!(
            read("84.50 hinge, reproduction"),
            ok("84.50 EUR", "hinge, reproduction", false)
        );
        assert_eq!(read("GBP 12 postage"), ok("12.00 GBP", "postage", false));
        assert_eq!(read("£12.5"), ok("12.50 GBP", "", false));
        assert_eq!(read("12 GBP postage"), ok("12.00 GBP", "postage", false));
        assert_eq!(read("1,234 respray"), ok("1234.00 EUR", "respray", false));
        assert_eq!(read("1,234.56"), ok("1234.56 EUR", "", false));
        assert_eq!(read("1,234,56"), ok("1234.56 EUR", "", true));
        assert_eq!(read("12,50 bulbs"), ok("12.50 EUR", "bulbs", true));
        assert_eq!(read("−20 core"), ok("-20.00 EUR", "core", false));
        assert_eq!(read("JPY 1200"), ok("1200 JPY", "", false));
        assert_eq!(read("KWD 1.5"), ok("1.500 KWD", "", false));
        assert_eq!(read("84.500"), ok("84.50 EUR", "", false));
        assert_eq!(read(".50"), ok("0.50 EUR", "", false));
        assert_eq!(
            read("20, shop supplies"),
            ok("20.00 EUR", "shop supplies", false)
        );
    }

    #[test]
    fn one_line_holds_one_amount() {
        let second = |text: &str| {
            let cost = Cost::read(text, Currency::EUR).expect(text);
            cost.second_amount()
                .map(|second| (second.written, second.in_brackets))
        };
        for (text, written, in_brackets) in [
            ("12 EUR 14 USD", "14 USD", false),
            ("EUR 12 USD 14", "USD 14", false),
            ("12 EUR + 14.50 USD, postage", "14.50 USD", false),
            ("€12 and $14", "$14", false),
            ("12 pads, 14€", "14€", false),
            ("12 pads; USD14 freight", "USD14", false),
            ("12 € 14 £", "14 £", false),
            ("JPY 5000 lamp (EUR 31)", "EUR 31", true),
        ] {
            assert_eq!(
                second(text),
                Some((written.to_owned(), in_brackets)),
                "{text}"
            );
        }
        for text in [
            "84.50 hinge, reproduction",
            "12 two nuts 1/2-13, 14 washers",
            "12 GBP postage",
            "6.80 stud, BSW 14",
            "12 USD",
        ] {
            assert_eq!(second(text), None, "{text}");
        }
    }

    #[test]
    fn amounts_that_could_mean_two_things_are_refused() {
        assert_eq!(read("about forty"), Err(MoneyError::NoAmount));
        assert_eq!(
            read("XYZ 12"),
            Err(MoneyError::UnknownCurrency("XYZ".to_owned()))
        );
        for text in [
            "84,500.5.1",
            "12,50,30",
            "1.234,56",
            "12-13",
            "12.5O",
            "1e3 gaskets",
            "99999999999999999999",
        ] {
            assert!(
                matches!(read(text), Err(MoneyError::Unreadable(_))),
                "{text}: {:?}",
                read(text)
            );
        }
        assert!(matches!(read("1.005"), Err(MoneyError::TooFine(..))));
        assert!(matches!(read("JPY 12.5"), Err(MoneyError::TooFine(..))));
    }
}
