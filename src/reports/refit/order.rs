//! The known order: what records say about which part goes back before which.
//!
//! Nothing is assumed here; how a plan goes on where records are silent is
//! decided in `sequence`.

use std::collections::{BTreeSet, HashMap};

use super::graph::{Graph, components};
use super::places::{RefitPlaces, turns};
use crate::entry::Key;
use crate::problem::Spot;
use crate::vocabulary::name::Name;
use crate::vocabulary::reference::Reference;
use crate::vocabulary::words::fold;

/// Why one part goes back before another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OrderReason {
    /// The other had to come off first.
    After,
    /// It goes back after the other.
    RefitAfter,
    /// A piece that was taken out of its assembly when that was off: it goes in
    /// before.
    PieceInside,
    /// A piece that came off before its assembly: it goes on afterwards.
    PieceOutside,
}

/// A known order.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OrderConstraint<'l> {
    /// Goes back first.
    pub first: usize,
    /// Goes back afterwards.
    pub then: usize,
    /// Why.
    pub why: OrderReason,
    /// The record that says so.
    pub spot: &'l Spot,
    /// The place it speaks of.
    pub of: usize,
}

/// A small part that is only named in another's record.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Implied<'l> {
    /// Its name.
    pub part: &'l Reference,
    /// Whether it goes back before the part in whose record it is named.
    pub before: bool,
    /// The record.
    pub spot: &'l Spot,
}

/// What an unfinished surface holds up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Hold {
    /// The area.
    pub area: usize,
    /// What waits for it.
    pub place: usize,
}

/// Everything that is known about the order.
#[derive(Clone, Debug, Default)]
pub struct KnownOrder<'l> {
    /// Each pair of places once.
    pub known: Vec<OrderConstraint<'l>>,
    /// Small parts, by the place that names them.
    pub implied: HashMap<usize, Vec<Implied<'l>>>,
    /// What waits for a surface.
    pub holds: Vec<Hold>,
}

/// Gathers the known order of these places.
#[must_use]
pub fn order<'l>(places: &RefitPlaces<'l>) -> KnownOrder<'l> {
    let mut order = KnownOrder::default();
    for place in 0..places.keys.len() {
        stated(places, place, &mut order);
    }
    pieces(places, &mut order.known);
    let mut pairs = BTreeSet::new();
    order
        .known
        .retain(|known| pairs.insert((known.first, known.then)));
    order.holds = holds(places);
    order
}

/// What a place's own records state.
fn stated<'l>(places: &RefitPlaces<'l>, place: usize, order: &mut KnownOrder<'l>) {
    let relations = &places.states[place].relations;
    if relations.is_empty() {
        return;
    }
    let turns = turns(&places.states[place].timeline);
    let turns: Vec<usize> = relations.iter().map(|said| turns[said.moment]).collect();
    // The latest time it came off that states any order counts; one that states
    // none leaves the earlier order standing. `off after` states none for the
    // way back.
    let counts = relations
        .iter()
        .zip(&turns)
        .filter(|(said, _)| said.key == Key::After)
        .map(|(_, turn)| time_off(*turn))
        .max();
    // What each of them means for another place, and when that was said.
    let mut latest: HashMap<usize, usize> = HashMap::new();
    let mut found: Vec<(OrderConstraint<'l>, usize)> = Vec::new();
    for (said, turn) in relations.iter().zip(&turns) {
        let is_back = said.key == Key::RefitAfter;
        let is_counted = said.key == Key::After && counts == Some(time_off(*turn));
        if !is_back && !is_counted {
            continue;
        }
        let meant = places.meant(place, &said.part);
        if meant.is_empty() {
            order.implied.entry(place).or_default().push(Implied {
                part: &said.part,
                before: is_back,
                spot: &said.spot,
            });
        }
        for other in meant.into_iter().filter(|other| *other != place) {
            let last = latest.entry(other).or_default();
            *last = (*last).max(*turn);
            let (first, then, why) = if is_back {
                (other, place, OrderReason::RefitAfter)
            } else {
                (place, other, OrderReason::After)
            };
            let known = OrderConstraint {
                first,
                then,
                why,
                spot: &said.spot,
                of: place,
            };
            found.push((known, *turn));
        }
    }
    // Of what was said about the same two at different times, the last counts.
    let last = found.into_iter().filter(|(known, turn)| {
        let other = if known.first == place {
            known.then
        } else {
            known.first
        };
        latest.get(&other) == Some(turn)
    });
    order.known.extend(last.map(|(known, _)| known));
}

/// How often a part had come off by one of its [`turns`].
fn time_off(turn: usize) -> usize {
    turn.div_ceil(2)
}

/// The order of pieces and their assemblies, where nothing else is said.
fn pieces<'l>(places: &RefitPlaces<'l>, known: &mut Vec<OrderConstraint<'l>>) {
    let explicit: BTreeSet<(usize, usize)> = known
        .iter()
        .map(|known| (known.first.min(known.then), known.first.max(known.then)))
        .collect();
    let mut of = Vec::new();
    for (place, state) in places.states.iter().enumerate() {
        for said in state.relations.iter().filter(|said| said.key == Key::Of) {
            for assembly in places.meant(place, &said.part) {
                let pair = (place.min(assembly), place.max(assembly));
                if assembly == place || explicit.contains(&pair) {
                    continue;
                }
                let inside = places.with[place].is_some() || places.was_off_before(assembly, place);
                let (first, then, why) = if inside {
                    (place, assembly, OrderReason::PieceInside)
                } else {
                    (assembly, place, OrderReason::PieceOutside)
                };
                of.push(OrderConstraint {
                    first,
                    then,
                    why,
                    spot: &said.spot,
                    of: place,
                });
            }
        }
    }
    drop_contradicted(places.keys.len(), known, &mut of);
    known.append(&mut of);
}

/// An explicit order wins over that of piece and assembly, also where it goes
/// by way of others.
fn drop_contradicted(
    count: usize,
    known: &[OrderConstraint<'_>],
    of: &mut Vec<OrderConstraint<'_>>,
) {
    let pair = |known: &OrderConstraint<'_>| (known.first, known.then);
    let all = Graph::new(count, known.iter().chain(of.iter()).map(pair).collect());
    let together = components(&all).of;
    if of.iter().all(|of| together[of.first] != together[of.then]) {
        return;
    }
    let said = Graph::new(count, known.iter().map(pair).collect());
    of.retain(|of| together[of.first] != together[of.then] || !leads(&said, of.then, of.first));
}

/// Whether one node is somewhere behind another.
fn leads(graph: &Graph, from: usize, to: usize) -> bool {
    let mut seen = vec![false; graph.count()];
    let mut open = vec![from];
    while let Some(node) = open.pop() {
        if node == to {
            return true;
        }
        for edge in graph.leaving(node) {
            let (_, then) = graph.edges()[*edge];
            if !seen[then] {
                seen[then] = true;
                open.push(then);
            }
        }
    }
    false
}

/// What unfinished areas hold up: parts, or whole systems.
fn holds(places: &RefitPlaces<'_>) -> Vec<Hold> {
    let mut by_system: HashMap<(&str, String), Vec<usize>> = HashMap::new();
    let any = places.states.iter().any(|state| !state.holds_up.is_empty());
    for (place, state) in places.states.iter().enumerate().filter(|_| any) {
        if let Some(system) = places.system(place) {
            let system = Name::new(&fold(system)).key().to_owned();
            let list = by_system.entry((state.vehicle.as_str(), system));
            list.or_default().push(place);
        }
    }
    let mut holds = Vec::new();
    for (area, state) in places.states.iter().enumerate() {
        if state.holds_up.is_empty() || is_finished(places, area) {
            continue;
        }
        let mut held = BTreeSet::new();
        for waits in &state.holds_up {
            let whole = by_system.get(&(state.vehicle.as_str(), waits.name.key().to_owned()));
            match whole.filter(|_| waits.at.is_empty()) {
                Some(whole) => held.extend(whole.iter().copied()),
                None => held.extend(places.meant(area, waits)),
            }
        }
        let held = held
            .into_iter()
            .filter(|place| *place != area && places.standings[*place].returns());
        holds.extend(held.map(|place| Hold { area, place }));
    }
    holds
}

/// Whether parts may cover an area: its surface is finished and nothing is open
/// on it.
#[must_use]
pub fn is_finished(places: &RefitPlaces<'_>, area: usize) -> bool {
    let state = places.states[area];
    let surface = state.surface.is_some_and(|surface| surface.is_finished());
    surface && state.open_needs().next().is_none()
}
