//! Fitting a reference to the places that are known.
//!
//! People write "after: filler neck" and mean the one at hand. Fitting may add
//! left, right, front or rear to what was said, never anything else.

use super::Ledger;
use super::place::PlaceKey;
use super::state::PlaceState;
use crate::entry::Key;
use crate::vocabulary::position::Position;
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
    let from = PlaceKey {
        vehicle: vehicle.to_owned(),
        name: name.to_owned(),
        at: String::new(),
    };
    let known: Vec<(&PlaceKey, &Position)> = ledger
        .places
        .range(from..)
        .take_while(|(key, _)| key.vehicle == vehicle && key.name == name)
        .filter(|(_, state)| state.recorded)
        .map(|(key, state)| (key, &state.at))
        .collect();
    let at = |wanted: &Position| -> Vec<&PlaceKey> {
        known
            .iter()
            .filter(|(_, at)| *at == wanted)
            .map(|(key, _)| *key)
            .collect()
    };
    let widened = |wanted: &Position| -> Vec<&PlaceKey> {
        known
            .iter()
            .filter(|(_, at)| wanted.widens_to(at))
            .map(|(key, _)| *key)
            .collect()
    };
    let candidates = if reference.at.is_empty() {
        // The same position as the record; else the place without one; else
        // those of the same corner; else all.
        [
            at(beside),
            at(&Position::default()),
            widened(&beside.corner()),
        ]
        .into_iter()
        .find(|found| !found.is_empty())
        .unwrap_or_else(|| known.iter().map(|(key, _)| *key).collect())
    } else {
        let exact = at(&reference.at);
        if exact.is_empty() {
            let both = at(&reference.at.and(beside));
            if both.is_empty() {
                widened(&reference.at)
            } else {
                both
            }
        } else {
            exact
        }
    };
    if candidates.is_empty() {
        Fitted::Implied
    } else {
        Fitted::Places(candidates)
    }
}

/// The assembly a place says it is a piece of. `look_up` finds the state of
/// another place.
#[must_use]
pub fn assembly(
    state: &PlaceState,
    look_up: &dyn Fn(&PlaceKey) -> Option<PlaceState>,
) -> Option<PlaceState> {
    let relation = state
        .relations
        .iter()
        .rev()
        .find(|relation| relation.key == Key::Of)?;
    let tries = [
        relation.part.at.clone(),
        state.at.clone(),
        state.at.corner(),
        Position::default(),
    ];
    tries
        .iter()
        .filter(|at| relation.part.at.is_empty() || **at == relation.part.at)
        .map(|at| PlaceKey::new(&state.vehicle, &relation.part.name, at))
        .find_map(|key| look_up(&key).filter(|found| found.recorded))
}
