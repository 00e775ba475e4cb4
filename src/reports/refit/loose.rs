//! What stays loose until the vehicle stands on its wheels.
//!
//! Common practice, no source: rubber bushes of a suspension are tightened with
//! the weight of the vehicle on its wheels, or they spend their lives twisted.

use super::RefitPlan;
use crate::vocabulary::status::Status;
use crate::vocabulary::words::{stem, words};

impl RefitPlan<'_> {
    /// The parts that are on and still loose.
    #[must_use]
    pub fn loose(&self) -> Vec<usize> {
        (0..self.places.keys.len())
            .filter(|place| self.places.states[*place].unit().status == Some(Status::Loose))
            .collect()
    }
}

/// Parts of a suspension that pivot in rubber.
const PIVOTS: [&str; 8] = [
    "spring", "shackle", "bush", "wishbone", "arm", "link", "rod", "mount",
];

/// Whether a part usually stays loose until the vehicle stands on its wheels.
#[must_use]
pub fn settles_on_wheels(plan: &RefitPlan<'_>, place: usize) -> bool {
    let is_suspension = plan
        .places
        .system(place)
        .is_some_and(|system| words(system).any(|word| word == "suspension"));
    if !is_suspension {
        return false;
    }
    let state = plan.places.states[place];
    let has_bush = state
        .hardware
        .iter()
        .any(|pieces| words(&pieces.hardware.what).any(|word| stem(&word) == "bush"));
    let pivots = words(&state.name)
        .last()
        .is_some_and(|last| PIVOTS.contains(&stem(&last).as_str()));
    has_bush || pivots
}
