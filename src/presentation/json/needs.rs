//! What is open, as JSON.

use serde_json::{Value, json};

use super::said;
use crate::reports::needs::Open;

/// What is open on a day.
#[must_use]
pub fn needs(all: &[Open], today: jiff::civil::Date) -> Value {
    let needs: Vec<Value> = all
        .iter()
        .map(|open| {
            json!({
                "vehicle": open.vehicle,
                "system": open.system,
                "part": open.part,
                "at": said(&open.at),
                "kind": open.kind.word(),
                "need": open.need,
                "since": open.since.to_string(),
                "by": open.by.map(|by| by.to_string()),
                "overdue": open.is_overdue(today),
                "blocks": open.waiting.all,
                "directly": open.waiting.direct,
                "entry": open.spot.file,
                "line": open.spot.line,
            })
        })
        .collect();
    json!({ "needs": needs })
}
