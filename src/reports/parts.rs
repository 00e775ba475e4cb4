//! A part: which one is meant, where it stands, and all parts in a list.

use std::collections::BTreeSet;

use crate::entry::Key;
use crate::ledger::{Aliases, PlaceKey, PlaceState};
use crate::vocabulary::name::Name;
use crate::vocabulary::position::{Driven, Position, split_name};
use crate::vocabulary::status::Status;
use crate::vocabulary::words::{fold, one_slip, stem, words};

/// Where a part stands, with what follows from the assembly it is a piece of.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Standing {
    /// The status in a word.
    pub status: String,
    /// The status itself; `None` for a new unit that is at hand.
    pub known: Option<Status>,
    /// The shelf.
    pub stored: Option<String>,
    /// The bags, as labelled.
    pub bags: Vec<String>,
    /// The assembly it follows, if its own records say nothing.
    pub with: Option<String>,
    /// Off, at hand, nothing open.
    pub ready: bool,
}

/// Where `state` stands. `look_up` finds the state of another place.
#[must_use]
pub fn standing(state: &PlaceState, look_up: &dyn Fn(&PlaceKey) -> Option<PlaceState>) -> Standing {
    let unit = state.unit();
    let mut standing = Standing {
        status: state.status_word().to_owned(),
        known: unit.status,
        stored: state.stored.clone(),
        bags: state
            .bags
            .iter()
            .map(|bag| bag.written().to_owned())
            .collect(),
        with: None,
        ready: state.is_ready(),
    };
    let silent = state.units.iter().all(|unit| unit.silent) && unit.number == 1;
    if let Some(assembly) = assembly(state, look_up).filter(|_| silent) {
        standing.status = assembly.status_word().to_owned();
        standing.known = assembly.unit().status;
        standing.ready = assembly.is_ready() && state.open_needs().next().is_none();
        if standing.stored.is_none() {
            standing.stored.clone_from(&assembly.stored);
        }
        standing.with = Some(assembly.label());
    }
    standing
}

/// The assembly a place says it is a piece of.
fn assembly(
    state: &PlaceState,
    look_up: &dyn Fn(&PlaceKey) -> Option<PlaceState>,
) -> Option<PlaceState> {
    let relation = state
        .relations
        .iter()
        .rev()
        .find(|relation| relation.key == Key::Of)?;
    let tries = [
        relation.part.at.clone(),
        state.at.clone(),
        state.at.corner(),
        Position::default(),
    ];
    tries
        .iter()
        .filter(|at| relation.part.at.is_empty() || **at == relation.part.at)
        .map(|at| PlaceKey::new(&state.vehicle, &relation.part.name, at))
        .find_map(|key| look_up(&key).filter(|found| found.recorded))
}

/// Which places a person means by a name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Meant {
    /// This one.
    One(PlaceKey),
    /// One of these, none of them surely.
    Several(Vec<PlaceKey>),
    /// Nothing like it is known.
    None,
}

/// Finds the places a person means by "wheel cylinder, left front", "left
/// front wheel cylinder" or "cylinder".
#[must_use]
pub fn meant(text: &str, vehicle: Option<&str>, keys: &[PlaceKey], aliases: &Aliases) -> Meant {
    let (name, at) = split_name(text, Driven::Unsaid);
    let name = Name::new(&name);
    let ours = |key: &&PlaceKey| vehicle.is_none_or(|vehicle| key.vehicle == vehicle);
    let named: Vec<&PlaceKey> = keys
        .iter()
        .filter(ours)
        .filter(|key| key.name == aliases.resolve(&key.vehicle, name.key()))
        .collect();
    let exact: Vec<&PlaceKey> = named
        .iter()
        .copied()
        .filter(|key| key.at == at.to_string())
        .collect();
    if let [one] = exact[..] {
        return Meant::One(one.clone());
    }
    let fitting: Vec<&PlaceKey> = named
        .iter()
        .copied()
        .filter(|key| at.is_empty() || at_words(&at).all(|word| key_words(key).contains(&word)))
        .collect();
    let found = if fitting.is_empty() { named } else { fitting };
    if !found.is_empty() {
        return one_or_several(found);
    }
    let whole = Name::new(text);
    let near: Vec<&PlaceKey> = keys
        .iter()
        .filter(ours)
        .filter(|key| one_slip(&key.name, name.key()) || one_slip(&key.name, whole.key()))
        .collect();
    if !near.is_empty() {
        return several(near);
    }
    Meant::None
}

/// Places in whose written name all the words of a text occur: what is shown
/// when no name fits. `names` are the places with their names as written.
#[must_use]
pub fn containing(text: &str, names: &[(PlaceKey, String)]) -> Meant {
    let wanted: Vec<String> = words(text).map(|word| stem(&word)).collect();
    let found: Vec<&PlaceKey> = names
        .iter()
        .filter(|(key, name)| {
            let has: BTreeSet<String> = words(&format!("{name} {}", key.at))
                .map(|word| stem(&word))
                .collect();
            wanted.iter().all(|word| has.contains(word))
        })
        .map(|(key, _)| key)
        .collect();
    if found.is_empty() || wanted.is_empty() {
        Meant::None
    } else {
        several(found)
    }
}

fn one_or_several(found: Vec<&PlaceKey>) -> Meant {
    match found[..] {
        [one] => Meant::One(one.clone()),
        _ => several(found),
    }
}

fn several(found: Vec<&PlaceKey>) -> Meant {
    Meant::Several(found.into_iter().cloned().collect())
}

fn at_words(at: &Position) -> impl Iterator<Item = String> {
    at.to_string()
        .split(' ')
        .map(str::to_owned)
        .collect::<Vec<_>>()
        .into_iter()
}

fn key_words(key: &PlaceKey) -> Vec<String> {
    key.at.split(' ').map(str::to_owned).collect()
}

/// By what a list of parts is ordered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Order {
    /// By system, in the order in which they go back.
    System,
    /// By status, in the order of the work.
    Status,
    /// By shelf.
    Shelf,
}

/// One line of the list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Listed {
    /// The place.
    pub state: PlaceState,
    /// Where it stands.
    pub standing: Standing,
}

/// Which parts a list holds.
#[derive(Clone, Debug, Default)]
pub struct Wanted {
    /// Of this vehicle.
    pub vehicle: Option<String>,
    /// Of this system.
    pub system: Option<String>,
    /// With this status; "ready" also where nobody said so.
    pub status: Option<String>,
}

/// The parts that are wanted, under headings.
#[must_use]
pub fn list(
    states: Vec<PlaceState>,
    wanted: &Wanted,
    order: Order,
    systems: &[String],
    look_up: &dyn Fn(&PlaceKey) -> Option<PlaceState>,
) -> Vec<(String, Vec<Listed>)> {
    let is = |wanted: &Option<String>, value: Option<&str>| {
        wanted
            .as_deref()
            .is_none_or(|wanted| value.is_some_and(|value| fold(value) == fold(wanted)))
    };
    let mut parts: Vec<Listed> = states
        .into_iter()
        .filter(|state| state.recorded)
        .map(|state| Listed {
            standing: standing(&state, look_up),
            state,
        })
        .filter(|part| {
            let status_fits = is(&wanted.status, Some(&part.standing.status))
                || (part.standing.ready && is(&wanted.status, Some(Status::Ready.word())));
            is(&wanted.vehicle, Some(&part.state.vehicle))
                && is(&wanted.system, part.state.system.as_deref())
                && status_fits
        })
        .collect();
    let rank = |part: &Listed| -> (usize, String) {
        match order {
            Order::System => {
                let system = part.state.system.clone().unwrap_or_default();
                let at = systems
                    .iter()
                    .position(|known| fold(known) == fold(&system))
                    .unwrap_or(systems.len());
                (at, system)
            }
            Order::Status => {
                let at = part
                    .standing
                    .known
                    .and_then(|known| Status::ALL.iter().position(|status| *status == known));
                (
                    at.unwrap_or(Status::ALL.len()),
                    part.standing.status.clone(),
                )
            }
            Order::Shelf => match &part.standing.stored {
                Some(shelf) => (0, fold(shelf)),
                None => (1, String::new()),
            },
        }
    };
    parts.sort_by_cached_key(|part| {
        (
            rank(part),
            fold(&part.state.label()),
            part.state.vehicle.clone(),
        )
    });
    let mut groups: Vec<(String, Vec<Listed>)> = Vec::new();
    for part in parts {
        let heading = match order {
            Order::System => part
                .state
                .system
                .clone()
                .unwrap_or_else(|| "no system said".into()),
            Order::Status => part.standing.status.clone(),
            Order::Shelf => part
                .standing
                .stored
                .clone()
                .unwrap_or_else(|| "no shelf said".into()),
        };
        match groups.last_mut() {
            Some((last, parts)) if fold(last) == fold(&heading) => parts.push(part),
            Some(_) | None => groups.push((heading, vec![part])),
        }
    }
    groups
}
