//! What holds up the rest: everything open, with how much waits behind it.

use super::now::Wait;
use super::waiting::Waiting;
use super::{RefitPlan, RefitStanding};
use crate::vocabulary::status::Surface;

/// A place on which something is open, and how much waits behind that.
#[derive(Clone, Debug)]
pub struct Blocker<'l> {
    /// The place.
    pub place: usize,
    /// What is open on it; never [`Wait::Part`] or [`Wait::InTheWay`].
    pub open: Vec<Wait<'l>>,
    /// Its surface, where parts wait for that: `None` inside if no record says
    /// how far it is.
    pub surface: Option<Option<Surface>>,
    /// How much waits behind it.
    pub waiting: Waiting,
}

impl<'l> RefitPlan<'l> {
    /// Everything that is open, what blocks most first.
    #[must_use]
    pub fn blocking(&self) -> Vec<Blocker<'l>> {
        let mut blockers: Vec<Blocker<'l>> = Vec::new();
        let mut areas: Vec<usize> = self.order.holds.iter().map(|hold| hold.area).collect();
        areas.dedup();
        for place in 0..self.places.keys.len() {
            let holds = areas.binary_search(&place).is_ok();
            if !holds && !self.returns[place] {
                continue;
            }
            let state = self.places.states[place];
            let open = if self.returns[place] {
                self.own_waits(place)
            } else {
                state.open_needs().map(Wait::Need).collect()
            };
            let unfinished = !state.surface.is_some_and(Surface::is_finished);
            // Others wait for a joint as well, and that has no surface to finish.
            let is_area = !state.holds_up.is_empty();
            let surface = (holds && is_area && unfinished).then_some(state.surface);
            if !open.is_empty() || surface.is_some() {
                blockers.push(Blocker {
                    place,
                    open,
                    surface,
                    waiting: Waiting::default(),
                });
            }
        }
        let places: Vec<usize> = blockers.iter().map(|blocker| blocker.place).collect();
        for (blocker, waiting) in blockers.iter_mut().zip(self.waiting(&places)) {
            blocker.waiting = waiting;
        }
        blockers.sort_by_key(|blocker| {
            let Waiting { direct, all } = blocker.waiting;
            (std::cmp::Reverse((all, direct)), blocker.place)
        });
        blockers
    }

    /// Places that cannot be put back as there is none to put back, or that are
    /// caught in a knot of loops too tight to be taken apart.
    #[must_use]
    pub fn blocked(&self) -> Vec<usize> {
        (0..self.places.keys.len())
            .filter(|place| {
                let gone = self.places.standings[*place] == RefitStanding::Gone;
                (gone && !self.knots.caught[*place]) || self.knots.snared[*place]
            })
            .collect()
    }
}
