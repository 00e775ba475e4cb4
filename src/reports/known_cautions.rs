//! Cautions of places, found once for each state of a place and its prose.
//!
//! Finding them reads every word; whoever asks about all places at once, again and again,
//! keeps what was found. What raises a caution is decided in `cautions`.

use std::collections::HashMap;
use std::hash::{DefaultHasher, Hasher};

use serde::{Deserialize, Serialize};

use super::cautions::{Raised, of_place, of_step};
use crate::ledger::{PlaceState, TimelineStep};
use crate::parallel;

/// What is raised by the records of a place, and by putting it back.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct PlaceCautions {
    /// As [`of_place`] finds it.
    pub place: Vec<Raised>,
    /// As [`of_step`] finds it.
    pub step: Vec<Raised>,
}

/// The cautions of a place, with the checksum of its state and its prose.
#[derive(Clone, Debug)]
pub struct FoundCautions {
    /// The checksum.
    pub sum: u64,
    /// What was found.
    pub cautions: PlaceCautions,
}

/// What was found before, by a checksum of what it was found in.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct KnownCautions {
    found: HashMap<u64, PlaceCautions>,
}

impl KnownCautions {
    /// The cautions of these places, in their order; whether any was not known before.
    /// What none of them needs is forgotten. `prose_of` gives the prose of a moment.
    pub fn of(
        &mut self,
        states: &[&PlaceState],
        prose_of: &(dyn Fn(&TimelineStep) -> String + Sync),
    ) -> (Vec<FoundCautions>, bool) {
        let known = std::mem::take(&mut self.found);
        let found = parallel::each(THREADS, states, |state| {
            let sum = checksum(state, prose_of);
            let before = known.get(&sum).cloned();
            let is_new = before.is_none();
            let cautions = before.unwrap_or_else(|| PlaceCautions {
                place: of_place(state, prose_of),
                step: of_step(state),
            });
            (sum, cautions, is_new)
        });
        let is_new = found.iter().any(|(.., is_new)| *is_new) || found.len() != known.len();
        let mut all = Vec::with_capacity(found.len());
        for (sum, cautions, _) in found {
            self.found.insert(sum, cautions.clone());
            all.push(FoundCautions { sum, cautions });
        }
        (all, is_new)
    }
}

/// More threads than most people have processors would each take longer.
const THREADS: usize = 2;

fn checksum(state: &PlaceState, prose_of: &dyn Fn(&TimelineStep) -> String) -> u64 {
    let mut hasher = DefaultHasher::new();
    hasher.write(&state.to_bytes());
    for moment in &state.timeline {
        hasher.write(prose_of(moment).as_bytes());
        hasher.write_u8(0xff);
    }
    hasher.finish()
}
