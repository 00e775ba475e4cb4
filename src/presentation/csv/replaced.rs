//! What was replaced, as CSV.

use super::{Csv, table};
use crate::presentation::export::{Document, Exporter};
use crate::reports::replaced::{RecordCommit, ReplacedRow};

/// The columns of the CSV.
const HEADER: [&str; 19] = [
    "vehicle",
    "system",
    "part",
    "at",
    "date",
    "old",
    "new",
    "kind",
    "number",
    "from",
    "amount",
    "currency",
    "fate",
    "entry",
    "line",
    "recorded_commit",
    "recorded_date",
    "changed_commit",
    "changed_date",
];

impl Exporter<[ReplacedRow]> for Csv {
    fn export(&self, rows: &[ReplacedRow]) -> Document {
        Document::text(csv(rows))
    }
}

fn csv(rows: &[ReplacedRow]) -> String {
    let or_empty = |value: &Option<String>| value.clone().unwrap_or_default();
    let commit = |recorded: &Option<RecordCommit>| {
        recorded.as_ref().map_or_else(
            || (String::new(), String::new()),
            |recorded| (recorded.commit.clone(), recorded.date.to_string()),
        )
    };
    let rows: Vec<Vec<String>> = rows
        .iter()
        .map(|row| {
            let (recorded, recorded_date) = commit(&row.recorded);
            let (changed, changed_date) = commit(&row.changed);
            vec![
                row.vehicle.clone(),
                or_empty(&row.system_words()),
                row.part.clone(),
                row.at.clone(),
                row.date.to_string(),
                row.old.clone(),
                row.what.clone(),
                row.kind
                    .map(|kind| kind.word().to_owned())
                    .unwrap_or_default(),
                or_empty(&row.number),
                or_empty(&row.from),
                row.cost.map(|cost| cost.amount()).unwrap_or_default(),
                row.cost
                    .map(|cost| cost.currency.code().to_owned())
                    .unwrap_or_default(),
                or_empty(&row.fate),
                row.entry.clone(),
                row.line.to_string(),
                recorded,
                recorded_date,
                changed,
                changed_date,
            ]
        })
        .collect();
    table(&HEADER, &rows)
}
