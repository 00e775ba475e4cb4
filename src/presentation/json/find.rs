//! Hits of a search, as JSON.

use serde_json::{Value, json};

use super::said;
use crate::index::Answer;
use crate::presentation::find::{Found, what_was_searched};

/// Hits of a search.
#[must_use]
pub fn find(query: &str, answer: &Answer, found: &[Found<'_>]) -> Value {
    let hits: Vec<Value> = found
        .iter()
        .map(|found| {
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
            })
        })
        .collect();
    json!({
        "query": query,
        "searched": answer.searched,
        "said": what_was_searched(answer),
        "total": answer.total,
        "hits": hits,
    })
}
