//! A written note as a sheet: its paragraphs, heard as if they were read aloud, and the
//! lines that are proposed from them. Numbers of paragraphs stand where a narration has
//! times.
//!
//! Whether the note is in the journal already is not asked here.

use std::fmt::Write;

use super::cues::Cue;
use super::hear::{Told, hear};
use super::sheet::{SheetHead, SheetLine, line_text, lines};
use crate::vocabulary::position::Driven;
use crate::vocabulary::words::shown;

/// Words that are read aloud in a minute.
const WORDS_A_MINUTE: usize = 150;

/// The words of a passage.
const PASSAGE_WORDS: usize = 300;

/// The sheet of a note. `names` are the parts that the journal has.
#[must_use]
pub fn note_sheet(body: &str, head: &SheetHead, names: &[String], driven: Driven) -> String {
    let paragraphs = paragraphs(body);
    let mut cues = Vec::new();
    let mut starts = Vec::new();
    let mut second = 0_usize;
    for paragraph in &paragraphs {
        starts.push(u32::try_from(second).unwrap_or(u32::MAX));
        let words = paragraph.split_whitespace().count();
        let length = (words * 60).div_ceil(WORDS_A_MINUTE).max(1);
        let at = |second: usize| u32::try_from(second * 1000).unwrap_or(u32::MAX);
        cues.push(Cue {
            start: at(second),
            end: at(second + length),
            text: paragraph.clone(),
        });
        second += length;
    }
    let narration = hear(cues, names, driven, Told::Afterwards);
    let number = |at: u32| starts.iter().filter(|start| **start <= at).count();
    let lines: Vec<SheetLine> = lines(&narration, 0, names)
        .into_iter()
        .map(|mut line| {
            line.at = line
                .at
                .map(|at| u32::try_from(number(at)).unwrap_or(u32::MAX));
            line
        })
        .collect();
    let ticked = lines.iter().filter(|line| line.is_ticked).count();
    let mut out = format!(
        "# What was said: {ticked} of {} lines ticked. Tick [x] what happened, empty [ ] what did not.\n\
         # `~` is inferred: look at it. Lines may be changed, added, moved and deleted.\n\
         # Then: matchmark adopt --from THIS-FILE\n\
         vehicle: {}\ndate: {}\nnote: {}\n",
        lines.len(),
        shown(head.vehicle.as_deref().unwrap_or_default()),
        shown(head.date.as_deref().unwrap_or_default()),
        shown(head.note.as_deref().unwrap_or_default()),
    );
    if let Some(title) = &head.title {
        let _ = writeln!(out, "title: {}", shown(title));
    }
    let mut first = 0;
    while first < paragraphs.len() {
        let mut words = 0;
        let mut last = first;
        while last < paragraphs.len() && (last == first || words < PASSAGE_WORDS) {
            words += paragraphs[last].split_whitespace().count();
            last += 1;
        }
        let _ = writeln!(out, "\n# {}-{}", numbered(first + 1), numbered(last));
        for (paragraph, number) in paragraphs[first..last].iter().zip(first + 1..) {
            let _ = writeln!(out, "> {} {}", numbered(number), shown(paragraph));
        }
        for line in &lines {
            let number = line.at.and_then(|at| usize::try_from(at).ok()).unwrap_or(1);
            if (first + 1..=last).contains(&number) {
                out.push_str(&line_text(line, |at| format!("#{at}")));
                out.push('\n');
            }
        }
        first = last;
    }
    out
}

fn numbered(paragraph: usize) -> String {
    format!("#{paragraph}")
}

/// The paragraphs of a note, each in one line: items of lists and headings by themselves,
/// code left out.
fn paragraphs(body: &str) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    let mut is_open = false;
    let mut is_code = false;
    for line in body.lines() {
        let own = line.trim();
        if own.starts_with("```") || own.starts_with("~~~") {
            (is_code, is_open) = (!is_code, false);
            continue;
        }
        let bare = own
            .trim_start_matches(['#', '>', '*', '+', '-', '=', '_'])
            .trim();
        if is_code || bare.is_empty() {
            is_open = false;
            continue;
        }
        let is_item = bare.len() < own.len();
        match all.last_mut().filter(|_| is_open && !is_item) {
            Some(last) => {
                last.push(' ');
                last.push_str(bare);
            }
            None => all.push(bare.to_owned()),
        }
        is_open = !own.starts_with('#');
    }
    all
}

#[cfg(test)]
mod tests {
    use super::super::draft::{DraftContext, entry_of};
    use super::super::sheet::read_narration_sheet;
    use super::*;
    use crate::entry::Context;
    use crate::vocabulary::money::Currency;

    const NOTE: &str = "# Front end\n\nI took the grille off, four\nscrews. It was wet.\n\n- The radiator is cracked.\n- I need a radiator.\n\n```\nthe wing is off\n```\n\nTea.\n";

    #[test]
    fn a_note_becomes_a_sheet_and_the_sheet_loses_no_word() {
        let head = SheetHead {
            vehicle: Some("wren".to_owned()),
            date: Some("2026-03-14".to_owned()),
            note: Some("front.md".to_owned()),
            title: Some("Front end".to_owned()),
            clip: None,
        };
        let text = note_sheet(NOTE, &head, &[], Driven::Left);
        assert!(
            text.contains("\n> #2 I took the grille off, four screws. It was wet.\n"),
            "{text}"
        );
        assert!(
            text.contains("\n[x] #2 removed: grille | hardware: 4 screws\n"),
            "{text}"
        );
        assert!(!text.contains("wing"), "{text}");
        let sheet = read_narration_sheet(&text);
        assert_eq!(sheet.said, Vec::<String>::new(), "{text}");
        let context = DraftContext {
            journal: Context {
                systems: vec!["cooling".to_owned()],
                vehicles: Vec::new(),
                currency: Currency::EUR,
            },
            vehicle: "wren".to_owned(),
            names: Vec::new(),
            driven: Driven::Left,
        };
        let entry = entry_of(&sheet, "2026-03-14", &context);
        assert!(entry.contains("\n# Front end\n"), "{entry}");
        assert!(
            entry.contains("\nTea.\n\n~ Adopted from the note front.md\n\n## Grille\n"),
            "{entry}"
        );
        for words in [
            "It was wet.",
            "The radiator is cracked.",
            "I need a radiator.",
        ] {
            assert_eq!(entry.matches(words).count(), 1, "{words}: {entry}");
        }
    }
}
