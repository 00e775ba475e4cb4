//! The shot list, as CSV: which clip shows what.

use super::{Csv, table};
use crate::presentation::export::{Document, Exporter};
use crate::presentation::recap::shots::time;
use crate::recap::Shot;

/// The columns of the CSV.
const HEADER: [&str; 7] = ["clip", "in", "out", "seen", "chapter", "date", "entry"];

impl Exporter<[Shot]> for Csv {
    fn export(&self, shots: &[Shot]) -> Document {
        Document::text(csv(shots))
    }
}

/// The list as CSV.
fn csv(shots: &[Shot]) -> String {
    let rows: Vec<Vec<String>> = shots
        .iter()
        .map(|shot| {
            vec![
                shot.clip.name.clone(),
                time(shot.clip.from),
                time(shot.clip.until),
                shot.seen.clone(),
                shot.chapter.clone(),
                shot.date.to_string(),
                shot.entry.clone(),
            ]
        })
        .collect();
    table(&HEADER, &rows)
}
