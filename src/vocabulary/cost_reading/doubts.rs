//! What a careful reader of a cost could not know, and why a line has none.
//!
//! What is told to the person is decided where entries are read.

use std::fmt;

use crate::vocabulary::money::Currency;

/// What is not sure about a cost that was read. Texts are as written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum CostDoubt {
    /// A comma was taken for the decimal mark: worth a note only.
    CommaAsDecimal,
    /// "approx": taken as exact.
    About,
    /// A word that means several currencies, one of which was taken.
    GuessedCurrency(String),
    /// Another amount with its currency in brackets: worth a note only.
    InBrackets(String),
    /// A second amount that was not counted.
    SecondAmount(String),
    /// A second amount without a currency, behind one in another than the journal's.
    CurrencyOfSecond(String),
    /// "quoted", "deposit": paid, or still to pay.
    NotAllPaid(String),
    /// A charge without an amount: "plus VAT".
    UnsaidCharge(String),
    /// "1965": an amount, or a year.
    Year(String),
    /// "12 pads, 14 €": the second was taken, the first counts pieces.
    CountOrAmount(String),
    /// "each", and no number of pieces.
    ForEach,
    /// Words of money coming back, and no minus sign.
    MoneyBack(String),
    /// A lone number behind the words.
    LoneNumber(String),
}

/// Why a cost could not be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum CostError {
    /// There is no number where the amount should stand.
    NoAmount,
    /// A word of three capitals that is no currency.
    UnknownCurrency(String),
    /// A word of several currencies, none of them the journal's.
    UnclearCurrency(String),
    /// Two amounts in different currencies were to be added.
    TwoCurrencies,
    /// Marks in the number that cannot all mean something.
    Unreadable(String),
    /// More decimals than the currency has.
    TooFine(String, Currency),
    /// Two readings of the same signs.
    Either(String, String),
    /// From one amount to another.
    Range(String),
}

impl fmt::Display for CostError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            CostError::NoAmount => f.write_str("there is no amount here"),
            CostError::UnknownCurrency(code) => write!(f, "`{code}` is no currency"),
            CostError::UnclearCurrency(word) => write!(f, "`{word}` can mean several currencies"),
            CostError::TwoCurrencies => f.write_str("amounts of two currencies cannot be added"),
            CostError::Unreadable(text) => write!(f, "`{text}` is no amount"),
            CostError::TooFine(text, currency) => {
                write!(f, "`{text}` has more decimals than {} has", currency.code())
            }
            CostError::Either(one, other) => write!(f, "this can mean {one} or {other}"),
            CostError::Range(text) => write!(f, "`{text}` leaves the amount open"),
        }
    }
}
