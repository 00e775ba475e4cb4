//! `part`: one part, or all of them.

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::mem;

use super::arguments::{Common, Forms, Output, PartArgs, PartsOrderArg, WordsForm};
use super::destination::{DocumentSummary, deliver, terminal};
use super::failure::Failure;
use super::find;
use super::fresh_index::{Fresh, fresh};
use super::kept_reply::Question;
use super::scope::{system, vehicle};
use super::world::World;
use super::{Reply, opened};
use crate::entry::Entry;
use crate::handbook::heading::split_name;
use crate::journal::Journal;
use crate::ledger::{Ledger, PlaceKey, PlaceState, States, TimelineStep};
use crate::presentation::export::Exporter;
use crate::presentation::json::Json;
use crate::presentation::part::{Candidates, OnePart, PartList, PartView};
use crate::reports::cautions;
use crate::reports::parts::{
    self, Listed, Meant, NameContext, PartsFilter, PartsOrder, sections, standing,
};
use crate::vocabulary::name::Name;
use crate::vocabulary::position::Driven;

/// Where the states of places come from: the index for now, a fold for any
/// other time.
enum PlaceSource {
    Now(Box<Fresh>),
    Then { ledger: Ledger, entries: Vec<Entry> },
}

impl PlaceSource {
    /// The places of exactly this name, without a look at all the others.
    fn named(&self, text: &str, vehicle: Option<&str>, journal: &Journal) -> Vec<PlaceKey> {
        let PlaceSource::Now(fresh) = self else {
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
            PlaceSource::Now(fresh) => fresh.as_ref(),
            PlaceSource::Then { ledger, .. } => ledger,
        }
    }

    fn state(&self, key: &PlaceKey) -> Option<PlaceState> {
        self.all().state(key).map(Cow::into_owned)
    }

    fn states(&self) -> Result<BTreeMap<PlaceKey, PlaceState>, Failure> {
        match self {
            PlaceSource::Now(fresh) => fresh.states(),
            PlaceSource::Then { ledger, .. } => Ok(ledger.places.clone()),
        }
    }

    /// The prose of a moment.
    fn prose(&self, journal: &Journal, moment: &TimelineStep) -> String {
        let range = moment.prose.start as usize..moment.prose.end as usize;
        let cut = |text: &str| {
            text.get(range.clone())
                .unwrap_or_default()
                .trim()
                .to_owned()
        };
        match self {
            PlaceSource::Now(_) => journal
                .bytes(&moment.spot.file)
                .map(|bytes| cut(&crate::entry::decode(bytes).text))
                .unwrap_or_default(),
            PlaceSource::Then { entries, .. } => entries
                .iter()
                .find(|entry| entry.path == moment.spot.file)
                .map(|entry| cut(&entry.text))
                .unwrap_or_default(),
        }
    }
}

/// Answers `part`.
pub(super) fn run(verb: &PartArgs, common: &Common, world: &World) -> Result<Reply, Failure> {
    let journal = opened::journal(common, world)?;
    let places = places(verb, &journal, world)?;
    let name = verb.name.join(" ");
    let question = Question::of("part", verb, &verb.output, world);
    let keeper = match &places {
        PlaceSource::Now(fresh) => match question.kept(fresh, &journal) {
            Ok(reply) => return Ok(reply),
            Err(keeper) => Some(keeper),
        },
        PlaceSource::Then { .. } => None,
    };
    let reply = if name.trim().is_empty() {
        all(verb, world, &journal, &places)?
    } else {
        one(&name, verb, world, &journal, &places)?
    };
    Ok(match (places, keeper) {
        (PlaceSource::Now(fresh), Some(keeper)) => keeper.keeping(reply, *fresh),
        (PlaceSource::Now(_) | PlaceSource::Then { .. }, _) => reply,
    })
}

fn places(verb: &PartArgs, journal: &Journal, world: &World) -> Result<PlaceSource, Failure> {
    if verb.times.on.is_none() && verb.times.as_written.is_none() {
        let fresh = fresh(journal, world)?;
        fresh.say_uncounted(world);
        return Ok(PlaceSource::Now(Box::new(fresh)));
    }
    let on = opened::maybe_day("--on", verb.times.on.as_ref(), world)?;
    let contents = opened::counted(journal, verb.times.as_written.as_ref(), world)?;
    Ok(PlaceSource::Then {
        ledger: Ledger::fold_until(&contents.entries, on),
        entries: contents.entries,
    })
}

/// One part, or the parts that a name could mean.
fn one(
    name: &str,
    verb: &PartArgs,
    world: &World,
    journal: &Journal,
    places: &PlaceSource,
) -> Result<Reply, Failure> {
    let vehicle = vehicle(verb.vehicle.as_ref(), journal)?;
    let context = journal.context();
    let names = NameContext {
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
        Meant::One(key) => shown(&key, None, verb, world, journal, places),
        Meant::Near(key) => {
            let said = format!("no part is called `{name}`; this one nearly is");
            shown(&key, Some(said), verb, world, journal, places)
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
            let several = journal.vehicles().len() > 1;
            unclear(name, &listed, several, &verb.output, world)
        }
        Meant::None => unclear(name, &[], false, &verb.output, world),
    }
}

/// The parts that a name could mean, in a form that any verb has.
pub(super) fn unclear<F: Forms>(
    asked: &str,
    found: &[Listed],
    several_vehicles: bool,
    output: &Output<F>,
    world: &World,
) -> Result<Reply, Failure> {
    let candidates = Candidates {
        asked,
        found,
        several_vehicles,
    };
    let document = match output.is_json() {
        true => Json.export(&candidates),
        false => terminal(output, world).export(&candidates),
    };
    let reply = match output.is_json() {
        true => deliver(document, output, DocumentSummary::default(), world)?,
        // A sentence about a name is no page and no table.
        false => Reply::new(document.sheets.concat()),
    };
    Ok(reply.answering(false))
}

fn shown(
    key: &PlaceKey,
    said: Option<String>,
    verb: &PartArgs,
    world: &World,
    journal: &Journal,
    places: &PlaceSource,
) -> Result<Reply, Failure> {
    let Some(state) = places.state(key) else {
        return unclear(&key.name, &[], false, &verb.output, world);
    };
    let prose = |moment: &TimelineStep| places.prose(journal, moment);
    let part = PartView {
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
    let one = OnePart {
        part: &part,
        prose_of: &prose,
    };
    let document = match verb.output.form() {
        WordsForm::Text => terminal(&verb.output, world).export(&one),
        WordsForm::Json => Json.export(&one),
    };
    let mut reply = deliver(document, &verb.output, DocumentSummary::default(), world)?;
    let texts = state.timeline.iter().map(|at| at.spot.file.as_str());
    reply.said.extend(opened::in_conflict(journal, texts));
    Ok(reply)
}

/// All parts that are wanted.
fn all(
    verb: &PartArgs,
    world: &World,
    journal: &Journal,
    places: &PlaceSource,
) -> Result<Reply, Failure> {
    let wanted = PartsFilter {
        vehicle: vehicle(verb.vehicle.as_ref(), journal)?,
        system: system(verb.system.as_ref(), journal)?,
        status: find::status(verb.status.as_ref())?,
    };
    let order = match verb.by {
        PartsOrderArg::System => PartsOrder::System,
        PartsOrderArg::Status => PartsOrder::Status,
        PartsOrderArg::Shelf => PartsOrder::Shelf,
    };
    // It lives as long as the process: giving it back piece by piece would take longer.
    let ledger = Box::leak(Box::new(Ledger {
        places: places.states()?,
        aliases: places.all().aliases().clone(),
        ..Ledger::default()
    }));
    let groups = parts::list(ledger, &wanted, order, &journal.context());
    let list = PartList {
        groups: &groups,
        several_vehicles: journal.vehicles().len() > 1 && wanted.vehicle.is_none(),
    };
    let document = match verb.output.form() {
        WordsForm::Text => terminal(&verb.output, world).export(&list),
        WordsForm::Json => Json.export(&list),
    };
    let reply = deliver(document, &verb.output, DocumentSummary::default(), world)?;
    Ok(reply.answering(!groups.is_empty()))
}
