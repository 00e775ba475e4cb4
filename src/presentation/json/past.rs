//! How the records changed, as JSON.

use serde_json::{Value, json};

use super::{Json, document, said};
use crate::presentation::export::{Document, Exporter};
use crate::presentation::past::ChangeView;

impl Exporter<[ChangeView]> for Json {
    fn export(&self, changes: &[ChangeView]) -> Document {
        document(&past(changes))
    }
}

fn past(changes: &[ChangeView]) -> Value {
    let changes: Vec<Value> = changes
        .iter()
        .map(|change| {
            let facts: Vec<Value> = change
                .facts
                .iter()
                .map(|fact| {
                    json!({
                        "part": fact.part,
                        "at": said(&fact.at),
                        "key": fact.key,
                        "before": fact.before,
                        "after": fact.after,
                    })
                })
                .collect();
            json!({
                "commit": change.commit,
                "date": change.date,
                "author": change.author,
                "entry": change.entry,
                "kind": change.kind,
                "facts": facts,
                "difference": change.difference,
            })
        })
        .collect();
    json!({ "changes": changes })
}
