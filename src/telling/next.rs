//! What comes next: the needs that are open at the end of the days.

use std::cmp::Reverse;
use std::collections::HashMap;

use super::draft::{Line, Origin, Paragraph};
use super::frame::Extent;
use super::speech::{capitalised, full_stop, in_full, said_part};
use crate::ledger::{Ledger, NeedState, PlaceKey, PlaceState};
use crate::reports::refit::plan;
use crate::vocabulary::position::Position;

/// The first of them: what holds up most, then what has the nearest day, then
/// the oldest.
#[must_use]
pub fn next(extent: &Extent<'_>, ledger: &Ledger) -> Vec<Paragraph> {
    let waiting = waiting(extent, ledger);
    let mut open: Vec<(&PlaceKey, &PlaceState, &NeedState)> = ledger
        .recorded()
        .filter(|(_, state)| extent.has(state))
        .flat_map(|(key, state)| state.open_needs().map(move |need| (key, state, need)))
        .collect();
    open.sort_by_key(|(key, _, need)| {
        let behind = waiting.get(*key).copied().unwrap_or(0);
        (
            Reverse(behind),
            need.need.by.is_none(),
            need.need.by,
            need.since,
        )
    });
    // One line that speaks of several places is said once.
    let mut items: Vec<Item<'_>> = Vec::new();
    for (key, state, need) in open {
        let same = items
            .iter_mut()
            .find(|item| item.need.spot == need.spot && item.need.need == need.need);
        match same {
            Some(item) => item.at.push(state.at.clone()),
            None => items.push(Item {
                state,
                need,
                at: vec![state.at.clone()],
                waiting: waiting.get(key).copied().unwrap_or(0),
            }),
        }
    }
    items.iter().take(extent.most).map(item).collect()
}

/// A need, with all the places that have it.
struct Item<'l> {
    state: &'l PlaceState,
    need: &'l NeedState,
    at: Vec<Position>,
    /// How many parts wait behind it.
    waiting: usize,
}

/// How many parts wait behind each place.
fn waiting(extent: &Extent<'_>, ledger: &Ledger) -> HashMap<PlaceKey, usize> {
    let plan = plan(ledger, extent.vehicle, &extent.context.systems);
    plan.blocking()
        .into_iter()
        .map(|blocker| (plan.places.keys[blocker.place].clone(), blocker.waiting.all))
        .collect()
}

fn item(item: &Item<'_>) -> Paragraph {
    let Item { state, need, .. } = item;
    let own = Line {
        before: String::new(),
        text: need.need.text.clone(),
        after: full_stop(&need.need.text),
        origin: Origin::Entry {
            entry: need.spot.file.clone(),
            line: need.spot.line,
            date: need.since,
        },
        why: "a need still open".to_owned(),
    };
    let computed = |text: String, question: String, why: &str| Line {
        before: String::new(),
        text,
        after: "",
        origin: Origin::Report(question),
        why: why.to_owned(),
    };
    let by = need.need.by.map(|day| {
        computed(
            format!("It is to be done by {}.", in_full(day)),
            format!("part \"{}\" --vehicle {}", state.label(), state.vehicle),
            "a day was set",
        )
    });
    let behind = match item.waiting {
        0 => None,
        1 => Some("1 part waits for it.".to_owned()),
        count => Some(format!("{count} parts wait for it.")),
    };
    let behind = behind.map(|text| {
        let question = format!("refit --vehicle {}", state.vehicle);
        computed(text, question, "what waits behind it")
    });
    Paragraph {
        lead: Some(capitalised(&said_part(&state.name, &item.at))),
        lines: std::iter::once(own).chain(by).chain(behind).collect(),
        is_item: true,
    }
}
