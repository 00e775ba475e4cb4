//! The shot list: which clip shows what, for a person and as CSV.

use super::marks::short_clock;
use crate::presentation::csv_table::table;
use crate::presentation::text::{Label, Text, plain};
use crate::recap::Shot;

/// The columns of the CSV.
const HEADER: [&str; 7] = ["clip", "in", "out", "seen", "chapter", "date", "entry"];

/// The list as CSV.
#[must_use]
pub fn csv(shots: &[Shot]) -> String {
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

/// The list for a person.
#[must_use]
pub fn render(shots: &[Shot], width: usize) -> Text {
    let mut text = Text::new(width);
    for shot in shots {
        let span = match (shot.clip.from, shot.clip.until) {
            (None, None) => String::new(),
            (from, until) => format!(" {} to {}", time(from), or_end(until)),
        };
        text.wrapped(
            0,
            4,
            &[
                (Label::Part, shot.clip.name.clone()),
                plain(format!("{span}  {}", shot.seen)),
                (
                    Label::Faint,
                    format!("  ({}, for {})", shot.date, shot.chapter),
                ),
            ],
        );
    }
    text
}

fn time(seconds: Option<u32>) -> String {
    seconds.map_or_else(String::new, |seconds| short_clock(seconds.into()))
}

fn or_end(seconds: Option<u32>) -> String {
    if seconds.is_some() {
        time(seconds)
    } else {
        "the end".to_owned()
    }
}
