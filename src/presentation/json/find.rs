//! Hits of a search, as JSON.

use serde_json::{Value, json};

use super::{Json, document, said};
use crate::presentation::export::{Document, Exporter};
use crate::presentation::find::{HitView, Hits, what_was_searched};

impl Exporter<Hits<'_>> for Json {
    fn export(&self, hits: &Hits<'_>) -> Document {
        document(&find(hits))
    }
}

/// Hits of a search.
fn find(shown: &Hits<'_>) -> Value {
    let answer = shown.answer;
    json!({
        "query": shown.query,
        "searched": answer.searched,
        "said": what_was_searched(answer),
        "total": answer.total,
        "hits": shown.found.iter().map(hit).collect::<Vec<_>>(),
        "also": shown.also.iter().map(hit).collect::<Vec<_>>(),
    })
}

/// One hit.
fn hit(found: &HitView<'_>) -> Value {
    let hit = found.hit;
    let now: Vec<Value> = found
        .now
        .iter()
        .map(|now| {
            json!({
                "part": now.name,
                "at": said(&now.at),
                "unit": now.unit,
                "status": now.standing.status,
                "bags": now.standing.bags,
                "stored": now.standing.stored,
            })
        })
        .collect();
    let pictures: Vec<Value> = hit
        .pictures
        .iter()
        .map(|(path, caption)| json!({ "path": path, "caption": caption }))
        .collect();
    json!({
        "entry": hit.entry,
        "line": hit.line,
        "date": hit.date,
        "vehicle": hit.vehicle,
        "system": hit.system,
        "part": hit.part,
        "at": said(&hit.at.join("; ")),
        "status": hit.status,
        "now": now,
        "passage": hit.passage,
        "marks": hit.marks,
        "footage": hit.footage,
        "pictures": pictures,
    })
}
