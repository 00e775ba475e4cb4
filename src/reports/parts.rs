//! A part: which one is meant, where it stands, and all parts in a list.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};

use super::whole::{RecordSubject, about};
use crate::entry::Context;
use crate::handbook::heading::split_name;
use crate::handbook::shop_words::{QuestionForm, ShopWordMatch, synonyms};
use crate::ledger::{Aliases, Bagged, Ledger, PlaceKey, PlaceState, States, follows};
use crate::vocabulary::label::BagLabel;
use crate::vocabulary::name::Name;
use crate::vocabulary::position::{Driven, Position};
use crate::vocabulary::status::Status;
use crate::vocabulary::words::{fold, one_slip, stem, words};

/// Where a part stands, with what follows from the assembly it is a piece of.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PartStanding {
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

/// Where `state` stands among others.
#[must_use]
pub fn standing(state: &PlaceState, states: &dyn States) -> PartStanding {
    let unit = state.unit();
    let mut standing = PartStanding {
        status: state.status_word().to_owned(),
        known: unit.status,
        stored: state.stored.clone(),
        bags: bag_labels(state, states),
        with: None,
        ready: state.is_ready(),
    };
    if let Some(assembly) = follows(state, states) {
        standing.status = assembly.status_word().to_owned();
        standing.known = assembly.unit().status;
        standing.ready = assembly.is_ready() && state.holding_needs().next().is_none();
        if standing.stored.is_none() {
            standing.stored.clone_from(&assembly.stored);
        }
        standing.with = Some(assembly.label());
    }
    standing
}

/// The status that counts for `state` among others, in a word.
#[must_use]
pub fn status_word(state: &PlaceState, states: &dyn States) -> &'static str {
    follows(state, states).map_or(state.status_word(), |assembly| assembly.status_word())
}

/// The bags in which a place's hardware is, those included whose sections
/// name the part and leave its corner to be understood ("holds: hub").
#[must_use]
pub fn bagged(state: &PlaceState, states: &dyn States) -> Vec<Bagged> {
    let mut found = bagged_if(state, states, &|bagged| bagged.emptied.is_none());
    found.retain(|bagged| bagged.emptied.is_none());
    found
}

/// The same with those it was taken out of.
#[must_use]
pub fn ever_bagged(state: &PlaceState, states: &dyn States) -> Vec<Bagged> {
    bagged_if(state, states, &|_| true)
}

/// Those of these bags that are `wanted` as their records say it; what has gone on
/// since is said of each.
fn bagged_if(
    state: &PlaceState,
    states: &dyn States,
    wanted: &dyn Fn(&Bagged) -> bool,
) -> Vec<Bagged> {
    let named_short = state.at.narrowed().into_iter().filter_map(|at| {
        let key = PlaceKey {
            at: at.to_string(),
            ..state.key.clone()
        };
        states.state(&key).filter(|other| !other.recorded)
    });
    let mut found: Vec<Bagged> = Vec::new();
    let mut take = |all: &[Bagged]| {
        found.extend(all.iter().filter(|bagged| wanted(bagged)).cloned());
    };
    take(&state.bagged);
    named_short.for_each(|other| take(&other.bagged));
    if found.is_empty() {
        return found;
    }
    let follows = follows(state, states);
    for bagged in &mut found {
        let on = follows.as_deref().unwrap_or(state).on_after(&bagged.when);
        bagged.emptied = bagged.emptied.take().or_else(|| on.cloned());
    }
    let is_on = state.is_on() && state.unit().said && state.unit().status != Some(Status::Undone);
    found.retain(|bagged| bagged.emptied.is_some() || !is_on);
    found.sort_by(|a, b| a.when.cmp(&b.when));
    found
}

/// What the sections about whole bags say of the place: the last filling with
/// its hardware.
#[must_use]
pub fn sections(state: &PlaceState, states: &dyn States) -> Vec<Bagged> {
    let mut found = ever_bagged(state, states);
    found.retain(|bagged| bagged.section.is_some());
    let latest = found.iter().map(|bagged| bagged.when.date).max();
    found.retain(|bagged| bagged.emptied.is_none() || Some(bagged.when.date) == latest);
    found
}

/// Their labels, each once.
#[must_use]
pub fn bag_labels(state: &PlaceState, states: &dyn States) -> Vec<String> {
    let bagged = bagged(state, states);
    let mut labels: Vec<&BagLabel> = Vec::new();
    for bagged in &bagged {
        if !labels.contains(&&bagged.bag) {
            labels.push(&bagged.bag);
        }
    }
    labels
        .iter()
        .map(|label| label.written().to_owned())
        .collect()
}

/// Which places a person means by a name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Meant {
    /// This one.
    One(PlaceKey),
    /// Nothing is called so, and only this one nearly.
    Near(PlaceKey),
    /// One of these, none of them surely.
    Several(Vec<PlaceKey>),
    /// Nothing like it is known.
    None,
}

/// What finding a part by its name has to know.
pub struct NameContext<'n> {
    /// Names that are one.
    pub aliases: &'n Aliases,
    /// The vehicles, for "driver's side".
    pub context: &'n Context,
    /// Only parts of this vehicle.
    pub vehicle: Option<&'n str>,
}

impl NameContext<'_> {
    /// Finds the places a person means by "wheel cylinder, left front", "left
    /// front wheel cylinder", "wheel LF", "cylinder", "hood", or a number.
    #[must_use]
    pub fn meant(&self, text: &str, states: &BTreeMap<PlaceKey, PlaceState>) -> Meant {
        let keys: Vec<&PlaceKey> = states
            .iter()
            .filter(|(_, state)| state.recorded)
            .map(|(key, _)| key)
            .collect();
        let exact = self.exact(text, &keys);
        if exact != Meant::None {
            return exact;
        }
        let containing = self.containing(text, states);
        if containing != Meant::None {
            return containing;
        }
        let (name, _) = split_name(text, Driven::Unsaid);
        let (name, whole) = (Name::new(&name), Name::new(text));
        let near: Vec<&PlaceKey> = keys
            .into_iter()
            .filter(|key| self.is_ours(key))
            .filter(|key| one_slip(&key.name, name.key()) || one_slip(&key.name, whole.key()))
            .collect();
        match near[..] {
            [] => Meant::None,
            [one] => Meant::Near(one.clone()),
            _ => several(near),
        }
    }

    fn is_ours(&self, key: &PlaceKey) -> bool {
        self.vehicle.is_none_or(|vehicle| key.vehicle == vehicle)
    }

    /// Places of exactly this name, among places that records speak of.
    #[must_use]
    pub fn exact(&self, text: &str, keys: &[&PlaceKey]) -> Meant {
        let mut named = Vec::new();
        let mut fitting = Vec::new();
        let mut there = Vec::new();
        for key in keys.iter().filter(|key| self.is_ours(key)) {
            let driven = self.context.driven(Some(&key.vehicle));
            for (name, at) in readings(text, driven) {
                if key.name != self.aliases.resolve(&key.vehicle, name.key()) {
                    continue;
                }
                if key.at == at.to_string() && !at.is_empty() {
                    there.push(*key);
                }
                named.push(*key);
                let says = at.to_string();
                let words: Vec<&str> = key.at.split(' ').collect();
                if at.is_empty() || says.split(' ').all(|word| words.contains(&word)) {
                    fitting.push(*key);
                }
            }
        }
        // Two vehicles may have the same part in the same place.
        let mut found = match (there.is_empty(), fitting.is_empty()) {
            (false, _) => there,
            (true, false) => fitting,
            (true, true) => named,
        };
        found.sort();
        found.dedup();
        let whole: Vec<&PlaceKey> = found
            .iter()
            .copied()
            .filter(|key| key.at.is_empty())
            .collect();
        match (&found[..], &whole[..]) {
            ([], _) => Meant::None,
            ([one], _) | (_, [one]) => Meant::One((*one).clone()),
            (_, _) => several(found),
        }
    }

    /// Places whose name holds all the words, or other words of the trade for
    /// them; or whose number it is.
    fn containing(&self, text: &str, states: &BTreeMap<PlaceKey, PlaceState>) -> Meant {
        let wanted: Vec<String> = words(text).map(|word| stem(&word)).collect();
        let number = fold(text);
        if wanted.is_empty() {
            return Meant::None;
        }
        // What the handbook knows of the words from each of them on.
        let known: Vec<Option<ShopWordMatch>> = (0..wanted.len())
            .map(|at| synonyms(&wanted[at..], QuestionForm::KeyWords))
            .collect();
        let mut found = Vec::new();
        for (key, state) in states {
            if !self.is_ours(key) || !state.recorded {
                continue;
            }
            let has: BTreeSet<String> = words(&format!("{} {}", state.name, key.at))
                .map(|word| stem(&word))
                .collect();
            let codes = state.units.iter().filter_map(|unit| unit.code.as_ref());
            let is_number = state
                .numbers
                .iter()
                .map(|number| &number.value)
                .chain(codes)
                .any(|code| fold(code) == number);
            if is_number || says_all(&wanted, &known, &has) {
                found.push(key);
            }
        }
        match found[..] {
            [] => Meant::None,
            [one] => Meant::One(one.clone()),
            _ => several(found),
        }
    }
}

/// How a text can be read as name and position: as in an entry, or with the
/// position behind the name without a comma.
fn readings(text: &str, driven: Driven) -> Vec<(Name, Position)> {
    let (name, at) = split_name(text, driven);
    let mut readings = vec![(Name::new(&name), at.clone())];
    for (cut, _) in name.match_indices(' ') {
        if let Some(behind) = Position::of_words(&name[cut..], driven) {
            readings.push((Name::new(&name[..cut]), at.and(&behind)));
            break;
        }
    }
    readings
}

/// Whether all wanted stems, or the other names that are `known` for them from each
/// on, are among these.
fn says_all(wanted: &[String], known: &[Option<ShopWordMatch>], has: &BTreeSet<String>) -> bool {
    let has_all = |stems: &[String]| stems.iter().all(|stem| has.contains(stem));
    let mut at = 0;
    while at < wanted.len() {
        let known = known[at].as_ref();
        let end = at + known.map_or(1, |known| known.length);
        let otherwise = || known.is_some_and(|known| known.others.iter().any(|one| has_all(one)));
        if has_all(&wanted[at..end]) || otherwise() {
            at = end;
        } else if has.contains(&wanted[at]) {
            at += 1;
        } else {
            return false;
        }
    }
    true
}

fn several(mut found: Vec<&PlaceKey>) -> Meant {
    found.sort();
    found.dedup();
    Meant::Several(found.into_iter().cloned().collect())
}

/// By what a list of parts is ordered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PartsOrder {
    /// By system, in the order in which they go back.
    System,
    /// By status, in the order of the work.
    Status,
    /// By shelf.
    Shelf,
}

/// One line of the list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Listed<'l> {
    /// The place.
    pub state: Cow<'l, PlaceState>,
    /// Where it stands.
    pub standing: PartStanding,
}

/// Which parts a list holds.
#[derive(Clone, Debug, Default)]
pub struct PartsFilter {
    /// Of this vehicle.
    pub vehicle: Option<String>,
    /// Of this system.
    pub system: Option<String>,
    /// With this status; "ready" also where records imply it.
    pub status: Option<String>,
}

/// The parts that are wanted, under headings. Systems and vehicles as a whole
/// are none.
#[must_use]
pub fn list<'l>(
    ledger: &'l Ledger,
    wanted: &PartsFilter,
    order: PartsOrder,
    context: &Context,
) -> Vec<(String, Vec<Listed<'l>>)> {
    let is = |wanted: &Option<String>, value: Option<&str>| {
        wanted
            .as_deref()
            .is_none_or(|wanted| value.is_some_and(|value| fold(value) == fold(wanted)))
    };
    let mut parts: Vec<Listed<'l>> = ledger
        .recorded()
        .filter(|(_, state)| about(state, context) == RecordSubject::Part)
        .map(|(_, state)| Listed {
            standing: standing(state, ledger),
            state: Cow::Borrowed(state),
        })
        .filter(|part| {
            // Said to be ready before more came up, a part is not.
            let status_fits = if is(&wanted.status, Some(Status::Ready.word())) {
                wanted.status.is_none() || part.standing.ready
            } else {
                is(&wanted.status, Some(&part.standing.status))
            };
            is(&wanted.vehicle, Some(&part.state.vehicle))
                && is(&wanted.system, part.state.system.as_deref())
                && status_fits
        })
        .collect();
    let rank = |part: &Listed<'_>| -> (usize, String) {
        match order {
            PartsOrder::System => {
                let system = part.state.system.clone().unwrap_or_default();
                let at = context
                    .systems
                    .iter()
                    .position(|known| fold(known) == fold(&system))
                    .unwrap_or(context.systems.len());
                (at, system)
            }
            PartsOrder::Status => {
                let at = part
                    .standing
                    .known
                    .and_then(|known| Status::ALL.iter().position(|status| *status == known));
                (
                    at.unwrap_or(Status::ALL.len()),
                    part.standing.status.clone(),
                )
            }
            PartsOrder::Shelf => match &part.standing.stored {
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
    let mut groups: Vec<(String, Vec<Listed<'l>>)> = Vec::new();
    for part in parts {
        let heading = match order {
            PartsOrder::System => part
                .state
                .system
                .clone()
                .unwrap_or_else(|| "without a system".into()),
            PartsOrder::Status => part.standing.status.clone(),
            PartsOrder::Shelf => part
                .standing
                .stored
                .clone()
                .unwrap_or_else(|| "without a shelf".into()),
        };
        match groups.last_mut() {
            Some((last, parts)) if fold(last) == fold(&heading) => parts.push(part),
            Some(_) | None => groups.push((heading, vec![part])),
        }
    }
    groups
}
