//! A plan with all that is said about its steps, worked out once.

use std::collections::HashMap;

use super::{Blocker, Connect, Now, Plan, Tellings, plan};
use crate::ledger::Ledger;

/// A plan and what belongs to its steps.
#[derive(Debug)]
pub struct Answer<'l> {
    /// The plan.
    pub plan: Plan<'l>,
    /// What can go on now, and what each step waits for.
    pub now: Now<'l>,
    /// What is open, with how much waits behind it.
    pub blocking: Vec<Blocker<'l>>,
    /// Connections, by the place in whose step they are made.
    pub connections: HashMap<usize, Vec<Connect<'l>>>,
    /// Lessons, by place.
    pub lessons: Tellings<'l>,
    /// Cautions, by place.
    pub cautions: Tellings<'l>,
}

impl<'l> Answer<'l> {
    /// Plans and looks at everything.
    #[must_use]
    pub fn new(ledger: &'l Ledger, vehicle: &str, systems: &[String]) -> Answer<'l> {
        let plan = plan(ledger, vehicle, systems);
        Answer {
            now: plan.now(),
            blocking: plan.blocking(),
            connections: plan.connections(),
            lessons: plan.lessons(),
            cautions: plan.cautions(),
            plan,
        }
    }

    /// The number of the step that puts a place on, counted from 1.
    #[must_use]
    pub fn step_of(&self, place: usize) -> Option<usize> {
        self.plan.step_of(place).map(|step| step + 1)
    }
}
