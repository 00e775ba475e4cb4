//! Where on the vehicle a part sits.
//!
//! Positions are read from text here; fitting a reference to the places that
//! are known is the business of `ledger`.

use serde::{Deserialize, Serialize};
use std::fmt;

use super::words::fold;

/// The words a position is made of, in the order in which they are said.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Side {
    /// Higher of two.
    Upper,
    /// Lower of two.
    Lower,
    /// To the left, seen by the driver.
    Left,
    /// In the middle between left and right.
    Centre,
    /// To the right, seen by the driver.
    Right,
    /// Towards the nose.
    Front,
    /// Towards the tail.
    Rear,
    /// Nearer to the middle of the vehicle.
    Inner,
    /// Further from the middle of the vehicle.
    Outer,
}

impl Side {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Side::Upper => "upper",
            Side::Lower => "lower",
            Side::Left => "left",
            Side::Centre => "centre",
            Side::Right => "right",
            Side::Front => "front",
            Side::Rear => "rear",
            Side::Inner => "inner",
            Side::Outer => "outer",
        }
    }

    /// The one that cannot hold at the same time.
    const fn opposite(self) -> Option<Side> {
        match self {
            Side::Upper => Some(Side::Lower),
            Side::Lower => Some(Side::Upper),
            Side::Left => Some(Side::Right),
            Side::Right => Some(Side::Left),
            Side::Front => Some(Side::Rear),
            Side::Rear => Some(Side::Front),
            Side::Inner => Some(Side::Outer),
            Side::Outer => Some(Side::Inner),
            Side::Centre => None,
        }
    }

    /// Whether it names a corner of the vehicle: left, right, front or rear.
    #[must_use]
    pub const fn is_corner(self) -> bool {
        match self {
            Side::Left | Side::Right | Side::Front | Side::Rear => true,
            Side::Upper | Side::Lower | Side::Centre | Side::Inner | Side::Outer => false,
        }
    }
}

/// On which side the driver sits, as the vehicle file says.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Driven {
    /// The wheel is on the left.
    Left,
    /// The wheel is on the right.
    Right,
    /// In the middle, or not said: "driver's side" then means nothing.
    Unsaid,
}

/// A position: known words, or free text said with `at:`; empty for a part
/// there is only one of.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct Position {
    sides: Vec<Side>,
    other: String,
}

static ALONE: [Position; 1] = [Position {
    sides: Vec::new(),
    other: String::new(),
}];

/// The places at these positions: where none is said, there is only one.
#[must_use]
pub fn places(at: &[Position]) -> &[Position] {
    if at.is_empty() { &ALONE } else { at }
}

impl Position {
    /// The position in `text` if it consists of position words only.
    #[must_use]
    pub fn of_words(text: &str, driven: Driven) -> Option<Position> {
        let (position, rest) = leading(&fold(text), driven);
        (rest.is_empty() && !position.sides.is_empty()).then_some(position)
    }

    /// The position in `text`, whatever it says: the value of `at:`.
    #[must_use]
    pub fn free(text: &str, driven: Driven) -> Position {
        Position::of_words(text, driven).unwrap_or_else(|| Position {
            sides: Vec::new(),
            other: fold(text),
        })
    }

    /// Whether nothing is said.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.sides.is_empty() && self.other.is_empty()
    }

    /// The known words of it.
    #[must_use]
    pub fn sides(&self) -> &[Side] {
        &self.sides
    }

    /// Two words of it that cannot both hold, if there are any.
    #[must_use]
    pub fn contradiction(&self) -> Option<(Side, Side)> {
        self.sides.iter().find_map(|side| {
            let opposite = side.opposite()?;
            (*side < opposite && self.sides.contains(&opposite)).then_some((*side, opposite))
        })
    }

    /// Both positions taken together.
    #[must_use]
    pub fn and(&self, other: &Position) -> Position {
        let mut sides: Vec<Side> = self.sides.iter().chain(&other.sides).copied().collect();
        sides.sort();
        sides.dedup();
        let mut text = self.other.clone();
        if !other.other.is_empty() && other.other != text {
            if !text.is_empty() {
                text.push(' ');
            }
            text.push_str(&other.other);
        }
        Position { sides, other: text }
    }

    /// Whether `self` becomes `known` by adding left, right, front or rear
    /// and nothing else.
    #[must_use]
    pub fn widens_to(&self, known: &Position) -> bool {
        self.other == known.other
            && self.sides.iter().all(|side| known.sides.contains(side))
            && known
                .sides
                .iter()
                .all(|side| self.sides.contains(side) || side.is_corner())
    }

    /// The positions that [widen](Position::widens_to) to this one, this one
    /// left out, and the empty one: what people say who mean it.
    #[must_use]
    pub fn narrowed(&self) -> Vec<Position> {
        let corners: Vec<Side> = self.corner().sides;
        let mut narrowed = vec![self.clone()];
        for corner in corners {
            for at in 0..narrowed.len() {
                let mut less = narrowed[at].clone();
                less.sides.retain(|side| *side != corner);
                narrowed.push(less);
            }
        }
        narrowed.remove(0);
        if !self.is_empty() && !narrowed.iter().any(Position::is_empty) {
            narrowed.push(Position::default());
        }
        narrowed
    }

    /// The left, right, front and rear words of it.
    #[must_use]
    pub fn corner(&self) -> Position {
        Position {
            sides: self
                .sides
                .iter()
                .copied()
                .filter(|side| side.is_corner())
                .collect(),
            other: String::new(),
        }
    }
}

impl fmt::Display for Position {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let words: Vec<&str> = self.sides.iter().map(|side| side.word()).collect();
        f.write_str(&words.join(" "))?;
        if !self.other.is_empty() && !words.is_empty() {
            f.write_str(" ")?;
        }
        f.write_str(&self.other)
    }
}

/// Splits a part's name from the position said with it: words at its start
/// ("left front wheel cylinder") or after its last commas ("bulkhead, upper").
/// A name that would be nothing but a position keeps all its words.
#[must_use]
pub fn split_name(text: &str, driven: Driven) -> (String, Position) {
    let mut position = Position::default();
    let mut name = text.trim();
    while let Some((before, last)) = name.rsplit_once(',') {
        match Position::of_words(last, driven) {
            Some(found) if !before.trim().is_empty() => {
                position = position.and(&found);
                name = before.trim();
            }
            Some(_) | None => break,
        }
    }
    let (found, rest) = leading_of_written(name, driven);
    let only_position = Position::of_words(name, driven).is_some();
    if !only_position && !found.is_empty() {
        position = position.and(&found);
        name = rest;
    }
    (name.to_owned(), position)
}

/// More words than anyone says before a part's name ("passenger's side upper
/// left hand front inner ...").
const LONGEST_SAID: usize = 16;

/// The leading position words of a text as written, and what is left of it.
fn leading_of_written(text: &str, driven: Driven) -> (Position, &str) {
    let mut best = (Position::default(), text);
    for (at, _) in text.match_indices(char::is_whitespace).take(LONGEST_SAID) {
        match Position::of_words(&text[..at], driven) {
            Some(position) => best = (position, text[at..].trim_start()),
            None if text[..at].split_whitespace().count() >= 4 => break,
            None => {}
        }
    }
    best
}

/// Reads position words off the start of folded text; returns the rest.
fn leading(folded: &str, driven: Driven) -> (Position, String) {
    let mut sides = Vec::new();
    let words: Vec<&str> = folded
        .split([' ', '-', '/'])
        .filter(|word| !word.is_empty())
        .collect();
    let mut rest = words.as_slice();
    while let Some((taken, found)) = first_word(rest, driven) {
        sides.extend(found);
        rest = &rest[taken..];
    }
    sides.sort();
    sides.dedup();
    let position = Position {
        sides,
        other: String::new(),
    };
    (position, rest.join(" "))
}

/// How many words the next position takes, and which sides it means.
fn first_word(words: &[&str], driven: Driven) -> Option<(usize, Vec<Side>)> {
    let one = |sides: &[Side]| Some((1, sides.to_vec()));
    let side_word = |taken: usize| {
        if words.get(taken).is_some_and(|word| *word == "side") {
            taken + 1
        } else {
            taken
        }
    };
    match *words.first()? {
        "left" | "right" if words.get(1) == Some(&"hand") => {
            let side = if words[0] == "left" {
                Side::Left
            } else {
                Side::Right
            };
            Some((side_word(2), vec![side]))
        }
        "left" => Some((side_word(1), vec![Side::Left])),
        "right" => Some((side_word(1), vec![Side::Right])),
        "front" => one(&[Side::Front]),
        "rear" => one(&[Side::Rear]),
        "centre" | "center" => one(&[Side::Centre]),
        "upper" => one(&[Side::Upper]),
        "lower" => one(&[Side::Lower]),
        "inner" => one(&[Side::Inner]),
        "outer" => one(&[Side::Outer]),
        "lf" => one(&[Side::Left, Side::Front]),
        "rf" => one(&[Side::Right, Side::Front]),
        "lr" => one(&[Side::Left, Side::Rear]),
        "rr" => one(&[Side::Right, Side::Rear]),
        "driver's" | "drivers" | "driver" | "offside" => {
            let side = drivers(driven)?;
            needs_side(words, 1, vec![side])
        }
        "passenger's" | "passengers" | "passenger" | "nearside" => {
            let side = drivers(driven)?.opposite()?;
            needs_side(words, 1, vec![side])
        }
        _ => None,
    }
}

/// "Driver's side" is a position, "driver's seat" is not; "nearside" and
/// "offside" carry the word in them.
fn needs_side(words: &[&str], taken: usize, sides: Vec<Side>) -> Option<(usize, Vec<Side>)> {
    if words[0].ends_with("side") {
        return Some((taken, sides));
    }
    (words.get(taken) == Some(&"side")).then_some((taken + 1, sides))
}

/// The side on which the driver sits.
fn drivers(driven: Driven) -> Option<Side> {
    match driven {
        Driven::Left => Some(Side::Left),
        Driven::Right => Some(Side::Right),
        Driven::Unsaid => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn split(text: &str) -> (String, String) {
        let (name, position) = split_name(text, Driven::Right);
        (name, position.to_string())
    }

    #[test]
    fn positions_are_found_before_and_after_the_name() {
        for (text, name, at) in [
            ("Wheel cylinder, left front", "Wheel cylinder", "left front"),
            ("left front wheel cylinder", "wheel cylinder", "left front"),
            ("Load floor, rear", "Load floor", "rear"),
            ("Wheel cylinder, LF", "Wheel cylinder", "left front"),
            ("Front left hub", "hub", "left front"),
            ("Bulkhead, upper, left", "Bulkhead", "upper left"),
            ("front damper, left", "damper", "left front"),
            ("Mirror, driver’s side", "Mirror", "right"),
            ("Mirror, passenger side", "Mirror", "left"),
            ("inner wing", "wing", "inner"),
            ("Left-hand door", "door", "left"),
            ("Horn", "Horn", ""),
            ("Left front", "Left front", ""),
            ("Sleeve, long", "Sleeve, long", ""),
            ("Driver's seat", "Driver's seat", ""),
        ] {
            assert_eq!(split(text), (name.to_owned(), at.to_owned()), "{text}");
        }
    }

    #[test]
    fn the_drivers_side_needs_a_driver() {
        assert_eq!(
            Position::of_words("driver's side", Driven::Left).map(|at| at.to_string()),
            Some("left".to_owned())
        );
        assert_eq!(Position::of_words("driver's side", Driven::Unsaid), None);
    }

    #[test]
    fn only_corners_may_be_added() {
        let at = |text| Position::of_words(text, Driven::Unsaid).expect("a position");
        assert!(Position::default().widens_to(&at("left front")));
        assert!(at("upper").widens_to(&at("upper left")));
        assert!(!at("left").widens_to(&at("upper left")));
        assert!(!at("left").widens_to(&at("right")));
    }

    #[test]
    fn left_right_contradicts_itself() {
        let at = Position::of_words("left right", Driven::Unsaid).expect("a position");
        assert_eq!(at.contradiction(), Some((Side::Left, Side::Right)));
        let at = Position::of_words("left front upper", Driven::Unsaid).expect("a position");
        assert_eq!(at.contradiction(), None);
    }
}
