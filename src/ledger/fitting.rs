//! Fitting a reference to the places that are known.
//!
//! People write "after: filler neck" and mean the one at hand. Fitting may add
//! left, right, front or rear to what was said, never anything else.

use std::borrow::Cow;

use super::Ledger;
use super::place::PlaceKey;
use super::state::PlaceState;
use super::states::States;
use crate::entry::Key;
use crate::vocabulary::position::{Position, Side};
use crate::vocabulary::reference::Reference;

/// The places a reference means.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fitted<'a> {
    /// These; more than one only where nothing told them apart.
    Places(Vec<&'a PlaceKey>),
    /// No known place: a small part that no record describes.
    Implied,
}

/// Fits a reference that stands in a record of `vehicle` about a part at
/// `beside`.
#[must_use]
pub fn fit_reference<'a>(
    ledger: &'a Ledger,
    vehicle: &str,
    beside: &Position,
    reference: &Reference,
) -> Fitted<'a> {
    let vehicle = reference.vehicle.as_deref().unwrap_or(vehicle);
    let name = ledger.aliases.resolve(vehicle, reference.name.key());
    let known: Vec<(&PlaceKey, &Position)> = named(ledger, vehicle, name)
        .map(|(key, state)| (key, &state.at))
        .collect();
    let meant = fit(&known, beside, &reference.at);
    if meant.is_empty() {
        Fitted::Implied
    } else {
        Fitted::Places(meant)
    }
}

/// The places of a name that records speak of.
pub(super) fn named<'l>(
    ledger: &'l Ledger,
    vehicle: &str,
    name: &str,
) -> impl Iterator<Item = (&'l PlaceKey, &'l PlaceState)> {
    let from = PlaceKey {
        vehicle: vehicle.to_owned(),
        name: name.to_owned(),
        at: String::new(),
    };
    let (vehicle, name) = (from.vehicle.clone(), from.name.clone());
    ledger
        .places
        .range(from..)
        .take_while(move |(key, _)| key.vehicle == vehicle && key.name == name)
        .filter(|(_, state)| state.recorded)
}

/// Which of the known places of a name are meant by `said`, in a record about a
/// part at `beside`.
fn fit<T: Copy>(known: &[(T, &Position)], beside: &Position, said: &Position) -> Vec<T> {
    let those = |wanted: &dyn Fn(&Position) -> bool| -> Vec<T> {
        let fitting = known.iter().filter(|(_, at)| wanted(at));
        fitting.map(|(place, _)| *place).collect()
    };
    let at = |wanted: &Position| those(&|at| at == wanted);
    let widened = |wanted: &Position| those(&|at| wanted.widens_to(at));
    let first = |tries: &[&dyn Fn() -> Vec<T>]| {
        let mut found = tries.iter().map(|look| look());
        found.find(|found| !found.is_empty()).unwrap_or_default()
    };
    // Sides never cross: what is on the left means what is on the left, also where
    // one of them is upper and the other lower.
    let beside_it = |wanted: &Position| {
        let corner = said.with_corner_of(beside);
        those(&|at| wanted.widens_to(at) && !corner.crosses(at))
    };
    let not_across = || those(&|at| !at.crosses(beside));
    if said.is_empty() {
        // The same position as the record; else the place without one; else
        // those of the same corner; else the nearest side; else all.
        first(&[
            &|| at(beside),
            &|| at(&Position::default()),
            &|| widened(&beside.corner()),
            &not_across,
            &|| those(&|at| !crosses_over(at, beside)),
            &|| those(&|_| true),
        ])
    } else {
        first(&[
            &|| at(said),
            &|| at(&said.and(beside)),
            &|| at(&said.with_corner_of(beside)),
            &|| beside_it(said),
            &|| widened(said),
        ])
    }
}

/// Whether one is on the left and the other on the right.
fn crosses_over(one: &Position, other: &Position) -> bool {
    let both = |side, opposite| one.sides().contains(&side) && other.sides().contains(&opposite);
    both(Side::Left, Side::Right) || both(Side::Right, Side::Left)
}

/// The assembly a place last said it is a piece of.
#[must_use]
pub fn assembly<'s>(state: &PlaceState, states: &'s dyn States) -> Option<Cow<'s, PlaceState>> {
    let mut said = state.relations.iter().rev();
    let whole = &said.find(|relation| relation.key == Key::Of)?.part;
    let own = whole
        .vehicle
        .as_ref()
        .is_none_or(|own| *own == state.vehicle);
    if !own {
        return None;
    }
    let name = states.aliases().resolve(&state.vehicle, whole.name.key());
    let mut known = states.named(&state.vehicle, name);
    let positions: Vec<(usize, &Position)> =
        known.iter().map(|place| &place.at).enumerate().collect();
    let meant = fit(&positions, &state.at, &whole.at);
    let other = meant.into_iter().find(|at| known[*at].key != state.key)?;
    Some(known.swap_remove(other))
}

/// How far pieces of pieces are followed upwards; nobody takes things apart so
/// finely.
pub const MOST_LEVELS: usize = 64;

/// The outermost assembly that a place follows, as no record ever gave it a
/// status of its own; `None` for a place that stands for itself.
#[must_use]
pub fn follows<'s>(state: &PlaceState, states: &'s dyn States) -> Option<Cow<'s, PlaceState>> {
    let mut above: Option<Cow<'s, PlaceState>> = None;
    for _ in 0..MOST_LEVELS {
        let below = above.as_deref().unwrap_or(state);
        if !below.is_silent() {
            break;
        }
        match assembly(below, states) {
            Some(next) if next.key != state.key => above = Some(next),
            Some(_) | None => break,
        }
    }
    above
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::vocabulary::position::Driven;

    /// What is known, where the record is, what is said there, and what is meant.
    const MEANT: [(&str, &str, &str, &str); 14] = [
        ("left; right", "left", "", "left"),
        ("", "left front", "", ""),
        (
            "left front; right front",
            "front",
            "",
            "left front; right front",
        ),
        // Upper and lower do not bring the other side in.
        ("lower left; lower right", "upper left", "", "lower left"),
        (
            "lower left; lower right",
            "upper left",
            "lower",
            "lower left",
        ),
        (
            "left lower front; left lower rear",
            "left upper front",
            "lower",
            "lower left front",
        ),
        ("inner left; inner right", "outer left", "", "left inner"),
        (
            "upper left; lower left",
            "left",
            "",
            "upper left; lower left",
        ),
        ("left; right", "left rear", "", "left"),
        ("left front; right front", "left rear", "", "left front"),
        // Who says the other side means it.
        ("left; right", "left", "right", "right"),
        ("right", "left", "", "right"),
        // Never more than left, right, front or rear is added to what was said.
        ("upper left; lower left", "front", "left", ""),
        (
            "lower left; lower right",
            "",
            "lower",
            "lower left; lower right",
        ),
    ];

    #[test]
    fn sides_never_cross() {
        let at = |text: &str| Position::free(text, Driven::Unsaid);
        for (known, beside, said, meant) in MEANT {
            let known: Vec<Position> = known.split(';').map(|text| at(text.trim())).collect();
            let known: Vec<(&Position, &Position)> = known.iter().zip(&known).collect();
            let found = fit(&known, &at(beside), &at(said));
            let found: Vec<String> = found.iter().map(ToString::to_string).collect();
            assert_eq!(found.join("; "), meant, "`{said}` beside `{beside}`");
        }
    }
}
