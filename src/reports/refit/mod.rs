//! Putting it back: in which order, what can go on now, what holds up the rest.
//!
//! Reading order: `places` (what goes back), `known_order` (what records say about
//! it), `graph` and `knots` (where they contradict each other), `sequence` (the
//! order of everything), `waiting` (what stands behind what), `now` (what can go
//! on) and `blocking` (what cannot, and why); `connect`, `lessons` and `gear` say
//! what belongs to a step, `asked` what a person has to settle. How a plan looks is decided in `presentation`.

mod answer;
mod asked;
mod blocking;
mod connect;
mod drawn;
mod gear;
mod graph;
mod holds;
mod knots;
mod known_order;
mod lessons;
mod loose;
mod now;
mod places;
mod scope;
mod sequence;
mod small_parts;
mod waiting;

use std::cmp::Reverse;
use std::collections::HashMap;

pub use answer::RefitReport;
pub use asked::{asked, may_ask};
pub use blocking::Blocker;
pub use connect::Connect;
pub use drawn::{DrawnAmount, DrawnPart, DrawnStanding, DrawnSystem};
pub use gear::{FIGURE_MISSING, WHOM_TO_ASK, hardware, lacks_torque, piece_words};
pub use graph::{Components, Graph, components};
pub use holds::{Areas, HeldUp, Hold, is_finished};
pub use knots::{Knots, knots};
pub use known_order::{Implied, Joint, KnownOrder, NotTaken, OrderConstraint, OrderReason};
pub use lessons::{PartRemark, Tellings};
pub use loose::settles_on_wheels;
pub use now::{Assumed, PlanNow, StepNow, Wait};
pub use places::{RefitPlaces, RefitStanding};
pub use sequence::{Sequence, sequence};
use small_parts::small_parts;
pub use waiting::{Start, Waiting, waiting};

use crate::ledger::Ledger;
use crate::vocabulary::words::fold;

/// The order of everything that goes back. Places are numbered as in
/// [`RefitPlaces`].
#[derive(Debug)]
pub struct RefitPlan<'l> {
    /// The places.
    pub places: RefitPlaces<'l>,
    /// What records say about their order.
    pub order: KnownOrder<'l>,
    /// The same as a graph; edges are numbered as [`KnownOrder::known`].
    pub graph: Graph,
    /// Where records contradict each other.
    pub knots: Knots,
    /// Which places go back.
    pub returns: Vec<bool>,
    /// The places in their order, without those that have no unit to put back
    /// and those that are in a loop.
    pub steps: Vec<usize>,
    /// For each step, its own system, or that of what it was brought forward for.
    pub sections: Vec<SystemHeading>,
    /// Small parts that only records of others name, by the place in whose step they
    /// go on.
    pub small_parts: HashMap<usize, Vec<Implied<'l>>>,
    step_of: Vec<Option<usize>>,
    untangled: Graph,
    parts: Components,
    sequence: Sequence,
}

/// The systems in their order, as headings of a plan.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct SystemHeading {
    order: usize,
    /// The system; `None` for parts without one.
    pub system: Option<String>,
}

/// Plans putting back what is off on a vehicle, its `systems` in their order.
#[must_use]
pub fn plan<'l>(ledger: &'l Ledger, vehicle: &str, systems: &[String]) -> RefitPlan<'l> {
    let places = RefitPlaces::new(ledger, vehicle);
    let order = known_order::order(&places, systems);
    let edges = order.known.iter().map(|known| (known.first, known.then));
    let graph = Graph::new(places.keys.len(), edges.collect());
    let returns: Vec<bool> = places
        .standings
        .iter()
        .map(|standing| standing.returns())
        .collect();
    let knots = knots(&graph, &returns);
    let untangled = knots.untangled(&graph);
    let parts = components(&untangled);
    let tangled = |place: usize| knots.caught[place] || knots.snared[place];
    let ranks = by_rank(&places, systems);
    let ranked: Vec<usize> = ranks
        .iter()
        .map(|(place, _)| *place)
        .filter(|place| !tangled(*place))
        .collect();
    let sequence = sequence(&untangled, &parts, &ranked);
    let steps: Vec<usize> = sequence
        .nodes
        .iter()
        .copied()
        .filter(|place| places.standings[*place] != RefitStanding::Gone)
        .collect();
    let sections = sections(&steps, ranks);
    let mut step_of = vec![None; places.keys.len()];
    for (step, place) in steps.iter().enumerate() {
        step_of[*place] = Some(step);
    }
    RefitPlan {
        small_parts: small_parts(&places, &order.implied, &step_of),
        places,
        order,
        graph,
        knots,
        returns,
        steps,
        sections,
        step_of,
        untangled,
        parts,
        sequence,
    }
}

impl<'l> RefitPlan<'l> {
    /// The known orders in which a place stands, those before it first.
    pub fn known_of(&self, place: usize) -> impl Iterator<Item = &OrderConstraint<'l>> {
        let edges = self.graph.entering(place).iter();
        edges
            .chain(self.graph.leaving(place))
            .map(|edge| &self.order.known[*edge])
    }

    /// Whether any record says what goes before or after a place.
    #[must_use]
    pub fn is_known(&self, place: usize) -> bool {
        self.known_of(place).next().is_some() || self.order.implied.contains_key(&place)
    }

    /// Whether a place is at hand with nothing open on itself.
    #[must_use]
    pub fn is_ready(&self, place: usize) -> bool {
        self.returns[place] && self.own_waits(place).is_empty()
    }

    /// What stands over a step: its own system, and the one for which it was brought
    /// forward: "engine, needed for rear suspension".
    #[must_use]
    pub fn heading(&self, step: usize) -> String {
        let under = self.sections[step].system.as_deref();
        let own = self.places.system(self.steps[step]);
        let same = own.map(fold) == under.map(fold);
        match (own, under) {
            (Some(own), Some(under)) if !same => format!("{own}, needed for {under}"),
            (None, Some(under)) => format!("without a system, needed for {under}"),
            (Some(own), Some(_) | None) => under.filter(|_| same).unwrap_or(own).to_owned(),
            (None, None) => "without a system".to_owned(),
        }
    }

    /// The step that puts a place on, counted from 0.
    #[must_use]
    pub fn step_of(&self, place: usize) -> Option<usize> {
        self.step_of[place]
    }

    /// How much waits behind each of these places.
    #[must_use]
    pub fn waiting(&self, places: &[usize]) -> Vec<Waiting> {
        let mut held: Vec<Vec<usize>> = vec![Vec::new(); self.places.keys.len()];
        for hold in &self.order.holds {
            held[hold.area].push(hold.place);
        }
        let starts: Vec<Start> = places
            .iter()
            .map(|place| Start {
                node: *place,
                held: held[*place].clone(),
            })
            .collect();
        waiting(
            &self.untangled,
            &self.parts,
            &self.sequence,
            &|node| self.returns.get(node) == Some(&true),
            &starts,
        )
    }
}

/// What goes back, as one would do it if nothing were known: system by system,
/// what came off last first.
fn by_rank(places: &RefitPlaces<'_>, systems: &[String]) -> Vec<(usize, SystemHeading)> {
    let folded: Vec<String> = systems.iter().map(|system| fold(system)).collect();
    let mut ranked: Vec<(usize, SystemHeading)> = (0..places.keys.len())
        .filter(|place| places.standings[*place].returns())
        .map(|place| {
            let own = places.system(place).map(fold);
            let known = own
                .as_ref()
                .and_then(|own| folded.iter().position(|system| system == own));
            let section = SystemHeading {
                order: known.unwrap_or(systems.len()),
                system: known.map(|known| systems[known].clone()).or(own),
            };
            (place, section)
        })
        .collect();
    ranked.sort_by_cached_key(|(place, section)| {
        (section.clone(), Reverse(places.off(*place)), *place)
    });
    ranked
}

/// Under which section each step stands: the first of those still to come.
fn sections(steps: &[usize], ranks: Vec<(usize, SystemHeading)>) -> Vec<SystemHeading> {
    let own: HashMap<usize, SystemHeading> = ranks.into_iter().collect();
    let mut sections: Vec<SystemHeading> = Vec::with_capacity(steps.len());
    for step in steps.iter().rev() {
        let Some(section) = own.get(step) else {
            continue;
        };
        let later = sections.last().filter(|later| *later < section);
        let section = later.unwrap_or(section).clone();
        sections.push(section);
    }
    sections.reverse();
    sections
}
