//! Where on the vehicle a part sits.
//!
//! Positions are read from text here; fitting a reference to the places that
//! are known is the business of `ledger`.

use serde::{Deserialize, Serialize};
use std::fmt;

use super::position_words::{PlaceTerm, read_term};
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
    #[must_use]
    pub const fn opposite(self) -> Option<Side> {
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
    /// A position of these sides, with words that are none of them.
    #[must_use]
    pub fn new(sides: &[Side], other: &str) -> Position {
        let mut sides = sides.to_vec();
        sides.sort();
        sides.dedup();
        Position {
            sides,
            other: fold(other),
        }
    }

    /// The position in `text` if it consists of position words only.
    #[must_use]
    pub fn of_words(text: &str, driven: Driven) -> Option<Position> {
        let folded = fold(text);
        let all: Vec<&str> = folded
            .split([' ', '-', '/'])
            .filter(|word| !word.is_empty())
            .collect();
        let mut words = all.as_slice();
        let mut sides = Vec::new();
        while !words.is_empty() {
            let read = read_term(words, &[], driven)?;
            let PlaceTerm::Sides(found) = read.term else {
                return None;
            };
            sides.extend(found);
            words = words.get(read.words..).unwrap_or_default();
        }
        (!sides.is_empty()).then(|| Position::new(&sides, ""))
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

    /// Whether the two cannot be in one corner: one is left and the other right, or
    /// one front and the other rear.
    #[must_use]
    pub fn crosses(&self, other: &Position) -> bool {
        let corners = self.sides.iter().filter(|side| side.is_corner());
        let mut opposites = corners.filter_map(|side| side.opposite());
        opposites.any(|opposite| other.sides.contains(&opposite))
    }

    /// The position with the left, right, front and rear words of `other`, as far as
    /// it does not say the opposite itself.
    #[must_use]
    pub fn with_corner_of(&self, other: &Position) -> Position {
        let mut corner = other.corner();
        let says = |side: Side| self.sides.contains(&side);
        corner
            .sides
            .retain(|side| !side.opposite().is_some_and(says));
        self.and(&corner)
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

#[cfg(test)]
mod tests {
    use super::*;

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
