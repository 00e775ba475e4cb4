//! What was put down: pieces with their parts, and the sections about whole
//! bags.

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::sync::Arc;

use super::{BagSection, Held, Holder, Lot};
use crate::ledger::Ledger;
use crate::ledger::aliases::key;
use crate::ledger::fitting::{follows, named};
use crate::ledger::place::{PlaceKey, RecordTime};
use crate::ledger::state::PlaceState;
use crate::vocabulary::fastener::Fastener;
use crate::vocabulary::hardware::Hardware;
use crate::vocabulary::label::BagLabel;
use crate::vocabulary::reference::Reference;

/// When a place first went on the vehicle after `when`, alone or with what it
/// follows.
fn on_after(
    state: &PlaceState,
    follows: Option<&PlaceState>,
    when: &RecordTime,
) -> Option<RecordTime> {
    follows.unwrap_or(state).on_after(when).cloned()
}

/// A section, with the kinds that are counted in it.
pub(super) struct Counting<'l> {
    section: &'l BagSection,
    kinds: Arc<BTreeSet<Fastener>>,
}

/// The sections that mean a place without naming it exactly ("holds: hub"), by
/// place.
pub(super) fn named_short(ledger: &Ledger) -> BTreeMap<&PlaceKey, Vec<Counting<'_>>> {
    let mut sections: BTreeMap<&PlaceKey, Vec<Counting<'_>>> = BTreeMap::new();
    for section in &ledger.bag_sections {
        let Some(vehicle) = section.vehicle.as_deref() else {
            continue;
        };
        let counted = section.hardware.iter().map(|(hardware, _)| hardware);
        let counted = counted.filter(|hardware| !hardware.to_buy());
        let kinds: Arc<BTreeSet<Fastener>> = Arc::new(counted.map(Hardware::fastener).collect());
        for (part, _) in &section.holds {
            let exact = key(vehicle, &part.name, &part.at, &ledger.aliases);
            for (place, _) in held_places(ledger, vehicle, part) {
                if *place != exact {
                    let kinds = Arc::clone(&kinds);
                    let counting = Counting { section, kinds };
                    sections.entry(place).or_default().push(counting);
                }
            }
        }
    }
    sections
}

/// Kinds of pieces by their words: the same few are written thousands of times,
/// and reading them takes longer than all else.
#[derive(Default)]
pub(super) struct FastenerCache<'l> {
    known: HashMap<(&'l str, Option<&'l str>), Fastener>,
}

impl<'l> FastenerCache<'l> {
    fn of(&mut self, hardware: &'l Hardware) -> Fastener {
        let words = (hardware.what.as_str(), hardware.note.as_deref());
        let known = self.known.entry(words);
        known.or_insert_with(|| hardware.fastener()).clone()
    }
}

/// The pieces that a place's own records speak of. Answers how many of them
/// are counted once more in a section about their bag.
pub(super) fn own_lots<'l>(
    ledger: &Ledger,
    (place, state): (&PlaceKey, &'l PlaceState),
    named_short: &[Counting<'_>],
    kinds: &mut FastenerCache<'l>,
    lots: &mut Vec<Lot>,
) -> u64 {
    let mut again = 0;
    let follows = follows(state, ledger);
    for pieces in &state.hardware {
        let count = pieces.hardware.count();
        if count == 0 || pieces.hardware.to_buy() {
            continue;
        }
        let used = pieces
            .used
            .clone()
            .or_else(|| on_after(state, follows.as_deref(), &pieces.kept));
        let kind = kinds.of(&pieces.hardware);
        // What was in no bag went into the one whose section means the part.
        let counting = named_short.iter().find(|counting| {
            let when = &counting.section.when;
            pieces.bag.is_none()
                && pieces.kept <= *when
                && used.as_ref().is_none_or(|used| when < used)
        });
        let counted_there = counting.is_some_and(|counting| counting.kinds.contains(&kind));
        let section = counting.map(|counting| counting.section);
        if pieces.counted_in.is_some() || counted_there {
            again += u64::from(count);
            continue;
        }
        lots.push(Lot {
            hardware: pieces.hardware.clone(),
            kind,
            bag: section.map_or_else(|| pieces.bag.clone(), |section| Some(section.bag.clone())),
            holders: [Holder::Place(place.clone())].into(),
            kept: section.map_or_else(|| pieces.kept.clone(), |section| section.when.clone()),
            spot: pieces.spot.clone(),
            used,
            count,
            over: 0,
            missing: 0,
            counts: Vec::new(),
        });
    }
    again
}

/// The bags that a place's own records speak of.
pub(super) fn own_bags(
    ledger: &Ledger,
    place: &PlaceKey,
    state: &PlaceState,
    held: &mut Vec<(BagLabel, Held)>,
) {
    let follows = follows(state, ledger);
    for bagged in state
        .bagged
        .iter()
        .filter(|bagged| bagged.section.is_none())
    {
        let emptied = bagged
            .emptied
            .clone()
            .or_else(|| on_after(state, follows.as_deref(), &bagged.when));
        held.push((
            bagged.bag.clone(),
            Held {
                holder: Holder::Place(place.clone()),
                when: bagged.when.clone(),
                spot: bagged.spot.clone(),
                emptied,
            },
        ));
    }
}

/// The places that a bag's section means by a name: exactly that one; else
/// those that only add left, right, front or rear; without a position, all.
#[must_use]
pub fn held_places<'l>(
    ledger: &'l Ledger,
    vehicle: &str,
    part: &Reference,
) -> Vec<(&'l PlaceKey, &'l PlaceState)> {
    let exact = key(vehicle, &part.name, &part.at, &ledger.aliases);
    let known = ledger.places.get_key_value(&exact);
    if let Some(found) = known.filter(|(_, state)| state.recorded) {
        return vec![found];
    }
    named(ledger, vehicle, &exact.name)
        .filter(|(_, state)| part.at.is_empty() || part.at.widens_to(&state.at))
        .collect()
}

/// What a section about a whole bag says: its pieces are used when the last of
/// its parts is on.
pub(super) fn section_lots(
    ledger: &Ledger,
    section: &BagSection,
    lots: &mut Vec<Lot>,
    held: &mut Vec<(BagLabel, Held)>,
) {
    let first = held.len();
    let mut holders = Vec::new();
    let mut seen = BTreeSet::new();
    let mut went_on = Vec::new();
    let vehicle = section.vehicle.as_deref().unwrap_or_default();
    for (part, spot) in &section.holds {
        let found = match section.vehicle.as_deref() {
            Some(vehicle) => held_places(ledger, vehicle, part),
            None => Vec::new(),
        };
        let mut hold = |holder: Holder, emptied: Option<RecordTime>| {
            if !seen.insert(holder.clone()) {
                return;
            }
            holders.push(holder.clone());
            held.push((
                section.bag.clone(),
                Held {
                    holder,
                    when: section.when.clone(),
                    spot: spot.clone(),
                    emptied,
                },
            ));
        };
        if found.is_empty() {
            let holder = Holder::Named {
                vehicle: vehicle.to_owned(),
                part: part.written(),
            };
            hold(holder, None);
        }
        for (place, state) in found {
            let on = on_after(state, follows(state, ledger).as_deref(), &section.when);
            went_on.push(on.clone());
            hold(Holder::Place(place.clone()), on);
        }
    }
    // A small part that no record describes is never said to be fitted.
    let all: Option<Vec<RecordTime>> = went_on.into_iter().collect();
    let used = all.and_then(|all| all.into_iter().max());
    if let Some(used) = &used {
        for (_, held) in held[first..].iter_mut() {
            if matches!(held.holder, Holder::Named { .. }) {
                held.emptied.get_or_insert_with(|| used.clone());
            }
        }
    }
    let holders: Arc<[Holder]> = holders.into();
    for (hardware, spot) in &section.hardware {
        if hardware.to_buy() || hardware.count() == 0 {
            continue;
        }
        lots.push(Lot {
            hardware: hardware.clone(),
            kind: hardware.fastener(),
            bag: Some(section.bag.clone()),
            holders: Arc::clone(&holders),
            kept: section.when.clone(),
            spot: spot.clone(),
            used: used.clone(),
            count: hardware.count(),
            over: 0,
            missing: 0,
            counts: Vec::new(),
        });
    }
}
