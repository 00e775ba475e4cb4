//! A line of cost as people write it: "84.50 hinge", "2 @ £14.50 seals",
//! "about 60 euros", "got £20 back on the old core".
//!
//! Reads the words only; what is told to the person about a doubt is decided
//! where entries are read.

mod chosen;
mod doubts;
mod found_amounts;
mod in_lines;
mod said_total;
mod sums;

use chosen::{ChosenAmount, is_charge};
pub use doubts::{CostDoubt, CostError};
use found_amounts::{amounts, bare};
pub use in_lines::{costs_in, may_be_another, named_money_in, price_in};

use super::cost::Cost;
use super::cost_tokens::{CostToken, Figure, cost_tokens};
use super::hardware_words::is_about;
use super::money::{Currency, Money};
use super::spoken_number::number_word;
use super::words::straighten;

/// Bytes of a line in which amounts are looked for: far more than anyone writes
/// about what one thing cost. What follows is text.
const LONGEST_COST: usize = 200;

/// A cost with what a careful reader could not know about it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReadCost {
    /// The likeliest reading.
    pub cost: Cost,
    /// What is not sure.
    pub doubts: Vec<CostDoubt>,
}

/// A cost with amounts that people have names for in figures: "a tenner" is ten quid,
/// "3 and a half euros" 3.50.
fn in_figures(text: &str) -> String {
    let words: Vec<&str> = text.split_whitespace().collect();
    let small: Vec<String> = words.iter().map(|word| word.to_lowercase()).collect();
    let word = |at: usize| {
        small
            .get(at)
            .map_or("", |word| word.trim_end_matches([',', '.', ';']))
    };
    let number = |word: &str| -> Option<u32> {
        number_word(word).or_else(|| word.parse().ok().filter(|number| *number < 1000))
    };
    let mut out: Vec<String> = Vec::new();
    let mut at = 0;
    let mut changed = false;
    while at < words.len() {
        let counted = number(word(at)).or(matches!(word(at), "a" | "an").then_some(1));
        let noted = usize::from(counted.is_some() && note_worth(word(at + 1)).is_some());
        if let Some(worth) = note_worth(word(at + noted)) {
            let tail = &words[at + noted][word(at + noted).len()..];
            out.push(format!("{} quid{tail}", worth * counted.unwrap_or(1)));
            at += noted + 1;
            changed = true;
        } else if let Some(whole) = number(word(at))
            && [word(at + 1), word(at + 2), word(at + 3)] == ["and", "a", "half"]
        {
            out.push(format!("{whole}.50"));
            at += 4;
            changed = true;
        } else {
            out.push(words[at].to_owned());
            at += 1;
        }
    }
    if changed {
        out.join(" ")
    } else {
        text.to_owned()
    }
}

/// What a bank note is worth that goes by its worth.
fn note_worth(word: &str) -> Option<u32> {
    match word {
        "tenner" | "tenners" => Some(10),
        "fiver" | "fivers" => Some(5),
        _ => None,
    }
}

/// Reads a line of cost; without a currency it counts in `usual`.
///
/// # Errors
/// When there is no amount, or none that can only mean one thing.
pub fn read_cost(text: &str, usual: Currency) -> Result<ReadCost, CostError> {
    let plain = in_figures(&straighten(text.trim()));
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
    let chosen = if let Some(total) = reading.said_total(&amounts) {
        let mut total = total.clone();
        // "£50 + vat so 60": the sign stands once.
        if !total.named && first.named {
            total.money.currency = first.money.currency;
            total.guessed.clone_from(&first.guessed);
        }
        reading.single(&total, total.from)
    } else if first.from == lead {
        reading.choose(&amounts)?
    } else {
        reading.choose_behind(&amounts, lead)?
    };
    reading.finish(chosen)
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

/// The reading of one line.
struct CostReading<'a> {
    tokens: &'a [CostToken<'a>],
    plain: &'a str,
    doubts: Vec<CostDoubt>,
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

#[cfg(test)]
mod tests;
