//! The outline as a sheet of plain text that a person edits: a line a moment,
//! `[x] id rank length day part | clip | words`.
//!
//! `recap/edited_outline.rs` reads the edited sheet.

use std::fmt::Write;

use super::marks::short_clock;
use crate::presentation::export::{Document, Exporter};
use crate::presentation::text::shown;
use crate::recap::{Outline, OutlineRow};

/// The form of a sheet that a person edits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sheet;

impl Exporter<Outline<'_>> for Sheet {
    fn export(&self, outline: &Outline<'_>) -> Document {
        Document::text(sheet(outline))
    }
}

/// Words of a moment on its line.
const FIRST_WORDS: usize = 14;

/// The sheet of an outline.
fn sheet(outline: &Outline<'_>) -> String {
    let ticked = outline.rows.iter().filter(|row| row.ticked).count();
    let mut out = format!("# {}", shown(outline.request.vehicle_name));
    let (first, last) = outline.request.scope.days;
    let _ = write!(
        out,
        ", {first} to {last}: {ticked} of {} moments ticked, {} of {}:00 minutes\n\
         # Tick [x] what to tell, empty [ ] what not; move and delete lines, change `minutes`.\n\
         # Then: matchmark recap --from THIS-FILE; with --as outline it counts anew.\n\
         # Each line: id, rank (1 promises most), length, day, part, clip, first words.\n\
         # `!` is marked as worth telling, `+id` belongs to that one, `?name` must be asked,\n\
         # `~?` reads as if it were not to be told.\n\
         vehicle: {}\nminutes: {}\n",
        outline.rows.len(),
        short_clock(outline.seconds),
        outline.request.minutes,
        shown(outline.request.scope.vehicle),
        outline.request.minutes,
    );
    let _ = write!(
        out,
        "\n# Said beside the moments, {} in all\n",
        short_clock(outline.beside)
    );
    let mut beside = outline.request.omitted;
    for (name, is_omitted) in beside.named() {
        let _ = writeln!(out, "[{}] {name}", if *is_omitted { ' ' } else { 'x' });
    }
    let mut entry = "";
    for row in &outline.rows {
        let own = &row.source;
        if own.when.entry != entry {
            entry = &own.when.entry;
            let title = own.title.unwrap_or(entry);
            let _ = write!(out, "\n# {} {}\n", own.when.date, shown(title));
        }
        out.push_str(&line(row));
        out.push('\n');
    }
    out
}

/// The line of a moment.
#[must_use]
pub fn line(row: &OutlineRow<'_>) -> String {
    let mut out = format!(
        "[{}] {} {:>4} {:>5} {}",
        if row.ticked { 'x' } else { ' ' },
        row.moment.id,
        row.rank,
        short_clock(row.seconds),
        row.source.when.date
    );
    if let Some(part) = row.part() {
        let _ = write!(out, " {}", shown(part));
    }
    if let Some(clip) = row.source.clips().next() {
        let _ = write!(out, " | {}", shown(&clip.name));
        if let Some(from) = clip.from {
            let _ = write!(out, " {}", short_clock(from.into()));
        }
    }
    out.push_str(" |");
    if row.moment.worth {
        out.push_str(" !");
    }
    if row.moment.held_back {
        out.push_str(" ~?");
    }
    for need in &row.needs {
        let _ = write!(out, " +{need}");
    }
    for name in row.source.asks() {
        let _ = write!(out, " ?{}", shown(name).replace(' ', "-"));
    }
    let text = row.moment.text();
    let words: Vec<&str> = text.split_whitespace().collect();
    let _ = write!(
        out,
        " {}",
        shown(&words[..words.len().min(FIRST_WORDS)].join(" "))
    );
    if words.len() > FIRST_WORDS {
        out.push_str(" ...");
    }
    out
}
