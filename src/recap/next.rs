//! What comes next: the needs that are open on the day of the figures.

use std::cmp::Reverse;

use jiff::civil::Date;

use super::draft::{DraftParagraph, Line, StatementOrigin};
use super::request::Extent;
use crate::ledger::{Ledger, PlaceState};
use crate::reports::loans::tools_said;
use crate::reports::needs::{NeedKind, OpenNeed, open};
use crate::vocabulary::position::Position;
use crate::vocabulary::spoken::{capitalised, full_stop, in_full, said_part};
use crate::vocabulary::words::words;

/// The first of them: those for which a day was set, the nearest day first, past or to
/// come; then what was written down last. Who listens has forgotten the oldest ones.
#[must_use]
pub fn next(extent: &Extent<'_>, ledger: &Ledger) -> Vec<DraftParagraph> {
    let last = extent.request.as_of;
    let mut items: Vec<SharedNeed> = Vec::new();
    let tools = extent.entries.iter().flat_map(tools_said);
    let tools = tools.filter(|said| said.date() <= last).collect();
    for need in open(ledger, tools, last, extent.context) {
        let Some(state) = need
            .place
            .as_ref()
            .and_then(|place| ledger.places.get(place))
        else {
            continue;
        };
        if !extent.has_need(&need) || !is_said(&need, state, last) {
            continue;
        }
        // One line that speaks of several places is said once.
        let same = items
            .iter_mut()
            .find(|item| item.need.spot == need.spot && item.need.need == need.need);
        match same {
            Some(item) => item.at.push(state.at.clone()),
            None => items.push(SharedNeed {
                name: state.name.clone(),
                at: vec![state.at.clone()],
                need,
            }),
        }
    }
    items.sort_by_key(|SharedNeed { need, .. }| {
        let away = need.by.map(|day| day.duration_since(last).as_hours().abs());
        (away.is_none(), away, Reverse(need.since))
    });
    items
        .iter()
        .take(extent.most.div_ceil(2))
        .map(|one| item(one, extent))
        .collect()
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

/// A need, with all the places that have it.
struct SharedNeed {
    name: String,
    at: Vec<Position>,
    need: OpenNeed,
}

/// What is said of a need on the day of the figures.
fn item(item: &SharedNeed, extent: &Extent<'_>) -> DraftParagraph {
    let need = &item.need;
    let written = || Line {
        before: String::new(),
        text: need.need.clone(),
        after: full_stop(&need.need),
        origin: StatementOrigin::Entry {
            entry: need.spot.file.clone(),
            line: need.spot.line,
            date: need.since,
        },
        why: "a need still open".to_owned(),
    };
    let computed = |text: String, why: &str| Line {
        before: String::new(),
        text,
        after: "",
        origin: StatementOrigin::Report(format!(
            "needs {} --on {}",
            extent.which(),
            extent.request.as_of
        )),
        why: why.to_owned(),
    };
    let own = match need.kind {
        NeedKind::Back => computed(format!("{}.", need.need), "a part that is away"),
        NeedKind::Work | NeedKind::Buy | NeedKind::Question | NeedKind::Return => written(),
    };
    let by = need.by.map(|day| {
        let text = if day < extent.request.as_of {
            format!("That was due by {}, and is still to do.", in_full(day))
        } else {
            format!("That is due by {}.", in_full(day))
        };
        computed(text, "a day was set")
    });
    // "Handbrake cable: buy a handbrake cable" says it twice.
    let part = said_part(&item.name, &item.at);
    let said: Vec<String> = words(&need.need).collect();
    let is_named = words(&part).all(|word| said.contains(&word));
    DraftParagraph {
        lead: (!is_named).then(|| capitalised(&part)),
        lines: std::iter::once(own).chain(by).collect(),
        is_item: true,
    }
}
