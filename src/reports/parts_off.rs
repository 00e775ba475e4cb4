//! When parts came off and when they went on again.
//!
//! It reads timelines, and adds nothing up: that is for `months`.

use std::collections::BTreeSet;

use jiff::civil::Date;

use super::refit::RefitPlaces;
use crate::ledger::{Ledger, MOST_LEVELS, PlaceState, RecordTime, TimelineStep};
use crate::vocabulary::status::Status;

/// Where a part is, as far as a count of parts off goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Whereabouts {
    /// On the vehicle, also with something disconnected.
    On,
    /// Off, and to go back.
    Off,
    /// Off, and not to go back.
    ForGood,
}

/// A part that came off, went on again, or was given up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PartMove {
    /// The day.
    pub date: Date,
    /// Where it was before.
    pub from: Whereabouts,
    /// Where it is afterwards.
    pub to: Whereabouts,
}

/// The moves of all parts that are `wanted`, in no order.
#[must_use]
pub fn part_moves(ledger: &Ledger, wanted: &dyn Fn(&PlaceState) -> bool) -> Vec<PartMove> {
    let states = ledger.recorded().map(|(_, state)| state);
    let vehicles: BTreeSet<&str> = states
        .filter(|state| wanted(state))
        .map(|state| state.vehicle.as_str())
        .collect();
    let of_vehicle = |vehicle: &str| {
        let places = RefitPlaces::new(ledger, vehicle);
        let own = (0..places.keys.len()).filter(|place| wanted(places.states[*place]));
        let moves = own.flat_map(|place| moves(&standings(&places, place, 0)));
        moves.collect::<Vec<PartMove>>()
    };
    vehicles.into_iter().flat_map(of_vehicle).collect()
}

/// Where a part was from a moment on.
#[derive(Clone, Debug)]
struct FromThen {
    when: RecordTime,
    at: Whereabouts,
    /// Whether its unit will not return.
    is_gone: bool,
}

/// Where a place was from each of its records on. Until a record says how it stands itself,
/// it goes with its assembly, `level` levels up.
fn standings(places: &RefitPlaces<'_>, place: usize, level: usize) -> Vec<FromThen> {
    let state = places.states[place];
    let own: Vec<FromThen> = state.timeline.iter().map(from_then).collect();
    let says = |step: &TimelineStep| {
        step.status != Some(Status::Fitted) || state.went_on.contains(&step.when)
    };
    let said = state.timeline.iter().position(says).unwrap_or(own.len());
    let assembly = places
        .assembly(place)
        .filter(|_| said > 0 && level < MOST_LEVELS);
    let (Some(assembly), Some(first)) = (assembly, own.first()) else {
        return own;
    };
    let (first, until) = (
        first.when.clone(),
        own.get(said).map(|own| own.when.clone()),
    );
    let with = standings(places, assembly, level + 1).into_iter();
    let with = with.filter(|step| until.as_ref().is_none_or(|until| step.when < *until));
    let mut following: Vec<FromThen> = with
        .map(|step| FromThen {
            // A piece goes with the unit it was in.
            at: if step.is_gone {
                Whereabouts::ForGood
            } else {
                step.at
            },
            when: step.when.max(first.clone()),
            ..step
        })
        .collect();
    following.extend(own.into_iter().skip(said));
    following
}

fn from_then(step: &TimelineStep) -> FromThen {
    // Without a status it is a new unit that is at hand and was never spoken of since.
    let is_gone = step.status.is_some_and(Status::is_gone);
    let is_on = step.status.is_some_and(Status::is_on);
    FromThen {
        when: step.when.clone(),
        at: if step.status == Some(Status::LeftOff) {
            Whereabouts::ForGood
        } else if is_on {
            Whereabouts::On
        } else {
            Whereabouts::Off
        },
        is_gone,
    }
}

/// The moves between different places; what lies at one moment counts as it ended.
fn moves(standings: &[FromThen]) -> Vec<PartMove> {
    let mut from = Whereabouts::On;
    let mut moves = Vec::new();
    for (number, step) in standings.iter().enumerate() {
        let later = standings.get(number + 1);
        if later.is_some_and(|later| later.when == step.when) || step.at == from {
            continue;
        }
        moves.push(PartMove {
            date: step.when.date,
            from,
            to: step.at,
        });
        from = step.at;
    }
    moves
}
