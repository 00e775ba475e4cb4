//! The known order: what records say about which part goes back before which.
//!
//! Nothing is assumed here; what goes first where records are silent is decided by
//! `by_rank` in `mod.rs`.

use std::collections::{BTreeSet, HashMap};

use super::graph::{Graph, components};
use super::holds::{Areas, Hold};
use super::places::{RefitPlaces, RefitStanding, turns};
use crate::entry::Key;
use crate::handbook::parts::{KnownPart, known_part};
use crate::ledger::TimelineStep;
use crate::problem::Spot;
use crate::vocabulary::reference::Reference;

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

/// A joint that was separated and stays on one of the parts that it joins.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Joint<'l> {
    /// The part that had to be separated from it.
    pub of: usize,
    /// The joint; `None` where no record describes it.
    pub joint: Option<usize>,
    /// As it is called there.
    pub part: &'l Reference,
    /// The record.
    pub spot: &'l Spot,
}

/// An `after` that the record of the part named there contradicts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NotTaken<'l> {
    /// The part that is said to have come off afterwards.
    pub of: usize,
    /// The part that is said to have come off first, and was still on.
    pub other: usize,
    /// The record that says so.
    pub spot: &'l Spot,
    /// The moment that contradicts it.
    pub against: &'l TimelineStep,
}

/// Everything that is known about the order.
#[derive(Clone, Debug, Default)]
pub struct KnownOrder<'l> {
    /// Each pair of places once.
    pub known: Vec<OrderConstraint<'l>>,
    /// Small parts, by the place that names them.
    pub implied: HashMap<usize, Vec<Implied<'l>>>,
    /// What waits for a surface, or for work on a joint.
    pub holds: Vec<Hold>,
    /// What may lie on an unfinished area that does not say what waits for it, with
    /// that area.
    pub unsaid: HashMap<usize, usize>,
    /// Joints that were separated.
    pub joints: Vec<Joint<'l>>,
    /// What was said of the order and is contradicted.
    pub not_taken: Vec<NotTaken<'l>>,
}

/// Gathers the known order of these places; `systems` are those of the journal.
#[must_use]
pub fn order<'l>(places: &RefitPlaces<'l>, systems: &[String]) -> KnownOrder<'l> {
    let mut order = KnownOrder::default();
    for place in 0..places.keys.len() {
        stated(places, place, &mut order);
    }
    pieces(places, &mut order.known);
    let mut pairs = BTreeSet::new();
    order
        .known
        .retain(|known| pairs.insert((known.first, known.then)));
    let areas = Areas::of(places, systems);
    order.holds = areas.holds();
    order.holds.extend(held_by_joints(places, &order.joints));
    order.holds.sort_unstable();
    order.holds.dedup();
    order.unsaid = areas.unsaid(systems);
    order
}

/// Open work on a joint holds up both parts that it joins.
fn held_by_joints(places: &RefitPlaces<'_>, joints: &[Joint<'_>]) -> Vec<Hold> {
    let known = joints
        .iter()
        .filter_map(|joint| Some((joint.of, joint.joint?)));
    let open = known.filter(|(_, joint)| {
        let gone = places.standings[*joint] == RefitStanding::Gone;
        gone || places.states[*joint].holding_needs().next().is_some()
    });
    let both = open.flat_map(|(of, joint)| {
        let carrier = places.assembly(joint);
        [Some(of), carrier]
            .into_iter()
            .flatten()
            .map(move |place| Hold { area: joint, place })
    });
    both.filter(|hold| hold.area != hold.place && places.standings[hold.place].returns())
        .collect()
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
        let mut meant = places.meant(place, &said.part);
        meant.retain(|other| *other != place);
        if is_counted && is_separated(places, &meant, &said.part) {
            let joint = |joint| Joint {
                of: place,
                joint,
                part: &said.part,
                spot: &said.spot,
            };
            let known = meant.iter().copied().map(|other| joint(Some(other)));
            let unknown = meant.is_empty().then(|| joint(None));
            order.joints.extend(known.chain(unknown));
            continue;
        }
        if meant.is_empty() && !names_itself(places, place, &said.part) {
            order.implied.entry(place).or_default().push(Implied {
                part: &said.part,
                before: is_back,
                spot: &said.spot,
            });
        }
        for other in meant {
            if is_counted && let Some(against) = places.was_on_after(other, said.date) {
                order.not_taken.push(NotTaken {
                    of: place,
                    other,
                    spot: &said.spot,
                    against,
                });
                continue;
            }
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

/// Whether what had to come off first stays on one of the parts that it joins: by its
/// kind, and as no record took it off.
fn is_separated(places: &RefitPlaces<'_>, meant: &[usize], said: &Reference) -> bool {
    let stays = |name: &str| known_part(name).is_some_and(KnownPart::stays_in_place);
    stays(said.name.written()) && meant.iter().all(|other| places.never_came_off(*other))
}

/// Whether a reference means the part in whose record it stands.
fn names_itself(places: &RefitPlaces<'_>, place: usize, said: &Reference) -> bool {
    places.meant(place, said).contains(&place)
}

/// How often a part had come off by one of its [`turns`].
fn time_off(turn: usize) -> usize {
    turn.div_ceil(2)
}

/// The order of pieces and their assemblies, where nothing else is said. A piece that
/// came off before its assembly goes on after it, unless the assembly's records say what
/// was in its way and the piece is none of that: then neither is known.
fn pieces<'l>(places: &RefitPlaces<'l>, known: &mut Vec<OrderConstraint<'l>>) {
    let says_what_first: BTreeSet<usize> = known
        .iter()
        .filter(|known| known.why == OrderReason::After && known.of == known.first)
        .map(|known| known.of)
        .collect();
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
                if !inside && says_what_first.contains(&assembly) {
                    continue;
                }
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
