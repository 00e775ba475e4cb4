//! What looks like a size of hardware and is none, and what was meant.
//!
//! Only a look at the words; how it is reported is decided where entries are
//! read.

use std::ops::Range;

use super::threads::{is_possible, nearest};
use crate::vocabulary::fraction::{Fraction, Writing};
use crate::vocabulary::size::{ReadSize, Size};
use crate::vocabulary::thread::Thread;
use crate::vocabulary::thread_reading::{Family, ReadThread};
use crate::vocabulary::thread_series::{self as series, Series};
use crate::vocabulary::words::one_slip;

/// What is odd about a size.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Oddity {
    /// Bytes in the text.
    pub span: Range<usize>,
    /// How odd.
    pub kind: Odd,
    /// What was probably meant, as it is written.
    pub likely: Vec<String>,
}

/// Ways to be odd.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Odd {
    /// It looks like a size and is none.
    NoSize,
    /// No thread of any standard has that pitch or that diameter.
    NoThread,
    /// A comma was read as the decimal mark.
    Comma,
    /// The family said and the pitch contradict each other.
    WrongFamily(&'static str),
    /// A thread of the right make, though of no standard series.
    Special,
}

/// What is odd in the size of a piece of hardware, in a text in plain signs;
/// `None` if there is no size or nothing odd about it.
#[must_use]
pub fn oddity(text: &str) -> Option<Oddity> {
    if let Some(found) = written(text) {
        return Some(found);
    }
    let found = Size::find(text)?;
    let read = found.thread?;
    let at = |kind, likely: Vec<String>| {
        Some(Oddity {
            span: found.span.start..read.end,
            kind,
            likely,
        })
    };
    if let Some(Family::Unified(said)) = read.said
        && let Some(real) = contradicted(read, said)
    {
        return at(Odd::WrongFamily(real), vec![read.thread.to_string()]);
    }
    if read.thread.series().is_some() || is_known_special(read) {
        return None;
    }
    let nearest = nearest(read.thread);
    let kind = if is_possible(read.thread) {
        Odd::Special
    } else {
        Odd::NoThread
    };
    at(kind, nearest)
}

/// The series of a thread whose said family is another.
fn contradicted(read: ReadThread, said: Series) -> Option<&'static str> {
    let real = read.thread.series()?;
    (real != said.word()).then_some(real)
}

/// Said to be special, sold though of no series, or British without its form.
fn is_known_special(read: ReadThread) -> bool {
    if matches!(read.said, Some(Family::Special)) {
        return is_possible(read.thread);
    }
    match read.thread {
        Thread::Inch { diameter, tpi } => {
            series::whitworth(diameter) == Some(tpi)
                || series::british_fine(diameter) == Some(tpi)
                || (diameter == Fraction::whole(1) && tpi == Fraction::whole(14))
        }
        // A gauge of wood screws or self-tapping ones.
        Thread::Numbered { tpi: None, .. } => true,
        Thread::Formed { tpi: None, .. } | Thread::Association(_) => true,
        Thread::Numbered { .. } | Thread::Metric { .. } | Thread::Formed { .. } => false,
    }
}

/// What is wrong with the signs themselves: letters for figures (`7/16-2O`),
/// fractions that no rule shows (`7/61-20`), a decimal comma (`M8x1,25`).
fn written(text: &str) -> Option<Oddity> {
    let mut from = 0;
    for word in text.split(|c: char| c.is_whitespace() || matches!(c, '(' | ')' | ';')) {
        let start = from;
        from += word.len() + 1;
        let bare = word.trim_end_matches([',', '.', ':']);
        let found = |kind, likely: Vec<String>| Oddity {
            span: start..start + bare.len(),
            kind,
            likely,
        };
        if let Some(mended) = comma(bare) {
            return Some(found(Odd::Comma, vec![mended]));
        }
        if let Some(mended) = letters(bare) {
            return Some(found(Odd::NoSize, vec![mended]));
        }
        if let Some(likely) = off_the_rule(bare) {
            return Some(found(Odd::NoSize, likely));
        }
    }
    None
}

/// `M8x1,25`, `M10x1,5x30`.
fn comma(word: &str) -> Option<String> {
    let rest = word.strip_prefix(['M', 'm'])?;
    let digits = rest.trim_start_matches(|c: char| c.is_ascii_digit());
    if digits.len() == rest.len() {
        return None;
    }
    let mended = word.replace(',', ".");
    let threaded = Size::find(&mended).is_some_and(|found| found.size.thread.is_some());
    (mended != word && threaded).then_some(mended)
}

/// Whether a word alone is a thread of a standard series.
fn is_thread(word: &str) -> bool {
    let whole = |found: &ReadSize| found.span == (0..word.len());
    Size::find(word)
        .filter(whole)
        .and_then(|found| found.size.thread)
        .is_some_and(|thread| thread.series().is_some())
}

/// Figures for the letters that look like them, where that makes a standard
/// thread of a word that was none.
fn letters(word: &str) -> Option<String> {
    if is_thread(word) || !word.contains(|c: char| c.is_ascii_digit()) || word.len() > 24 {
        return None;
    }
    let first = word.chars().next()?;
    // "B-32" is the name of something; a size begins with a figure or an M.
    if !first.is_ascii_digit() && !matches!(first, 'M' | 'm' | '#') {
        return None;
    }
    let shaped =
        word.contains(['-', '/', 'x', 'X', '×']) || matches!(first, 'M' | 'm') && word.len() <= 3;
    if !shaped {
        return None;
    }
    let mended: String = word
        .chars()
        .map(|c| match c {
            'O' | 'o' => '0',
            'l' | 'I' | '|' => '1',
            'S' => '5',
            'B' => '8',
            c => c,
        })
        .collect();
    (mended != word && is_thread(&mended)).then_some(mended)
}

/// `7/61-20`: a fraction that no rule shows, with a pitch behind it.
fn off_the_rule(word: &str) -> Option<Vec<String>> {
    let (size, writing, end) = Fraction::at(word, 0)?;
    if writing != Writing::Odd || size.over() == 0 || size > Fraction::whole(6) {
        return None;
    }
    let rest = word.get(end..)?.strip_prefix('-')?;
    let (tpi, _, end) = Fraction::at(rest, 0)?;
    let over = rest
        .get(end..)
        .is_some_and(|rest| rest.starts_with(char::is_alphanumeric));
    if tpi > Fraction::whole(99)
        || tpi < Fraction::whole(3)
        || over && !rest[end..].starts_with('x')
    {
        return None;
    }
    // The sizes that this pitch and two swapped or slipped figures lead to.
    let fraction = &word[..word.len() - rest.len() - 1];
    let mut likely: Vec<String> = series::inches()
        .filter(|inch| {
            Series::ALL
                .into_iter()
                .any(|one| series::inch(*inch, one) == Some(tpi))
        })
        .filter(|inch| one_slip(&inch.to_string(), fraction))
        .map(|inch| format!("{inch}-{tpi}"))
        .collect();
    likely.truncate(3);
    Some(likely)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn odd(text: &str) -> Option<(Odd, String, Vec<String>)> {
        oddity(text).map(|found| (found.kind, text[found.span].to_owned(), found.likely))
    }

    #[test]
    fn what_looks_like_a_size_and_is_none() {
        for (text, kind, word, likely) in [
            (
                "5 wheel nut 7/16-2O, bag 31",
                Odd::NoSize,
                "7/16-2O",
                "7/16-20",
            ),
            ("5 wheel nut 7/l6-20", Odd::NoSize, "7/l6-20", "7/16-20"),
            ("nut 7/61-20", Odd::NoSize, "7/61-20", "7/16-20"),
            ("nut M1O", Odd::NoSize, "M1O", "M10"),
            ("screw 1O-32 x 3/4", Odd::NoSize, "1O-32", "10-32"),
            ("bolt M8x1,25, bag 3", Odd::Comma, "M8x1,25", "M8x1.25"),
            ("bolt M10x1,5x30", Odd::Comma, "M10x1,5x30", "M10x1.5x30"),
            (
                "bolt 3/8-61 x 2",
                Odd::NoThread,
                "3/8-61",
                "3/8-16 UNC; 3/8-24 UNF; 3/8-32 UNEF",
            ),
            (
                "bolt 7/16-21",
                Odd::NoThread,
                "7/16-21",
                "7/16-14 UNC; 7/16-20 UNF; 7/16-28 UNEF",
            ),
            (
                "bolt M8x1.2",
                Odd::NoThread,
                "M8x1.2",
                "M8x1.25; M8x1; M8x0.75",
            ),
            (
                "bolt 7/16-20 UNC",
                Odd::WrongFamily("UNF"),
                "7/16-20 UNC",
                "7/16-20",
            ),
            (
                "bolt 7/16-24",
                Odd::Special,
                "7/16-24",
                "7/16-14 UNC; 7/16-20 UNF; 7/16-28 UNEF",
            ),
        ] {
            let expected = Some((kind, word.to_owned(), likely.to_owned()));
            let found = odd(text).map(|(kind, word, likely)| (kind, word, likely.join("; ")));
            assert_eq!(found, expected, "{text}");
        }
        assert!(matches!(
            odd("bolt M13x1.5 x 30"),
            Some((Odd::NoThread, ..))
        ));
        assert!(matches!(odd("nut 3/7-16"), Some((Odd::NoSize, ..))));
    }

    #[test]
    fn nothing_is_odd_about_these() {
        for text in [
            "4 strap bolt 3/8-24 x 2-1/2 grade 5, bag 31",
            "7/16-20 UNF wheel nut",
            "bolt 3/8-16 UNC-2A x 1-1/4",
            "screw #10-32",
            "8-32",
            "wood screw #8 x 1-1/4",
            "cotter pin 1/8 x 1-1/2",
            "M8x1.25x30 8.8",
            "M8 x 30",
            "hub nut 1-14",
            "nut 3/8 BSF",
            "nut 3/8-20",
            "bolt 1/2-12 UNS",
            "screw 2 BA",
            "plug 1/8-27 NPT",
            "clips",
            "bracket BC57-2140-C",
            "bracket B-32",
            "seal 3/12",
            "2026-03-14",
            "SO-32 clip",
            "Bolt OI-1",
            "mount M13",
            "hose 10,5 mm",
            "4 nut,4 washer",
            "nut M6,5 washer",
            "",
        ] {
            assert_eq!(odd(text), None, "{text}");
        }
    }

    proptest::proptest! {
        #[test]
        fn any_text_can_be_looked_at(text in "[\\PC0-9/ \\-x.,#\"MOlI]{0,40}") {
            if let Some(found) = oddity(&text) {
                proptest::prop_assert!(text.get(found.span).is_some());
            }
        }
    }
}
