//! What an unfinished surface holds up, and what may lie on one that does not say.
//!
//! Whether the words in a record fit anything is asked about in `asked`; this decides
//! what waits meanwhile.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use super::places::RefitPlaces;
use crate::handbook::parts::usual_system;
use crate::vocabulary::name::Name;
use crate::vocabulary::reference::Reference;
use crate::vocabulary::status::Surface;
use crate::vocabulary::words::{fold, one_slip};

/// What an unfinished surface holds up, or open work on a part that stays in its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Hold {
    /// The area, or the part.
    pub area: usize,
    /// What waits for it.
    pub place: usize,
}

/// What words behind `holds up` fit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum HeldUp {
    /// These places, none of them where nothing of a known system is recorded.
    Places(Vec<usize>),
    /// These, by a name that is one slip away.
    Near(String, Vec<usize>),
    /// Nothing: no system and no part is called so.
    Nothing,
}

/// The places of a vehicle by their systems, for what areas hold up.
#[derive(Debug)]
pub struct Areas<'p, 'l> {
    places: &'p RefitPlaces<'l>,
    by_system: BTreeMap<String, Vec<usize>>,
}

/// What people write who mean all there is (common practice, no source).
const EVERYTHING: [&str; 10] = [
    "everything",
    "everything else",
    "all",
    "all of it",
    "all parts",
    "all systems",
    "all the rest",
    "the lot",
    "the rest",
    "the whole vehicle",
];

/// Names shorter than this are not compared for slips.
const SHORTEST_SLIP: usize = 4;

impl<'p, 'l> Areas<'p, 'l> {
    /// Sorts the places; `systems` are those of the journal.
    #[must_use]
    pub fn of(places: &'p RefitPlaces<'l>, systems: &[String]) -> Areas<'p, 'l> {
        let mut by_system: BTreeMap<String, Vec<usize>> = BTreeMap::new();
        for system in systems {
            by_system.entry(system_key(system)).or_default();
        }
        for place in 0..places.keys.len() {
            if let Some(system) = places.system(place) {
                by_system.entry(system_key(system)).or_default().push(place);
            }
        }
        Areas { places, by_system }
    }

    /// What words in the record of an area mean.
    #[must_use]
    pub fn held_by(&self, area: usize, words: &Reference) -> HeldUp {
        let key = words.name.key();
        if words.at.is_empty() {
            if EVERYTHING.contains(&fold(words.name.written()).as_str()) {
                return HeldUp::Places((0..self.places.keys.len()).collect());
            }
            if let Some(found) = self.by_system.get(key) {
                return HeldUp::Places(found.clone());
            }
        }
        let parts = self.places.meant(area, words);
        if !parts.is_empty() {
            return HeldUp::Places(parts);
        }
        // "suspension" is that of both ends.
        let ends = ["front", "rear"].into_iter().filter(|end| {
            let said = &words.at;
            said.is_empty() || said.to_string() == *end
        });
        let mut ends = ends.filter_map(|end| self.by_system.get(&format!("{end}{key}")));
        if let Some(found) = ends.next() {
            let both = ends.flatten().chain(found);
            return HeldUp::Places(both.copied().collect());
        }
        self.near(area, words).unwrap_or(HeldUp::Nothing)
    }

    /// The system or the part whose name is one slip away.
    fn near(&self, area: usize, words: &Reference) -> Option<HeldUp> {
        let key = words.name.key();
        let is_near = |other: &str| key.len() >= SHORTEST_SLIP && one_slip(key, other);
        if is_near("everything") {
            let all = (0..self.places.keys.len()).collect();
            return Some(HeldUp::Near("everything".to_owned(), all));
        }
        let mut systems = self.by_system.iter();
        if let Some((system, found)) = systems.find(|(system, _)| is_near(system)) {
            return Some(HeldUp::Near(system.clone(), found.clone()));
        }
        let mut parts = self.places.states.iter();
        let part = parts.find(|state| is_near(&state.key.name))?;
        let meant = Reference {
            name: Name::new(&part.name),
            ..words.clone()
        };
        let places = self.places.meant(area, &meant);
        Some(HeldUp::Near(part.name.clone(), places))
    }

    /// What waits for unfinished areas that say what does.
    #[must_use]
    pub fn holds(&self) -> Vec<Hold> {
        let mut holds = Vec::new();
        for (area, state) in self.places.states.iter().enumerate() {
            if state.holds_up.is_empty() || is_finished(self.places, area) {
                continue;
            }
            let mut held = BTreeSet::new();
            for words in &state.holds_up {
                match self.held_by(area, words) {
                    HeldUp::Places(found) | HeldUp::Near(_, found) => held.extend(found),
                    HeldUp::Nothing => {}
                }
            }
            let held = held
                .into_iter()
                .filter(|place| *place != area && self.places.standings[*place].returns());
            holds.extend(held.map(|place| Hold { area, place }));
        }
        holds
    }

    /// What may lie on an unfinished area that does not say what waits for it: the
    /// parts of its system, all parts where nobody knows that either. By the part, one
    /// such area.
    #[must_use]
    pub fn unsaid(&self, systems: &[String]) -> HashMap<usize, usize> {
        let mut unsaid = HashMap::new();
        for area in 0..self.places.keys.len() {
            if !self.is_unsaid(area) {
                continue;
            }
            let system = self.system_of(area, systems);
            let all: Vec<usize> = match system {
                Some(system) => self.by_system.get(&system).cloned().unwrap_or_default(),
                None => (0..self.places.keys.len()).collect(),
            };
            let returns = |place: &usize| self.places.standings[*place].returns();
            for place in all.into_iter().filter(returns) {
                unsaid.entry(place).or_insert(area);
            }
        }
        unsaid
    }

    /// Whether an area in its place is open, and no word says what waits for it.
    #[must_use]
    pub fn is_unsaid(&self, area: usize) -> bool {
        let state = self.places.states[area];
        let open = state.surface.is_some_and(|surface| !surface.is_finished());
        let in_place = self.places.standings[area].is_in_place();
        let says = |words: &Reference| self.held_by(area, words) != HeldUp::Nothing;
        open && in_place && !state.holds_up.iter().any(says)
    }

    fn system_of(&self, area: usize, systems: &[String]) -> Option<String> {
        let state = self.places.states[area];
        let own = self.places.system(area);
        own.or_else(|| usual_system(&state.name, &state.at, systems))
            .map(system_key)
    }
}

/// How the name of a system compares with a part's.
fn system_key(system: &str) -> String {
    Name::new(&fold(system)).key().to_owned()
}

/// Whether parts may cover an area: its surface is finished and nothing is open
/// on it.
#[must_use]
pub fn is_finished(places: &RefitPlaces<'_>, area: usize) -> bool {
    let state = places.states[area];
    let surface = state.surface.is_some_and(Surface::is_finished);
    surface && state.open_needs().next().is_none()
}
