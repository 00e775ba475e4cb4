//! How many pieces a phrase of hardware counts: "4", "4 off", "a dozen", "x4".
//!
//! What the pieces are is decided in `hardware_line`.

use std::ops::Range;

use super::fraction::{Fraction, Writing};
use super::hardware_words::{is_about, is_kind, is_piece_word, is_plural, is_vague};
use super::size::Size;
use super::spoken_number::{number_word, spoken_number};

use super::thread_reading::ReadThread;

/// How many, as far as it is said.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Count {
    /// Counted.
    Exactly(u32),
    /// Counted, and not meant exactly: as written.
    About(u32, String),
    /// A word for an uncounted number: "a handful".
    Vague(String),
    /// "2-3", "5 or 6".
    Range(String),
    /// Signs that should be a number and are none: "1O", "-3".
    Odd(String),
    /// Nothing said.
    Unsaid,
}

/// The count at the start of a phrase in plain signs, and how many of its
/// words it takes.
#[must_use]
pub fn leading_count(words: &[&str]) -> (Count, usize) {
    let small: Vec<String> = words.iter().map(|word| word.to_lowercase()).collect();
    let small: Vec<&str> = small.iter().map(String::as_str).collect();
    let mut at = 0;
    // "N. 6 nuts": the word for a number where people learned English later.
    if matches!(small.as_slice(), [mark, number, ..]
        if matches!(*mark, "n." | "n" | "n°" | "nº" | "num." | "nbr")
            && number.bytes().all(|b| b.is_ascii_digit()))
    {
        at = 1;
    }
    while matches!(
        small.get(at),
        Some(
            &("the"
                | "with"
                | "has"
                | "have"
                | "qty"
                | "qty:"
                | "just"
                | "only"
                | "total"
                | "all"
                | "put"
                | "got"
                | "found"
                | "saved"
                | "kept"
                | "used"
                | "these"
                | "those"
                | "my")
        )
    ) {
        at += 1;
    }
    let said = |end: usize| words[..end].join(" ");
    let about = small
        .get(at)
        .is_some_and(|word| is_about(word) || word.starts_with('~'));
    if about && small.get(at).is_some_and(|word| is_about(word)) {
        at += 1;
    }
    let (count, end) = counted(&small, at, words);
    let end = of(&small, end);
    match count {
        Count::Exactly(count) if about => (Count::About(count, said(end)), end),
        Count::Odd(said) => {
            let written = words.iter().find(|word| word.eq_ignore_ascii_case(&said));
            (
                Count::Odd(written.map_or(said.clone(), |word| (*word).to_owned())),
                end,
            )
        }
        Count::Unsaid => (Count::Unsaid, if at > 0 && !about { at } else { 0 }),
        count @ (Count::Exactly(_) | Count::About(..) | Count::Vague(_) | Count::Range(_)) => {
            (count, end)
        }
    }
}

/// Past "of" behind a number.
fn of(words: &[&str], at: usize) -> usize {
    at + usize::from(words.get(at) == Some(&"of"))
}

fn counted(small: &[&str], at: usize, words: &[&str]) -> (Count, usize) {
    let Some(first) = small.get(at).map(|word| word.trim_start_matches('~')) else {
        return (Count::Unsaid, at);
    };
    let article = usize::from(matches!(first, "a" | "an" | "one"));
    let word = |place: usize| small.get(place).copied().unwrap_or_default();
    if matches!(first, "1/2" | "1/2-a") && word(at + 1) == "dozen" {
        return (Count::Exactly(6), at + 2);
    }
    // "a handful of", "some", "a few"
    if is_vague(word(at + article)) {
        let end = at + article + 1;
        let said = words[at..end].join(" ");
        if word(at + article) == "couple" {
            return (Count::About(2, said), end);
        }
        return (Count::Vague(said), end);
    }
    // "half a dozen", "a gross", "a pair of", "a set of 4"
    if first == "half" {
        let counted = at + 1 + usize::from(word(at + 1) == "a");
        if let Some(count) = counting_word(word(counted)) {
            return (Count::Exactly(count / 2), counted + 1);
        }
    }
    if let Some(count) = counting_word(word(at + article)) {
        return (Count::Exactly(count), at + article + 1);
    }
    match word(at + article) {
        "pair" | "pr" => return (Count::Exactly(2), at + article + 1),
        "set" | "box" | "pack" => {
            let end = of(small, at + article + 1);
            return match counted(small, end, words) {
                (Count::Exactly(count), end) => (Count::Exactly(count), end),
                _ => (Count::Vague(words[at..end].join(" ")), end),
            };
        }
        _ => {}
    }
    if first == "both" {
        return (Count::Exactly(2), at + 1);
    }
    // "one only M10 bolt"
    let (count, end) = match number(small, at) {
        (Count::Exactly(count), end) if word(end) == "only" => (Count::Exactly(count), end + 1),
        (Count::Unsaid, _) if article == 1 && first != "one" => (Count::Exactly(1), at + 1),
        found => found,
    };
    let Count::Exactly(count) = count else {
        return (count, end);
    };
    // "1 1/2 bolt": one of half an inch, or some of one and a half.
    let bare_fraction = |word: &str| {
        word.split_once('/').is_some_and(|(over, under)| {
            matches!(under, "2" | "4" | "8" | "16")
                && over.len() <= 2
                && over.parse::<u32>().is_ok()
        })
    };
    if count <= 2 && bare_fraction(word(end)) && is_kind(word(end + 1)) && end == at + 1 {
        return (Count::Range(words[at..=end].join(" ")), end + 1);
    }
    if let Some(range) = range(small, at, end, count, words) {
        return range;
    }
    if let Some(each) = counting_word(word(end)) {
        return (Count::Exactly(count.saturating_mul(each)), end + 1);
    }
    match word(end) {
        "pair" | "pairs" | "pr" | "prs" => (Count::Exactly(count.saturating_mul(2)), end + 1),
        "set" | "sets" if number(small, of(small, end + 1)).0 != Count::Unsaid => {
            match number(small, of(small, end + 1)) {
                (Count::Exactly(each), end) => (Count::Exactly(count.saturating_mul(each)), end),
                (other, end) => (other, end),
            }
        }
        "x" if !is_measure(word(end + 1))
            || is_of_a_wrench(word(end + 2))
            || word(end + 2) == "mm" && is_of_a_wrench(word(end + 3))
            || word(end + 1).contains('/')
            || begins_thread(small, end + 1)
            || twice(small, end) =>
        {
            (Count::Exactly(count), end + 1)
        }
        "x" if is_plural_end(small) => {
            let said = words[at..(end + 2).min(words.len())].join(" ");
            (Count::Odd(said), at)
        }
        // A size: "5 x 30 roll pin", "10 mm bolt".
        "x" | "mm" | "inch" | "in" | "\"" | "ba" | "bsf" | "bsw" | "unf" | "unc" => {
            (Count::Unsaid, at)
        }
        piece if is_piece_word(piece) => {
            let gauge = matches!(piece.trim_end_matches('.'), "no" | "nr")
                && word(end + 1).starts_with(|c: char| c.is_ascii_digit())
                && !begins_thread(small, end + 1);
            (Count::Exactly(count), end + usize::from(!gauge))
        }
        _ if mixed(small, at, end, count) => (Count::Unsaid, at),
        _ => (Count::Exactly(count), end),
    }
}

/// "2-3", "2 to 3", "5 or 6" behind the first number.
fn range(
    small: &[&str],
    at: usize,
    end: usize,
    count: u32,
    words: &[&str],
) -> Option<(Count, usize)> {
    if small.get(end) == Some(&"or") && small.get(end + 1) == Some(&"so") {
        return Some((Count::About(count, words[at..end + 2].join(" ")), end + 2));
    }
    let joined = matches!(small.get(end), Some(&("or" | "to" | "-")));
    let (Count::Exactly(last), after) = number(small, end + 1) else {
        return None;
    };
    (joined && last > count).then(|| (Count::Range(words[at..after].join(" ")), after))
}

/// A word for a fixed number of pieces, by which people count on: "two dozen".
fn counting_word(word: &str) -> Option<u32> {
    match word.trim_end_matches('.') {
        "dozen" | "doz" => Some(12),
        "score" => Some(20),
        "gross" => Some(144),
        _ => None,
    }
}

/// Whether a thread or a fraction of an inch begins with this word, and no mere
/// number: "2 BA", "5/16 BSF", "10-32".
fn begins_thread(small: &[&str], at: usize) -> bool {
    let Some(rest) = small.get(at..) else {
        return false;
    };
    let text = rest.join(" ");
    let broken = matches!(Fraction::at(&text, 0), Some((_, Writing::Broken, _)));
    broken || ReadThread::at(&text, 0).is_some()
}

/// Whether two further signs of measure follow: "4 x 8 x 30 pins".
fn twice(small: &[&str], end: usize) -> bool {
    small.get(end + 2) == Some(&"x") && small.get(end + 3).is_some_and(|word| is_measure(word))
}

fn is_plural_end(small: &[&str]) -> bool {
    small
        .iter()
        .rev()
        .find(|word| word.chars().all(char::is_alphabetic))
        .is_some_and(|word| is_plural(word))
}

/// Whether the measure before this word is a wrench's: "8 x 13mm head bolts".
fn is_of_a_wrench(word: &str) -> bool {
    matches!(
        word,
        "head" | "heads" | "headed" | "spanner" | "wrench" | "af" | "a/f"
    )
}

fn is_measure(word: &str) -> bool {
    word.starts_with(|c: char| c.is_ascii_digit() || c == '.')
}

/// A whole number in digits or words, with what may be glued to it.
fn number(small: &[&str], at: usize) -> (Count, usize) {
    let Some(word) = small.get(at).map(|word| word.trim_start_matches('~')) else {
        return (Count::Unsaid, at);
    };
    if let Some((number, used)) = small.get(at..).and_then(spoken_number) {
        return (Count::Exactly(number), at + used);
    }
    let digits = word.len() - word.trim_start_matches(|c: char| c.is_ascii_digit()).len();
    let (head, tail) = word.split_at(digits);
    let odd = |word: &str| (Count::Odd(word.to_owned()), at + 1);
    match (head.is_empty(), tail) {
        (
            false,
            "" | "x" | "*" | "off" | "no" | "no." | "nos" | "nos." | "pcs" | "pcs." | "pc" | "ea"
            | "ea." | "ea:" | "each" | ",",
        ) => match head.parse() {
            Ok(number) => (Count::Exactly(number), at + 1),
            Err(_) => odd(word),
        },
        (false, "ish" | "-ish" | "?" | "+") => match head.parse() {
            Ok(number) => (Count::About(number, word.to_owned()), at + 1),
            Err(_) => odd(word),
        },
        (false, _) => match tail.strip_prefix('-').map(str::parse::<u32>) {
            // "2-3", and no thread.
            Some(Ok(last)) => match head.parse::<u32>() {
                Ok(first) if last > first && ReadThread::at(word, 0).is_none() => {
                    (Count::Range(word.to_owned()), at + 1)
                }
                Ok(_) | Err(_) => (Count::Unsaid, at),
            },
            Some(Err(_)) | None => {
                if looks_counted(word) {
                    odd(word)
                } else {
                    (Count::Unsaid, at)
                }
            }
        },
        (true, tail) => {
            let minus = tail
                .strip_prefix('-')
                .is_some_and(|rest| !rest.is_empty() && rest.bytes().all(|b| b.is_ascii_digit()));
            if minus || looks_counted(tail) {
                odd(word)
            } else {
                match tail.strip_prefix('x').map(str::parse) {
                    Some(Ok(number)) => (Count::Exactly(number), at + 1),
                    Some(Err(_)) | None => (Count::Unsaid, at),
                }
            }
        }
    }
}

/// Letters for figures in what should be a number: "1O", "l4".
fn looks_counted(word: &str) -> bool {
    word.len() <= 4
        && word.bytes().any(|b| b.is_ascii_digit())
        && word.bytes().any(|b| !b.is_ascii_digit())
        && word
            .bytes()
            .all(|b| b.is_ascii_digit() || matches!(b, b'l' | b'i' | b'o'))
}

/// Whether a number and the fraction behind it are one size: "1 1/8-12 nut",
/// but "12 3/8 bolts" and "4 1/4-20 screws".
fn mixed(small: &[&str], at: usize, end: usize, count: u32) -> bool {
    let Some(next) = small.get(end) else {
        return false;
    };
    let fraction = Fraction::at(next, 0).is_some_and(|(_, writing, _)| writing == Writing::Broken);
    if !fraction || end != at + 1 || count > 3 || small[at].parse::<u32>().is_err() {
        return false;
    }
    let joined = format!("{} {next}", small[at]);
    let known = |text: &str| {
        Size::find(text)
            .and_then(|found| found.size.thread)
            .is_some_and(|thread| thread.series().is_some())
    };
    known(&joined) && !known(next)
}

/// The count within a phrase, behind its kind: "screws 8x no 8"; and the words it takes.
#[must_use]
pub fn inner_count(words: &[&str]) -> Option<(u32, Range<usize>)> {
    (1..words.len().saturating_sub(1)).find_map(|at| {
        if let Some(count) = count_times_size(words, at) {
            return Some((count, at..at + 2));
        }
        let small = words[at].to_lowercase();
        // "bolts four M8x20"
        let before = words[at - 1].to_lowercase();
        let next = words[at + 1].to_lowercase();
        let metric = next.strip_prefix('m').unwrap_or_default();
        let sized = metric.starts_with(|c: char| c.is_ascii_digit()) || begins_thread(&[&next], 0);
        if is_kind(&before)
            && is_plural(&before)
            && sized
            && let Some(count) =
                number_word(&small).or_else(|| small.parse().ok().filter(|_| small.len() <= 2))
        {
            return Some((count, at..at + 1));
        }
        let digits = ["x", "off", "pcs", "no."]
            .iter()
            .find_map(|end| small.strip_suffix(end))?;
        let counted = digits.len() <= 3 && digits.bytes().all(|b| b.is_ascii_digit());
        let named = words[at - 1].chars().all(char::is_alphabetic);
        Some((
            digits.parse().ok().filter(|_| counted && named)?,
            at..at + 1,
        ))
    })
}

/// "hinge bolts 6 x 5/16 x 3/4", "nuts 5 x 5/16": the number before an inch size that is
/// whole without it. "Screws 8 x 3/4" is a size.
fn count_times_size(words: &[&str], at: usize) -> Option<u32> {
    let [count, "x", size, behind @ ..] = &words[at..] else {
        return None;
    };
    let kind = words[at - 1].to_lowercase();
    let has_length = behind.first() == Some(&"x");
    let needs_none = ["nut", "nuts", "washer", "washers"].contains(&kind.as_str());
    let counted = is_kind(&kind) && size.contains('/') && (has_length || needs_none);
    count.parse().ok().filter(|_| counted && count.len() <= 2)
}

/// The words without "in total" at their end, and whether it stood there.
fn without_total(small: &[String]) -> (bool, &[String]) {
    const TOTALS: [&[&str]; 7] = [
        &["in", "total"],
        &["in", "all"],
        &["all", "told"],
        &["all", "in"],
        &["total"],
        &["altogether"],
        &["all", "together"],
    ];
    let ends = |total: &&[&str]| {
        small.len() > total.len() && small[small.len() - total.len()..].iter().eq(total.iter())
    };
    match TOTALS.iter().find(|total| ends(total)) {
        Some(total) => (true, &small[..small.len() - total.len()]),
        None => (false, small),
    }
}

/// The count at the end of a phrase: "screw x4", "bolts 6 pcs", "nuts 4"; and
/// how many words are left before it.
#[must_use]
pub fn trailing_count(words: &[&str]) -> Option<(u32, usize)> {
    let small: Vec<String> = words.iter().map(|word| word.to_lowercase()).collect();
    let (total, small) = without_total(&small);
    let last = small.last()?.as_str();
    let whole = |word: &str| word.parse::<u32>().ok().filter(|_| word.len() <= 4);
    let left = small.len() - 1;
    // "4 in total", "three altogether": nothing else can be meant by the number.
    if total && let Some(count) = whole(last).or_else(|| number_word(last)) {
        return Some((count, left));
    }
    let before = left.checked_sub(1).map(|at| small[at].as_str());
    if let Some(count) = last.strip_prefix('x').and_then(whole) {
        return Some((count, left));
    }
    for end in ["x", "off", "pcs", "pc", "no"] {
        if let Some(count) = last.strip_suffix(end).and_then(whole) {
            return Some((count, left));
        }
    }
    // "three off", "three of"
    let piece_word = is_piece_word(last) || last.trim_end_matches('.') == "of";
    if piece_word
        && let Some(count) = before
            .map(|word| word.trim_start_matches('x'))
            .and_then(|word| whole(word).or_else(|| number_word(word)))
    {
        return Some((count, left - 1));
    }
    if let (Some("qty" | "qty." | "quantity"), Some(count)) = (before, number_word(last)) {
        return Some((count, left - 1));
    }
    let count = whole(last).filter(|_| last.len() <= 2)?;
    match before? {
        "qty" | "qty." | "quantity" | "count" | "total" => Some((count, left - 1)),
        before if is_plural(before) && before.chars().all(char::is_alphabetic) => {
            Some((count, left))
        }
        "x" if left >= 2 && !small[left - 2].contains(|c: char| c.is_ascii_digit()) => {
            Some((count, left - 1))
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn leading(text: &str) -> (Count, String) {
        let words: Vec<&str> = text.split_whitespace().collect();
        let (count, used) = leading_count(&words);
        (count, words[used..].join(" "))
    }

    #[test]
    fn counts_before_the_kind() {
        for (text, count, rest) in [
            ("4 bolts", 4, "bolts"),
            ("4x bolt", 4, "bolt"),
            ("4 x bolt", 4, "bolt"),
            ("x4 bolt", 4, "bolt"),
            ("4 off 5/16 UNC x 1 bolt", 4, "5/16 UNC x 1 bolt"),
            ("4 no. coach bolts", 4, "coach bolts"),
            ("8 No 10 screws", 8, "No 10 screws"),
            ("8 pcs M6x16 screws", 8, "M6x16 screws"),
            ("two hex nuts", 2, "hex nuts"),
            ("a dozen trim clips", 12, "trim clips"),
            ("half a dozen washers", 6, "washers"),
            ("two dozen clips", 24, "clips"),
            ("a pair of shackle pins", 2, "shackle pins"),
            ("2 pairs of clips", 4, "clips"),
            ("a woodruff key", 1, "woodruff key"),
            ("a set of 4 bolts", 4, "bolts"),
            ("all 4 bolts", 4, "bolts"),
            ("put 6 bolts", 6, "bolts"),
            ("8nos. nuts", 8, "nuts"),
            ("12 3/8 bolts", 12, "3/8 bolts"),
            ("4 1/4-20 x 3/4 bolts", 4, "1/4-20 x 3/4 bolts"),
            ("2 x 5/16 bolts", 2, "5/16 bolts"),
            ("6 2BA screws", 6, "2BA screws"),
            ("5 st locknuts", 5, "locknuts"),
            ("3 szt. M6 nuts", 3, "M6 nuts"),
            ("6 no. 4BA nuts", 6, "4BA nuts"),
            ("3 No. 1/4 BSF studs", 3, "1/4 BSF studs"),
            ("4 x 6 BA nuts", 4, "6 BA nuts"),
            ("3 x 10-32 x 1/2 screws", 3, "10-32 x 1/2 screws"),
            ("two gross rivets", 288, "rivets"),
            ("half a score of clips", 10, "clips"),
            ("a gross of tacks", 144, "tacks"),
            ("three score tacks", 60, "tacks"),
        ] {
            assert_eq!(
                leading(text),
                (Count::Exactly(count), rest.to_owned()),
                "{text}"
            );
        }
        for text in [
            "M8 bolts",
            "5 x 30 roll pin",
            "10 mm bolt",
            "1 1/8-12 hub nut",
            "10-32 screw",
            "3/8-24 nut",
        ] {
            assert_eq!(leading(text), (Count::Unsaid, text.to_owned()), "{text}");
        }
    }

    #[test]
    fn counts_that_nobody_can_know() {
        assert!(matches!(leading("a handful of washers").0, Count::Vague(_)));
        assert!(matches!(leading("some self tappers").0, Count::Vague(_)));
        assert!(matches!(leading("a set of bolts").0, Count::Vague(_)));
        assert!(matches!(leading("2-3 shims").0, Count::Range(_)));
        assert!(matches!(leading("5 or 6 bolts").0, Count::Range(_)));
        assert!(matches!(leading("l4 bolts").0, Count::Odd(_)));
        assert!(matches!(leading("1O nuts").0, Count::Odd(_)));
        assert!(matches!(leading("-3 nuts").0, Count::Odd(_)));
        assert!(matches!(leading("about 6 clips").0, Count::About(6, _)));
        assert!(matches!(leading("10 or so clips").0, Count::About(10, _)));
        assert!(matches!(leading("a couple of clips").0, Count::About(2, _)));
        assert!(matches!(leading("5 x 30 roll pins").0, Count::Odd(_)));
    }

    #[test]
    fn counts_behind_the_kind() {
        let read = |text: &str| {
            let words: Vec<&str> = text.split_whitespace().collect();
            trailing_count(&words).map(|(count, left)| (count, words[..left].join(" ")))
        };
        for (text, count, rest) in [
            ("M6 x 20 screw x4", 4, "M6 x 20 screw"),
            ("bolts M8x25 6 pcs", 6, "bolts M8x25"),
            ("brass nuts M10 x4", 4, "brass nuts M10"),
            ("Bolts 4", 4, "Bolts"),
            ("clip 3 off", 3, "clip"),
            ("screw x 4", 4, "screw"),
        ] {
            assert_eq!(read(text), Some((count, rest.to_owned())), "{text}");
        }
        for none in [
            "bolt M8 x 30",
            "ball bearing 6203",
            "screw No 10",
            "bolt M8",
        ] {
            assert_eq!(read(none), None, "{none}");
        }
    }
}
