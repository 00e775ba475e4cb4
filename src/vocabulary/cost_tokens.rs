//! The numbers, currencies, words and signs of a line of cost.
//!
//! What they mean together is decided in `cost_reading`.

use super::currency_words::{NamedCurrency, currency_sign, hundredth, named_currency};
use super::money::Currency;
use super::spoken_number::spoken_number;

/// A piece of a line, with the bytes it stands at.
#[derive(Clone, Debug)]
pub(super) struct CostToken<'a> {
    pub from: usize,
    pub until: usize,
    /// As written.
    pub text: &'a str,
    pub figure: Figure<'a>,
}

/// What a piece is.
#[derive(Clone, Debug)]
pub(super) enum Figure<'a> {
    Number(CostNumber),
    Word(&'a str),
    Sign(char),
}

/// A number that may be an amount.
#[derive(Clone, Debug)]
pub(super) struct CostNumber {
    /// Digits with the marks between them.
    pub digits: String,
    /// 1000 for "2k".
    pub thousands: u16,
    /// Written as money only is: "45,-".
    pub closed: bool,
}

impl CostToken<'_> {
    /// The piece in small letters.
    pub fn word(&self) -> String {
        self.text.to_lowercase()
    }

    /// The currency that it names.
    pub fn currency(&self, usual: Currency) -> Option<NamedCurrency> {
        match self.figure {
            Figure::Number(_) => None,
            Figure::Word(_) | Figure::Sign(_) => named_currency(self.text, usual),
        }
    }

    /// The currency whose hundredths it names.
    pub fn hundredth(&self, usual: Currency) -> Option<NamedCurrency> {
        hundredth(&self.word(), usual)
    }
}

/// The pieces of a line in plain signs.
pub(super) fn cost_tokens(line: &str) -> Vec<CostToken<'_>> {
    let mut tokens: Vec<CostToken<'_>> = Vec::new();
    let mut at = 0;
    while let Some(c) = line[at..].chars().next() {
        if c.is_whitespace() {
            at += c.len_utf8();
            continue;
        }
        let rest = &line[at..];
        // "CAD$40"
        if c == '$'
            && tokens.last().is_some_and(|last| {
                last.until == at && last.text.len() == 3 && last.currency(Currency::EUR).is_some()
            })
        {
            at += 1;
            continue;
        }
        let glued = line[..at].ends_with(char::is_alphanumeric);
        let (figure, length) =
            if let Some(length) = currency_sign(rest).filter(|_| !glued || !c.is_alphabetic()) {
                (Figure::Word(&rest[..length]), length)
            } else if let Some((number, length)) = number(rest, line[..at].chars().next_back()) {
                (Figure::Number(number), length)
            } else if c.is_alphanumeric() {
                let length = word_length(rest);
                (Figure::Word(&rest[..length]), length)
            } else {
                (Figure::Sign(c), c.len_utf8())
            };
        tokens.push(CostToken {
            from: at,
            until: at + length,
            text: &rest[..length],
            figure,
        });
        at += length;
    }
    spoken(line, tokens)
}

/// How long a word is: letters, digits, and what joins them. A word that
/// ends in a code (`14EUR`) or begins with one is parted there.
fn word_length(rest: &str) -> usize {
    let end = rest
        .find(|c: char| !(c.is_alphanumeric() || matches!(c, '/' | '&' | '\'' | '-' | '.')))
        .unwrap_or(rest.len());
    let word = rest[..end].trim_end_matches(['.', '-', '\'']);
    let dotted = matches!(
        rest[..end].to_lowercase().as_str(),
        "incl." | "approx." | "ca." | "fr." | "kr." | "rs." | "excl."
    );
    let code = word
        .get(..3)
        .filter(|code| code.bytes().all(|b| b.is_ascii_uppercase()));
    if code.is_some() && word[3..].starts_with(|c: char| c.is_ascii_digit()) {
        return 3;
    }
    if dotted { end } else { word.len().max(1) }
}

/// A number at the start of a text, if nothing is glued to it that makes it
/// something else: `10mm`, `12/6`, `1e3` are words.
fn number(rest: &str, before: Option<char>) -> Option<(CostNumber, usize)> {
    let bytes = rest.as_bytes();
    let digit = |at: usize| bytes.get(at).is_some_and(u8::is_ascii_digit);
    let starts = digit(0) || bytes.first() == Some(&b'.') && digit(1);
    if !starts || before.is_some_and(|c| matches!(c, '/' | '#' | '_') || c.is_ascii_digit()) {
        return None;
    }
    let mut end = 0;
    let mut digits = String::new();
    loop {
        match bytes.get(end) {
            Some(b) if b.is_ascii_digit() => digits.push(char::from(*b)),
            Some(b @ (b'.' | b',' | b'\'')) if digit(end + 1) => digits.push(char::from(*b)),
            // "1 234,50": a gap before three digits, then a decimal mark.
            Some(b' ')
                if gap_groups(&rest[end + 1..])
                    && digits.len() <= 3
                    && digits.bytes().all(|b| b.is_ascii_digit()) => {}
            Some(_) | None => break,
        }
        end += 1;
    }
    let tail = &rest[end..];
    let closed = ["--", "-"].iter().find_map(|dash| {
        let mark = tail.strip_prefix([',', '.'])?;
        let after = mark.strip_prefix(dash)?;
        (!after.starts_with(|c: char| c.is_ascii_digit())).then_some(1 + dash.len())
    });
    if let Some(length) = closed {
        let number = CostNumber {
            digits,
            thousands: 1,
            closed: true,
        };
        return Some((number, end + length));
    }
    let word: String = tail.chars().take_while(|c| c.is_alphanumeric()).collect();
    let small = word.to_lowercase();
    let thousands = if small == "k" { 1000 } else { 1 };
    let fits = word.is_empty()
        || matches!(small.as_str(), "k" | "ish" | "p" | "x" | "c")
        || named_currency(&word, Currency::EUR).is_some();
    let broken =
        tail.starts_with('/') && tail[1..].starts_with(|c: char| c.is_ascii_digit() || c == '-');
    let sized = tail.strip_prefix('-').is_some_and(|tail| {
        tail.starts_with(|c: char| c.is_alphabetic()) && !tail.starts_with("ish")
    });
    if !fits || broken || sized {
        return None;
    }
    let length = end + usize::from(thousands == 1000);
    Some((
        CostNumber {
            digits,
            thousands,
            closed: false,
        },
        length,
    ))
}

fn is_currency(word: &str) -> bool {
    named_currency(word, Currency::EUR).is_some()
}

/// Whether three digits and a decimal mark, or further groups, follow.
fn gap_groups(rest: &str) -> bool {
    let digits = rest.bytes().take_while(u8::is_ascii_digit).count();
    let tail = &rest[digits.min(rest.len())..];
    digits == 3
        && (tail.starts_with([',', '.']) && tail[1..].starts_with(|c: char| c.is_ascii_digit())
            || tail.strip_prefix(' ').is_some_and(gap_groups)
            || currency_sign(tail.trim_start()).is_some()
            || is_currency(tail.split_whitespace().next().unwrap_or_default()))
}

/// Numbers in words before a currency or at the start, as numbers.
fn spoken<'a>(line: &'a str, tokens: Vec<CostToken<'a>>) -> Vec<CostToken<'a>> {
    let mut out: Vec<CostToken<'a>> = Vec::new();
    let mut at = 0;
    while at < tokens.len() {
        let small: Vec<String> = tokens[at..].iter().take(6).map(CostToken::word).collect();
        let words: Vec<&str> = small.iter().map(String::as_str).collect();
        let numbers = out
            .iter()
            .any(|token| matches!(token.figure, Figure::Number(_)));
        if let (Some((number, used)), false) = (spoken_number(&words), numbers) {
            let grand = words.get(used) == Some(&"grand");
            let until = tokens[at + used - 1 + usize::from(grand)].until;
            let from = tokens[at].from;
            out.push(CostToken {
                from,
                until,
                text: &line[from..until],
                figure: Figure::Number(CostNumber {
                    digits: number.to_string(),
                    thousands: if grand { 1000 } else { 1 },
                    closed: false,
                }),
            });
            at += used + usize::from(grand);
            continue;
        }
        out.push(tokens[at].clone());
        at += 1;
    }
    out
}
