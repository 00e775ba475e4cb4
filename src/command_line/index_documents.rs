//! An entry as documents of the index: one for its own prose, one for each record.
//!
//! Decides nothing about when the index is brought up to date; `fresh_index` does.

use crate::entry::{Context, Entry, Fact, Passage, Record};
use crate::index::RecordDoc;
use crate::ledger::{Aliases, key};
use crate::vocabulary::position::places;

/// What can be found in an entry: its records, its bags, its prose.
pub(super) fn documents(entry: &Entry, aliases: &Aliases, context: &Context) -> Vec<RecordDoc> {
    let title = entry.title.clone().unwrap_or_default();
    let base = |passage: &Passage, line: u32| RecordDoc {
        entry: entry.path.clone(),
        line,
        span: span(passage),
        title: title.clone(),
        date: entry.date.map(|date| date.to_string()),
        vehicle: entry.vehicle.clone(),
        ..RecordDoc::default()
    };
    let mut docs = Vec::new();
    for record in &entry.records {
        docs.push(RecordDoc {
            date: record.date.map(|date| date.to_string()),
            vehicle: record.vehicle.clone(),
            system: record.system.as_ref().map(|(system, _)| system.clone()),
            part: Some(record.name.written().to_owned()),
            at: record.at.iter().map(ToString::to_string).collect(),
            status: record.status().map(|(status, _)| status.word().to_owned()),
            bags: bags(record),
            places: place_keys(record, aliases),
            footage: footage(record),
            text: record_text(entry, record, context),
            ..base(&record.passage, record.spot.line)
        });
    }
    for bag in &entry.bags {
        docs.push(RecordDoc {
            part: Some(format!("Bag {}", bag.label.written())),
            bags: vec![bag.label.written().to_owned()],
            places: bag
                .holds
                .iter()
                .filter_map(|(part, _)| {
                    let vehicle = bag.vehicle.as_deref()?;
                    Some(key(vehicle, &part.name, &part.at, aliases).to_string())
                })
                .collect(),
            text: entry.passage_text(&bag.passage).to_owned(),
            ..base(&bag.passage, bag.spot.line)
        });
    }
    let whole: Vec<&str> = entry
        .facts
        .iter()
        .map(|stated| stated.written.as_str())
        .collect();
    for (at, passage) in entry.prose.iter().enumerate() {
        let mut text = format!("{}\n{}", passage.title, entry.passage_text(passage));
        if at == 0 {
            text.push('\n');
            text.push_str(&whole.join("\n"));
        }
        docs.push(RecordDoc {
            text,
            ..base(passage, passage.line)
        });
    }
    docs
}

fn span(passage: &Passage) -> std::ops::Range<u32> {
    let byte = |at: usize| u32::try_from(at).unwrap_or(u32::MAX);
    byte(passage.bytes.start)..byte(passage.bytes.end)
}

/// Everything a record is to be found by: its passage, and what it takes from
/// the front matter.
fn record_text(entry: &Entry, record: &Record, context: &Context) -> String {
    let mut text = String::new();
    text.push_str(record.name.written());
    for at in &record.at {
        text.push(' ');
        text.push_str(&at.to_string());
    }
    text.push('\n');
    if record.short.is_some() {
        for stated in &record.facts {
            text.push_str(stated.key.word());
            text.push(' ');
            text.push_str(&stated.written);
            text.push('\n');
        }
        if let Some((status, _)) = record.status() {
            text.push_str(status.word());
            text.push('\n');
        }
    } else {
        text.push_str(entry.passage_text(&record.passage));
        for stated in record.facts.iter().filter(|stated| stated.inherited) {
            text.push('\n');
            text.push_str(stated.key.word());
            text.push(' ');
            text.push_str(&stated.written);
        }
    }
    if let Some((system, _)) = &record.system {
        text.push('\n');
        text.push_str(system);
    }
    if let Some(vehicle) = record
        .vehicle
        .as_deref()
        .and_then(|slug| context.vehicle(slug))
    {
        text.push('\n');
        text.push_str(&vehicle.name);
    }
    text
}

fn bags(record: &Record) -> Vec<String> {
    let mut bags = Vec::new();
    for stated in &record.facts {
        if let Some(label) = stated.fact.bag()
            && !bags.contains(&label.written().to_owned())
        {
            bags.push(label.written().to_owned());
        }
    }
    bags
}

fn place_keys(record: &Record, aliases: &Aliases) -> Vec<String> {
    let Some(vehicle) = record.vehicle.as_deref() else {
        return Vec::new();
    };
    let places = places(&record.at);
    places
        .iter()
        .map(|at| key(vehicle, &record.name, at, aliases).to_string())
        .collect()
}

fn footage(record: &Record) -> Option<String> {
    let clips: Vec<&str> = record
        .facts
        .iter()
        .filter(|stated| matches!(stated.fact, Fact::Footage(_)))
        .map(|stated| stated.written.as_str())
        .collect();
    (!clips.is_empty()).then(|| clips.join("; "))
}
