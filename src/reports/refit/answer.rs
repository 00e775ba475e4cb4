//! A plan with all that is said about its steps, worked out once.

use std::collections::HashMap;

use super::{Blocker, Connect, PlanNow, RefitPlan, Tellings, plan};
use crate::ledger::Ledger;
use crate::reports::lacking::{Lacking, lacking};

/// A plan and what belongs to its steps.
#[derive(Debug)]
pub struct RefitReport<'l> {
    /// The plan.
    pub plan: RefitPlan<'l>,
    /// What can go on now, and what each step waits for.
    pub now: PlanNow<'l>,
    /// What is open, with how much waits behind it.
    pub blocking: Vec<Blocker<'l>>,
    /// Connections, by the place in whose step they are made.
    pub connections: HashMap<usize, Vec<Connect<'l>>>,
    /// Lessons, by place.
    pub lessons: Tellings<'l>,
    /// Cautions, by place.
    pub cautions: Tellings<'l>,
    /// Hardware to get, by the place that needs it.
    pub lacking: HashMap<usize, Vec<Lacking<'l>>>,
}

impl<'l> RefitReport<'l> {
    /// Plans and looks at everything; what can go on now, also with nobody to
    /// help.
    #[must_use]
    pub fn new(
        ledger: &'l Ledger,
        vehicle: &str,
        systems: &[String],
        alone: bool,
    ) -> RefitReport<'l> {
        let plan = plan(ledger, vehicle, systems);
        let mut to_get: HashMap<usize, Vec<Lacking<'l>>> = HashMap::new();
        for found in lacking(ledger, &|state| state.vehicle == vehicle) {
            if let Some(place) = plan.places.number(&found.state.key) {
                to_get.entry(place).or_default().push(found);
            }
        }
        RefitReport {
            now: plan.now(alone),
            lacking: to_get,
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
