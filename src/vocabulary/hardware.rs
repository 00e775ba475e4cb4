//! Nuts, bolts, pins and clips as written: how many, which bag, which marks.
//!
//! Sizes and grades stay text here; [`Hardware::fastener`] reads them.

use serde::{Deserialize, Serialize};

use super::fastener::{Fastener, LEFT_HAND, says_left_hand};
use super::label::Label;
use super::size::with_points;
use super::words::straighten;

/// Why a piece has to be bought, and never goes into a bag.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Mark {
    /// Single use: a new one belongs there.
    New,
    /// Had to be cut.
    Cut,
    /// Broke off.
    Sheared,
    /// Its thread or head is gone.
    Stripped,
    /// Fell into the dark.
    Lost,
}

impl Mark {
    /// All of them.
    pub const ALL: [Mark; 5] = [
        Mark::New,
        Mark::Cut,
        Mark::Sheared,
        Mark::Stripped,
        Mark::Lost,
    ];

    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Mark::New => "new",
            Mark::Cut => "cut",
            Mark::Sheared => "sheared",
            Mark::Stripped => "stripped",
            Mark::Lost => "lost",
        }
    }
}

/// One kind of hardware in one record.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Hardware {
    /// How many; `None` when the text does not say.
    pub quantity: Option<u32>,
    /// Whether the quantity is for each place rather than for all of them.
    pub each: bool,
    /// Kind, size and grade, as written.
    pub what: String,
    /// The bag it says it is in.
    pub bag: Option<Label>,
    /// Its marks, each once.
    pub marks: Vec<Mark>,
    /// The note in brackets at its end.
    pub note: Option<String>,
}

/// The most of one kind that a record may count; more is a slip.
pub const MOST_PIECES: u32 = 10_000;

impl Hardware {
    /// Reads "4 strap bolt 3/8-24 x 2-1/2 grade 5, bag 31", "2 felt pad, new",
    /// "6 clips". Never fails: what is not understood stays in `what`.
    #[must_use]
    pub fn read(text: &str) -> Hardware {
        let plain = with_points(&straighten(text.trim()));
        let (body, note) = split_note(&plain);
        let mut what = Vec::new();
        let mut bag = None;
        let mut marks = Vec::new();
        let mut each = false;
        for piece in body.split(',').map(str::trim) {
            let lower = piece.to_lowercase();
            if let Some(mark) = Mark::ALL.into_iter().find(|mark| mark.word() == lower) {
                if !marks.contains(&mark) {
                    marks.push(mark);
                }
            } else if lower.starts_with("bag ") {
                bag = Some(Label::new(piece));
            } else if lower == "each" {
                each = true;
            } else if !piece.is_empty() {
                what.push(piece);
            }
        }
        let what = what.join(", ");
        let (what, said_each) = match what.strip_suffix(" each") {
            Some(rest) => (rest.to_owned(), true),
            None => (what, false),
        };
        let (what, bag) = match (bag, last_words(&what)) {
            (None, Some((before, label))) => (before.to_owned(), Some(Label::new(label))),
            (bag, _) => (what, bag),
        };
        let (quantity, what) = split_quantity(&what);
        Hardware {
            quantity,
            each: each || said_each,
            what: what.to_owned(),
            bag,
            marks,
            note,
        }
    }

    /// Kind, size and grade as values, to be compared and summed. A left-hand
    /// thread is another piece, also where only the note says so.
    #[must_use]
    pub fn fastener(&self) -> Fastener {
        match &self.note {
            Some(note) if says_left_hand(note) => {
                Fastener::read(&format!("{}, {LEFT_HAND}", self.what))
            }
            Some(_) | None => Fastener::read(&self.what),
        }
    }

    /// Whether these pieces are to be bought.
    #[must_use]
    pub fn to_buy(&self) -> bool {
        !self.marks.is_empty()
    }

    /// How many pieces it counts for: one where nothing is said.
    #[must_use]
    pub fn count(&self) -> u32 {
        self.quantity.unwrap_or(1)
    }

    /// One place's share of pieces said once for several places: an equal
    /// part, the remainder to the first.
    #[must_use]
    pub fn share(&self, place: usize, places: usize) -> Hardware {
        let mut own = self.clone();
        if self.each || places < 2 {
            own.each = false;
            return own;
        }
        own.quantity = self.quantity.map(|total| share(total, place, places));
        own
    }
}

/// `total` divided over `places`, the remainder to the first.
#[must_use]
pub fn share(total: u32, place: usize, places: usize) -> u32 {
    let places = u32::try_from(places.max(1)).unwrap_or(u32::MAX);
    let remainder = if place == 0 { total % places } else { 0 };
    total / places + remainder
}

/// A note in brackets at the end of an item.
fn split_note(text: &str) -> (&str, Option<String>) {
    let open = text.strip_suffix(')').and_then(|rest| rest.rfind('('));
    match open {
        Some(open) => (
            text[..open].trim_end().trim_end_matches(','),
            Some(text[open + 1..text.len() - 1].trim().to_owned()),
        ),
        None => (text, None),
    }
}

/// "bag 31" at the end of the words, where someone forgot the comma.
fn last_words(what: &str) -> Option<(&str, &str)> {
    let (before, label) = what.rsplit_once(' ')?;
    let before = before
        .strip_suffix("bag")
        .or_else(|| before.strip_suffix("Bag"))?;
    (before.ends_with(' ') && !label.is_empty()).then(|| (before.trim_end(), label))
}

/// A whole number at the start, with or without an `x` behind it.
fn split_quantity(what: &str) -> (Option<u32>, &str) {
    let (first, rest) = what.split_once(' ').unwrap_or((what, ""));
    let digits = first.strip_suffix(['x', 'X']).unwrap_or(first);
    let count = (!digits.is_empty() && digits.bytes().all(|byte| byte.is_ascii_digit()))
        .then(|| digits.parse().ok())
        .flatten();
    match count {
        Some(count) => {
            let rest = rest.trim_start();
            (Some(count), rest.strip_prefix("x ").unwrap_or(rest))
        }
        None => match NUMBER_WORDS
            .iter()
            .position(|word| first.eq_ignore_ascii_case(word))
        {
            Some(at) if !rest.is_empty() => (u32::try_from(at + 1).ok(), rest.trim_start()),
            Some(_) | None => (None, what),
        },
    }
}

/// Counts that people write out.
const NUMBER_WORDS: [&str; 12] = [
    "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
    "twelve",
];

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> (Option<u32>, String, Option<String>, Vec<Mark>) {
        let hardware = Hardware::read(text);
        (
            hardware.quantity,
            hardware.what,
            hardware.bag.map(|bag| bag.written().to_owned()),
            hardware.marks,
        )
    }

    #[test]
    fn hardware_as_people_write_it() {
        for (text, quantity, what, bag, marks) in [
            (
                "4 strap bolt 3/8-24 x 2-1/2 grade 5, bag 31",
                Some(4),
                "strap bolt 3/8-24 x 2-1/2 grade 5",
                Some("31"),
                vec![],
            ),
            (
                "2 felt pad, new",
                Some(2),
                "felt pad",
                None,
                vec![Mark::New],
            ),
            ("6 clips", Some(6), "clips", None, vec![]),
            (
                "4 bolt M8x1,25 x 30, bag 3",
                Some(4),
                "bolt M8x1.25 x 30",
                Some("3"),
                vec![],
            ),
            ("4x M8×1.25", Some(4), "M8x1.25", None, vec![]),
            ("4 x bolt bag 7", Some(4), "bolt", Some("7"), vec![]),
            (
                "two nuts, bag coffee tin",
                Some(2),
                "nuts",
                Some("coffee tin"),
                vec![],
            ),
            ("3/8-24 nut", None, "3/8-24 nut", None, vec![]),
            (
                "1 stud, sheared, cut",
                Some(1),
                "stud",
                None,
                vec![Mark::Sheared, Mark::Cut],
            ),
            (
                "2 nut 1/2-13 (behind the bracket, rusty)",
                Some(2),
                "nut 1/2-13",
                None,
                vec![],
            ),
        ] {
            assert_eq!(
                read(text),
                (quantity, what.to_owned(), bag.map(str::to_owned), marks),
                "{text}"
            );
        }
    }

    #[test]
    fn a_left_hand_thread_is_another_piece() {
        let of = |text: &str| Hardware::read(text).fastener();
        let left = of("5 wheel nut 7/16-20 (left-hand thread), bag 31");
        assert_eq!(left, of("5 wheel nut 7/16-20 (left-hand thread)"));
        assert_eq!(left.to_string(), "wheel nut left-hand 7/16-20");
        assert_eq!(left, of("4 left hand wheel nut LH 7/16-20"));
        assert_ne!(left, of("5 wheel nut 7/16-20 (rusty)"));
        assert_ne!(left, of("5 wheel nut 7/16-20 (from the left)"));
    }

    #[test]
    fn totals_divide_over_places() {
        let five = Hardware::read("5 clips");
        assert_eq!(five.share(0, 2).quantity, Some(3));
        assert_eq!(five.share(1, 2).quantity, Some(2));
        let each = Hardware::read("5 clips each");
        assert_eq!(each.share(1, 2).quantity, Some(5));
    }
}
