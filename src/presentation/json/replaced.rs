//! What was replaced, as JSON.

use serde_json::{Value, json};

use super::{Json, document, money, said};
use crate::presentation::export::{Document, Exporter};
use crate::reports::replaced::{RecordCommit, ReplacedRow};

impl Exporter<[ReplacedRow]> for Json {
    fn export(&self, rows: &[ReplacedRow]) -> Document {
        document(&replaced(rows))
    }
}

fn replaced(rows: &[ReplacedRow]) -> Value {
    let commit = |recorded: &Option<RecordCommit>| {
        recorded.as_ref().map_or(
            Value::Null,
            |recorded| json!({ "commit": recorded.commit, "date": recorded.date.to_string(), "by": recorded.by }),
        )
    };
    let rows: Vec<Value> = rows
        .iter()
        .map(|row| {
            json!({
                "vehicle": row.vehicle,
                "system": row.system,
                "system_assumed": row.system_assumed,
                "part": row.part,
                "at": said(&row.at),
                "date": row.date.to_string(),
                "old": row.old,
                "new": {
                    "what": said(&row.what),
                    "kind": row.kind.map(|kind| kind.word()),
                    "number": row.number,
                    "from": row.from,
                    "cost": money(row.cost),
                },
                "fate": row.fate,
                "photos": row.photos,
                "entry": row.entry,
                "line": row.line,
                "recorded": commit(&row.recorded),
                "changed": commit(&row.changed),
            })
        })
        .collect();
    json!({ "rows": rows })
}
