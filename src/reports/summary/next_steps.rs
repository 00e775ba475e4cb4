//! What comes next: the needs that are open on the day of the figures.

use std::cmp::Reverse;

use jiff::civil::Date;

use super::{SummaryScope, SummarySource};
use crate::ledger::PlaceState;
use crate::reports::loans::tools_said;
use crate::reports::needs::{NeedKind, OpenNeed, open};
use crate::vocabulary::position::Position;
use crate::vocabulary::spoken::said_part;

/// A need that is open.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NextStep {
    /// The need.
    pub need: OpenNeed,
    /// The part as one says it, with all its places that need it.
    pub part: String,
    /// The verb, with its options, that answers the same.
    pub question: String,
}

/// The first of them: those for which a day was set, the nearest day first, past or to
/// come; then what was written down last. Who listens has forgotten the oldest ones.
#[must_use]
pub fn next_steps(scope: &SummaryScope<'_>, source: SummarySource<'_>) -> Vec<NextStep> {
    let on = scope.as_of;
    let tools = source.entries.iter().flat_map(tools_said);
    let tools = tools.filter(|said| said.date() <= on).collect();
    let mut needs: Vec<(OpenNeed, &PlaceState, Vec<Position>)> = Vec::new();
    for need in open(source.ledger, tools, on, source.context) {
        let place = need.place.as_ref();
        let Some(state) = place.and_then(|place| source.ledger.places.get(place)) else {
            continue;
        };
        if !scope.has_need(&need) || !is_said(&need, state, on) {
            continue;
        }
        // One line that speaks of several places is said once.
        let is_same = |one: &OpenNeed| one.spot == need.spot && one.need == need.need;
        match needs.iter_mut().find(|(one, ..)| is_same(one)) {
            Some((_, _, at)) => at.push(state.at.clone()),
            None => needs.push((need, state, vec![state.at.clone()])),
        }
    }
    needs.sort_by_key(|(need, ..)| {
        let away = need.by.map(|day| day.duration_since(on).as_hours().abs());
        (away.is_none(), away, Reverse(need.since))
    });
    let first = needs.into_iter().take(scope.most.div_ceil(2));
    let steps = first.map(|(need, state, at)| NextStep {
        need,
        part: said_part(&state.name, &at),
        question: format!("needs {} --on {on}", scope.options()),
    });
    steps.collect()
}

/// Whether a need is in someone's own words, or a part is away for too long: what
/// the plan alone finds open nobody has said.
fn is_said(need: &OpenNeed, state: &PlaceState, on: Date) -> bool {
    match need.kind {
        NeedKind::Work | NeedKind::Buy => state.open_needs().any(|own| own.need.text == need.need),
        NeedKind::Back => need.by.is_some_and(|day| day < on),
        NeedKind::Question | NeedKind::Return => false,
    }
}
