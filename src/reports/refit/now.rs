//! What each step waits for, and so what can go on now.
//!
//! What a person would rather do first is not known here.

use std::collections::HashMap;

use super::RefitPlan;
use super::graph::components;
use super::holds::Hold;
use super::places::RefitStanding;
use crate::entry::Sent;
use crate::handbook::restricted::{Field, field};
use crate::ledger::NeedState;
use crate::vocabulary::position::{Driven, Position};
use crate::vocabulary::status::Status;
use crate::vocabulary::words::{fold, telling_stems};

/// Something that has to happen before a part can go on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wait<'l> {
    /// Work or a purchase is open.
    Need(&'l NeedState),
    /// It is away.
    Away(Option<&'l Sent>),
    /// It is in pieces.
    Apart,
    /// There is none to put on.
    Gone(Status),
    /// The surface of an area is not finished.
    Area(usize),
    /// Another part is known to go on before, and is off.
    Part(usize),
    /// The assembly that it goes into is not there.
    Assembly(usize),
    /// Another part is on that is known to go on afterwards, and has to come
    /// off again.
    InTheWay(usize),
}

/// What holds a step back by nothing but assumption.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Assumed {
    /// The plan puts another step before it.
    Step {
        /// The place of that step.
        before: usize,
        /// Whether it is of the same corner, rather than of the same system.
        same_corner: bool,
    },
    /// It may lie on this area, whose surface is not finished and which does not say
    /// what waits for it.
    Surface(usize),
}

/// How things stand with one step.
#[derive(Clone, Debug, Default)]
pub struct StepNow<'l> {
    /// What it waits for.
    pub waits: Vec<Wait<'l>>,
    /// What the plan puts before it without knowing.
    pub assumed: Option<Assumed>,
}

/// How things stand, for each step of the plan in its order.
#[derive(Clone, Debug, Default)]
pub struct PlanNow<'l> {
    /// One for each step.
    pub steps: Vec<StepNow<'l>>,
    /// Steps that can be done now.
    pub tonight: Vec<usize>,
    /// Pieces that can go into their assembly now, off the vehicle.
    pub bench: Vec<usize>,
    /// Steps that can be done as soon as those are.
    pub then: Vec<usize>,
    /// Steps that nothing known holds back.
    pub perhaps: Vec<usize>,
}

/// More parts in the way than this are not counted up.
const MOST_IN_THE_WAY: usize = 3;

impl<'l> RefitPlan<'l> {
    /// What can go on now; `alone`, without what takes more hands, and without
    /// what comes only after that.
    #[must_use]
    pub fn now(&self, alone: bool) -> PlanNow<'l> {
        let areas = self.areas_of();
        let on_ahead = self.on_ahead();
        let mut now = PlanNow::default();
        let mut unsure = Earlier::default();
        let mut still = Earlier::default();
        let mut done = vec![false; self.places.keys.len()];
        for (number, place) in self.steps.iter().enumerate() {
            let mut waits = self.own_waits(*place);
            let areas = areas.get(place).into_iter().flatten();
            waits.extend(areas.map(|area| Wait::Area(*area)));
            waits.extend(self.off_before(*place).into_iter().map(Wait::Part));
            waits.extend(
                self.in_the_way(*place, &on_ahead)
                    .into_iter()
                    .map(Wait::InTheWay),
            );
            let missing = self
                .carrier(*place)
                .filter(|assembly| !self.is_at_hand(*assembly));
            waits.extend(missing.map(Wait::Assembly));
            let surface = self.order.unsaid.get(place).copied().map(Assumed::Surface);
            let assumed = surface.or_else(|| unsure.of(self, *place));
            let only_parts_of_tonight = waits
                .iter()
                .all(|wait| matches!(wait, Wait::Part(part) if done[*part]));
            let hands = self.places.states[*place].hands.unwrap_or(1);
            let too_heavy = alone && hands > 1;
            if too_heavy {
                // It stays where it is.
            } else if waits.is_empty() && self.carrier(*place).is_some() {
                now.bench.push(number);
                done[*place] = true;
            } else if waits.is_empty() && assumed.is_none() {
                now.tonight.push(number);
                done[*place] = true;
            } else if only_parts_of_tonight && surface.is_none() && still.of(self, *place).is_none()
            {
                now.then.push(number);
                done[*place] = true;
            }
            if !too_heavy && waits.is_empty() && assumed.is_some() && self.carrier(*place).is_none()
            {
                now.perhaps.push(number);
            }
            // A piece goes into its assembly and is in nobody's way.
            let is_piece = self.carrier(*place).is_some();
            if !is_piece && !self.places.standings[*place].is_in_place() {
                unsure.add(self, *place);
                if !done[*place] {
                    still.add(self, *place);
                }
            }
            now.steps.push(StepNow { waits, assumed });
        }
        now
    }

    /// What a place itself needs before it can go on.
    #[must_use]
    pub fn own_waits(&self, place: usize) -> Vec<Wait<'l>> {
        let state = self.places.states[place];
        let mut waits = match self.places.standings[place] {
            RefitStanding::Away => {
                let leader = self.places.states[self.places.leader(place)];
                vec![Wait::Away(leader.sent.as_ref())]
            }
            RefitStanding::Apart => vec![Wait::Apart],
            RefitStanding::Gone => {
                let status = state.unit().status.unwrap_or(Status::Missing);
                vec![Wait::Gone(status)]
            }
            RefitStanding::On
            | RefitStanding::Undone
            | RefitStanding::Here
            | RefitStanding::Stays => Vec::new(),
        };
        waits.extend(state.holding_needs().map(Wait::Need));
        waits
    }

    /// The assembly that a piece goes into while that is off.
    #[must_use]
    pub fn carrier(&self, place: usize) -> Option<usize> {
        let assembly = self.places.assembly(place)?;
        self.is_off(assembly).then_some(assembly)
    }

    /// Whether an assembly that is off is here, and is the one that goes back: nobody buys
    /// another.
    fn is_at_hand(&self, assembly: usize) -> bool {
        let state = self.places.states[assembly];
        let name: Vec<String> = telling_stems(&state.name);
        let buys_it = state.holding_needs().any(|need| {
            let words = telling_stems(&need.need.text);
            need.need.is_purchase() && name.iter().all(|word| words.contains(word))
        });
        match self.places.standings[assembly] {
            RefitStanding::On
            | RefitStanding::Undone
            | RefitStanding::Here
            | RefitStanding::Apart => !buys_it,
            RefitStanding::Away | RefitStanding::Gone | RefitStanding::Stays => false,
        }
    }

    /// Whether a part is off and is to go back.
    #[must_use]
    pub fn is_off(&self, place: usize) -> bool {
        self.returns[place] && !self.places.standings[place].is_in_place()
    }

    /// The unfinished areas that hold up each place.
    fn areas_of(&self) -> HashMap<usize, Vec<usize>> {
        let mut areas: HashMap<usize, Vec<usize>> = HashMap::new();
        for Hold { area, place } in &self.order.holds {
            areas.entry(*place).or_default().push(*area);
        }
        areas
    }

    /// The nearest parts that are known to go on before a place and are off.
    pub(super) fn off_before(&self, place: usize) -> Vec<usize> {
        let mut found = self.search(place, true, &|node| self.is_off(node), &|_| true);
        found.sort_unstable();
        found
    }

    /// The nearest parts that are known to go on after a place and are on.
    fn in_the_way(&self, place: usize, on_ahead: &[bool]) -> Vec<usize> {
        if !on_ahead[place] {
            return Vec::new();
        }
        let is_on = |node: usize| self.places.standings[node] == RefitStanding::On;
        let mut found = self.search(place, false, &is_on, &|node| on_ahead[node]);
        found.truncate(MOST_IN_THE_WAY);
        found.sort_unstable();
        found
    }

    /// What a walk from a place over the known order meets first, `back` or
    /// onwards: nodes that are `wanted` end it, others that are `passed` do not.
    fn search(
        &self,
        place: usize,
        back: bool,
        wanted: &dyn Fn(usize) -> bool,
        passed: &dyn Fn(usize) -> bool,
    ) -> Vec<usize> {
        let mut found = Vec::new();
        let mut seen = std::collections::HashSet::from([place]);
        let mut wave = vec![place];
        while !wave.is_empty() && (back || found.len() < MOST_IN_THE_WAY) {
            let mut next = Vec::new();
            for node in wave {
                let edges = if back {
                    self.graph.entering(node)
                } else {
                    self.graph.leaving(node)
                };
                for edge in edges {
                    let (first, then) = self.graph.edges()[*edge];
                    let other = if back { first } else { then };
                    if !seen.insert(other) {
                        continue;
                    }
                    if wanted(other) {
                        found.push(other);
                    } else if passed(other) {
                        next.push(other);
                    }
                }
            }
            wave = next;
        }
        found
    }

    /// For each place, whether something that goes on after it is on.
    fn on_ahead(&self) -> Vec<bool> {
        let mut ahead = vec![false; self.places.keys.len()];
        let parts = components(&self.graph);
        for part in 0..parts.count() {
            let members = parts.members(part);
            let any = members
                .iter()
                .flat_map(|node| self.graph.leaving(*node))
                .any(|edge| {
                    let (_, then) = self.graph.edges()[*edge];
                    ahead[then] || self.places.standings[then] == RefitStanding::On
                });
            for node in members {
                ahead[*node] = any;
            }
        }
        ahead
    }
}

/// Steps that came before, the first of each system and corner.
#[derive(Debug, Default)]
struct Earlier {
    systems: HashMap<Option<String>, usize>,
    corners: HashMap<Corner, usize>,
}

/// Parts that may be in each other's way wherever they were filed: those at one wheel,
/// and the panels, lamps and trim of one corner.
#[derive(Debug, PartialEq, Eq, Hash)]
struct Corner {
    at: String,
    at_wheel: bool,
}

impl Earlier {
    fn add(&mut self, plan: &RefitPlan<'_>, place: usize) {
        self.systems.entry(system(plan, place)).or_insert(place);
        if let Some(corner) = corner(plan, place) {
            self.corners.entry(corner).or_insert(place);
        }
    }

    fn of(&self, plan: &RefitPlan<'_>, place: usize) -> Option<Assumed> {
        let assumed = |before: &usize, same_corner| Assumed::Step {
            before: *before,
            same_corner,
        };
        corner(plan, place)
            .and_then(|corner| self.corners.get(&corner))
            .map(|before| assumed(before, true))
            .or_else(|| {
                let before = self.systems.get(&system(plan, place))?;
                Some(assumed(before, false))
            })
    }
}

fn system(plan: &RefitPlan<'_>, place: usize) -> Option<String> {
    plan.places.system(place).map(fold)
}

/// The corner of the vehicle in which a place is, if its position and its system say one:
/// a side, and front or rear. "Left" alone is none: a mirror on the left is in no way of
/// a lamp on the left.
fn corner(plan: &RefitPlan<'_>, place: usize) -> Option<Corner> {
    let state = plan.places.states[place];
    let system = plan.places.system(place).unwrap_or_default();
    let end = ["front", "rear"]
        .into_iter()
        .find(|end| fold(system).starts_with(end));
    let end = end.and_then(|end| Position::of_words(end, Driven::Unsaid));
    let own = state.at.corner();
    let at = end.map_or_else(|| own.clone(), |end| own.with_corner_of(&end));
    if at.sides().len() < 2 {
        return None;
    }
    let at_wheel = field(&state.name, system).is_some_and(|(field, _)| match field {
        Field::Brakes | Field::Steering | Field::Suspension | Field::Wheels | Field::Driveline => {
            true
        }
        Field::Restraints | Field::Towing | Field::RollOver | Field::Engine => false,
    });
    Some(Corner {
        at: at.to_string(),
        at_wheel,
    })
}
