//! What stays loose until the vehicle stands on its wheels.
//!
//! Common practice, no source: rubber bushes of a suspension are tightened with
//! the weight of the vehicle on its wheels, or they spend their lives twisted.

use super::RefitPlan;
use crate::ledger::PlaceState;
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

/// Parts of a suspension that pivot in rubber, by the last word of their names.
const PIVOTS: [&str; 7] = [
    "shackle", "wishbone", "arm", "link", "spring", "panhard", "swingarm",
];

/// What stands before that word in the names of parts that do not: coils have no eyes,
/// and levers pivot in metal.
const NO_PIVOTS: [&str; 12] = [
    "coil", "fork", "valve", "return", "damper", "shock", "lever", "drop", "steering", "idler",
    "pitman", "chain",
];

/// Rods that pivot in rubber, by the word before.
const RODS: [&str; 4] = ["panhard", "radius", "reaction", "torque"];

/// Bushes that may be tightened at any height.
const METALS: [&str; 5] = ["bronze", "brass", "steel", "metal", "nylon"];

/// Whether a part usually stays loose until the vehicle stands on its wheels: a part of
/// a suspension that pivots in rubber.
#[must_use]
pub fn settles_on_wheels(plan: &RefitPlan<'_>, place: usize) -> bool {
    let is_suspension = plan
        .places
        .system(place)
        .is_some_and(|system| words(system).any(|word| word == "suspension"));
    let state = plan.places.states[place];
    is_suspension && (pivots(&state.name) || has_rubber_bush(state))
}

/// Whether a name is that of a part that pivots in rubber.
fn pivots(name: &str) -> bool {
    let stems: Vec<String> = words(name).map(|word| stem(&word)).collect();
    let has = |list: &[&str], word: &str| list.iter().any(|one| stem(one) == word);
    match &stems[..] {
        [] => false,
        [.., before, last] if last == "rod" || last == "bar" => has(&RODS, before),
        [others @ .., last] => {
            has(&PIVOTS, last) && !others.iter().any(|before| has(&NO_PIVOTS, before))
        }
    }
}

/// Whether a record says that bushes hold the part, and not that they are of metal.
fn has_rubber_bush(state: &PlaceState) -> bool {
    state.hardware.iter().any(|pieces| {
        let mut said = words(&pieces.hardware.what).map(|word| stem(&word));
        let all: Vec<String> = said.by_ref().collect();
        let has = |word: &str| all.iter().any(|one| *one == stem(word));
        has("bush") && !METALS.iter().any(|metal| has(metal))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_pivots_in_rubber_waits_for_the_wheels() {
        for name in [
            "Spring",
            "leaf spring",
            "Shackle",
            "lower wishbone",
            "trailing arm",
            "Arm",
            "panhard rod",
            "radius rod",
            "anti roll bar link",
            "swinging arm",
        ] {
            assert!(pivots(name), "{name}");
        }
        for name in [
            "coil spring",
            "fork spring",
            "steering arm",
            "damper",
            "track rod",
            "engine mount",
            "torsion bar",
            "spring plate",
            "hub",
            "lever arm damper",
            "",
        ] {
            assert!(!pivots(name), "{name}");
        }
    }
}
