//! `find`: words, sizes, bags.

use super::arguments::{Common, FindArgs, WordsForm};
use super::destination::{DocumentSummary, deliver, terminal};
use super::failure::Failure;
use super::fresh_index::{Fresh, fresh};
use super::question_scope::Narrowed;
use super::scope::{DateSpan, system, vehicle};
use super::world::World;
use super::{Reply, opened};
use crate::handbook::heading::split_name;
use crate::index::{Hit, Query, SearchAnswer};
use crate::journal::Journal;
use crate::ledger::{PlaceKey, PlaceState};
use crate::presentation::export::Exporter;
use crate::presentation::find::{CurrentPlace, HitView, Hits};
use crate::presentation::json::Json;
use crate::reports::parts::standing;
use crate::vocabulary::position::{Driven, Position};
use crate::vocabulary::status::{Status, StatusWord};
use crate::vocabulary::status_words::{StatusReading, read_said};
use crate::vocabulary::words::fold;

/// Answers `find`.
pub(super) fn run(verb: &FindArgs, common: &Common, world: &World) -> Result<Reply, Failure> {
    let journal = opened::journal(common, world)?;
    let query = query(verb, &journal, world)?;
    let mut fresh = fresh(&journal, world)?;
    let most = usize::from(verb.most);
    let mut answer = search(&mut fresh, &journal, &query, most)?;
    if let Some(narrowed) = Narrowed::of(&query.text, &journal.context())
        && let Some(found) = search_narrowed(&mut fresh, &journal, &query, narrowed, most)?
        // What has all the words somewhere else is more than what has some of them there.
        && (found.total > 0 || answer.total == 0)
    {
        answer = found;
    }
    if let Some(bag) = bag_asked(&query.text) {
        // Records of other bags would be no answer to a bag in the hand.
        answer
            .also
            .retain(|hit| hit.bags.iter().any(|own| fold(own) == bag));
    }
    let found = with_places(&fresh, &answer.hits);
    let also = with_places(&fresh, &answer.also);
    let hits = Hits {
        query: &query.text,
        answer: &answer,
        found: &found,
        also: &also,
    };
    let document = match verb.output.form() {
        WordsForm::Text => terminal(&verb.output, world).export(&hits),
        WordsForm::Json => Json.export(&hits),
    };
    let any = answer.total > 0;
    let mut reply =
        deliver(document, &verb.output, DocumentSummary::default(), world)?.answering(any);
    let shown = answer.hits.iter().chain(&answer.also);
    let texts = shown.map(|hit| hit.entry.as_str());
    reply.said.extend(opened::in_conflict(&journal, texts));
    let index = fresh.index;
    reply.afterwards = Some(Box::new(move || index.end()));
    Ok(reply)
}

/// The label, if nothing but a bag is asked for.
fn bag_asked(text: &str) -> Option<String> {
    let label = fold(text).strip_prefix("bag ")?.to_owned();
    (!label.contains(' ')).then_some(label)
}

/// What is asked of the index.
fn query(verb: &FindArgs, journal: &Journal, world: &World) -> Result<Query, Failure> {
    let day = |day: jiff::civil::Date| day.to_string();
    let span = DateSpan::typed(&verb.days, world)?;
    let (part, at) = match &verb.only.part {
        Some(part) => {
            let (name, at) = split_name(part, Driven::Unsaid);
            (Some(name), (!at.is_empty()).then(|| at.to_string()))
        }
        None => (None, None),
    };
    Ok(Query {
        text: verb.words.join(" "),
        vehicle: vehicle(verb.only.vehicle.as_ref(), journal)?,
        system: system(verb.only.system.as_ref(), journal)?,
        part,
        at,
        status: status(verb.status.as_ref())?,
        since: span.since.map(day),
        until: span.until.map(day),
    })
}

/// The status after `--status`, by its word in the format.
pub(super) fn status(text: Option<&String>) -> Result<Option<String>, Failure> {
    let Some(text) = text else { return Ok(None) };
    match read_said(text) {
        StatusReading::Clear(StatusWord::Standing(status)) => Ok(Some(status.word().to_owned())),
        StatusReading::Doubtful(readings) => Err(Failure::misuse(
            format!("`{text}` has more than one reading: {readings}"),
            "ask for the one you mean".to_owned(),
        )),
        StatusReading::Clear(StatusWord::Surface(_) | StatusWord::Work(_))
        | StatusReading::Unread => {
            let known: Vec<&str> = Status::ALL.iter().map(|status| status.word()).collect();
            Err(Failure::misuse(
                format!("`{text}` is no status"),
                format!("a status is one of: {}", known.join(", ")),
            ))
        }
    }
}

/// Searches what the index reflects; passages are read from the disk.
fn search(
    fresh: &mut Fresh,
    journal: &Journal,
    query: &Query,
    most: usize,
) -> Result<SearchAnswer, Failure> {
    let read = |path: &str| {
        let bytes = journal.bytes(path).ok()?;
        Some(crate::entry::decode(bytes).text)
    };
    Ok(fresh.index.search(query, most, &read)?)
}

/// Searches as the question narrows it, unless options say otherwise or nothing is found.
fn search_narrowed(
    fresh: &mut Fresh,
    journal: &Journal,
    query: &Query,
    narrowed: Narrowed,
    most: usize,
) -> Result<Option<SearchAnswer>, Failure> {
    let day = |day: jiff::civil::Date| day.to_string();
    let is_free = query.since.is_none() && query.until.is_none() && query.vehicle.is_none();
    if !is_free {
        return Ok(None);
    }
    let query = Query {
        text: narrowed.text,
        vehicle: narrowed.vehicle,
        since: narrowed.days.since.map(day),
        until: narrowed.days.until.map(day),
        ..query.clone()
    };
    let mut answer = search(fresh, journal, &query, most)?;
    answer.narrowed = Some(narrowed.said);
    let is_found = !answer.hits.is_empty() || !answer.also.is_empty();
    Ok(is_found.then_some(answer))
}

/// The hits with where their places stand now.
fn with_places<'a>(fresh: &Fresh, hits: &'a [Hit]) -> Vec<HitView<'a>> {
    hits.iter()
        .map(|hit| HitView {
            hit,
            now: hit
                .places
                .iter()
                .filter_map(|(key, bytes)| {
                    let key = PlaceKey::from_text(key)?;
                    let state = PlaceState::from_bytes(bytes.as_deref()?)?;
                    Some(meant(fresh, key, state))
                })
                .flatten()
                .map(|(key, state)| CurrentPlace {
                    // The places of a bag are of several parts.
                    name: (Some(&state.name) != hit.part.as_ref()).then(|| state.label()),
                    at: key.at,
                    unit: state.unit().number,
                    standing: standing(&state, fresh),
                })
                .collect(),
        })
        .collect()
}

/// The place itself; if it is only a name in a bag's section ("holds: hub"),
/// the places that records speak of by that name.
fn meant(fresh: &Fresh, key: PlaceKey, state: PlaceState) -> Vec<(PlaceKey, PlaceState)> {
    if state.recorded {
        return vec![(key, state)];
    }
    let said = Position::free(&key.at, Driven::Unsaid);
    fresh
        .places_named(&key.vehicle, &key.name)
        .into_iter()
        .filter(|state| state.recorded)
        .filter(|state| key.at.is_empty() || said.widens_to(&state.at))
        .map(|state| (state.key.clone(), state))
        .collect()
}
