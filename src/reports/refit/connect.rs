//! Connections: each in the step in which both its ends are on.

use std::collections::HashMap;

use super::{RefitPlan, RefitStanding};
use crate::problem::Spot;
use crate::vocabulary::reference::Reference;

/// A connection to be made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Connect<'l> {
    /// The wire, hose, cable.
    pub what: &'l Reference,
    /// Where it goes.
    pub to: Option<&'l Reference>,
    /// The place whose record says so.
    pub of: usize,
    /// The record.
    pub spot: &'l Spot,
}

impl<'l> RefitPlan<'l> {
    /// The connections to be made, by the place in whose step; by an end that
    /// has none where no step can make them.
    #[must_use]
    pub fn connections(&self) -> HashMap<usize, Vec<Connect<'l>>> {
        let mut connections: HashMap<usize, Vec<Connect<'l>>> = HashMap::new();
        for (of, state) in self.places.states.iter().enumerate() {
            if self.places.standings[of] == RefitStanding::Stays {
                continue;
            }
            let mut said = Vec::new();
            // Said again when it came off again, it is still one connection.
            for link in state.connections.iter().rev() {
                let named = (&link.what, &link.to);
                if said.contains(&named) {
                    continue;
                }
                said.push(named);
                let ends: Vec<usize> = [Some(&link.what), link.to.as_ref()]
                    .into_iter()
                    .flatten()
                    .flat_map(|end| self.places.meant(of, end))
                    .chain([of])
                    .filter(|end| self.returns[*end])
                    .collect();
                // An end that no step puts on comes after all others.
                let no_step = ends.iter().find(|end| self.step_of(**end).is_none());
                let last = || ends.iter().max_by_key(|end| self.step_of(**end));
                if let Some(place) = no_step.or_else(last).copied() {
                    connections.entry(place).or_default().push(Connect {
                        what: &link.what,
                        to: link.to.as_ref(),
                        of,
                        spot: &link.spot,
                    });
                }
            }
        }
        for joint in &self.order.joints {
            let states = &self.places.states;
            let open = states[joint.of].connections.iter();
            let is_said = open.map(|link| &link.what).any(|what| what == joint.part);
            let carrier = joint.joint.and_then(|joint| self.places.assembly(joint));
            let ends = [Some(joint.of), joint.joint, carrier].into_iter().flatten();
            let ends: Vec<usize> = ends.filter(|end| self.returns[*end]).collect();
            let no_step = ends.iter().find(|end| self.step_of(**end).is_none());
            let last = || ends.iter().max_by_key(|end| self.step_of(**end));
            if let Some(place) = no_step.or_else(last).filter(|_| !is_said) {
                connections.entry(*place).or_default().push(Connect {
                    what: joint.part,
                    to: None,
                    of: joint.of,
                    spot: joint.spot,
                });
            }
        }
        for list in connections.values_mut() {
            list.sort_by(|a, b| (a.of, a.spot).cmp(&(b.of, b.spot)));
        }
        connections
    }
}
