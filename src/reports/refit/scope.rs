//! A part of a plan: one system, or what it takes to get one part on.

use super::RefitPlan;
use crate::vocabulary::words::fold;

impl RefitPlan<'_> {
    /// The steps of a system, with those of others that have to come before.
    #[must_use]
    pub fn steps_of_system(&self, system: &str) -> Vec<usize> {
        let wanted = fold(system);
        let of_it: Vec<usize> = (0..self.places.keys.len())
            .filter(|place| self.returns[*place])
            .filter(|place| {
                self.places
                    .system(*place)
                    .is_some_and(|own| fold(own) == wanted)
            })
            .collect();
        self.steps_leading_to(&of_it)
    }

    /// The steps that put these places on, with all that are known to come
    /// before.
    #[must_use]
    pub fn steps_leading_to(&self, places: &[usize]) -> Vec<usize> {
        let needed = self.needed_for(places);
        (0..self.steps.len())
            .filter(|step| needed[self.steps[*step]])
            .collect()
    }

    /// Which places have to be on, or to be finished, before these are on: the
    /// areas that hold them up are among them.
    #[must_use]
    pub fn needed_for(&self, places: &[usize]) -> Vec<bool> {
        let mut needed = vec![false; self.places.keys.len()];
        let mut open = places.to_vec();
        while let Some(place) = open.pop() {
            if std::mem::replace(&mut needed[place], true) {
                continue;
            }
            let before = self.graph.entering(place).iter();
            open.extend(before.map(|edge| self.graph.edges()[*edge].0));
        }
        for hold in &self.order.holds {
            if needed[hold.place] {
                needed[hold.area] = true;
            }
        }
        needed
    }
}
