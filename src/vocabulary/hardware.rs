//! Nuts, bolts, pins and clips as written: how many, which bag, which marks.
//!
//! Sizes and grades stay text here; [`Hardware::fastener`] reads them.

use serde::{Deserialize, Serialize};

use super::fastener::{Fastener, LEFT_HAND, says_left_hand};
use super::label::BagLabel;

/// Why a piece has to be bought, and never goes into a bag.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum PurchaseMark {
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

impl PurchaseMark {
    /// All of them.
    pub const ALL: [PurchaseMark; 5] = [
        PurchaseMark::New,
        PurchaseMark::Cut,
        PurchaseMark::Sheared,
        PurchaseMark::Stripped,
        PurchaseMark::Lost,
    ];

    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            PurchaseMark::New => "new",
            PurchaseMark::Cut => "cut",
            PurchaseMark::Sheared => "sheared",
            PurchaseMark::Stripped => "stripped",
            PurchaseMark::Lost => "lost",
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
    pub bag: Option<BagLabel>,
    /// Its marks, each once.
    pub marks: Vec<PurchaseMark>,
    /// The note in brackets at its end.
    pub note: Option<String>,
}

/// The most of one kind that a record may count; more is a slip.
pub const MOST_PIECES: u32 = 10_000;

impl Hardware {
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

#[cfg(test)]
mod tests {
    use super::super::hardware_line::read_hardware;
    use super::*;

    fn one(text: &str) -> Hardware {
        read_hardware(text).pieces.remove(0)
    }

    #[test]
    fn a_left_hand_thread_is_another_piece() {
        let of = |text: &str| one(text).fastener();
        let left = of("5 wheel nut 7/16-20 (left-hand thread), bag 31");
        assert_eq!(left, of("5 wheel nut 7/16-20 (left-hand thread)"));
        assert_eq!(left.to_string(), "wheel nut left-hand 7/16-20");
        assert_eq!(left, of("4 left hand wheel nut LH 7/16-20"));
        assert_ne!(left, of("5 wheel nut 7/16-20 (rusty)"));
        assert_ne!(left, of("5 wheel nut 7/16-20 (from the left)"));
    }

    #[test]
    fn totals_divide_over_places() {
        let five = one("5 clips");
        assert_eq!(five.share(0, 2).quantity, Some(3));
        assert_eq!(five.share(1, 2).quantity, Some(2));
        let each = one("5 clips each");
        assert_eq!(each.share(1, 2).quantity, Some(5));
    }
}
