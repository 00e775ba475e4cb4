//! One part, and lists of parts, as JSON.

use serde_json::{Value, json};

use super::{Json, document, merge, money, said};
use crate::ledger::{Dated, PlaceState, TimelineStep};
use crate::presentation::export::{Document, Exporter};
use crate::presentation::part::{Candidates, OnePart, PartList, PartView, clips};
use crate::reports::cautions::Raised;
use crate::reports::parts::{Listed, PartStanding};
use crate::reports::replaced::origin_words;
use crate::reports::torque::recorded;
use crate::vocabulary::named_picture::NamedPicture;

impl Exporter<OnePart<'_>> for Json {
    fn export(&self, one: &OnePart<'_>) -> Document {
        document(&part(one.part, one.prose_of))
    }
}

impl Exporter<PartList<'_>> for Json {
    fn export(&self, list: &PartList<'_>) -> Document {
        document(&parts(
            "parts",
            list.groups.iter().flat_map(|(_, parts)| parts),
        ))
    }
}

impl Exporter<Candidates<'_>> for Json {
    fn export(&self, candidates: &Candidates<'_>) -> Document {
        document(&parts("candidates", candidates.found.iter()))
    }
}

fn part(part: &PartView<'_>, prose_of: &dyn Fn(&TimelineStep) -> String) -> Value {
    let state = part.state;
    let units: Vec<Value> = state
        .units
        .iter()
        .map(|unit| {
            json!({
                "unit": unit.number,
                "from": unit.from.map(|day| day.to_string()),
                "until": unit.until.map(|day| day.to_string()),
                "kind": unit.kind.map(|kind| kind.word()),
                "number": unit.code,
                "source": unit.source.as_ref().map(origin_words),
                "cost": money(unit.cost),
                "fate": unit.fate.map(|fate| fate.word().to_owned())
                    .or_else(|| unit.moved_to.as_ref().map(|to| format!("moved to {to}"))),
            })
        })
        .collect();
    let timeline: Vec<Value> = state
        .timeline
        .iter()
        .map(|moment| {
            let facts: Vec<Value> = moment
                .facts
                .iter()
                .map(|(key, value)| json!({ "key": said(key), "value": value }))
                .collect();
            json!({
                "date": moment.when.date.to_string(),
                "entry": moment.spot.file,
                "line": moment.spot.line,
                "status": moment.status.map_or("at hand", |status| status.word()),
                "unit": moment.unit,
                "facts": facts,
                "text": prose_of(moment).trim(),
            })
        })
        .collect();
    let needs: Vec<Value> = state
        .open_needs()
        .map(|need| {
            json!({
                "need": need.need.text,
                "since": need.since.to_string(),
                "by": need.need.by.map(|day| day.to_string()),
                "entry": need.spot.file,
                "line": need.spot.line,
            })
        })
        .collect();
    let cautions: Vec<&str> = state
        .cautions
        .iter()
        .map(|caution| caution.value.as_str())
        .collect();
    let mut value = listed(state, &part.standing);
    merge(
        &mut value,
        json!({
            "also": part.also,
            "unit": state.unit().number,
            "ready": part.standing.ready,
            "surface": state.surface.map(|surface| surface.word()),
            "units": units,
            "timeline": timeline,
            "needs": needs,
            "cautions": cautions,
            "pictures": pictures(state),
            "clips": clips(state).map(clip_value).collect::<Vec<Value>>(),
            "general_cautions": general_cautions(&part.raised),
            "torques": torques(state),
        }),
    );
    value
}

/// A clip with its times, as a record names it.
fn clip_value((moment, clip): (&TimelineStep, &str)) -> Value {
    json!({
        "clip": clip,
        "date": moment.when.date.to_string(),
        "entry": moment.spot.file,
        "line": moment.spot.line,
    })
}

/// The pictures of a part, as its records name them.
fn pictures(state: &PlaceState) -> Vec<Value> {
    let picture = |picture: &Dated<NamedPicture>| {
        json!({
            "path": picture.value.path,
            "caption": picture.value.caption,
            "date": picture.date.to_string(),
            "entry": picture.spot.file,
            "line": picture.spot.line,
        })
    };
    state.photos.iter().map(picture).collect()
}

/// The recorded torques of a part, in both unit systems.
pub(super) fn torques(state: &PlaceState) -> Vec<Value> {
    let torque = |written: &Dated<String>| {
        let torque = recorded(&written.value);
        json!({
            "written": written.value,
            "figures": torque.figures,
            "converted": torque.converted,
            "further": torque.further,
            "source": said(&torque.source),
            "entry": written.spot.file,
            "line": written.spot.line,
        })
    };
    state.torques.iter().map(torque).collect()
}

/// Cautions of the handbook, and what raised them.
pub(super) fn general_cautions(raised: &[Raised]) -> Vec<Value> {
    raised
        .iter()
        .map(|raised| {
            let caution = raised.caution();
            json!({
                "hazard": caution.name,
                "text": caution.text,
                "source": caution.source.words(),
                "word": raised.word,
                "entry": said(&raised.spot.file),
                "line": raised.spot.line,
            })
        })
        .collect()
}

/// What a list says of a part.
fn listed(state: &PlaceState, standing: &PartStanding) -> Value {
    json!({
        "vehicle": state.vehicle,
        "part": state.name,
        "at": said(&state.at.to_string()),
        "system": state.system,
        "system_assumed": state.system_is_assumed(),
        "status": standing.status,
        "bags": standing.bags,
        "stored": standing.stored,
    })
}

/// Parts under a key: `parts` for a list, `candidates` for a name that could
/// be any of them.
fn parts<'p>(key: &str, parts: impl Iterator<Item = &'p Listed<'p>>) -> Value {
    let parts: Vec<Value> = parts
        .map(|part| listed(&part.state, &part.standing))
        .collect();
    json!({ key: parts })
}
