//! What records say of the order that a person has to settle: a part fitted over what
//! goes in first, an order that another record contradicts, an area that does not say
//! what waits for it.
//!
//! The plan goes on all the same; what it does meanwhile is decided in `known_order` and
//! `holds`.

use std::collections::BTreeSet;

use super::holds::{Areas, HeldUp, is_finished};
use super::known_order::{NotTaken, OrderReason};
use super::places::{RefitPlaces, RefitStanding};
use super::{RefitPlan, plan};
use crate::entry::{Entry, Fact};
use crate::handbook::parts::known_part;
use crate::ledger::key as place_key;
use crate::ledger::{Ledger, PlaceState, TimelineStep, shares};
use crate::problem::{Problem, Spot};
use crate::vocabulary::reference::Reference;
use crate::vocabulary::status::Surface;

/// All such problems of the vehicles that these entries speak of; `systems` are those
/// of the journal. Those about what one record says of areas are found in these entries
/// only.
#[must_use]
pub fn asked(ledger: &Ledger, entries: &[Entry], systems: &[String]) -> Vec<Problem> {
    let records = entries.iter().flat_map(|entry| &entry.records);
    let vehicles: BTreeSet<&str> = records.filter_map(|one| one.vehicle.as_deref()).collect();
    let mut problems = Vec::new();
    for vehicle in vehicles {
        let plan = plan(ledger, vehicle, systems);
        let contradicted = plan.order.not_taken.iter();
        problems.extend(contradicted.map(|said| not_taken(&plan, said)));
        problems.extend((0..plan.places.keys.len()).filter_map(|place| fitted_over(&plan, place)));
        let areas = Areas::of(&plan.places, systems);
        let unsaid = (0..plan.places.keys.len()).filter(|area| areas.is_unsaid(*area));
        problems.extend(unsaid.filter_map(|area| says_nothing(&plan.places, area)));
        for entry in entries {
            words_of_areas(
                &plan.places,
                &areas,
                (ledger, vehicle),
                entry,
                &mut problems,
            );
        }
    }
    problems
}

/// Whether an entry says anything that this could be about: the whole journal is read
/// for it, and not for a part that came off.
#[must_use]
pub fn may_ask(entry: &Entry) -> bool {
    let records = entry.records.iter();
    let mut facts = records.flat_map(|record| &record.facts);
    facts.any(|stated| {
        if let Fact::Status(status) = &stated.fact {
            return status.is_on();
        }
        matches!(
            stated.fact,
            Fact::After(_) | Fact::RefitAfter(_) | Fact::Surface(_) | Fact::HoldsUp(_)
        )
    })
}

/// A label in the middle of a sentence.
fn label(places: &RefitPlaces<'_>, place: usize) -> String {
    places.states[place].label()
}

fn at(spot: &Spot) -> String {
    format!("{}:{}", spot.file, spot.line)
}

fn not_taken(plan: &RefitPlan<'_>, said: &NotTaken<'_>) -> Problem {
    let other = label(&plan.places, said.other);
    let TimelineStep { when, spot, .. } = said.against;
    let day = plan.places.states[said.of].relations.iter();
    let day = day.clone().find(|relation| relation.spot == *said.spot);
    let later = day.is_some_and(|said| said.date < when.date);
    let word = if later {
        "came off only on"
    } else {
        "had been on since"
    };
    Problem::warning(
        said.spot.clone(),
        format!(
            "{} cannot have come off after {other}, which {word} {} ({}): the order is not taken",
            label(&plan.places, said.of),
            when.date,
            at(spot)
        ),
    )
    .hint("correct the day or the status of one of the two; `refit after` gives an order for the way back only")
}

/// The record that last put a place on, if something that goes in before it had been off
/// until then and is off still.
fn fitted_over(plan: &RefitPlan<'_>, place: usize) -> Option<Problem> {
    let state = plan.places.states[place];
    let is_on = plan.places.standings[place] == RefitStanding::On;
    let put_on = state.went_on.last().filter(|_| is_on)?;
    let moment = state
        .timeline
        .iter()
        .find(|moment| moment.when == *put_on)?;
    let under: Vec<usize> = plan
        .off_before(place)
        .into_iter()
        .filter(|other| plan.places.off(*other).is_some_and(|off| off < *put_on))
        .collect();
    let first = *under.first()?;
    let names: Vec<String> = under
        .iter()
        .map(|other| label(&plan.places, *other))
        .collect();
    let known = plan
        .known_of(place)
        .find(|known| known.first == first && known.then == place);
    let (source, leave_out) = match known {
        Some(known) => (format!(" ({})", at(known.spot)), way_off(known.why)),
        None => (String::new(), ""),
    };
    let be = if names.len() == 1 { "has" } else { "have" };
    Some(
        Problem::warning(
            moment.spot.clone(),
            format!(
                "{} is on, and {} {be} to go in first{source}",
                label(&plan.places, place),
                names.join("; ")
            ),
        )
        .hint(format!(
            "take it off again before more goes on over it{leave_out}"
        )),
    )
}

/// How a record is changed that says more than is so.
fn way_off(why: OrderReason) -> &'static str {
    match why {
        OrderReason::After => "; if both orders do, write `off after` there instead of `after`",
        OrderReason::RefitAfter => "; if both orders do, take `refit after` out there",
        OrderReason::PieceInside | OrderReason::PieceOutside => "",
    }
}

/// An area that is open, in its place, and does not say what waits for it.
fn says_nothing(places: &RefitPlaces<'_>, area: usize) -> Option<Problem> {
    let state = places.states[area];
    if !state.holds_up.is_empty() {
        // What it says fits nothing: that is asked where it stands.
        return None;
    }
    let surface = state.surface?;
    let spot = last_word(state, surface)?.spot.clone();
    Some(
        Problem::note(
            spot,
            format!("{} is {}, and does not say what waits for it", state.label(), surface.word()),
        )
        .hint("add `- holds up: PART; SYSTEM`, or `everything`; until then what lies in its system goes on only perhaps"),
    )
}

/// The record that last spoke of a surface.
fn last_word(state: &PlaceState, surface: Surface) -> Option<&TimelineStep> {
    let says = |moment: &&TimelineStep| {
        let mut facts = moment.facts.iter();
        facts.any(|(key, value)| key == "surface" || value == surface.word())
    };
    let mut timeline = state.timeline.iter().rev();
    timeline.find(says).or(state.timeline.first())
}

/// What records of areas say holds up, and what fits nothing.
fn words_of_areas(
    places: &RefitPlaces<'_>,
    areas: &Areas<'_, '_>,
    (ledger, vehicle): (&Ledger, &str),
    entry: &Entry,
    problems: &mut Vec<Problem>,
) {
    let records = entry.records.iter();
    let ours = records.filter(|record| record.vehicle.as_deref() == Some(vehicle));
    for record in ours {
        let mut seen = BTreeSet::new();
        for share in shares(entry, record) {
            let key = place_key(vehicle, &share.name, &share.at, &ledger.aliases);
            let area = places
                .number(&key)
                .filter(|area| !is_finished(places, *area));
            let Some(area) = area else { continue };
            for stated in &share.facts {
                let Fact::HoldsUp(words) = &stated.fact else {
                    continue;
                };
                let found = problem_of(areas.held_by(area, words), words);
                let (message, hint, is_note) = match found {
                    Some(found) => found,
                    None => continue,
                };
                let spot = Spot {
                    file: entry.path.clone(),
                    ..stated.spot.clone()
                };
                if seen.insert((spot.line, spot.column)) {
                    let problem = if is_note {
                        Problem::note(spot, message)
                    } else {
                        Problem::warning(spot, message)
                    };
                    problems.push(problem.hint(hint));
                }
            }
        }
    }
}

/// What is wrong with words behind `holds up`: message, hint, whether it is a mere note.
fn problem_of(held: HeldUp, words: &Reference) -> Option<(String, String, bool)> {
    let written = words.written();
    match held {
        HeldUp::Places(_) => None,
        HeldUp::Near(name, _) => Some((
            format!("`{written}` is no part and no system; taken for `{name}`"),
            format!("write `{name}` if that is meant"),
            false,
        )),
        HeldUp::Nothing => {
            let known = known_part(words.name.written()).is_some();
            let hint = "write a part of the records, a system, or `everything`; until then what lies in the area's system goes on only perhaps";
            Some((
                format!(
                    "no record names `{written}`, and no system is called so: nothing waits for the area by it"
                ),
                hint.to_owned(),
                known,
            ))
        }
    }
}
