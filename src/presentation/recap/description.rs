//! The text below a film: what it is about, chapter marks, parts, numbers.

use std::fmt::Write;

use super::marks::plain;
use crate::presentation::export::{Document, Exporter};
use crate::presentation::text::shown;
use crate::recap::{ChapterRole, EpisodeDraft};
use crate::vocabulary::spoken::in_full;

/// The form of the text below a film.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Description;

impl Exporter<EpisodeDraft> for Description {
    fn export(&self, draft: &EpisodeDraft) -> Document {
        Document::text(render(draft))
    }
}

/// The description of a draft.
fn render(draft: &EpisodeDraft) -> String {
    let mut out = format!("{}\n\n", shown(&draft.title));
    let days = draft.days.map(|(first, last)| {
        if first == last {
            in_full(first)
        } else {
            format!("{} to {}", in_full(first), in_full(last))
        }
    });
    let _ = match days {
        Some(days) => writeln!(out, "{}, {days}.", shown(&draft.vehicle_name)),
        None => writeln!(out, "{}.", shown(&draft.vehicle_name)),
    };
    let _ = write!(out, "\nChapters\n{}", plain(draft));
    if !draft.parts.is_empty() {
        out.push_str("\nParts\n");
        for part in &draft.parts {
            let _ = writeln!(out, "- {}", shown(part));
        }
    }
    for (part, title) in [
        (ChapterRole::Numbers, "Numbers"),
        (ChapterRole::Cautions, ChapterRole::Cautions.title()),
    ] {
        let said: Vec<String> = draft
            .chapters
            .iter()
            .filter(|chapter| chapter.part == part)
            .flat_map(|chapter| &chapter.paragraphs)
            .map(|paragraph| {
                let lead = paragraph.lead.as_ref().map(|lead| format!("{lead}: "));
                let lines: Vec<String> = paragraph
                    .lines
                    .iter()
                    .map(|line| format!("{}{}{}", line.before, line.text, line.after))
                    .collect();
                format!("{}{}", lead.unwrap_or_default(), lines.join(" "))
            })
            .collect();
        if !said.is_empty() {
            let _ = writeln!(out, "\n{title}");
        }
        for words in said {
            let _ = writeln!(out, "- {}", shown(&words));
        }
    }
    out
}
