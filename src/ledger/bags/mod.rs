//! The count of every bag: what went in, what was used, left, short.
//!
//! Bags belong to the journal, not to a place, so they are reckoned here from
//! all places and from the sections about whole bags. Whatever is written, of
//! each lot `in + short = used + left`: a count that cannot be is a problem
//! and does not count. What to show of a bag, and what to buy, is not decided
//! here.

mod counts;
mod fillings;
mod lots;

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

pub use counts::alike;
pub use fillings::by_label;
pub use lots::held_places;

use serde::{Deserialize, Serialize};

use super::Ledger;
use super::place::{PlaceKey, RecordTime};
use crate::problem::{Problem, Spot};
use crate::vocabulary::fastener::Fastener;
use crate::vocabulary::hardware::Hardware;
use crate::vocabulary::label::BagLabel;
use crate::vocabulary::reference::Reference;
use counts::count;
use fillings::{fill, two_vehicles};
use lots::{FastenerCache, named_short, own_bags, own_lots, section_lots};

/// A section `## Bag 12`, as the journal holds it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct BagSection {
    /// The bag.
    pub bag: BagLabel,
    /// The vehicle, if one is known.
    pub vehicle: Option<String>,
    /// When it was filled.
    pub when: RecordTime,
    /// Where its heading stands.
    pub spot: Spot,
    /// The shelf on which the bag is.
    pub stored: Option<String>,
    /// The parts whose hardware went in.
    pub holds: Vec<(Reference, Spot)>,
    /// What went in.
    pub hardware: Vec<(Hardware, Spot)>,
}

/// Whose hardware it is.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Holder {
    /// A place that a record speaks of.
    Place(PlaceKey),
    /// A part that only a bag's section names, as it is written there.
    Named {
        /// The vehicle.
        vehicle: String,
        /// The part, with its position.
        part: String,
    },
}

impl Holder {
    /// The vehicle.
    #[must_use]
    pub fn vehicle(&self) -> &str {
        match self {
            Holder::Place(key) => &key.vehicle,
            Holder::Named { vehicle, .. } => vehicle,
        }
    }
}

/// Pieces of one kind that were put down together.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lot {
    /// Which, as written.
    pub hardware: Hardware,
    /// Which, to be compared.
    pub kind: Fastener,
    /// The bag; `None` for pieces in none.
    pub bag: Option<BagLabel>,
    /// Whose they are. The lots of a section about a bag share one list: both
    /// may be as long as a book.
    pub holders: Arc<[Holder]>,
    /// When they were put there.
    pub kept: RecordTime,
    /// Where that is said.
    pub spot: Spot,
    /// When they were used again.
    pub used: Option<RecordTime>,
    /// How many there were.
    count: u32,
    /// How many were not needed.
    over: u32,
    /// How many were missing.
    missing: u32,
    /// The counts at refit that speak of it: the place, and where.
    pub counts: Vec<(PlaceKey, Spot)>,
}

impl Lot {
    /// How many went in.
    #[must_use]
    pub fn put_in(&self) -> u32 {
        self.count
    }

    /// How many were missing at refit.
    #[must_use]
    pub fn short(&self) -> u32 {
        if self.used.is_some() { self.missing } else { 0 }
    }

    /// How many hold something again, those that were missing included: they
    /// came from elsewhere.
    #[must_use]
    pub fn used(&self) -> u32 {
        match self.used {
            Some(_) => self.count - self.over + self.missing,
            None => 0,
        }
    }

    /// How many are still there.
    #[must_use]
    pub fn left(&self) -> u32 {
        if self.used.is_some() {
            self.over
        } else {
            self.count
        }
    }
}

/// A part whose hardware went into a bag.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Held {
    /// The part.
    pub holder: Holder,
    /// When.
    pub when: RecordTime,
    /// Where that is said.
    pub spot: Spot,
    /// When it took its hardware out again.
    pub emptied: Option<RecordTime>,
}

/// One filling of a bag: from its first piece until all its parts are on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Filling {
    /// The bag.
    pub bag: BagLabel,
    /// 1 for the first.
    pub number: usize,
    /// The shelf on which the bag is, if a section said so.
    pub stored: Option<String>,
    /// Its parts, in the order in which they came.
    pub held: Vec<Held>,
    /// Its pieces.
    pub lots: Vec<Lot>,
}

impl Filling {
    /// When the last of its parts went on; `None` while one is off.
    #[must_use]
    pub fn emptied(&self) -> Option<&RecordTime> {
        let held = self.held.iter().map(|held| held.emptied.as_ref());
        let lots = self.lots.iter().map(|lot| lot.used.as_ref());
        let all: Option<Vec<&RecordTime>> = held.chain(lots).collect();
        all?.into_iter().max()
    }

    /// When it was begun.
    #[must_use]
    pub fn begun(&self) -> Option<&RecordTime> {
        let held = self.held.iter().map(|held| &held.when);
        held.chain(self.lots.iter().map(|lot| &lot.kept)).min()
    }

    /// Its vehicles, in the order in which they came.
    #[must_use]
    pub fn vehicles(&self) -> Vec<&str> {
        let mut vehicles: Vec<&str> = Vec::new();
        let held = self.held.iter().map(|held| held.holder.vehicle());
        for vehicle in held {
            if !vehicles.contains(&vehicle) {
                vehicles.push(vehicle);
            }
        }
        vehicles
    }
}

/// Whose the pieces of some lots are, each once.
#[must_use]
pub fn holders<'l>(lots: impl Iterator<Item = &'l Lot>) -> BTreeSet<&'l Holder> {
    let mut seen = BTreeSet::new();
    let lists = lots.filter(|lot| seen.insert(lot.holders.as_ptr()));
    lists.flat_map(|lot| lot.holders.iter()).collect()
}

/// The lots of each place of which something was counted at refit, by number.
fn lots_of_counted(ledger: &Ledger, lots: &[Lot]) -> BTreeMap<PlaceKey, Vec<usize>> {
    let counted = |holder: &Holder| match holder {
        Holder::Place(place) => {
            let state = ledger.places.get(place);
            let any = state.is_some_and(|state| !state.counted.is_empty());
            any.then(|| place.clone())
        }
        Holder::Named { .. } => None,
    };
    let mut of_list: BTreeMap<*const Holder, Vec<PlaceKey>> = BTreeMap::new();
    let mut of_place: BTreeMap<PlaceKey, Vec<usize>> = BTreeMap::new();
    for (at, lot) in lots.iter().enumerate() {
        let places = of_list
            .entry(lot.holders.as_ptr())
            .or_insert_with(|| lot.holders.iter().filter_map(counted).collect());
        for place in places.iter() {
            of_place.entry(place.clone()).or_default().push(at);
        }
    }
    of_place
}

/// All bags of a journal.
#[derive(Clone, Debug, Default)]
pub struct BagLedger {
    /// The fillings, by bag as a person would sort the labels, then by time.
    pub fillings: Vec<Filling>,
    /// Pieces that are in no bag.
    pub loose: Vec<Lot>,
    /// How many pieces were written down with a part and counted once more in
    /// the section about their bag: they count there.
    pub counted_again: u64,
    /// What cannot be.
    pub problems: Vec<Problem>,
}

impl BagLedger {
    /// Reckons all bags of a ledger.
    #[must_use]
    pub fn reckon(ledger: &Ledger) -> BagLedger {
        let mut lots = Vec::new();
        let mut held: Vec<(BagLabel, Held)> = Vec::new();
        let named_short = named_short(ledger);
        let mut counted_again = 0;
        let mut kinds = FastenerCache::default();
        for (place, state) in ledger.recorded() {
            let sections = named_short.get(place).map_or(&[][..], Vec::as_slice);
            counted_again += own_lots(ledger, (place, state), sections, &mut kinds, &mut lots);
            own_bags(ledger, place, state, &mut held);
        }
        let mut shelves = Vec::new();
        for section in &ledger.bag_sections {
            section_lots(ledger, section, &mut lots, &mut held);
            if let Some(shelf) = &section.stored {
                shelves.push((&section.bag, &section.when, shelf));
            }
        }
        lots.sort_by(|a, b| (&a.kept, &a.spot).cmp(&(&b.kept, &b.spot)));
        let mut problems = Vec::new();
        let of_place = lots_of_counted(ledger, &lots);
        for (place, state) in ledger.recorded() {
            let ours = of_place.get(place).map_or(&[][..], Vec::as_slice);
            for counted in &state.counted {
                count((place, state), ours, counted, &mut lots, &mut problems);
            }
        }
        let (bagged, loose): (Vec<Lot>, Vec<Lot>) =
            lots.into_iter().partition(|lot| lot.bag.is_some());
        let mut fillings = fill(bagged, held);
        for filling in &mut fillings {
            let (from, until) = (filling.begun().cloned(), filling.emptied().cloned());
            filling.stored = shelves
                .iter()
                .rfind(|(bag, when, _)| {
                    **bag == filling.bag
                        && from.as_ref().is_some_and(|from| from <= *when)
                        && until.as_ref().is_none_or(|until| *when <= until)
                })
                .map(|(_, _, shelf)| (*shelf).clone());
            two_vehicles(filling, &mut problems);
        }
        BagLedger {
            fillings,
            loose,
            counted_again,
            problems,
        }
    }
}
