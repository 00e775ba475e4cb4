//! What comes next: the needs that are open on the day of the figures.

use std::cmp::Reverse;

use super::draft::{DraftParagraph, Line, StatementOrigin};
use super::request::Extent;
use crate::ledger::PlaceState;
use crate::reports::loans::tools_said;
use crate::reports::needs::{NeedKind, OpenNeed, open};
use crate::vocabulary::position::Position;
use crate::vocabulary::spoken::{capitalised, in_full, said_part};
use crate::vocabulary::words::words;

/// The first of them: those for which a day was set, the nearest day first, past or to
/// come; then what was written down last. Who listens has forgotten the oldest ones.
#[must_use]
pub fn next(extent: &Extent<'_>) -> Vec<DraftParagraph> {
    let on = extent.request.as_of;
    let tools = extent.entries.iter().flat_map(tools_said);
    let tools = tools.filter(|said| said.date() <= on).collect();
    let mut needs: Vec<(OpenNeed, &PlaceState, Vec<Position>)> = Vec::new();
    for need in open(extent.ledger, tools, on, extent.context) {
        let place = need.place.as_ref();
        let Some(state) = place.and_then(|place| extent.ledger.places.get(place)) else {
            continue;
        };
        if !extent.has_need(&need) || !is_said(&need, state, extent) {
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
    let first = needs.iter().take(extent.most().div_ceil(2));
    let said = first.map(|(need, state, at)| item(need, &said_part(&state.name, at), extent));
    said.collect()
}

/// Whether a need is in someone's own words, or a part is away for too long: what
/// the plan alone finds open nobody has said.
fn is_said(need: &OpenNeed, state: &PlaceState, extent: &Extent<'_>) -> bool {
    match need.kind {
        NeedKind::Work | NeedKind::Buy => state.open_needs().any(|own| own.need.text == need.need),
        NeedKind::Back => need.by.is_some_and(|day| day < extent.request.as_of),
        NeedKind::Question | NeedKind::Return => false,
    }
}

/// What is said of a need of a part on the day of the figures.
fn item(need: &OpenNeed, part: &str, extent: &Extent<'_>) -> DraftParagraph {
    let (which, on) = (extent.request.which(), extent.request.as_of);
    let computed = |text: &str, why: &str| {
        let verb = format!("needs {which} --on {on}");
        Line::new(text, StatementOrigin::Report(verb), why)
    };
    let own = match need.kind {
        NeedKind::Back => computed(&format!("{}.", need.need), "a part that is away"),
        NeedKind::Work | NeedKind::Buy | NeedKind::Question | NeedKind::Return => {
            let origin = StatementOrigin::Entry {
                entry: need.spot.file.clone(),
                line: need.spot.line,
                date: need.since,
            };
            Line::new(&need.need, origin, "a need still open")
        }
    };
    let by = need.by.map(|day| {
        let text = match day < on {
            true => format!("That was due by {}, and is still to do.", in_full(day)),
            false => format!("That is due by {}.", in_full(day)),
        };
        computed(&text, "a day was set")
    });
    // "Handbrake cable: buy a handbrake cable" says it twice.
    let said: Vec<String> = words(&need.need).collect();
    let is_named = words(part).all(|word| said.contains(&word));
    let lead = (!is_named).then(|| capitalised(part));
    DraftParagraph::item(lead, std::iter::once(own).chain(by).collect())
}
