//! What is left of a place's state for answers about the whole journal: as much
//! as any of them needs, so that all places can be read at once.
//!
//! Answers about one part read the whole state.

use serde::{Deserialize, Serialize};

use super::state::{Bagged, Counted, Pieces, PlaceState};
use crate::entry::Key;
use crate::vocabulary::status::Surface;

/// The hardware of a place, for answers about bags, purchases and refitting.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct PlaceHardware {
    /// The pieces that hold it.
    hardware: Vec<Pieces>,
    /// What remained or was missing at refit.
    counted: Vec<Counted>,
    /// The bags that it took its hardware out of, with their numbers among all.
    emptied: Vec<(usize, Bagged)>,
}

impl PlaceState {
    /// The state as answers about the whole journal need it, and its hardware
    /// apart. Of the timeline only what was done, paid for, put somewhere or said of a
    /// surface keeps its words, and of the problems only those about a count at refit.
    #[must_use]
    pub fn lean(mut self) -> (PlaceState, PlaceHardware) {
        for moment in &mut self.timeline {
            moment.facts.retain(|(key, value)| is_reported(key, value));
        }
        let counted = &self.counted;
        self.problems
            .retain(|said| counted.iter().any(|counted| counted.spot == said.spot));
        let mut hardware = PlaceHardware {
            hardware: std::mem::take(&mut self.hardware),
            counted: std::mem::take(&mut self.counted),
            emptied: Vec::new(),
        };
        for (number, bagged) in std::mem::take(&mut self.bagged).into_iter().enumerate() {
            if bagged.emptied.is_some() {
                hardware.emptied.push((number, bagged));
            } else {
                self.bagged.push(bagged);
            }
        }
        (self, hardware)
    }

    /// The lean state with its hardware again.
    #[must_use]
    pub fn with(mut self, hardware: PlaceHardware) -> PlaceState {
        self.hardware = hardware.hardware;
        self.counted = hardware.counted;
        if hardware.emptied.is_empty() {
            return self;
        }
        let mut open = std::mem::take(&mut self.bagged).into_iter();
        for (number, bagged) in hardware.emptied {
            let before = number.saturating_sub(self.bagged.len());
            self.bagged.extend(open.by_ref().take(before));
            self.bagged.push(bagged);
        }
        self.bagged.extend(open);
        self
    }
}

impl PlaceHardware {
    /// The hardware as bytes, to be kept in an index; none if there is none.
    #[must_use]
    pub fn to_bytes(&self) -> Vec<u8> {
        if *self == PlaceHardware::default() {
            return Vec::new();
        }
        // Writing plain values into memory cannot fail.
        postcard::to_stdvec(self).unwrap_or_default()
    }

    /// The hardware from such bytes; `None` for any others.
    #[must_use]
    pub fn from_bytes(bytes: &[u8]) -> Option<PlaceHardware> {
        postcard::from_bytes(bytes).ok()
    }
}

/// Whether a report asks for the words of such a fact.
fn is_reported(key: &str, value: &str) -> bool {
    [
        Key::Done.word(),
        Key::Cost.word(),
        Key::Stored.word(),
        "surface",
    ]
    .contains(&key)
        || Surface::ALL.iter().any(|surface| value == surface.word())
}
