//! From the ticked lines of a sheet to an entry: a record a part, with its facts, the
//! narrated words below and the times of the clip.
//!
//! It writes the text and looks at nothing in the journal.

use std::collections::BTreeSet;

use super::fact_line::fact_line;
use super::heard::HeardKind;
use super::sheet::{NarrationSheet, SheetKind, SheetLine};
use crate::entry::{Context, new_entry};
use crate::handbook::heading::split_name;
use crate::handbook::parts::usual_system;
use crate::import::notes::adopted::origin_line;
use crate::vocabulary::name::Name;
use crate::vocabulary::position::Driven;
use crate::vocabulary::words::shown;

/// What the draft has to know of the journal.
#[derive(Clone, Debug)]
pub struct DraftContext {
    /// What the entry is read with.
    pub journal: Context,
    /// The vehicle.
    pub vehicle: String,
    /// The parts of the vehicle that the journal has already.
    pub names: Vec<String>,
    /// On which side it is driven.
    pub driven: Driven,
}

/// A part with its ticked lines.
pub(super) struct DraftedPart<'s> {
    name: String,
    pub(super) lines: Vec<&'s SheetLine>,
}

/// The entry that the ticked lines make.
#[must_use]
pub fn entry_of(sheet: &NarrationSheet, date: &str, context: &DraftContext) -> String {
    let parts = parts(sheet, context.driven);
    let mut told: BTreeSet<usize> = BTreeSet::new();
    let mut sections = Vec::new();
    for part in &parts {
        sections.push(section(part, sheet, context, &mut told));
    }
    let title = match (&sheet.head.title, &sheet.head.clip, &sheet.head.note) {
        (Some(title), _, _) => shown(title),
        (None, Some(clip), _) => format!("What was said in {}", shown(clip)),
        (None, None, Some(_)) => format!("Notes of {date}"),
        (None, None, None) => "What was said".to_owned(),
    };
    let mut below = String::new();
    // Of what was written nothing is left out; of what was said, what nobody ticked.
    if let Some(note) = &sheet.head.note {
        let untold = sheet.words.iter().enumerate();
        for (_, (_, words)) in untold.filter(|(number, _)| !told.contains(number)) {
            below.push_str(&as_prose(words));
            below.push_str("\n\n");
        }
        below.push_str(&format!("{}\n\n", origin_line(note)));
    }
    below.push_str(&sections.join("\n"));
    let fields = [("date", date), ("vehicle", context.vehicle.as_str())];
    new_entry(&fields, &title, &below)
}

/// The parts in the order in which they were spoken of.
pub(super) fn parts(sheet: &NarrationSheet, driven: Driven) -> Vec<DraftedPart<'_>> {
    let mut parts: Vec<DraftedPart<'_>> = Vec::new();
    for line in sheet.lines.iter().filter(|line| line.is_ticked) {
        // An order is a fact of the part that came later.
        let name = match line.kind {
            SheetKind::Order => fact(line, "before").unwrap_or_default().to_owned(),
            SheetKind::Of(_) => line.part.clone(),
        };
        match parts
            .iter_mut()
            .find(|part| is_same_place(&part.name, &name, driven))
        {
            Some(part) => part.lines.push(line),
            None => parts.push(DraftedPart {
                name,
                lines: vec![line],
            }),
        }
    }
    parts
}

/// Whether two headings name one place: "bearings, left front" and "Bearing, left front".
fn is_same_place(one: &str, other: &str, driven: Driven) -> bool {
    let ((one, one_at), (other, other_at)) = (split_name(one, driven), split_name(other, driven));
    one_at == other_at && Name::new(&one) == Name::new(&other)
}

fn section(
    part: &DraftedPart<'_>,
    sheet: &NarrationSheet,
    context: &DraftContext,
    told: &mut BTreeSet<usize>,
) -> String {
    let mut out = format!("## {}\n\n", heading(&part.name));
    let mut push = |key: &str, value: &str| {
        let value = shown(value);
        if !value.trim().is_empty() {
            out.push_str(&fact_line(key, value.trim(), &context.journal));
        }
    };
    let (name, at) = split_name(&part.name, context.driven);
    let is_known = context
        .names
        .iter()
        .any(|known| Name::new(known) == Name::new(&name));
    if !is_known && let Some(system) = usual_system(&name, &at, &context.journal.systems) {
        push("system", system);
    }
    let standing = part.lines.iter().rev().find_map(|line| match line.kind {
        SheetKind::Of(HeardKind::Removed) => Some("removed"),
        SheetKind::Of(HeardKind::Undone) => Some("undone"),
        SheetKind::Of(HeardKind::Fitted) => Some("fitted"),
        SheetKind::Of(
            HeardKind::Found
            | HeardKind::Needs
            | HeardKind::Broken
            | HeardKind::Cut
            | HeardKind::Treated
            | HeardKind::Stored
            | HeardKind::Caution
            | HeardKind::Lesson,
        )
        | SheetKind::Order => None,
    });
    match standing {
        Some(standing) => push("status", standing),
        None if part
            .lines
            .iter()
            .any(|line| line.kind == SheetKind::Of(HeardKind::Stored)) =>
        {
            push("status", "removed")
        }
        // Whether it is still on nobody said.
        None => {}
    }
    for line in &part.lines {
        match line.kind {
            SheetKind::Order => push("after", &line.part),
            SheetKind::Of(_) => {}
        }
    }
    let mut seen: BTreeSet<String> = BTreeSet::new();
    for line in &part.lines {
        let SheetKind::Of(kind) = line.kind else {
            continue;
        };
        if !line.facts.iter().any(|(key, _)| key.is_empty()) {
            match kind {
                HeardKind::Cut => push("found", "was cut"),
                HeardKind::Broken => push("found", "broke"),
                HeardKind::Needs => push("needs", &name),
                HeardKind::Removed
                | HeardKind::Undone
                | HeardKind::Fitted
                | HeardKind::Found
                | HeardKind::Treated
                | HeardKind::Stored
                | HeardKind::Caution
                | HeardKind::Lesson => {}
            }
        }
        for (key, value) in &line.facts {
            let value = value.as_str();
            match key.as_str() {
                "hardware" => push("hardware", value),
                "bag" => push("bag", value),
                "stored" => push("stored", value),
                "to" => push("undone", &format!("{name}, to {value}")),
                "" => {
                    let key = key_of(kind, value);
                    let value = fact_text(kind, value);
                    if seen.insert(format!("{key} {value}")) {
                        push(key, &value);
                    }
                }
                _ => {}
            }
        }
    }
    let mut prose: Vec<&str> = Vec::new();
    let mut times: Vec<(u32, u32)> = Vec::new();
    for line in &part.lines {
        let Some(at) = line.at else { continue };
        let Some(number) = paragraph_at(sheet, at) else {
            continue;
        };
        if told.insert(number) {
            prose.push(&sheet.words[number].1);
        }
        let end = sheet
            .words
            .get(number + 1)
            .map_or(sheet.words[number].0 + 15, |next| next.0);
        match times.last_mut() {
            Some((_, until)) if *until >= at => *until = end.max(*until),
            Some(_) | None => times.push((at, end.max(at + 1))),
        }
    }
    if let Some(clip) = &sheet.head.clip {
        for (from, until) in times {
            push(
                "footage",
                &format!("{clip} {}-{}", minutes(from), minutes(until)),
            );
        }
    }
    for words in prose {
        out.push('\n');
        out.push_str(&as_prose(words));
        out.push('\n');
    }
    out
}

fn heading(name: &str) -> String {
    let mut chars = shown(name).trim_start_matches('#').trim().to_owned();
    if let Some(first) = chars.get(..1) {
        let upper = first.to_uppercase();
        chars.replace_range(..1, &upper);
    }
    chars
}

fn fact<'l>(line: &'l SheetLine, wanted: &str) -> Option<&'l str> {
    line.facts
        .iter()
        .find(|(key, _)| key == wanted)
        .map(|(_, value)| value.as_str())
}

/// The key under which an entry says what a line says.
fn key_of(kind: HeardKind, value: &str) -> &'static str {
    match kind {
        // What a person writes behind a part that came off tells how it was.
        HeardKind::Found
        | HeardKind::Broken
        | HeardKind::Cut
        | HeardKind::Removed
        | HeardKind::Undone
        | HeardKind::Fitted => "found",
        HeardKind::Needs => "needs",
        HeardKind::Treated => "done",
        HeardKind::Stored if value.starts_with("bag ") => "bag",
        HeardKind::Stored => "stored",
        HeardKind::Caution => "caution",
        HeardKind::Lesson => "lesson",
    }
}

fn fact_text(kind: HeardKind, value: &str) -> String {
    // `;` parts needs and work, and words in speech are one of each.
    let value = value.replace(';', ",");
    match kind {
        HeardKind::Broken => format!("broke: {value}"),
        HeardKind::Cut => format!("was cut: {value}"),
        HeardKind::Stored => value.strip_prefix("bag ").unwrap_or(&value).to_owned(),
        HeardKind::Removed
        | HeardKind::Undone
        | HeardKind::Fitted
        | HeardKind::Found
        | HeardKind::Needs
        | HeardKind::Treated
        | HeardKind::Caution
        | HeardKind::Lesson => value,
    }
}

/// The paragraph that is spoken at a second.
fn paragraph_at(sheet: &NarrationSheet, at: u32) -> Option<usize> {
    sheet
        .words
        .iter()
        .rposition(|(from, _)| *from <= at)
        .or(if sheet.words.is_empty() {
            None
        } else {
            Some(0)
        })
}

/// `62:03`, as an entry writes the times of a clip.
fn minutes(seconds: u32) -> String {
    format!("{:02}:{:02}", seconds / 60, seconds % 60)
}

/// Words as a paragraph that Markdown takes for one.
fn as_prose(words: &str) -> String {
    let words = words.split_whitespace().collect::<Vec<_>>().join(" ");
    // What follows a comment's beginning would not be read.
    let words = words.replace("<!--", "\\<!--");
    let begins_otherwise = words
        .starts_with(['#', '>', '<', '-', '+', '*', '!', '~', '|', '=', '`', '['])
        || words.split(' ').next().is_some_and(|first| {
            first.ends_with(['.', ')'])
                && first
                    .trim_end_matches(['.', ')'])
                    .bytes()
                    .all(|byte| byte.is_ascii_digit())
        });
    match begins_otherwise {
        true => format!("\\{words}"),
        false => words,
    }
}

/// An entry without what depends on what the journal knew when it was made.
#[must_use]
pub fn without_context(entry: &str) -> String {
    entry
        .lines()
        .filter(|line| !line.starts_with("- system: "))
        .collect::<Vec<_>>()
        .join("\n")
}

#[cfg(test)]
mod tests {
    use super::super::sheet::read_narration_sheet;
    use super::*;
    use crate::vocabulary::money::Currency;

    #[test]
    fn ticked_lines_become_records_with_words_and_times() {
        let sheet = "clip: A010\n> 0:00:05 The grille's off, four screws.\n> 0:00:20 # of it <!-- cracked\n\
            [x] 0:00:05 removed: grille | hardware: 4 screws, bag 2\n\
            [ ] 0:00:06 removed: bonnet\n\
            [x] 0:00:21 ~ found: grilles | it's cracked; badly\n\
            [x] first: grille | before: radiator\n\
            [x] 0:00:22 needs: radiator | I need a radiator\n";
        let context = DraftContext {
            journal: Context {
                systems: vec!["body".to_owned(), "cooling".to_owned()],
                vehicles: Vec::new(),
                currency: Currency::EUR,
            },
            vehicle: "wren".to_owned(),
            names: Vec::new(),
            driven: Driven::Left,
        };
        let entry = entry_of(&read_narration_sheet(sheet), "2026-03-14", &context);
        let expected = "---\ndate: 2026-03-14\nvehicle: wren\n---\n\n# What was said in A010\n\n\
            ## Grille\n\n- system: body\n- status: removed\n- hardware: 4 screws, bag 2\n- found: it's cracked, badly\n\
            - footage: A010 00:05-00:20\n- footage: A010 00:21-00:35\n\nThe grille's off, four screws.\n\n\\# of it \\<!-- cracked\n\n\
            ## Radiator\n\n- system: cooling\n- after: grille\n- needs: I need a radiator\n- footage: A010 00:22-00:35\n";
        assert_eq!(entry, expected);
        assert_eq!(without_context(&entry).matches("system").count(), 0);
    }
}
