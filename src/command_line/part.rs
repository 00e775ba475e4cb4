//! `part`: one part, or all of them.

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::mem;

use super::arguments::{By, Common, Part};
use super::failure::Failure;
use super::find::{self, system, vehicle};
use super::fresh_index::{Fresh, fresh};
use super::world::World;
use super::{Reply, opened};
use crate::entry::Entry;
use crate::journal::Journal;
use crate::ledger::{Ledger, Moment, PlaceKey, PlaceState, States};
use crate::presentation::json;
use crate::presentation::part::{Shown, candidates, list, render};
use crate::presentation::text::{Label, Text};
use crate::reports::cautions;
use crate::reports::parts::{self, Listed, Meant, Names, Order, Wanted, sections, standing};
use crate::vocabulary::name::Name;
use crate::vocabulary::position::{Driven, split_name};

/// Where the states of places come from: the index for now, a fold for any
/// other time.
enum Places {
    Now(Box<Fresh>),
    Then { ledger: Ledger, entries: Vec<Entry> },
}

impl Places {
    /// The places of exactly this name, without a look at all the others.
    fn named(&self, text: &str, vehicle: Option<&str>, journal: &Journal) -> Vec<PlaceKey> {
        let Places::Now(fresh) = self else {
            return Vec::new();
        };
        let (name, _) = split_name(text, Driven::Unsaid);
        let name = Name::new(&name);
        journal
            .vehicles()
            .iter()
            .filter(|other| vehicle.is_none_or(|vehicle| other.slug == vehicle))
            .flat_map(|vehicle| fresh.places_named(&vehicle.slug, name.key()))
            .filter(|state| state.recorded)
            .map(|state| state.key)
            .collect()
    }

    fn all(&self) -> &dyn States {
        match self {
            Places::Now(fresh) => fresh.as_ref(),
            Places::Then { ledger, .. } => ledger,
        }
    }

    fn state(&self, key: &PlaceKey) -> Option<PlaceState> {
        self.all().state(key).map(Cow::into_owned)
    }

    fn states(&self) -> Result<BTreeMap<PlaceKey, PlaceState>, Failure> {
        match self {
            Places::Now(fresh) => fresh.states(),
            Places::Then { ledger, .. } => Ok(ledger.places.clone()),
        }
    }

    /// The prose of a moment.
    fn prose(&self, journal: &Journal, moment: &Moment) -> String {
        let range = moment.prose.start as usize..moment.prose.end as usize;
        let cut = |text: &str| {
            text.get(range.clone())
                .unwrap_or_default()
                .trim()
                .to_owned()
        };
        match self {
            Places::Now(_) => journal
                .bytes(&moment.spot.file)
                .map(|bytes| cut(&crate::entry::decode(bytes).text))
                .unwrap_or_default(),
            Places::Then { entries, .. } => entries
                .iter()
                .find(|entry| entry.path == moment.spot.file)
                .map(|entry| cut(&entry.text))
                .unwrap_or_default(),
        }
    }
}

/// Answers `part`.
pub(super) fn run(verb: &Part, common: &Common, world: &World) -> Result<Reply, Failure> {
    let journal = opened::journal(common, world)?;
    let places = places(verb, &journal, world)?;
    let name = verb.name.join(" ");
    let mut reply = if name.trim().is_empty() {
        all(verb, common, world, &journal, &places)?
    } else {
        one(&name, verb, common, world, &journal, &places)?
    };
    if let Places::Now(fresh) = places {
        let index = fresh.index;
        reply.afterwards = Some(Box::new(move || index.end()));
    }
    Ok(reply)
}

fn places(verb: &Part, journal: &Journal, world: &World) -> Result<Places, Failure> {
    if verb.times.on.is_none() && verb.times.as_written.is_none() {
        return Ok(Places::Now(Box::new(fresh(journal, world)?)));
    }
    let on = opened::maybe_day("--on", verb.times.on.as_ref(), world)?;
    let contents = opened::contents(journal, verb.times.as_written.as_ref(), world)?;
    Ok(Places::Then {
        ledger: Ledger::fold_until(&contents.entries, on),
        entries: contents.entries,
    })
}

/// One part, or the parts that a name could mean.
fn one(
    name: &str,
    verb: &Part,
    common: &Common,
    world: &World,
    journal: &Journal,
    places: &Places,
) -> Result<Reply, Failure> {
    let vehicle = vehicle(verb.vehicle.as_ref(), journal)?;
    let context = journal.context();
    let names = Names {
        aliases: places.all().aliases(),
        context: &context,
        vehicle: vehicle.as_deref(),
    };
    let named = places.named(name, vehicle.as_deref(), journal);
    let mut found = names.exact(name, &named.iter().collect::<Vec<_>>());
    if found == Meant::None {
        // What the index could not say is asked again in the same words.
        let states = places.states()?;
        found = names.meant(name, &states);
        // The process ends soon: giving this back piece by piece would take longer.
        mem::forget(states);
    }
    match found {
        Meant::One(key) => shown(&key, None, verb, common, world, journal, places),
        Meant::Near(key) => {
            let said = format!("no part is called `{name}`; this one nearly is");
            shown(&key, Some(said), verb, common, world, journal, places)
        }
        Meant::Several(keys) => {
            let listed: Vec<Listed<'_>> = keys
                .iter()
                .filter_map(|key| places.state(key))
                .filter(|state| state.recorded)
                .map(|state| Listed {
                    standing: standing(&state, places.all()),
                    state: Cow::Owned(state),
                })
                .collect();
            let out = if common.json {
                json::text(&json::parts("candidates", listed.iter()))
            } else {
                let several = journal.vehicles().len() > 1;
                candidates(name, &listed, several, world.width).render(world.colours)
            };
            Ok(Reply::new(out).answering(false))
        }
        Meant::None => Ok(unknown(name, common)),
    }
}

pub(super) fn unknown(name: &str, common: &Common) -> Reply {
    let out = if common.json {
        json::text(&json::parts("candidates", std::iter::empty()))
    } else {
        let mut text = Text::new(80);
        text.line(0, Label::Plain, &format!("no part is called `{name}`"));
        text.line(
            2,
            Label::Plain,
            "`matchmark part` lists all parts; `matchmark find` searches the text",
        );
        text.render(false)
    };
    Reply::new(out).answering(false)
}

fn shown(
    key: &PlaceKey,
    said: Option<String>,
    verb: &Part,
    common: &Common,
    world: &World,
    journal: &Journal,
    places: &Places,
) -> Result<Reply, Failure> {
    let Some(state) = places.state(key) else {
        return Ok(unknown(&key.name, common));
    };
    let prose = |moment: &Moment| places.prose(journal, moment);
    let part = Shown {
        standing: standing(&state, places.all()),
        sections: sections(&state, places.all()),
        also: places
            .all()
            .aliases()
            .others(&key.vehicle, &key.name)
            .to_vec(),
        as_of: said.or(opened::as_of(&verb.times, world)?),
        raised: cautions::of_place(&state, &prose),
        state: &state,
    };
    let out = if common.json {
        json::text(&json::part(&part, &prose))
    } else {
        render(&part, &prose, world.width).render(world.colours)
    };
    Ok(Reply::new(out))
}

/// All parts that are wanted.
fn all(
    verb: &Part,
    common: &Common,
    world: &World,
    journal: &Journal,
    places: &Places,
) -> Result<Reply, Failure> {
    let wanted = Wanted {
        vehicle: vehicle(verb.vehicle.as_ref(), journal)?,
        system: system(verb.system.as_ref(), journal)?,
        status: find::status(verb.status.as_ref())?,
    };
    let order = match verb.by {
        By::System => Order::System,
        By::Status => Order::Status,
        By::Shelf => Order::Shelf,
    };
    // It lives as long as the process: giving it back piece by piece would take longer.
    let ledger = Box::leak(Box::new(Ledger {
        places: places.states()?,
        aliases: places.all().aliases().clone(),
        ..Ledger::default()
    }));
    let groups = parts::list(ledger, &wanted, order, &journal.context());
    let any = !groups.is_empty();
    let out = if common.json {
        json::text(&json::parts(
            "parts",
            groups.iter().flat_map(|(_, parts)| parts),
        ))
    } else if any {
        let several = journal.vehicles().len() > 1 && wanted.vehicle.is_none();
        list(&groups, several, world.width).render(world.colours)
    } else {
        "no such parts\n".to_owned()
    };
    Ok(Reply::new(out).answering(any))
}
