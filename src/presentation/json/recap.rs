//! A draft, and what has not been told, as JSON.

use serde_json::{Value, json};

use super::{Json, document};
use crate::presentation::export::{Document, Exporter};
use crate::presentation::recap::marks::clock;
use crate::presentation::recap::untold::{ToldTwice, UntoldList};
use crate::recap::{EpisodeDraft, Outline, Shot, StatementOrigin, Untold};

/// A draft with what its JSON says besides.
#[derive(Clone, Copy, Debug)]
pub struct DraftAnswer<'a> {
    /// The draft.
    pub draft: &'a EpisodeDraft,
    /// The length that was asked for.
    pub minutes: u16,
    /// Which clips show it.
    pub shots: &'a [Shot],
}

impl Exporter<DraftAnswer<'_>> for Json {
    fn export(&self, answer: &DraftAnswer<'_>) -> Document {
        document(&recap(answer.draft, answer.minutes, answer.shots))
    }
}

impl Exporter<Outline<'_>> for Json {
    fn export(&self, answer: &Outline<'_>) -> Document {
        document(&outline(answer))
    }
}

impl Exporter<UntoldList<'_>> for Json {
    fn export(&self, list: &UntoldList<'_>) -> Document {
        document(&untold(list.untold, list.twice))
    }
}

/// A draft.
fn recap(draft: &EpisodeDraft, minutes: u16, shots: &[Shot]) -> Value {
    let chapters: Vec<Value> = draft
        .timed()
        .map(|(start, chapter)| {
            let sentences: Vec<Value> = chapter
                .paragraphs
                .iter()
                .flat_map(|paragraph| &paragraph.lines)
                .map(|line| {
                    let (mut entry, mut number, mut report, mut source) = (None, None, None, None);
                    match &line.origin {
                        StatementOrigin::Entry {
                            entry: path, line, ..
                        }
                        | StatementOrigin::Counted {
                            entry: path, line, ..
                        }
                        | StatementOrigin::Page { page: path, line } => {
                            (entry, number) = (Some(path), Some(line));
                        }
                        StatementOrigin::Report(verb) => report = Some(verb),
                        StatementOrigin::Handbook(published) => source = Some(published),
                        StatementOrigin::Noted(_) | StatementOrigin::House => {}
                    }
                    json!({
                        "text": line.text,
                        "entry": entry,
                        "line": number,
                        "report": report,
                        "source": source,
                        "why": line.why,
                    })
                })
                .collect();
            json!({ "title": chapter.title, "start": clock(start), "sentences": sentences })
        })
        .collect();
    let told: Vec<String> = draft.told.iter().map(|name| name.written()).collect();
    let people: Vec<Value> = draft
        .people
        .iter()
        .map(|person| json!({ "name": person.name, "ask": person.ask, "entries": person.entries }))
        .collect();
    let shots: Vec<Value> = shots
        .iter()
        .map(|shot| {
            json!({
                "clip": shot.clip.name,
                "in": shot.clip.from.map(|at| clock(at.into())),
                "out": shot.clip.until.map(|at| clock(at.into())),
                "seen": shot.seen,
                "chapter": shot.chapter,
                "entry": shot.entry,
            })
        })
        .collect();
    json!({
        "title": draft.title,
        "vehicle": draft.vehicle,
        "from": draft.days.map(|(first, _)| first.to_string()),
        "to": draft.days.map(|(_, last)| last.to_string()),
        "minutes": minutes,
        "words": draft.words(),
        "length": clock(draft.seconds()),
        "chapters": chapters,
        "told": told,
        "people": people,
        "shots": shots,
    })
}

/// An outline.
fn outline(outline: &Outline<'_>) -> Value {
    let moments: Vec<Value> = outline
        .rows
        .iter()
        .map(|row| {
            let clip = row.source.clips().next().map(|clip| {
                json!({
                    "clip": clip.name,
                    "in": clip.from.map(|at| clock(at.into())),
                    "out": clip.until.map(|at| clock(at.into())),
                })
            });
            json!({
                "id": row.moment.id,
                "rank": row.rank,
                "entry": row.source.when.entry,
                "line": row.moment.sentences.first().map_or(0, |one| one.line),
                "date": row.source.when.date.to_string(),
                "title": row.source.title,
                "part": row.part(),
                "clip": clip,
                "seconds": row.seconds,
                "ticked": row.ticked,
                "mark": row.moment.worth.then_some("tell"),
                "ask": row.source.asks().collect::<Vec<_>>(),
                "held_back": row.moment.held_back,
                "needs": row.needs,
                "text": row.moment.text(),
            })
        })
        .collect();
    json!({
        "vehicle": outline.request.scope.vehicle,
        "minutes": outline.request.minutes,
        "length": clock(outline.seconds),
        "beside": clock(outline.beside),
        "moments": moments,
    })
}

/// What has not been told.
fn untold(untold: &[Untold<'_>], twice: &[ToldTwice]) -> Value {
    let rows: Vec<Value> = untold
        .iter()
        .map(|one| {
            json!({
                "entry": one.source.when.entry,
                "line": one.line(),
                "date": one.source.when.date.to_string(),
                "part": (!one.source.is_session()).then_some(&one.source.label),
                "record": one.source.twin,
                "weight": one.weight,
                "text": one.best.and_then(|best| Some(&best.sentences.first()?.text)),
                "why": one.why,
            })
        })
        .collect();
    let twice: Vec<Value> = twice
        .iter()
        .map(|(name, episodes)| {
            json!({ "entry": name.entry, "part": name.part, "record": name.record, "episodes": episodes })
        })
        .collect();
    json!({ "untold": rows, "told_twice": twice })
}
