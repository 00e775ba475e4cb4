//! What is open, as JSON.

use serde_json::{Value, json};

use super::{Json, document, said};
use crate::presentation::export::{Document, Exporter};
use crate::presentation::needs::NeedsView;
use crate::reports::needs::OpenNeed;

impl Exporter<NeedsView<'_>> for Json {
    fn export(&self, shown: &NeedsView<'_>) -> Document {
        document(&needs(shown.all, shown.today))
    }
}

/// What is open on a day.
fn needs(all: &[OpenNeed], today: jiff::civil::Date) -> Value {
    let needs: Vec<Value> = all
        .iter()
        .map(|open| {
            json!({
                "vehicle": open.vehicle,
                "system": open.system,
                "system_assumed": open.system_assumed,
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
