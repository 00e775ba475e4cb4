//! Which of several amounts a line itself names as what was paid: a total of the others,
//! or the one that was agreed on.
//!
//! It adds nothing up and checks no sum.

use super::CostReading;
use super::chosen::is_charge;
use super::found_amounts::FoundAmount;
use crate::vocabulary::hardware_words::is_kind;

/// Words right before an amount that make it the total of those before it.
const TOTAL_BEFORE: [&str; 9] = [
    "so",
    "=",
    "total",
    "totals",
    "totalling",
    "makes",
    "altogether",
    "equals",
    "making",
];
/// Two words right before an amount, or behind it, that make it the total.
const TOTAL_PAIRS: [[&str; 2]; 5] = [
    ["comes", "to"],
    ["came", "to"],
    ["adds", "to"],
    ["in", "all"],
    ["all", "in"],
];
/// Words before an amount that was paid.
const PAID: [&str; 12] = [
    "paid", "gave", "got", "bought", "took", "settled", "agreed", "haggled", "beat", "knocked",
    "down", "ended",
];
/// Words before an amount that somebody else named and nobody paid.
const ASKED: [&str; 9] = [
    "wanted", "asked", "asking", "list", "listed", "rrp", "retail", "offered", "instead",
];
/// The same, right before the amount.
const ASKED_AT: [&str; 5] = ["was", "from", "not", "usually", "normally"];

impl CostReading<'_> {
    /// The amount that is named as the total of the others, or as the one that was paid.
    pub(super) fn said_total<'f>(&self, amounts: &'f [FoundAmount]) -> Option<&'f FoundAmount> {
        if amounts.len() < 2 {
            return None;
        }
        let mut totals = amounts
            .iter()
            .skip(1)
            .filter(|amount| self.is_total(amount));
        if let (Some(total), None) = (totals.next(), totals.next()) {
            return self.adds_up(amounts, total).then_some(total);
        }
        let right_before = |at: usize| {
            let before = amounts[at].from.checked_sub(1).map(|at| self.word(at));
            before.is_some_and(|word| ASKED_AT.contains(&word.as_str()))
        };
        let asked = |at: &usize| right_before(*at) || self.says_before(amounts, *at, &ASKED);
        let paid = |at: &usize| self.says_before(amounts, *at, &PAID) && !asked(at);
        let all = 0..amounts.len();
        let priced: Vec<usize> = all.clone().filter(paid).collect();
        let open: Vec<usize> = all.clone().filter(|at| !asked(at) && !paid(at)).collect();
        let denied = all.clone().any(|at| asked(&at));
        match (priced.as_slice(), open.as_slice()) {
            ([one], []) | ([], [one]) if denied => amounts
                .get(*one)
                .filter(|amount| amount.written.contains(|c: char| c.is_ascii_digit())),
            _ => None,
        }
    }

    /// Whether the other amounts make the total, added or multiplied; where a charge has
    /// no amount, whether they make less.
    fn adds_up(&self, amounts: &[FoundAmount], total: &FoundAmount) -> bool {
        let others = amounts.iter().filter(|amount| amount.from != total.from);
        let minor: Vec<i64> = others.map(|amount| amount.money.minor).collect();
        let sum = minor
            .iter()
            .fold(0_i64, |sum, one| sum.saturating_add(*one));
        let unit =
            10_i64.saturating_pow(u32::try_from(total.money.currency.decimals()).unwrap_or(0));
        let product = match minor.as_slice() {
            [one, other] => one.saturating_mul(*other) / unit.max(1),
            _ => sum,
        };
        let open =
            (0..self.tokens.len()).any(|at| is_charge(&self.word(at))) && sum < total.money.minor;
        sum == total.money.minor || product == total.money.minor || open
    }

    fn is_total(&self, amount: &FoundAmount) -> bool {
        let word = |at: Option<usize>| at.map(|at| self.word(at)).unwrap_or_default();
        let before = word(amount.from.checked_sub(1));
        let earlier = word(amount.from.checked_sub(2));
        let (behind, later) = (self.word(amount.until), self.word(amount.until + 1));
        let pair = |one: &str, other: &str| TOTAL_PAIRS.contains(&[one, other]);
        // "or so 60" and "so many" are no totals.
        TOTAL_BEFORE.contains(&before.as_str()) && earlier != "or"
            || pair(&earlier, &before)
            || pair(&behind, &later)
            || matches!(behind.as_str(), "total" | "altogether")
    }

    /// Whether one of these words stands in the words before an amount, as far as the
    /// amount or the comma before it.
    fn says_before(&self, amounts: &[FoundAmount], at: usize, words: &[&str]) -> bool {
        let from = at.checked_sub(1).map_or(0, |before| amounts[before].until);
        let until = amounts[at].from;
        (from..until)
            .rev()
            .take(5)
            .any(|at| words.contains(&self.word(at).as_str()))
    }

    /// Whether a number behind the amount may be money that was not counted: nothing says
    /// what else it is.
    pub(super) fn is_unused(&self, amount: &FoundAmount) -> bool {
        // What a number behind such a word says is no money.
        const NUMBERED: [&str; 22] = [
            "inv", "invoice", "no", "nr", "number", "ref", "order", "receipt", "page", "part",
            "bag", "size", "type", "mk", "grade", "for", "of", "on", "#", "x", "per", "pack",
        ];
        // What so many of are is no money.
        const UNITS: [&str; 24] = [
            "litre", "litres", "liter", "liters", "l", "ml", "kg", "g", "m", "metre", "metres",
            "mm", "cm", "ft", "feet", "inch", "yard", "yards", "off", "pcs", "pieces", "pairs",
            "sets", "days",
        ];
        let before = amount
            .from
            .checked_sub(1)
            .map(|at| self.word(at))
            .unwrap_or_default();
        let behind = self.word(amount.until);
        !NUMBERED.contains(&before.trim_end_matches('.'))
            && !UNITS.contains(&behind.as_str())
            && !is_charge(&behind)
            && !is_kind(&behind)
            && !self.in_brackets(amount)
    }
}
