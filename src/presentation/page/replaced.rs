//! What was replaced, as a page to print.

use maud::{Markup, html};

use super::{MADE_BY, PageKind, whole};
use crate::presentation::export::{Document, Exporter};
use crate::presentation::replaced::{label, new_words, sums};
use crate::reports::replaced::{RecordCommit, ReplacedRow};

/// The audit as a page.
#[derive(Clone, Debug)]
pub struct ReplacedPage {
    /// What stands above it.
    pub title: String,
    /// When it was made, and as of when.
    pub about: String,
}

impl Exporter<[ReplacedRow]> for ReplacedPage {
    fn export(&self, rows: &[ReplacedRow]) -> Document {
        Document::marked(replaced(&self.title, &self.about, rows), MADE_BY)
    }
}

fn replaced(title: &str, about: &str, rows: &[ReplacedRow]) -> String {
    let sums: Vec<String> = sums(rows).iter().map(ToString::to_string).collect();
    let inside = html! {
        h1 { (title) }
        p class="about" { (about) }
        table {
            thead {
                tr {
                    th { "Day" }
                    th { "Part" }
                    th { "What was there" }
                    th { "What is there now" }
                    th { "Old one" }
                    th { "Record" }
                }
            }
            tbody {
                @for row in rows { (replaced_row(row)) }
            }
        }
        p class="about" {
            (rows.len()) " units replaced"
            @if !sums.is_empty() { ", " (sums.join(" and ")) }
            "."
        }
    };
    whole(title, &PageKind::Table, &inside)
}

fn replaced_row(row: &ReplacedRow) -> Markup {
    html! {
        tr {
            td class="day" { (row.date) }
            td {
                (label(row))
                small { (row.vehicle) @if let Some(system) = row.system_words() { ", " (system) } }
            }
            td data-is="was" { (row.old) }
            td data-is="became" {
                (new_words(row))
                @for photo in &row.photos { small { (photo) } }
            }
            td data-is="old one" { (row.fate.as_deref().unwrap_or("not said")) }
            td {
                (row.entry) ":" (row.line)
                @if let Some(recorded) = &row.recorded { small { "recorded " (commit(recorded)) } }
                @if let Some(changed) = row.changed.as_ref().filter(|_| row.changed != row.recorded) {
                    small { "changed " (commit(changed)) }
                }
            }
        }
    }
}

fn commit(recorded: &RecordCommit) -> String {
    format!(
        "{} by {}, commit {}",
        recorded.date, recorded.by, recorded.commit
    )
}
