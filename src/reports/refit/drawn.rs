//! What of a plan is drawn: the parts nearest to going on tonight, system by system, each
//! with the parts that directly hold it up.
//!
//! A whole vehicle has too many parts and reasons for one picture. A reason that others
//! already give is left out, and so is what comes late; how much is left out is counted.
//! Where things stand on paper is decided in `presentation`.

use std::collections::{BTreeMap, BTreeSet, HashSet};

use super::{RefitPlan, RefitReport, RefitStanding, Wait};
use crate::vocabulary::words::fold;

/// How a part in a drawing stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum DrawnStanding {
    /// It can go on tonight.
    Tonight,
    /// It can go into its assembly now, on the bench.
    Bench,
    /// It can go on as soon as those are.
    Then,
    /// Nothing known holds it up; the order is assumed.
    Perhaps,
    /// Something holds it up.
    Waits,
    /// There is none to put on, or its records contradict each other.
    Blocked,
    /// It is off and has to go on before; its own system draws it.
    Elsewhere,
    /// It is on.
    On,
}

impl DrawnStanding {
    /// Whether it can be done tonight, be it after something else.
    #[must_use]
    pub const fn is_tonight(self) -> bool {
        match self {
            DrawnStanding::Tonight | DrawnStanding::Bench | DrawnStanding::Then => true,
            DrawnStanding::Perhaps
            | DrawnStanding::Waits
            | DrawnStanding::Blocked
            | DrawnStanding::Elsewhere
            | DrawnStanding::On => false,
        }
    }
}

/// A part in a drawing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DrawnPart {
    /// The place.
    pub place: usize,
    /// How it stands.
    pub standing: DrawnStanding,
    /// How many parts that directly hold it up are not drawn.
    pub not_drawn: usize,
}

/// The parts of one system in a drawing.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct DrawnSystem {
    /// The system; `None` for parts that belong to none.
    pub system: Option<String>,
    /// The parts that are drawn, the nearest first; behind them what they need that is
    /// elsewhere or on.
    pub parts: Vec<DrawnPart>,
    /// Which of them goes on before which, by number in `parts`.
    pub arrows: Vec<(usize, usize)>,
    /// How many parts of the system are not drawn, by how they stand.
    pub left_out: BTreeMap<DrawnStanding, usize>,
}

/// How much is drawn of each system.
#[derive(Clone, Copy, Debug)]
pub struct DrawnAmount {
    /// Parts that are still to go on.
    pub parts: usize,
    /// What they need that is elsewhere or on.
    pub beside: usize,
}

impl RefitReport<'_> {
    /// How each of these places stands: the steps, counted from 0, and places that
    /// cannot be put back.
    #[must_use]
    pub fn standings(&self, steps: &[usize], blocked: &[usize]) -> BTreeMap<usize, DrawnStanding> {
        let now = &self.now;
        let sets = [
            (DrawnStanding::Tonight, &now.tonight),
            (DrawnStanding::Bench, &now.bench),
            (DrawnStanding::Then, &now.then),
            (DrawnStanding::Perhaps, &now.perhaps),
        ];
        let mut of_step = vec![DrawnStanding::Waits; self.plan.steps.len()];
        for (standing, steps) in sets.into_iter().rev() {
            for step in steps {
                of_step[*step] = standing;
            }
        }
        let steps = steps.iter();
        let steps = steps.map(|step| (self.plan.steps[*step], of_step[*step]));
        let blocked = blocked.iter();
        steps
            .chain(blocked.map(|place| (*place, DrawnStanding::Blocked)))
            .collect()
    }

    /// What is drawn of these steps, counted from 0, and of these places that cannot be
    /// put back: a system each, in the order in which they go back.
    #[must_use]
    pub fn drawn(&self, steps: &[usize], blocked: &[usize], most: DrawnAmount) -> Vec<DrawnSystem> {
        let standings = self.standings(steps, blocked);
        let reasons = Reasons::of(self);
        let mut systems: Vec<DrawnSystem> = Vec::new();
        let mut members: Vec<Vec<usize>> = Vec::new();
        let in_order = steps.iter().map(|step| self.plan.steps[*step]);
        for place in in_order.chain(blocked.iter().copied()) {
            let system = self.plan.places.system(place);
            let known = systems
                .iter()
                .position(|own| own.system.as_deref().map(fold) == system.map(fold));
            match known {
                Some(number) => members[number].push(place),
                None => {
                    systems.push(DrawnSystem {
                        system: system.map(str::to_owned),
                        ..DrawnSystem::default()
                    });
                    members.push(vec![place]);
                }
            }
        }
        for (system, places) in systems.iter_mut().zip(members) {
            self.fill(system, places, &standings, &reasons, most);
        }
        systems
    }

    fn fill(
        &self,
        system: &mut DrawnSystem,
        mut places: Vec<usize>,
        standings: &BTreeMap<usize, DrawnStanding>,
        reasons: &Reasons,
        most: DrawnAmount,
    ) {
        // They are in the order in which they go back, and stay so where they are
        // equally near.
        places.sort_by_key(|place| {
            let standing = standings[place];
            (!standing.is_tonight(), reasons.depth[*place], standing)
        });
        for place in places.iter().skip(most.parts) {
            *system.left_out.entry(standings[place]).or_default() += 1;
        }
        places.truncate(most.parts);
        let part = |place: usize, standing| DrawnPart {
            place,
            standing,
            not_drawn: 0,
        };
        let own = places.iter().map(|place| part(*place, standings[place]));
        system.parts = own.collect();
        let mut number: BTreeMap<usize, usize> = places.iter().copied().zip(0..).collect();
        let mut beside = most.beside;
        for (then, place) in places.iter().enumerate() {
            let off = reasons.before[*place].iter();
            let off = off.map(|first| part(*first, DrawnStanding::Elsewhere));
            let on = on_before(&self.plan, *place).into_iter();
            let on = on.map(|first| part(first, DrawnStanding::On));
            for first in off.chain(on) {
                let known = number.get(&first.place).copied();
                let at = match known {
                    Some(at) => at,
                    None if beside > 0 => {
                        beside -= 1;
                        system.parts.push(first);
                        number.insert(first.place, system.parts.len() - 1);
                        system.parts.len() - 1
                    }
                    None => {
                        let is_off = first.standing == DrawnStanding::Elsewhere;
                        system.parts[then].not_drawn += usize::from(is_off);
                        continue;
                    }
                };
                system.arrows.push((at, then));
            }
        }
    }
}

/// The parts that are on and go on right before a place.
fn on_before(plan: &RefitPlan<'_>, place: usize) -> Vec<usize> {
    let edges = plan.graph.entering(place).iter();
    let before: BTreeSet<usize> = edges
        .map(|edge| plan.graph.edges()[*edge].0)
        .filter(|first| plan.places.standings[*first] == RefitStanding::On)
        .collect();
    before.into_iter().collect()
}

/// Which parts that are off directly hold up which, and how many lie one behind another.
struct Reasons {
    /// For each place, the parts that go on right before it and are off.
    before: Vec<Vec<usize>>,
    /// For each place, how many parts at least go on one after another before it.
    depth: Vec<usize>,
}

impl Reasons {
    fn of(report: &RefitReport<'_>) -> Reasons {
        let plan = &report.plan;
        let mut before: Vec<Vec<usize>> = vec![Vec::new(); plan.places.keys.len()];
        for (step, place) in plan.steps.iter().enumerate() {
            let waits = report.now.steps[step].waits.iter();
            let parts = waits.filter_map(|wait| match wait {
                Wait::Part(part) => Some(*part),
                Wait::Need(_)
                | Wait::Away(_)
                | Wait::Apart
                | Wait::Gone(_)
                | Wait::Area(_)
                | Wait::Assembly(_)
                | Wait::InTheWay(_) => None,
            });
            before[*place] = parts.collect();
        }
        for place in plan.blocked() {
            // Those of a loop have no order among themselves.
            if !(plan.knots.snared[place] || plan.knots.caught[place]) {
                before[place] = plan.off_before(place);
            }
        }
        let order = sorted(&before);
        let mut at = vec![0; before.len()];
        for (number, place) in order.iter().enumerate() {
            at[*place] = number;
        }
        let mut depth = vec![0; before.len()];
        for place in &order {
            before[*place].retain(|first| at[*first] < at[*place]);
            let own = before[*place].iter().map(|first| depth[*first] + 1).max();
            depth[*place] = own.unwrap_or(0);
        }
        let whole = before.clone();
        for (place, firsts) in before.iter_mut().enumerate() {
            let implied = implied(&whole, place, &depth);
            firsts.retain(|first| !implied.contains(first));
        }
        Reasons { before, depth }
    }
}

/// All places, each behind those before it; where they go round in a circle, by number.
fn sorted(before: &[Vec<usize>]) -> Vec<usize> {
    let mut after: Vec<Vec<usize>> = vec![Vec::new(); before.len()];
    let mut open: Vec<usize> = vec![0; before.len()];
    for (place, firsts) in before.iter().enumerate() {
        open[place] = firsts.len();
        for first in firsts {
            after[*first].push(place);
        }
    }
    let mut order: Vec<usize> = (0..before.len())
        .filter(|place| open[*place] == 0)
        .collect();
    let mut next = 0;
    while let Some(place) = order.get(next).copied() {
        next += 1;
        for then in &after[place] {
            open[*then] -= 1;
            if open[*then] == 0 {
                order.push(*then);
            }
        }
    }
    let seen: HashSet<usize> = order.iter().copied().collect();
    order.extend((0..before.len()).filter(|place| !seen.contains(place)));
    order
}

/// What goes on before one of the parts that go on right before a place: it need not be
/// said again. Nothing that lies less deep than the shallowest of them is looked at.
fn implied(before: &[Vec<usize>], place: usize, depth: &[usize]) -> HashSet<usize> {
    let firsts = &before[place];
    let mut found = HashSet::new();
    let Some(least) = firsts.iter().map(|first| depth[*first]).min() else {
        return found;
    };
    let mut open: Vec<usize> = firsts.clone();
    while let Some(node) = open.pop() {
        for earlier in before[node].iter().filter(|one| depth[**one] >= least) {
            if found.insert(*earlier) {
                open.push(*earlier);
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reason_that_others_give_is_left_out() {
        // 0 before 1 before 2, and 0 before 2: the last says nothing new.
        let before = vec![vec![], vec![0], vec![0, 1], vec![0]];
        assert_eq!(implied(&before, 2, &[0, 1, 2, 1]), HashSet::from([0]));
        assert!(implied(&before, 3, &[0, 1, 2, 1]).is_empty());
    }

    #[test]
    fn a_circle_comes_last() {
        let before = vec![vec![1], vec![0], vec![], vec![2]];
        assert_eq!(sorted(&before), [2, 3, 0, 1]);
    }
}
