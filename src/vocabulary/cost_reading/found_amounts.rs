//! The numbers of a line that may be money, with the currency said at them.
//!
//! Which of them is the cost is decided in `chosen`.

use super::doubts::CostError;
use crate::vocabulary::amount::{WrittenAmount, written_amount};
use crate::vocabulary::cost_tokens::{CostToken, Figure};
use crate::vocabulary::currency_words::NamedCurrency;
use crate::vocabulary::money::{Currency, Money};

/// An amount in a line, with the tokens it takes.
#[derive(Clone, Debug)]
pub(super) struct FoundAmount {
    pub(super) money: Money,
    /// Whether a currency or two decimals show that it is money.
    pub(super) is_money: bool,
    pub(super) named: bool,
    pub(super) negative: bool,
    pub(super) comma: bool,
    pub(super) guessed: Option<String>,
    pub(super) written: String,
    pub(super) from: usize,
    pub(super) until: usize,
}

/// All amounts of a line.
pub(super) fn amounts(
    tokens: &[CostToken],
    plain: &str,
    usual: Currency,
) -> Result<Vec<FoundAmount>, CostError> {
    let mut found: Vec<FoundAmount> = Vec::new();
    let mut at = 0;
    while at < tokens.len() {
        let Figure::Number(number) = &tokens[at].figure else {
            at += 1;
            continue;
        };
        let free = found.last().map_or(0, |last: &FoundAmount| last.until);
        let currency = |at: Option<usize>| {
            at.and_then(|at| tokens.get(at))
                .and_then(|token| token.currency(usual))
        };
        let mut from = at;
        let mut before = None;
        if at > free {
            let signed = usize::from(matches!(tokens[at - 1].figure, Figure::Sign('-' | '+')));
            before = currency((at - signed).checked_sub(1).filter(|place| *place >= free));
            if before.is_some() {
                from = at - signed - 1;
            }
        }
        let mut until = at + 1;
        let mut cents = false;
        let mut behind = None;
        if before.is_none() {
            behind = currency(Some(until));
            if behind.is_none()
                && let Some(named) = tokens.get(until).and_then(|token| token.hundredth(usual))
            {
                cents = true;
                behind = Some(named);
            }
            until += usize::from(behind.is_some());
        }
        let sign = |place: Option<usize>| match place
            .and_then(|place| tokens.get(place))
            .map(|token| &token.figure)
        {
            Some(Figure::Sign(sign)) => Some(*sign),
            Some(_) | None => None,
        };
        // A minus sign belongs to the amount at the start and where no gap parts them.
        let mut negative =
            sign(at.checked_sub(1)) == Some('-') && tokens[at - 1].until == tokens[at].from;
        let lead = from.checked_sub(1);
        if sign(lead) == Some('-')
            && lead.is_some_and(|lead| {
                lead == 0 || tokens[lead].until == tokens[from].from && lead > free
            })
        {
            negative = true;
        }
        if negative && lead.is_some_and(|lead| sign(Some(lead)) == Some('-')) {
            from -= 1;
        }
        let named = before.or(behind);
        let (currency, guessed) = match &named {
            None => (usual, None),
            Some(NamedCurrency::Known(currency)) => (*currency, None),
            Some(NamedCurrency::Guessed(currency, word)) => (*currency, Some(word.clone())),
            Some(NamedCurrency::Unclear(word)) => {
                return Err(CostError::UnclearCurrency(word.clone()));
            }
        };
        let digits = number.digits.as_str();
        let (minor, comma) = match written_amount(digits, currency.decimals()) {
            WrittenAmount::Exactly(minor, comma) => (minor, comma),
            WrittenAmount::Either(..) | WrittenAmount::TooFine | WrittenAmount::Unreadable
                if !found.is_empty() =>
            {
                at = until;
                continue;
            }
            // "1.200,-"
            WrittenAmount::Either(_, whole) if number.closed => {
                match written_amount(&whole, currency.decimals()) {
                    WrittenAmount::Exactly(minor, comma) => (minor, comma),
                    WrittenAmount::Either(..)
                    | WrittenAmount::TooFine
                    | WrittenAmount::Unreadable => {
                        return Err(CostError::Unreadable(digits.to_owned()));
                    }
                }
            }
            WrittenAmount::Either(one, other) => return Err(CostError::Either(one, other)),
            WrittenAmount::TooFine => return Err(CostError::TooFine(digits.to_owned(), currency)),
            WrittenAmount::Unreadable => return Err(CostError::Unreadable(digits.to_owned())),
        };
        let scale = i64::from(number.thousands).max(1);
        let minor = minor
            .checked_mul(scale)
            .ok_or_else(|| CostError::Unreadable(digits.to_owned()))?;
        let minor = if cents { minor / 100 } else { minor };
        let decimals = digits
            .rsplit_once(['.', ','])
            .is_some_and(|(_, part)| part.len() == 2);
        found.push(FoundAmount {
            money: Money { minor, currency },
            is_money: named.is_some() || decimals || number.closed,
            named: named.is_some(),
            negative,
            comma,
            guessed,
            written: plain[tokens[from].from..tokens[until - 1].until].to_owned(),
            from,
            until,
        });
        at = until;
    }
    Ok(found)
}

/// Words without the signs and small words that joined them to an amount.
pub(super) fn bare(text: &str) -> &str {
    let mut text = text
        .trim()
        .trim_matches([',', ':', '.', '-', '=', ';'])
        .trim();
    for word in ["for the ", "for "] {
        if text
            .get(..word.len())
            .is_some_and(|start| start.eq_ignore_ascii_case(word))
        {
            text = text[word.len()..].trim_start();
        }
    }
    text
}
