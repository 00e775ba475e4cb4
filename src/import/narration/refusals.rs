//! The ticked lines of a sheet that no entry could say: what is wrong with each, and what to
//! write instead.
//!
//! Lines that are no lines of a sheet at all are said where it is read.

use super::draft::{DraftContext, entry_of, parts};
use super::sheet::{NarrationSheet, SheetLine};
use crate::problem::Severity;

/// A line that would be an error in the entry.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LineRefusal {
    /// Its number in the sheet, from 1.
    pub line: u32,
    /// What is wrong with it, and what to do.
    pub why: String,
}

/// The lines that would be errors, in their order. Of two that contradict each other it is
/// the later one.
#[must_use]
pub fn refusals(sheet: &NarrationSheet, date: &str, context: &DraftContext) -> Vec<LineRefusal> {
    let mut refused = Vec::new();
    if error_in(sheet, date, context).is_none() {
        return refused;
    }
    for part in parts(sheet, context.driven) {
        refused.extend(refused_of(&part.lines, date, context));
    }
    refused.sort_by_key(|refusal| refusal.line);
    refused
}

/// Why the line of this number would be an error, if it is ticked and would be one.
#[must_use]
pub fn refusal_of(
    sheet: &NarrationSheet,
    number: u32,
    date: &str,
    context: &DraftContext,
) -> Option<LineRefusal> {
    let parts = parts(sheet, context.driven);
    let is_asked = |line: &SheetLine| line.line == number;
    let mut lines = parts
        .into_iter()
        .find(|part| part.lines.iter().any(|line| is_asked(line)))?
        .lines;
    // It is asked whether this one fits to all others.
    lines.sort_by_key(|line| is_asked(line));
    refused_of(&lines, date, context)
        .into_iter()
        .find(|refusal| refusal.line == number)
}

/// The lines of one part that cannot stand with those before them.
fn refused_of(lines: &[&SheetLine], date: &str, context: &DraftContext) -> Vec<LineRefusal> {
    let mut refused = Vec::new();
    let mut sheet = NarrationSheet::default();
    for line in lines {
        sheet.lines.push((*line).clone());
        if let Some(why) = error_in(&sheet, date, context) {
            sheet.lines.pop();
            refused.push(LineRefusal {
                line: line.line,
                why: format!("`{}: {}`: {why}", line.kind.word(), line.part),
            });
        }
    }
    refused
}

/// The first error in what the entry says of its parts, with what to do in the sheet.
fn error_in(sheet: &NarrationSheet, date: &str, context: &DraftContext) -> Option<String> {
    let entry = entry_of(sheet, date, context);
    let is_heading = |line: &str| line.starts_with("## ");
    let heading = entry.lines().position(is_heading)?;
    let (_, problems) = crate::entry::read(&entry, &context.journal);
    problems.into_iter().find_map(|problem| {
        let at = usize::try_from(problem.spot.line).ok()?.checked_sub(1)?;
        if problem.severity != Severity::Error || at < heading {
            return None;
        }
        let hint = match entry.lines().nth(at).is_some_and(is_heading) {
            // A heading holds a name and nothing else, and so does a line of a sheet.
            true => Some(
                "name one part, its side behind a comma: `brake pipe, left`; how many, and what else there is to say, goes behind a bar: `brake pipe | 2 of them`"
                    .to_owned(),
            ),
            false => problem.hint,
        };
        Some(match hint {
            Some(hint) => format!("{}; {hint}", problem.message),
            None => problem.message,
        })
    })
}

#[cfg(test)]
mod tests {
    use super::super::heard::HeardKind;
    use super::super::sheet::read_narration_sheet;
    use super::*;
    use crate::entry::Context;
    use crate::entry::Key;
    use crate::vocabulary::money::Currency;
    use crate::vocabulary::position::Driven;

    fn context() -> DraftContext {
        DraftContext {
            journal: Context {
                systems: Vec::new(),
                vehicles: Vec::new(),
                currency: Currency::EUR,
            },
            vehicle: "wren".to_owned(),
            names: Vec::new(),
            driven: Driven::Left,
        }
    }

    #[test]
    fn what_an_entry_could_not_say_is_refused_with_its_line() {
        let context = context();
        let sheet = read_narration_sheet(
            "[x] needs: 2 brake pipes\n[ ] needs: 3 hoses\n[x] removed: lid\n[x] first: lid | before: lid\n[x] needs: drum | by Friday\n[x] needs: brake pipe | 2 brake pipes\n[x] found: lid | bent\n",
        );
        let refused = refusals(&sheet, "2026-03-14", &context);
        let lines: Vec<u32> = refused.iter().map(|refusal| refusal.line).collect();
        assert_eq!(lines, [1, 4, 5], "{refused:?}");
        assert!(refused[0].why.contains("two readings"), "{refused:?}");
        assert!(refused[0].why.contains("behind a bar"), "{refused:?}");
        assert!(refused[2].why.contains("behind the work"), "{refused:?}");
        for (line, is_refused) in [(1, true), (2, false), (3, false), (4, true), (7, false)] {
            let why = refusal_of(&sheet, line, "2026-03-14", &context);
            assert_eq!(why.is_some(), is_refused, "{line}: {why:?}");
        }
    }

    #[test]
    fn odd_lines_are_read_as_meant_or_refused() {
        const TEXTS: [&str; 34] = [
            "out on the bench",
            "on the hub, finger tight",
            "removed; fitted",
            "status: removed",
            "bag 12",
            "bag 12; 13",
            "bag 12 or 13",
            "removed",
            "sold",
            "left",
            "\"no\"",
            "'half",
            "cost: 30",
            "2-3 bolts",
            "by Friday",
            "by 31.2.2026",
            "2 or 3",
            "# hash",
            "- dash",
            "* star",
            "[x] box",
            "~ tilde",
            "! tell",
            "hours: 2",
            "sent to: plater",
            "?",
            "at the plater, back by Friday",
            "primed?",
            "shelf 3. Status: sold",
            "...",
            "a: b: c",
            "_",
            "\\",
            "yes, removed",
        ];
        const PARTS: [&str; 20] = [
            "lid",
            "2 brake pipes",
            "two springs",
            "4-way union",
            "12 volt lead",
            "2nd gear",
            "removed lid",
            "lid, left right",
            "lid, kerb side",
            "lid, driver's side",
            "status",
            "bag 4",
            "# lid",
            "- lid",
            "nut; bolt",
            "lid -> pipe",
            "the 2026-03-01 bulb",
            "lid (cracked)",
            "[x] lid",
            "date: 2020-01-01",
        ];
        const FACTS: [&str; 9] = [
            "hardware: a handful",
            "hardware: 2-3 nuts",
            "hardware: 2 nuts; status: sold",
            "bag: 12 or 13",
            "bag: lost",
            "stored: bench, sold",
            "to: a; b",
            "to: ",
            "hardware: 0 nuts",
        ];
        let context = context();
        let mut lines: Vec<String> = Vec::new();
        for kind in HeardKind::ALL {
            lines.extend(TEXTS.map(|text| format!("{}: lid | {text}", kind.word())));
            lines.extend(PARTS.map(|part| format!("{}: {part} | bent", kind.word())));
            lines.extend(PARTS.map(|part| format!("{}: {part}", kind.word())));
            lines.extend(FACTS.map(|fact| format!("{}: lid | {fact}", kind.word())));
        }
        lines.extend(PARTS.map(|part| format!("first: {part} | before: lid")));
        lines.extend(PARTS.map(|part| format!("first: lid | before: {part}")));
        for line in lines {
            let sheet = read_narration_sheet(&format!("[x] {line}\n"));
            let refused = refusals(&sheet, "2026-03-14", &context);
            let entry = entry_of(&sheet, "2026-03-14", &context);
            let (read, problems) = crate::entry::read(&entry, &context.journal);
            let errors = problems
                .iter()
                .filter(|one| one.severity == Severity::Error && one.spot.line > 5);
            assert!(refused.len() <= 1, "{line}: {refused:?}");
            assert_eq!(
                errors.count() > 0,
                !refused.is_empty(),
                "{line}: {problems:?}"
            );
            // No status, cost or hours but that of the kind.
            let statuses = read.records.iter().flat_map(|record| &record.facts);
            let statuses = statuses.filter(|stated| stated.key == Key::Status);
            let strays = read.records.iter().flat_map(|record| &record.facts);
            let mut strays =
                strays.filter(|stated| matches!(stated.key, Key::Cost | Key::Hours | Key::SentTo));
            assert!(statuses.count() <= 1, "{entry}");
            assert!(strays.next().is_none(), "{entry}");
        }
    }

    #[test]
    fn words_that_were_said_become_no_facts() {
        for words in [
            "Bag 12, four screws.",
            "Removed, bag 12, 4 screws",
            "Status: removed",
            "- bag: 12",
            "Cost: 30 pounds",
            "Needs: a new one.",
            "## Lid",
            "off",
            "Lid: removed",
            "[x] done",
            "1. first",
            "Photo: a.jpg",
            "stored: x",
        ] {
            let said = format!("> 0:00:05 {words}\n[x] 0:00:06 caution: lid | hot\n");
            let entry = entry_of(&read_narration_sheet(&said), "2026-03-14", &context());
            let (read, _) = crate::entry::read(&entry, &context().journal);
            let facts: Vec<Key> = read
                .records
                .iter()
                .flat_map(|record| &record.facts)
                .map(|stated| stated.key)
                .collect();
            assert_eq!(facts, [Key::Caution], "{entry}");
        }
    }
}
