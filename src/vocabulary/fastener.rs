//! What a piece of hardware is: kind, size, grade, as values that compare.
//!
//! `Hardware.what` keeps the words as written; this reads them whenever two
//! pieces have to be told apart or summed. A kind or a size may be missing.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::grade::Grade;
use super::hardware_words::{is_kind, singular};
use super::name::Name;
use super::size::{Size, with_points};
use super::words::{straighten, words};

/// Kind, size and grade of a piece.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Fastener {
    /// "wheel nut": in small letters, for one piece; empty if only a size is
    /// said. It compares as names do.
    pub kind: Name,
    /// "7/16-20", "M8 x 30".
    pub size: Option<Size>,
    /// "grade 5", "class 8.8".
    pub grade: Option<Grade>,
}

impl std::hash::Hash for Fastener {
    fn hash<H: std::hash::Hasher>(&self, state: &mut H) {
        self.kind.key().hash(state);
        self.size.hash(state);
        self.grade.hash(state);
    }
}

impl Fastener {
    /// Reads "hex bolt 3/8-16 x 1-1/4 grade 5", "M8x1.25x30 8.8", "clips".
    /// Never fails: what is neither size nor grade is the kind.
    #[must_use]
    pub fn read(what: &str) -> Fastener {
        let mut rest = with_points(&straighten(what));
        // A gap that no size and no grade reaches over stands where they were.
        let mut grade = Grade::said(&rest).map(|(grade, span)| {
            rest.replace_range(span, " , ");
            grade
        });
        let found = Size::find(&rest);
        if let Some(found) = &found {
            let long = rest[found.span.end..].split_whitespace().next();
            let end = match long {
                Some(word @ ("long" | "lg")) => {
                    found.span.end + rest[found.span.end..].find(word).unwrap_or(0) + word.len()
                }
                Some(_) | None => found.span.end,
            };
            rest.replace_range(found.span.start..end, " , ");
        }
        if grade.is_none() {
            grade = Grade::bare(&rest).map(|(grade, span)| {
                rest.replace_range(span, " , ");
                grade
            });
        }
        Fastener {
            kind: kind(&rest),
            size: found.map(|found| found.size),
            grade,
        }
    }
}

/// The size of a piece in its one form, but with its pitch where it was
/// written; `None` if there is none.
#[must_use]
pub fn size_as_said(what: &str) -> Option<String> {
    let mut rest = with_points(&straighten(what));
    if let Some((_, span)) = Grade::said(&rest) {
        rest.replace_range(span, " , ");
    }
    Size::find(&rest).map(|found| found.as_said())
}

/// How a left-hand thread is called in a kind.
pub(super) const LEFT_HAND: &str = "left-hand";

/// Whether words say that a thread is a left-hand one.
pub(super) fn says_left_hand(text: &str) -> bool {
    let words: Vec<String> = words(text).collect();
    let hand = |pair: &[String]| pair[0] == "left" && matches!(pair[1].as_str(), "hand" | "handed");
    words.windows(2).any(hand) || words.iter().any(|word| word == "lh" || word == "lefthand")
}

/// The words that are left, small, for one piece. `U-bolt` keeps its letter.
fn kind(rest: &str) -> Name {
    let pieces: Vec<String> = rest
        .split(',')
        .map(|piece| {
            let words: Vec<String> = piece
                .split_whitespace()
                .filter(|word| word.chars().any(char::is_alphanumeric))
                .map(small)
                // "hex bolts, zinc", "ball bearings 6203"
                .map(|word| {
                    if is_kind(&word) {
                        singular(&word)
                    } else {
                        word
                    }
                })
                .collect();
            words.join(" ")
        })
        .filter(|piece| !piece.is_empty())
        .collect();
    let mut words = pieces.join(" ");
    if says_left_hand(&words) {
        words = format!("{} {LEFT_HAND}", without_hand(&words));
    }
    let bare = Name::new(&words);
    // The plural s goes here as it goes in comparing.
    if words.ends_with('s') && !bare.key().ends_with('s') {
        words.pop();
    }
    Name::new(&words)
}

/// A kind without the words that say which hand its thread is.
fn without_hand(words: &str) -> String {
    let spread = words.replace('-', " - ").replace(['(', ')'], " ");
    let mut kept: Vec<&str> = Vec::new();
    for word in spread.split_whitespace() {
        let small = word.to_lowercase();
        let hand = matches!(small.as_str(), "hand" | "handed" | "lh" | "lefthand");
        let after_hand = small == "thread" && kept.last() == Some(&"\0");
        if hand {
            while kept
                .last()
                .is_some_and(|last| *last == "-" || last.eq_ignore_ascii_case("left"))
            {
                kept.pop();
            }
            kept.push("\0");
        } else if !after_hand {
            kept.push(word);
        }
    }
    kept.retain(|word| *word != "\0");
    kept.join(" ").replace(" - ", "-")
}

/// A word in small letters, unless a capital letter stands alone or among
/// others: `U-bolt`, `P clip`, `BSP`.
fn small(word: &str) -> String {
    let mut chars = word.chars();
    chars.next();
    if chars.next().is_some_and(char::is_lowercase) {
        word.to_lowercase()
    } else {
        word.to_owned()
    }
}

/// The one form in which hardware is written: kind, size, grade. A kind that
/// holds figures comes last, so that none of them is taken for the size.
impl fmt::Display for Fastener {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut words = Vec::new();
        words.extend(self.size.as_ref().map(ToString::to_string));
        words.extend(self.grade.as_ref().map(ToString::to_string));
        let kind = self.kind.written();
        if kind.bytes().any(|b| b.is_ascii_digit()) && !words.is_empty() {
            return write!(f, "{}, {kind}", words.join(" "));
        }
        if !kind.is_empty() {
            words.insert(0, kind.to_owned());
        }
        f.write_str(&words.join(" "))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Kind, size and grade as shown.
    fn read(what: &str) -> (String, String, String) {
        let read = Fastener::read(what);
        (
            read.kind.written().to_owned(),
            read.size.map(|size| size.to_string()).unwrap_or_default(),
            read.grade
                .map(|grade| grade.to_string())
                .unwrap_or_default(),
        )
    }

    #[test]
    fn hardware_as_people_write_it() {
        for (what, kind, size, grade) in [
            ("wheel nut 7/16-20", "wheel nut", "7/16-20", ""),
            ("7/16-20 Wheel Nuts", "wheel nut", "7/16-20", ""),
            ("wheel nut, 7/16–20 UNF", "wheel nut", "7/16-20", ""),
            ("wheel nut 7/16 UNF", "wheel nut", "7/16-20", ""),
            ("wheel nut 0.4375-20", "wheel nut", "7/16-20", ""),
            (
                "hex bolt 3/8-16 x 1-1/4 grade 5",
                "hex bolt",
                "3/8-16 x 1-1/4",
                "grade 5",
            ),
            (
                "grade 5 hex bolt ⅜-16×1¼",
                "hex bolt",
                "3/8-16 x 1-1/4",
                "grade 5",
            ),
            (
                "hex bolt 3/8-16 UNC-2A x 1.25\" gr.5",
                "hex bolt",
                "3/8-16 x 1-1/4",
                "grade 5",
            ),
            (
                "hex bolt 3/8\"-16 x 1 1/4 in",
                "hex bolt",
                "3/8-16 x 1-1/4",
                "",
            ),
            ("cotter pin 1/8 x 1-1/2", "cotter pin", "1/8 x 1-1/2", ""),
            ("M8x1.25x30 8.8", "", "M8 x 30", "class 8.8"),
            ("M8 x 30", "", "M8 x 30", ""),
            ("M8×30 mm", "", "M8 x 30", ""),
            ("M10x1,25 x 30", "", "M10x1.25 x 30", ""),
            ("M8-1.25 x 30", "", "M8 x 30", ""),
            ("bolt, M10x1.5", "bolt", "M10", ""),
            (
                "bolt M10x1.25-6g x 40 class 10.9",
                "bolt",
                "M10x1.25 x 40",
                "class 10.9",
            ),
            ("bolt m6x1 x 20", "bolt", "M6 x 20", ""),
            ("spring washer M7", "spring washer", "M7", ""),
            ("flat washer 7/16", "flat washer", "7/16", ""),
            (
                "countersunk screw 10-32 x 3/4",
                "countersunk screw",
                "#10-32 x 3/4",
                "",
            ),
            ("screw #10-32 x 3/4", "screw", "#10-32 x 3/4", ""),
            ("screw No. 10-32 x 3/4", "screw", "#10-32 x 3/4", ""),
            ("wood screw #8 x 1-1/4", "wood screw", "#8 x 1-1/4", ""),
            ("U-bolt 1/2-20 x 6", "U-bolt", "1/2-20 x 6", ""),
            ("axle nut 1-14", "axle nut", "1-14", ""),
            ("hub nut 1 1/8-12", "hub nut", "1-1/8-12", ""),
            ("eye bolt 2-4½", "eye bolt", "2-4-1/2", ""),
            ("nut 3/8 BSF", "nut", "3/8 BSF", ""),
            ("nut 3/8-20 bsf", "nut", "3/8 BSF", ""),
            ("screw 2BA x 1/2", "screw", "2 BA x 1/2", ""),
            ("drain plug 1/8-27 NPT", "drain plug", "1/8 NPT", ""),
            ("wire clip 15 mm", "wire clip", "15 mm", ""),
            ("wire clip 15mm", "wire clip", "15 mm", ""),
            ("roll pin 5 x 30", "roll pin", "5 x 30", ""),
            (
                "washer 8.4 x 16 x 1.6 mm",
                "washer",
                "8.4 x 16 x 1.6 mm",
                "",
            ),
            ("bush 1 in", "bush", "1 in", ""),
            ("clips", "clip", "", ""),
            ("pull-off spring", "pull-off spring", "", ""),
            ("", "", "", ""),
        ] {
            let expected = (kind.to_owned(), size.to_owned(), grade.to_owned());
            assert_eq!(read(what), expected, "{what}");
        }
    }

    #[test]
    fn numbers_that_are_no_size_stay_in_the_kind() {
        for what in [
            "bracket BC57-2140-C",
            "bracket 57-2140",
            "strut 1-4711",
            "clip 4711",
            "relay 6-12 v",
            "4-speed lever",
            "clip M3-4711",
            "trim clip A35-20",
            "clip 3/12",
            "clips 2 in bracket",
            "bearing 6204-2RS",
            "seal 12-18-4",
            "clip 2026-03-14",
            "bolt 7/16-20A4",
            "mount M35",
            "bracket #2",
            "#2 R/H tooth",
            "1/2-way valve",
        ] {
            let read = Fastener::read(what);
            assert_eq!(read.size, None, "{what}");
            assert_eq!(read.grade, None, "{what}");
        }
    }

    #[test]
    fn the_same_piece_by_any_spelling() {
        for (a, b) in [
            ("M8x1.25x30 8.8", "m8 x 30 class 8.8"),
            ("3/8-24 nut", "Nuts, 0.375-24"),
            ("#10-24 screw", "screws 10-24 UNC"),
        ] {
            assert_eq!(Fastener::read(a), Fastener::read(b), "{a} / {b}");
        }
        for (a, b) in [
            ("M8x1 nut", "M8 nut"),
            ("3/8-16 nut", "3/8-24 nut"),
            ("1/4 BSW nut", "1/4-20 nut"),
            ("bolt M8 x 30 8.8", "bolt M8 x 30 10.9"),
            ("pin 5 x 30", "pin 5 x 30 mm"),
        ] {
            assert_ne!(Fastener::read(a), Fastener::read(b), "{a} / {b}");
        }
    }

    proptest::proptest! {
        #[test]
        fn what_is_shown_reads_back_the_same(
            kind in "(wheel nut|hex bolt|U-bolt|Clips|pull-off spring|)",
            size in "(#?1?[0-9](-[0-9]{2})?|[1-9]/(4|8|16|32)(-[1-9][0-9])?( UN[CF])?|M[1-9][0-9]?(x[0-9](\\.[0-9]{1,2})?)?|[0-9]{1,2}(\\.[0-9]{1,3})?|[0-9]-[1-9]/8|)",
            lengths in "( ?[x×] ?[1-9][0-9]?((-[1-9]/8)|(\\.[0-9]{1,3}))?(mm| in|\"|)){0,2}",
            grade in "( grade 5| gr8| 8\\.8| class 10|)",
        ) {
            let text = format!("{kind} {size}{lengths}{grade}");
            let once = Fastener::read(&text);
            let again = Fastener::read(&once.to_string());
            proptest::prop_assert_eq!(&once, &again, "{} -> {}", text, once);
            proptest::prop_assert_eq!(once.to_string(), again.to_string());
        }

        #[test]
        fn any_text_can_be_read(text in "[\\PC0-9/ \\-x.#\"M]{0,40}") {
            let once = Fastener::read(&text);
            let _ = once.to_string();
        }
    }
}
