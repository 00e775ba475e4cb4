//! A line of hardware parted into phrases: at commas, plus signs, dashes and
//! the words that join kinds.
//!
//! What a phrase says is decided in `hardware_line`.

use super::hardware_line::holds_hardware;
use super::hardware_words::{is_bag, is_kind, is_piece_word};

/// How a phrase is joined to the one before it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PhraseJoin {
    /// It is the first.
    Start,
    /// By a comma or a dash.
    Comma,
    /// By "and", "+", "with": a further kind.
    Plus,
}

/// A phrase with what stands in brackets behind or within it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Phrase {
    /// The words.
    pub text: String,
    /// What stands in brackets, without them.
    pub brackets: Vec<String>,
    /// How it is joined.
    pub joined: PhraseJoin,
}

/// The phrases of a line in plain signs, in order; empty ones are left out
/// unless they hold brackets.
#[must_use]
pub fn phrases(line: &str) -> Vec<Phrase> {
    let mut found: Vec<Phrase> = Vec::new();
    let mut now = Phrase {
        text: String::new(),
        brackets: Vec::new(),
        joined: PhraseJoin::Start,
    };
    let mut close = |now: &mut Phrase, joined: PhraseJoin| {
        let done = std::mem::replace(
            now,
            Phrase {
                text: String::new(),
                brackets: Vec::new(),
                joined,
            },
        );
        if !done.text.trim().is_empty() || !done.brackets.is_empty() {
            found.push(Phrase {
                text: done.text.trim().to_owned(),
                ..done
            });
        }
    };
    let mut at = 0;
    while let Some(c) = line[at..].chars().next() {
        let rest = &line[at..];
        if c == '('
            && let Some(end) = closing(rest)
        {
            now.brackets.push(rest[1..end].trim().to_owned());
            now.text.push(' ');
            at += end + 1;
            continue;
        }
        if let Some((length, joined)) = separator(&line[..at], rest, &now.text) {
            close(&mut now, joined);
            at += length;
            continue;
        }
        now.text.push(if c == ':' || c == '=' { ' ' } else { c });
        at += c.len_utf8();
    }
    close(&mut now, PhraseJoin::Comma);
    found
}

/// The byte of the bracket that closes the one at the start.
fn closing(rest: &str) -> Option<usize> {
    let mut depth = 0_usize;
    for (at, c) in rest.char_indices() {
        match c {
            '(' => depth += 1,
            ')' => {
                depth -= 1;
                if depth == 0 {
                    return Some(at);
                }
            }
            _ => {}
        }
    }
    None
}

/// Whether a separator begins here: its length and what it joins.
fn separator(before: &str, rest: &str, phrase: &str) -> Option<(usize, PhraseJoin)> {
    let first = rest.chars().next()?;
    let digit_before = before.ends_with(|c: char| c.is_ascii_digit());
    match first {
        ',' | ';' => {
            let digit = rest[1..].starts_with(|c: char| c.is_ascii_digit());
            let decimal = first == ',' && digit_before && digit && is_decimal(&rest[1..]);
            // "bagged, no 31"
            let last = phrase.split_whitespace().next_back().unwrap_or_default();
            let mut behind = rest[1..].split_whitespace();
            let number = behind.next().is_some_and(|word| {
                matches!(
                    word.to_lowercase().as_str(),
                    "no" | "no." | "nr" | "nr." | "number" | "#"
                )
            }) && behind
                .next()
                .is_some_and(|word| word.starts_with(|c: char| c.is_ascii_digit()));
            if number && is_bag(&last.to_lowercase()) {
                return None;
            }
            (!decimal).then_some((1, PhraseJoin::Comma))
        }
        ':' | '=' => {
            let last = phrase
                .split_whitespace()
                .next_back()
                .unwrap_or_default()
                .to_lowercase();
            let tail = rest[1..].trim_start_matches(['>', ' ']);
            let counts = tail.starts_with(|c: char| c.is_ascii_digit()) && is_kind(&last);
            let names =
                holds_hardware(&last) || matches!(last.as_str(), "qty" | "size" | "ea" | "each");
            (!counts && !names && !phrase.trim().is_empty() && tail.len() + 1 < rest.len() + 1)
                .then_some((rest.len() - tail.len(), PhraseJoin::Comma))
        }
        ' ' => spaced(rest, phrase),
        // "bolt+nut", "4 bolts/4 nuts"
        '+' | '&' | '/' if before.ends_with(char::is_alphabetic) => {
            let tail = &rest[1..];
            let kind = phrase
                .split_whitespace()
                .next_back()
                .is_some_and(|word| is_kind(&word.to_lowercase()));
            let letters = tail.starts_with(char::is_alphabetic) && first != '/';
            let counts = tail.starts_with(|c: char| c.is_ascii_digit())
                && tail
                    .trim_start_matches(|c: char| c.is_ascii_digit())
                    .starts_with(' ');
            (kind && (letters || counts)).then_some((1, PhraseJoin::Plus))
        }
        '.' => sentence(rest, phrase),
        _ => None,
    }
}

/// A full stop behind which something new begins, and no abbreviation.
fn sentence(rest: &str, phrase: &str) -> Option<(usize, PhraseJoin)> {
    const SHORT: [&str; 13] = [
        "gr", "grd", "cl", "approx", "ca", "doz", "incl", "std", "no", "nr", "n", "number", "c",
    ];
    let tail = rest[1..].strip_prefix(' ')?;
    let last = phrase.split_whitespace().next_back()?.to_lowercase();
    let next = tail.split_whitespace().next()?.to_lowercase();
    let begins = next.starts_with(|c: char| c.is_ascii_digit()) || holds_hardware(&next);
    let short = SHORT.contains(&last.as_str()) || is_piece_word(&last);
    (begins && !short).then_some((2, PhraseJoin::Comma))
}

/// Whether digits behind a comma are decimals: a measure follows.
fn is_decimal(rest: &str) -> bool {
    let tail = rest.trim_start_matches(|c: char| c.is_ascii_digit());
    ["mm", " mm", "cm", "\"", "x", " x", " in"]
        .iter()
        .any(|unit| tail.starts_with(unit))
}

/// " and ", " + ", " - " and their like.
fn spaced(rest: &str, phrase: &str) -> Option<(usize, PhraseJoin)> {
    let lower = rest
        .get(..rest.len().min(12))
        .unwrap_or(rest)
        .to_ascii_lowercase();
    let last = phrase.split_whitespace().next_back().unwrap_or_default();
    for (sign, joined) in [
        (" + ", PhraseJoin::Plus),
        (" & ", PhraseJoin::Plus),
        (" and ", PhraseJoin::Plus),
        (" plus ", PhraseJoin::Plus),
        (" - ", PhraseJoin::Comma),
        (" -- ", PhraseJoin::Comma),
        (" | ", PhraseJoin::Comma),
        (" / ", PhraseJoin::Comma),
    ] {
        if !lower.starts_with(sign) {
            continue;
        }
        let tail = &rest[sign.len()..];
        // "3/8 - 16" is a thread, "bags 12 and 13" two bags.
        let number = |text: &str| text.starts_with(|c: char| c.is_ascii_digit());
        let second = tail.split_whitespace().nth(1).unwrap_or_default();
        let thread = sign == " - "
            && last.contains('/')
            && number(tail)
            && !is_piece_word(&second.to_lowercase());
        let bags = phrase
            .split_whitespace()
            .rev()
            .nth(1)
            .is_some_and(|word| holds_hardware(&word.to_lowercase()))
            && second.is_empty()
            || last.eq_ignore_ascii_case("bagged");
        if thread || bags && joined == PhraseJoin::Plus {
            return None;
        }
        return Some((sign.len(), joined));
    }
    for sign in [" with ", " w/ ", " c/w ", " incl. ", " including "] {
        if lower.starts_with(sign) {
            let tail = &rest[sign.len()..];
            let named = tail.split([',', ';']).next().is_some_and(|tail| {
                tail.split_whitespace()
                    .take(3)
                    .any(|word| is_kind(&word.to_lowercase()))
            });
            return named.then_some((sign.len(), PhraseJoin::Plus));
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_part_where_kinds_do() {
        for (line, expected) in [
            ("4 nut, 4 washer, bag 12", "4 nut|4 washer|bag 12"),
            ("bag 12: 4 bolts", "bag 12|4 bolts"),
            ("Bolts: 4, nuts: 4", "Bolts  4|nuts  4"),
            ("bag: 7", "bag  7"),
            ("bolts M8x25 - 6 pcs - bag 12", "bolts M8x25|6 pcs|bag 12"),
            ("2 bolts 3/8 - 16", "2 bolts 3/8 - 16"),
            ("4 bolts and 4 nuts", "4 bolts|4 nuts"),
            ("4 bolts with washers", "4 bolts|washers"),
            ("4 bolts with blue paint", "4 bolts with blue paint"),
            ("bags 12 and 13", "bags 12 and 13"),
            ("hose 10,5 mm", "hose 10,5 mm"),
            ("2 nut (behind, rusty), bag 3", "2 nut(behind, rusty)|bag 3"),
            ("nut (odd", "nut (odd"),
            ("", ""),
        ] {
            let read: Vec<String> = phrases(line)
                .into_iter()
                .map(|phrase| {
                    let brackets: String =
                        phrase.brackets.iter().map(|b| format!("({b})")).collect();
                    phrase.text + &brackets
                })
                .collect();
            assert_eq!(read.join("|"), expected, "{line}");
        }
    }
}
