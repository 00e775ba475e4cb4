//! The states of places as the index keeps them, looked up as in a ledger.
//!
//! How the index is brought up to date is not known here.

use std::borrow::Cow;
use std::collections::BTreeMap;

use super::failure::Failure;
use super::fresh_index::Fresh;
use crate::ledger::{Aliases, PlaceKey, PlaceState, States};

impl Fresh {
    /// The state of a place.
    #[must_use]
    pub fn place(&self, key: &PlaceKey) -> Option<PlaceState> {
        let bytes = self.index.place(&key.to_string()).ok().flatten()?;
        PlaceState::from_bytes(&bytes)
    }

    /// The places of one name, or of one it is joined with.
    #[must_use]
    pub fn places_named(&self, vehicle: &str, name: &str) -> Vec<PlaceState> {
        let name = self.aliases.resolve(vehicle, name);
        let places = self.index.places(&PlaceKey::prefix(vehicle, name));
        let mut known: Vec<PlaceState> = places
            .unwrap_or_default()
            .iter()
            .filter_map(|(_, bytes)| PlaceState::from_bytes(bytes))
            .collect();
        known.sort_by(|a, b| a.key.cmp(&b.key));
        known
    }

    /// The keys of these places, without a look at what is kept of them.
    #[must_use]
    pub fn keys_named(&self, vehicle: &str, name: &str) -> Vec<String> {
        let name = self.aliases.resolve(vehicle, name);
        let keys = self.index.place_keys(&PlaceKey::prefix(vehicle, name));
        keys.unwrap_or_default()
    }

    /// All places.
    ///
    /// # Errors
    /// When the index is damaged.
    pub fn keys(&self) -> Result<Vec<PlaceKey>, Failure> {
        let keys = self.index.place_keys("")?;
        Ok(keys
            .iter()
            .filter_map(|key| PlaceKey::from_text(key))
            .collect())
    }

    /// All places with their states.
    ///
    /// # Errors
    /// When the index is damaged.
    pub fn states(&self) -> Result<BTreeMap<PlaceKey, PlaceState>, Failure> {
        let places = self.index.places("")?;
        Ok(places
            .iter()
            .filter_map(|(key, bytes)| {
                Some((PlaceKey::from_text(key)?, PlaceState::from_bytes(bytes)?))
            })
            .collect())
    }
}

impl States for Fresh {
    fn aliases(&self) -> &Aliases {
        &self.aliases
    }

    fn state(&self, key: &PlaceKey) -> Option<Cow<'_, PlaceState>> {
        self.place(key).map(Cow::Owned)
    }

    fn named(&self, vehicle: &str, name: &str) -> Vec<Cow<'_, PlaceState>> {
        let known = self.places_named(vehicle, name);
        let recorded = known.into_iter().filter(|state| state.recorded);
        recorded.map(Cow::Owned).collect()
    }
}
