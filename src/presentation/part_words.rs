//! What is known of a part, in words that every form of it shares.
//!
//! How they are laid out is for the forms to decide.

use super::replaced::kind_and_words;
use crate::ledger::{Bagged, Dated, PlaceState, Unit};
use crate::reports::refit::{FIGURE_MISSING, WHOM_TO_ASK, lacks_torque};
use crate::reports::replaced::origin_words;
use crate::reports::torque::in_both_systems;
use crate::vocabulary::reference::Reference;
use crate::vocabulary::status::Status;

/// The pieces that hold a part, each with its bag and what has to be known of it; of
/// used ones only the latest.
pub(super) fn hardware_words(state: &PlaceState) -> Vec<String> {
    let latest = state.hardware.iter().map(|pieces| pieces.date).max();
    let pieces = state.hardware.iter();
    let shown = pieces.filter(|pieces| pieces.used.is_none() || Some(pieces.date) == latest);
    let words = shown.map(|pieces| {
        let bag = pieces
            .bag
            .as_ref()
            .map(|bag| format!(", bag {}", bag.written()))
            .unwrap_or_default();
        let marks: String = pieces
            .hardware
            .marks
            .iter()
            .map(|mark| format!(", {}", mark.word()))
            .collect();
        let used = if pieces.used.is_some() { ", used" } else { "" };
        format!(
            "{} {}{bag}{marks}{used}",
            pieces.hardware.count(),
            pieces.hardware.what
        )
    });
    words.collect()
}

/// "in bag 12": where pieces of several parts are.
pub(super) fn in_bag(bagged: &Bagged) -> String {
    let of = if bagged.emptied.is_some() {
        "out of"
    } else {
        "in"
    };
    format!("{of} bag {}", bagged.bag.written())
}

/// The pieces of a bag's section, and the parts they are for.
pub(super) fn in_section(bagged: &Bagged) -> Vec<String> {
    let Some(section) = &bagged.section else {
        return Vec::new();
    };
    let mut words: Vec<String> = section
        .hardware
        .iter()
        .map(|hardware| format!("{} {}", hardware.count(), hardware.what))
        .collect();
    let parts: Vec<String> = section.holds.iter().map(Reference::written).collect();
    if words.is_empty() {
        words.push("not counted".to_owned());
    }
    if let (Some(last), true) = (words.last_mut(), parts.len() > 1) {
        last.push_str(&format!(" (for {})", parts.join("; ")));
    }
    words
}

/// What is still to be connected to a part.
pub(super) fn open_connections(state: &PlaceState) -> Vec<String> {
    let open = state.connections.iter().filter(|link| link.open);
    let words = open.map(|link| match &link.to {
        Some(to) => format!("{} to {}", link.what.written(), to.written()),
        None => link.what.written(),
    });
    words.collect()
}

/// The recorded torques in both unit systems; where the part has to be tightened yet
/// and one is needed, that it is missing.
pub(super) fn torque_words(state: &PlaceState) -> Vec<String> {
    let torques = distinct(&state.torques).into_iter();
    let mut torques: Vec<String> = torques.map(|written| in_both_systems(&written)).collect();
    let to_tighten = !state.is_on() || state.unit().status == Some(Status::Loose);
    if to_tighten && lacks_torque(state, state.system.as_deref()) {
        torques.push(format!("{FIGURE_MISSING}: {WHOM_TO_ASK}"));
    }
    torques
}

/// Values without those said twice, in their order.
pub(super) fn distinct(values: &[Dated<String>]) -> Vec<String> {
    let mut seen: Vec<String> = Vec::new();
    for value in values {
        if !seen.contains(&value.value) {
            seen.push(value.value.clone());
        }
    }
    seen
}

/// A unit with its days, what it is, what it cost and what became of it.
pub(super) fn unit_line(unit: &Unit) -> String {
    let mut words = vec![format!("unit {}", unit.number)];
    words.push(unit_words(unit));
    words.push(match (unit.from, unit.until) {
        (None, None) => "came with the vehicle".to_owned(),
        (None, Some(until)) => format!("came with the vehicle, until {until}"),
        (Some(from), None) => format!("since {from}"),
        (Some(from), Some(until)) => format!("{from} to {until}"),
    });
    words.extend(unit.cost.map(|cost| cost.to_string()));
    words.extend(unit.fate.map(|fate| format!("then {}", fate.word())));
    words.extend(unit.moved_to.as_ref().map(|to| format!("moved to {to}")));
    words.retain(|words| !words.is_empty());
    words.join(", ")
}

/// What a unit is: its kind, what was written, number, source.
fn unit_words(unit: &Unit) -> String {
    let mut words = kind_and_words(unit.kind, &unit.what);
    if let Some(code) = &unit.code {
        words.push(code.clone());
    }
    if let Some(source) = &unit.source {
        words.push(format!("from {}", origin_words(source)));
    }
    words.join(", ")
}

/// Facts with neighbours of the same key in one, without the status: it stands above
/// them.
pub(super) fn by_key(facts: &[(String, String)]) -> Vec<(&str, Vec<&str>)> {
    let mut grouped: Vec<(&str, Vec<&str>)> = Vec::new();
    for (key, value) in facts.iter().filter(|(key, _)| key != "status") {
        match grouped.last_mut() {
            Some((last, values)) if *last == key.as_str() => values.push(value),
            Some(_) | None => grouped.push((key, vec![value])),
        }
    }
    grouped
}
