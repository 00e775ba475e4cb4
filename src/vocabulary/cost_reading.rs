//! A line of cost as people write it: "84.50 hinge", "2 @ £14.50 seals",
//! "about 60 euros", "got £20 back on the old core".
//!
//! Reads the words only; what is told to the person about a doubt is decided
//! where entries are read.

use std::fmt;

use super::amount::{WrittenAmount, written_amount};
use super::cost::Cost;
use super::cost_tokens::{CostToken, Figure, cost_tokens};
use super::currency_words::{NamedCurrency, may_name_currency};
use super::hardware_words::{is_about, is_piece_word};
use super::money::{Currency, Money};
use super::spoken_number::number_word;
use super::words::straighten;

/// Bytes of a line in which amounts are looked for: far more than anyone writes
/// about what one thing cost. What follows is text.
const LONGEST_COST: usize = 200;

/// In a longer line of prose nobody looks for money.
const LONGEST_LINE: usize = 1000;

/// A cost with what a careful reader could not know about it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReadCost {
    /// The likeliest reading.
    pub cost: Cost,
    /// What is not sure.
    pub doubts: Vec<CostDoubt>,
}

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

/// An amount in a line, with the tokens it takes.
#[derive(Clone, Debug)]
struct FoundAmount {
    money: Money,
    /// Whether a currency or two decimals show that it is money.
    is_money: bool,
    named: bool,
    negative: bool,
    comma: bool,
    guessed: Option<String>,
    written: String,
    from: usize,
    until: usize,
}

/// A cost with the notes that people name by their worth as amounts: "a tenner" is
/// ten quid.
fn notes_by_name(text: &str) -> String {
    let lower = text.to_lowercase();
    for (note, amount) in [("tenner", "10 quid"), ("fiver", "5 quid")] {
        let Some(at) = lower.find(note) else { continue };
        let before = text.get(..at).unwrap_or_default().trim_end();
        let after = text.get(at + note.len()..).unwrap_or_default();
        let lead = ["a", "A", "one", "about a", ""].contains(&before);
        if lead && !after.starts_with(char::is_alphanumeric) {
            let about = if before.len() > 3 { "about " } else { "" };
            return format!("{about}{amount}{after}");
        }
    }
    text.to_owned()
}

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

fn begins_with_number(piece: &str) -> bool {
    piece.trim_start().starts_with(|c: char| c.is_ascii_digit())
}

/// A whole number up to this may count pieces: "14 washers; 2 left".
const MOST_PIECES: u32 = 24;

/// Reads a line of cost; without a currency it counts in `usual`.
///
/// # Errors
/// When there is no amount, or none that can only mean one thing.
pub fn read_cost(text: &str, usual: Currency) -> Result<ReadCost, CostError> {
    let plain = notes_by_name(&straighten(text.trim()));
    let read = (0..=LONGEST_COST.min(plain.len()))
        .rev()
        .find_map(|end| plain.get(..end))
        .unwrap_or_default();
    let tokens = cost_tokens(read);
    if let Some(free) = free(&tokens, &plain, usual) {
        return Ok(free);
    }
    if let Some(old) = shillings(&tokens) {
        return Err(CostError::Unreadable(old));
    }
    let amounts = amounts(&tokens, &plain, usual)?;
    let mut reading = CostReading {
        tokens: &tokens,
        plain: &plain,
        doubts: Vec::new(),
    };
    let lead = reading.lead();
    let Some(first) = amounts.first() else {
        return Err(nothing(&tokens));
    };
    let chosen = if first.from == lead {
        reading.choose(&amounts)?
    } else {
        reading.choose_behind(&amounts, lead)?
    };
    reading.finish(chosen)
}

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
        amount.named || amount.is_money && ends && !measured && amount.from > 0
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

/// Why a line holds no amount.
fn nothing(tokens: &[CostToken]) -> CostError {
    let odd = tokens.iter().find_map(|token| match token.figure {
        Figure::Word(word) if word.bytes().any(|b| b.is_ascii_digit()) => Some(word.to_owned()),
        Figure::Number(_) | Figure::Word(_) | Figure::Sign(_) => None,
    });
    odd.map_or(CostError::NoAmount, CostError::Unreadable)
}

/// "free", "for nothing", and no amount.
fn free(tokens: &[CostToken], plain: &str, usual: Currency) -> Option<ReadCost> {
    const FREE: [&str; 6] = ["free", "gratis", "foc", "gift", "donated", "gifted"];
    let words: Vec<String> = tokens.iter().map(|token| token.word()).collect();
    let numbers = tokens
        .iter()
        .any(|token| matches!(token.figure, Figure::Number(_)));
    let at = usize::from(
        words
            .first()
            .is_some_and(|word| word == "for" || word == "a" || word == "no"),
    );
    let word = words.get(at)?;
    let said = FREE.contains(&word.as_str())
        || word == "nothing" && (at == 1 || words.get(1).is_none_or(|next| next == ","))
        || at == 1 && words[0] == "no" && matches!(word.as_str(), "charge" | "cost");
    let postage = words.get(at + 1).is_some_and(|word| is_charge(word));
    (said && !numbers && !postage).then(|| ReadCost {
        cost: Cost {
            money: Money {
                minor: 0,
                currency: usual,
            },
            text: bare(&plain[tokens[at].until..]).to_owned(),
        },
        doubts: Vec::new(),
    })
}

/// Money of before decimals: "12/6", "£3 10s".
fn shillings(tokens: &[CostToken]) -> Option<String> {
    let words: Vec<String> = tokens.iter().map(|token| token.word()).collect();
    let old = |word: &String| {
        let digits = word.trim_end_matches(['s', 'd', '/', '-']);
        let short = !digits.is_empty()
            && digits.len() < word.len()
            && digits.bytes().all(|b| b.is_ascii_digit());
        short && word.len() <= 4
            || matches!(
                word.as_str(),
                "shilling" | "shillings" | "bob" | "guinea" | "guineas" | "farthing" | "sixpence"
            )
    };
    let alone = !tokens
        .iter()
        .any(|token| matches!(token.figure, Figure::Number(_)));
    let slashed = words.first().filter(|word| {
        alone
            && word.split_once('/').is_some_and(|(whole, part)| {
                let digits =
                    |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
                digits(whole) && digits(part)
            })
    });
    slashed.or(words.iter().find(|word| old(word))).cloned()
}

/// All amounts of a line.
fn amounts(
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

/// The reading of one line.
struct CostReading<'a> {
    tokens: &'a [CostToken<'a>],
    plain: &'a str,
    doubts: Vec<CostDoubt>,
}

/// The amount of a line, and the tokens it takes.
struct ChosenAmount {
    minor: i64,
    currency: Currency,
    from: usize,
    until: usize,
}

impl CostReading<'_> {
    fn word(&self, at: usize) -> String {
        self.tokens.get(at).map(CostToken::word).unwrap_or_default()
    }

    fn sign(&self, at: usize) -> Option<char> {
        match self.tokens.get(at)?.figure {
            Figure::Sign(sign) => Some(sign),
            Figure::Number(_) | Figure::Word(_) => None,
        }
    }

    /// Past words that only lead to an amount.
    fn lead(&mut self) -> usize {
        let mut at = 0;
        loop {
            let word = self.word(at);
            if is_about(&word) && !word.is_empty() || self.sign(at) == Some('~') {
                self.doubts.push(CostDoubt::About);
            } else if !matches!(
                word.as_str(),
                "paid"
                    | "cost"
                    | "price"
                    | "total"
                    | "just"
                    | "only"
                    | "for"
                    | "the"
                    | "spent"
                    | "refund"
                    | "refunded"
                    | "received"
                    | "got"
                    | "credit"
                    | "minus"
                    | ":"
            ) {
                return at;
            }
            at += 1;
        }
    }

    /// The amount of a line that begins with one.
    fn choose(&mut self, amounts: &[FoundAmount]) -> Result<ChosenAmount, CostError> {
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
    fn with_hundredths(&mut self, first: &FoundAmount) -> Option<ChosenAmount> {
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

    fn single(&mut self, amount: &FoundAmount, from: usize) -> ChosenAmount {
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
    fn choose_behind(
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
    fn refuse_misspelt(&self, amounts: &[FoundAmount], lead: usize) -> Result<(), CostError> {
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
    fn refuse_two_readings(
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

    /// Whether a sign adds the second amount to the first.
    fn joins(&self, first: &FoundAmount, second: &FoundAmount) -> bool {
        (first.until..second.from).any(|at| {
            self.sign(at) == Some('+')
                || matches!(self.word(at).as_str(), "plus" | "less" | "minus")
        })
    }

    /// "3 x 4.50", "2 @ 7.90", "4 caps at 4.50 each".
    fn product(&mut self, first: &FoundAmount, second: &FoundAmount) -> Option<ChosenAmount> {
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
    fn is_each(&self, at: usize) -> bool {
        let word = self.word(at);
        let next = self.word(at + 1);
        matches!(
            word.as_str(),
            "each" | "apiece" | "ea" | "pc" | "pce" | "per"
        ) || word == "a" && matches!(next.as_str(), "piece" | "pop" | "go")
    }

    fn in_brackets(&self, amount: &FoundAmount) -> bool {
        let open = (0..amount.from)
            .filter(|at| self.sign(*at) == Some('('))
            .count();
        let closed = (0..amount.from)
            .filter(|at| self.sign(*at) == Some(')'))
            .count();
        open > closed
    }

    /// Further amounts: added, taken off, or told of.
    fn sum(
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
            if amount.is_money || charge {
                self.doubts
                    .push(CostDoubt::SecondAmount(amount.written.clone()));
            }
        }
        Ok(chosen)
    }

    /// The cost with the words that are left, and their doubts.
    fn finish(mut self, mut chosen: ChosenAmount) -> Result<ReadCost, CostError> {
        let words: Vec<String> = self.tokens.iter().map(CostToken::word).collect();
        let has = |wanted: &[&str]| words.iter().any(|word| wanted.contains(&word.as_str()));
        let behind: Vec<&str> = words[chosen.until..].iter().map(String::as_str).collect();
        if matches!(
            behind.first(),
            Some(
                &("ish"
                    | "max"
                    | "maximum"
                    | "tops"
                    | "approx"
                    | "approx."
                    | "approximately"
                    | "?"
                    | "roughly"
                    | "+")
            )
        ) || behind.starts_with(&["or", "so"])
            || behind.starts_with(&["-", "ish"])
        {
            self.doubts.push(CostDoubt::About);
            let about = if behind[0] == "or" || behind[0] == "-" {
                2
            } else {
                1
            };
            chosen.until += about;
        }
        const UNPAID: [&str; 6] = ["quoted", "quote", "agreed", "owed", "owing", "unpaid"];
        // Of two amounts one may be still to pay.
        const IN_PARTS: [&str; 5] = ["deposit", "account", "later", "split", "half"];
        let numbers = self.tokens.iter();
        let several = numbers
            .filter(|token| matches!(token.figure, Figure::Number(_)))
            .count()
            > 1;
        let unpaid = |word: &&String| {
            UNPAID.contains(&word.as_str()) || several && IN_PARTS.contains(&word.as_str())
        };
        let coming = words.windows(2).any(|pair| pair == ["to", "be"]);
        let word = words.iter().find(unpaid).cloned();
        if let Some(word) = word.or(coming.then(|| "to be".to_owned())) {
            self.doubts.push(CostDoubt::NotAllPaid(word));
        }
        const ABOUT: [&str; 9] = [
            "est",
            "approx",
            "approx.",
            "approximately",
            "ish",
            "roughly",
            "circa",
            "estimate",
            "estimated",
        ];
        if has(&ABOUT) && !self.doubts.contains(&CostDoubt::About) {
            self.doubts.push(CostDoubt::About);
        }
        let added = words.iter().enumerate().find(|(at, word)| {
            (*word == "+"
                || *word == "plus"
                || *word == "excl"
                || *word == "excl."
                || *word == "ex"
                || *word == "excluding")
                && (1..3).any(|more| words.get(at + more).is_some_and(|word| is_charge(word)))
                && !(1..4).any(|more| {
                    self.tokens
                        .get(at + more)
                        .is_some_and(|token| matches!(token.figure, Figure::Number(_)))
                })
        });
        if let Some((at, _)) = added {
            self.doubts.push(CostDoubt::UnsaidCharge(
                words[at..(at + 2).min(words.len())].join(" "),
            ));
        }
        let slashed = behind.first() == Some(&"/") && self.is_each(chosen.until + 1);
        if (slashed || self.is_each(chosen.until)) && !self.doubts.contains(&CostDoubt::ForEach) {
            self.doubts.push(CostDoubt::ForEach);
        }
        let back = has(&["refund", "refunded", "reimbursed"])
            || has(&["got", "gave", "paid", "money"]) && has(&["back"]);
        if words.first().is_some_and(|word| word == "minus") && chosen.minor > 0 {
            chosen.minor = -chosen.minor;
        }
        let sold = words.first().is_some_and(|word| word == "sold");
        if chosen.minor > 0 && (back || sold) {
            chosen.minor = -chosen.minor;
            if sold {
                self.doubts.push(CostDoubt::MoneyBack("sold".to_owned()));
            }
        } else if chosen.minor > 0
            && let Some(word) = words
                .iter()
                .find(|word| matches!(word.as_str(), "returned" | "credit" | "credited" | "back"))
        {
            self.doubts.push(CostDoubt::MoneyBack(word.clone()));
        }
        let start = self
            .tokens
            .get(chosen.from)
            .map_or(self.plain.len(), |token| token.from);
        let end = chosen
            .until
            .checked_sub(1)
            .map_or(0, |at| self.tokens[at].until);
        let before = bare(&self.plain[..start]);
        let before = if self.lead_alone(chosen.from) {
            ""
        } else {
            before
        };
        let behind = bare(&self.plain[end..]);
        let text = match (before, behind) {
            ("", behind) => behind.to_owned(),
            (before, "") => before.to_owned(),
            (before, behind) => format!("{before} {behind}"),
        };
        let money = Money {
            minor: chosen.minor,
            currency: chosen.currency,
        };
        self.doubts.dedup();
        Ok(ReadCost {
            cost: Cost { money, text },
            doubts: self.doubts,
        })
    }

    /// Whether nothing but words that lead to the amount stand before it.
    fn lead_alone(&self, from: usize) -> bool {
        (0..from).all(|at| {
            let word = self.word(at);
            is_about(&word)
                || matches!(
                    word.as_str(),
                    "~" | "-" | "paid" | "cost" | "price" | "total" | "just" | "only" | "for" | ":"
                )
        })
    }
}

/// Words for what is charged beside a price.
fn is_charge(word: &str) -> bool {
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

/// Words without the signs and small words that joined them to an amount.
fn bare(text: &str) -> &str {
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

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> String {
        match read_cost(text, Currency::EUR) {
            Ok(read) => {
                let asked = read.doubts.iter().any(|doubt| {
                    !matches!(doubt, CostDoubt::CommaAsDecimal | CostDoubt::InBrackets(_))
                });
                let mark = if asked { " ?" } else { "" };
                format!("{}{mark} | {}", read.cost.money, read.cost.text)
            }
            Err(error) => format!("error: {error}"),
        }
    }

    #[test]
    fn amounts_behind_a_semicolon_are_costs_of_their_own() {
        for (text, pieces, may_be) in [
            ("2400 bus; 185 tow", 2, true),
            ("42 inspection; 118 plates; 760 tires, four", 3, true),
            ("12.50 washers; 3.50 post", 2, true),
            // A whole number of few may count pieces: that is asked.
            ("12 washers; 4 left", 1, true),
            ("84.50 hinge; reproduction", 1, false),
            ("84.50 hinge", 1, false),
        ] {
            assert_eq!(costs_in(text, Currency::EUR).len(), pieces, "{text}");
            assert_eq!(may_be_another(text).is_some(), may_be, "{text}");
        }
    }

    #[test]
    fn costs_as_people_write_them() {
        for (text, expected) in [
            (
                "84.50 hinge, reproduction",
                "84.50 EUR | hinge, reproduction",
            ),
            ("GBP 12 postage", "12.00 GBP | postage"),
            ("£12.5", "12.50 GBP | "),
            ("12 GBP postage", "12.00 GBP | postage"),
            ("1,234 respray", "1234.00 EUR | respray"),
            ("1.234,50 chrome", "1234.50 EUR | chrome"),
            ("1 234,50 respray", "1234.50 EUR | respray"),
            ("12,50 bulbs", "12.50 EUR | bulbs"),
            ("−20 core", "-20.00 EUR | core"),
            ("-£20 core", "-20.00 GBP | core"),
            ("£-20 core", "-20.00 GBP | core"),
            ("JPY 1200", "1200 JPY | "),
            ("KWD 1.5", "1.500 KWD | "),
            (".50", "0.50 EUR | "),
            ("20, shop supplies", "20.00 EUR | shop supplies"),
            ("45,- gasket set", "45.00 EUR | gasket set"),
            ("EUR 84.-", "84.00 EUR | "),
            ("40€ hoses", "40.00 EUR | hoses"),
            ("84,50 €", "84.50 EUR | "),
            ("fifty euros, jack", "50.00 EUR | jack"),
            ("2k for the respray", "2000.00 EUR | respray"),
            ("3 x 4.50 plugs", "13.50 EUR | plugs"),
            ("2 pcs à 6.50 seals", "13.00 EUR | seals"),
            ("6 stk @ 2.50 clips", "15.00 EUR | clips"),
            ("£4 each, 3 hoses", "12.00 GBP | hoses"),
            ("2 @ £14.50 wheel cylinders", "29.00 GBP | wheel cylinders"),
            ("4 valve caps at 4.50 each", "18.00 EUR | 4 valve caps at"),
            ("12.50 + 4.90 postage, pin", "17.40 EUR | postage, pin"),
            ("£32 + £6.50 post", "38.50 GBP | post"),
            ("100 + 19% VAT, machining", "119.00 EUR | VAT, machining"),
            ("50 less 10% tyre paint", "45.00 EUR | tyre paint"),
            (
                "119 incl. 19% VAT, drums",
                "119.00 EUR | incl. 19% VAT, drums",
            ),
            ("free - from the neighbour", "0.00 EUR | from the neighbour"),
            ("refund 15.00 wrong seal", "-15.00 EUR | refund wrong seal"),
            (
                "got £20 back on the core",
                "-20.00 GBP | got back on the core",
            ),
            ("bushings, 40.25 CAD", "40.25 CAD | bushings"),
            ("seals 18.20", "18.20 EUR | seals"),
            (
                "12 two nuts 1/2-13, 14 washers",
                "12.00 EUR | two nuts 1/2-13, 14 washers",
            ),
            ("JPY 5000 lamp (EUR 31)", "5000 JPY | lamp (EUR 31)"),
            ("4 seals @ 3.50", "14.00 EUR | 4 seals @"),
            ("12.50 each x 4", "50.00 EUR | "),
            ("minus 20 core", "-20.00 EUR | minus core"),
            ("€ 1.200,- motor", "1200.00 EUR | motor"),
            ("1 200 € motor", "1200.00 EUR | motor"),
            ("Fr. 80.-- carb", "80.00 CHF ? | carb"),
            ("CAD$40 pads", "40.00 CAD | pads"),
            ("3/8 drill 4.50", "4.50 EUR | 3/8 drill"),
            ("80 cents, bulb", "0.80 EUR | bulb"),
            ("16 euro 20, made up", "16.20 EUR | made up"),
            ("eleven euro fifty", "11.50 EUR | "),
            ("15€50", "15.50 EUR | "),
            ("bearings 2x 9,00", "18.00 EUR | bearings"),
        ] {
            assert_eq!(read(text), expected, "{text}");
        }
    }

    #[test]
    fn costs_that_are_asked_about() {
        for (text, amount) in [
            ("approx 40 paint", "40.00 EUR"),
            ("40ish for paint", "40.00 EUR"),
            ("about forty", "40.00 EUR"),
            ("20 quid horn", "20.00 GBP"),
            ("a tenner for bolts", "10.00 GBP"),
            ("fiver", "5.00 GBP"),
            ("fifty bucks", "50.00 USD"),
            ("$14 wipers", "14.00 USD"),
            ("1965 wing badge", "1965.00 EUR"),
            ("12 pads, 14€", "14.00 EUR"),
            ("4 bolts 12", "12.00 EUR"),
            ("4 seals, 14 total", "14.00 EUR"),
            ("12.50€/pc, lens", "12.50 EUR"),
            ("40 EUR (approx)", "40.00 EUR"),
            ("2 for 15", "15.00 EUR"),
            ("20 max", "20.00 EUR"),
            ("100 plus VAT machining", "100.00 EUR"),
            ("4.50 each", "4.50 EUR"),
            ("20 core returned", "20.00 EUR"),
            ("brake fluid 12", "12.00 EUR"),
            ("84.50 hinge, 12 postage", "84.50 EUR"),
            ("EUR 12.00 and EUR 14 for the post", "12.00 EUR"),
            ("15 usd + 22 post", "37.00 USD"),
            ("20 (or 22)", "20.00 EUR"),
            ("25 -5 core", "25.00 EUR"),
            ("40 deposit, 40 on collection", "40.00 EUR"),
            ("20 quoted", "20.00 EUR"),
            ("20 to be paid", "20.00 EUR"),
            ("20 est.", "20.00 EUR"),
            ("12.50 a pop", "12.50 EUR"),
            ("12.50 per side", "12.50 EUR"),
        ] {
            let read = read(text);
            assert!(read.starts_with(&format!("{amount} ?")), "{text}: {read}");
        }
        for text in [
            "lining set",
            "?",
            "XYZ 12",
            "84,500.5.1",
            "12,50,30",
            "30-40 wire",
            "£40-50",
            "30 to 40",
            "12.5O",
            "l2.50 set",
            "1e3 gaskets",
            "--5 core",
            "99999999999999999999",
            "1.005",
            "1.250 grinding",
            "JPY 12.5",
            "5 Euro 50 pins",
            "£3 10s",
            "12/6 spanner",
            "35 USD + 12 EUR customs",
            "50 kr bolts",
            "swap for beer",
            "twelve fifty",
            "free postage",
            "40 / 2 paint",
            "",
        ] {
            assert!(read(text).starts_with("error"), "{text}: {}", read(text));
        }
    }

    proptest::proptest! {
        #[test]
        fn any_line_can_be_read(text in "([0-9]{1,4}|[.,+@%€$£ ()'/-]|x|eur|plus|each|for|\\PC){0,12}") {
            let _ = read_cost(&text, Currency::EUR);
        }
    }
}
