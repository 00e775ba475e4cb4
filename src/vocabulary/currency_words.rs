//! Currencies as people name them: signs, codes in small letters, words.
//!
//! A word that several currencies share means the journal's own where that
//! is one of them; the other readings are guesses, and marked as such.

use std::collections::HashSet;
use std::sync::OnceLock;

use super::money::Currency;

/// A currency as it was named.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NamedCurrency {
    /// It can only be this.
    Known(Currency),
    /// The likely one; the word for it.
    Guessed(Currency, String),
    /// One of several, none of them the journal's: the word for it.
    Unclear(String),
}

/// A name, the currencies that it may mean, the likely one first, and whether
/// that one is meant wherever the journal counts in another one.
type CurrencyNames = (&'static [&'static str], &'static [&'static str], bool);

/// Codes after ISO 4217; what a word means beside is common usage, no source.
const NAMES: &[CurrencyNames] = &[
    (&["€", "euro", "euros", "eur"], &["EUR"], true),
    (&["£", "pound", "pounds", "gbp", "sterling"], &["GBP"], true),
    (&["quid"], &["GBP"], false),
    (&["us$", "usd"], &["USD"], true),
    (&["a$", "au$", "aud"], &["AUD"], true),
    (&["c$", "ca$", "can$", "cad"], &["CAD"], true),
    (&["nz$", "nzd"], &["NZD"], true),
    (&["hk$", "hkd"], &["HKD"], true),
    (&["s$", "sgd"], &["SGD"], true),
    (&["r$", "reais", "brl"], &["BRL"], true),
    (
        &["$", "dollar", "dollars", "bucks", "buck"],
        &["USD", "AUD", "CAD", "NZD", "HKD", "SGD"],
        false,
    ),
    (&["¥", "yen", "jpy"], &["JPY"], true),
    (&["sfr", "sfr.", "chf"], &["CHF"], true),
    (
        &["fr.", "fr", "franken", "francs", "franc"],
        &["CHF"],
        false,
    ),
    (&["zł", "zl", "zloty", "zlotys", "pln"], &["PLN"], true),
    (&["kč", "kc", "czk"], &["CZK"], true),
    (&["ft", "forint", "huf"], &["HUF"], true),
    (&["sek"], &["SEK"], true),
    (&["nok"], &["NOK"], true),
    (&["dkk"], &["DKK"], true),
    (&["₹", "inr"], &["INR"], true),
    (&["rupees", "rs", "rs."], &["INR"], false),
    (&["₺", "lira"], &["TRY"], false),
    (&["rand", "zar"], &["ZAR"], true),
    (&["lei", "ron"], &["RON"], true),
    (&["₽"], &["RUB"], true),
    (&["₴"], &["UAH"], true),
    (&["₪", "shekel", "shekels"], &["ILS"], true),
    (&["₩"], &["KRW"], true),
];

/// Words of many countries, of which none is likelier.
const SHARED: &[(&[&str], &[&str])] = &[
    (
        &["kr", "kr.", "crowns", "kroner", "kronor", "krona", "krone"],
        &["SEK", "NOK", "DKK", "ISK", "CZK"],
    ),
    (&["peso", "pesos"], &["MXN", "ARS", "CLP", "COP", "PHP"]),
];

/// The currency that a word, a sign or a code names in a journal that counts
/// in `usual`. A code in capitals is any of ISO 4217.
#[must_use]
pub fn named_currency(word: &str, usual: Currency) -> Option<NamedCurrency> {
    if word.len() == 3
        && word.bytes().all(|b| b.is_ascii_uppercase())
        && let Some(currency) = Currency::from_code(word)
    {
        return Some(NamedCurrency::Known(currency));
    }
    let small = word.to_lowercase();
    let names = |list: &[&str]| list.contains(&small.as_str());
    for (words, codes, sure) in NAMES {
        if !names(words) {
            continue;
        }
        if codes.contains(&usual.code()) {
            return Some(NamedCurrency::Known(usual));
        }
        let likely = Currency::from_code(codes[0])?;
        return Some(if *sure {
            NamedCurrency::Known(likely)
        } else {
            NamedCurrency::Guessed(likely, word.to_owned())
        });
    }
    let (_, codes) = SHARED.iter().find(|(words, _)| names(words))?;
    Some(if codes.contains(&usual.code()) {
        NamedCurrency::Known(usual)
    } else {
        NamedCurrency::Unclear(word.to_owned())
    })
}

/// The sign of a currency at the start of a text, the longest first: how many
/// bytes it has.
#[must_use]
pub fn currency_sign(text: &str) -> Option<usize> {
    let start = text.get(..text.char_indices().nth(4).map_or(text.len(), |(at, _)| at))?;
    // `$` is the only sign that every keyboard has.
    if start.is_ascii() && !start.contains('$') {
        return None;
    }
    let small = start.to_lowercase();
    NAMES
        .iter()
        .flat_map(|(words, ..)| words.iter())
        .filter(|word| word.ends_with(|c: char| !c.is_alphanumeric() && c != '.'))
        .filter(|word| small.starts_with(**word))
        .map(|word| word.len())
        .max()
}

/// Whether a text holds something that could name a currency: true for some that name
/// none, so that most lines need not be taken apart.
#[must_use]
pub fn may_name_currency(text: &str) -> bool {
    static WORDS: OnceLock<HashSet<&str>> = OnceLock::new();
    if !text.is_ascii() || text.contains('$') {
        return true;
    }
    let words = WORDS.get_or_init(|| {
        let names = NAMES.iter().flat_map(|(words, ..)| *words);
        let shared = SHARED.iter().flat_map(|(words, _)| *words);
        let all = names.chain(shared).copied().chain(HUNDREDTHS);
        all.map(|word| word.trim_end_matches('.')).collect()
    });
    let mut runs = text.split(|c: char| !c.is_ascii_alphanumeric());
    runs.any(|run| {
        let word = run.trim_matches(|c: char| c.is_ascii_digit());
        let is_code = word.len() == 3 && word.bytes().all(|b| b.is_ascii_uppercase());
        is_code || !word.is_empty() && words.contains(word.to_ascii_lowercase().as_str())
    })
}

/// The words for hundredths of a currency.
const HUNDREDTHS: [&str; 5] = ["cent", "cents", "ct", "p", "pence"];

/// Whether a word names hundredths of a currency, and which one it must be.
#[must_use]
pub fn hundredth(word: &str, usual: Currency) -> Option<NamedCurrency> {
    match word {
        "cent" | "cents" | "ct" => Some(NamedCurrency::Known(usual)),
        "p" | "pence" => named_currency("quid", usual),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_of_currencies() {
        let gbp = Currency::from_code("GBP").expect("pounds");
        let cad = Currency::from_code("CAD").expect("dollars");
        let sek = Currency::from_code("SEK").expect("crowns");
        let read = |word: &str, usual| match named_currency(word, usual) {
            Some(NamedCurrency::Known(currency)) => currency.code().to_owned(),
            Some(NamedCurrency::Guessed(currency, _)) => format!("{}?", currency.code()),
            Some(NamedCurrency::Unclear(_)) => "?".to_owned(),
            None => String::new(),
        };
        for (word, usual, expected) in [
            ("€", gbp, "EUR"),
            ("euros", gbp, "EUR"),
            ("quid", gbp, "GBP"),
            ("quid", Currency::EUR, "GBP?"),
            ("$", Currency::EUR, "USD?"),
            ("bucks", cad, "CAD"),
            ("US$", cad, "USD"),
            ("kr", sek, "SEK"),
            ("kr", Currency::EUR, "?"),
            ("zł", Currency::EUR, "PLN"),
            ("TRY", Currency::EUR, "TRY"),
            ("try", Currency::EUR, ""),
            ("top", Currency::EUR, ""),
        ] {
            assert_eq!(read(word, usual), expected, "{word}");
            let line = format!("paid (20{word}.) there");
            assert_eq!(may_name_currency(&line), !expected.is_empty(), "{line}");
        }
    }
}
