//! Where in a line of prose or of facts money stands.
//!
//! What it says of the cost is read by its neighbours.

use super::found_amounts::{FoundAmount, amounts};
use super::{LONGEST_COST, read_cost};
use crate::vocabulary::cost_tokens::{CostToken, Figure, cost_tokens};
use crate::vocabulary::currency_words::may_name_currency;
use crate::vocabulary::money::Currency;
use crate::vocabulary::words::straighten;

/// In a longer line of prose nobody looks for money.
pub(super) const LONGEST_LINE: usize = 1000;

/// The costs of one text: parted at semicolons where each piece begins with an amount
/// that can be nothing else, as in "2400 bus; 185 tow"; else the whole.
#[must_use]
pub fn costs_in(text: &str, usual: Currency) -> Vec<&str> {
    let is_cost = |piece: &&str| {
        let first = piece.split_whitespace().next().unwrap_or_default();
        let is_count = first.parse().is_ok_and(|count: u32| count <= MOST_PIECES);
        let read = read_cost(piece, usual);
        begins_with_number(piece) && !is_count && read.is_ok_and(|read| read.doubts.is_empty())
    };
    let pieces: Vec<&str> = text.split(';').collect();
    match pieces.iter().skip(1).all(is_cost) && read_cost(pieces[0], usual).is_ok() {
        true => pieces,
        false => vec![text],
    }
}

/// A piece behind a semicolon that may be a further amount.
#[must_use]
pub fn may_be_another(text: &str) -> Option<&str> {
    let mut behind = text.split(';').skip(1).map(str::trim);
    behind.find(|piece| begins_with_number(piece))
}

pub(super) fn begins_with_number(piece: &str) -> bool {
    piece.trim_start().starts_with(|c: char| c.is_ascii_digit())
}

/// A whole number up to this may count pieces: "14 washers; 2 left".
pub(super) const MOST_PIECES: u32 = 24;

/// A price that a text about something else holds, as written: an amount with its
/// currency, or one with two decimals that stands alone behind a comma or at the end.
#[must_use]
pub fn price_in(text: &str, usual: Currency) -> Option<String> {
    let plain = straighten(text);
    if plain.len() > LONGEST_COST {
        return None;
    }
    let tokens = cost_tokens(&plain);
    let found = amounts(&tokens, &plain, usual).ok()?;
    let is_price = |amount: &FoundAmount| {
        let token = |at: usize| tokens.get(at).map(|token| &token.figure);
        let ends = matches!(
            token(amount.until),
            None | Some(Figure::Sign(')' | ',' | ';' | '.'))
        );
        let measured = amount
            .from
            .checked_sub(1)
            .is_some_and(|at| matches!(tokens[at].word().as_str(), "x" | "*" | "-"));
        // "2 @ 24.50", "at 0.85 each"
        let word = |at: Option<usize>| at.and_then(|at| tokens.get(at)).map(CostToken::word);
        let apiece = matches!(word(amount.from.checked_sub(1)).as_deref(), Some("@"))
            || matches!(
                word(Some(amount.until)).as_deref(),
                Some("each" | "ea" | "apiece")
            );
        amount.named || amount.is_money && (ends || apiece) && !measured && amount.from > 0
    };
    found
        .iter()
        .find(|amount| is_price(amount))
        .map(|amount| amount.written.clone())
}

/// An amount with its currency in a line of prose, as written.
#[must_use]
pub fn named_money_in(line: &str, usual: Currency) -> Option<String> {
    if line.len() > LONGEST_LINE {
        return None;
    }
    let plain = straighten(line);
    if !may_name_currency(&plain) {
        return None;
    }
    let tokens = cost_tokens(&plain);
    let found = amounts(&tokens, &plain, usual).ok()?;
    // Pounds are a weight as well.
    let is_money = |amount: &&FoundAmount| amount.named && !amount.written.contains("ound");
    let named = found.iter().find(is_money)?;
    Some(named.written.clone())
}
