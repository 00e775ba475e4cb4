//! Where the states of places are looked up: in a ledger, or wherever they are
//! kept.
//!
//! What the states mean for each other is decided in `fitting`, the same way
//! for all.

use std::borrow::Cow;

use super::aliases::Aliases;
use super::place::PlaceKey;
use super::state::PlaceState;
use super::{Ledger, fitting};

/// States that can be looked up.
pub trait States {
    /// Which names are one.
    fn aliases(&self) -> &Aliases;

    /// The state of a place.
    fn state(&self, key: &PlaceKey) -> Option<Cow<'_, PlaceState>>;

    /// The places of a name that records speak of, in the order of their keys.
    /// The name is the one that stands for the names it is joined with.
    fn named(&self, vehicle: &str, name: &str) -> Vec<Cow<'_, PlaceState>>;
}

impl States for Ledger {
    fn aliases(&self) -> &Aliases {
        &self.aliases
    }

    fn state(&self, key: &PlaceKey) -> Option<Cow<'_, PlaceState>> {
        self.places.get(key).map(Cow::Borrowed)
    }

    fn named(&self, vehicle: &str, name: &str) -> Vec<Cow<'_, PlaceState>> {
        let known = fitting::named(self, vehicle, name);
        known.map(|(_, state)| Cow::Borrowed(state)).collect()
    }
}
