//! A draft as an episode's file: front matter, text, footnotes.

use std::fmt::Write;

use crate::presentation::export::{Document, Exporter};
use crate::presentation::text::shown;
use crate::recap::{Appearing, DraftParagraph, EpisodeDraft, Line, StatementOrigin};

/// Columns of the text; an editor shows them without wrapping.
const WIDTH: usize = 78;

/// The form of an episode's file, to be edited.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct EpisodeFile {
    /// The episode's number.
    pub number: u32,
    /// Whether each sentence says why it is there.
    pub why: bool,
}

impl Exporter<EpisodeDraft> for EpisodeFile {
    fn export(&self, draft: &EpisodeDraft) -> Document {
        Document::text(render(draft, self.number, self.why))
    }
}

/// The whole file.
fn render(draft: &EpisodeDraft, number: u32, why: bool) -> String {
    let mut out = front_matter(draft, number);
    let _ = write!(out, "\n# {}\n", escaped(&draft.title));
    let mut notes = Notes::default();
    for chapter in &draft.chapters {
        let _ = write!(out, "\n## {}\n", escaped(&chapter.title));
        let mut in_list = false;
        for paragraph in &chapter.paragraphs {
            if !(in_list && paragraph.is_item) {
                out.push('\n');
            }
            in_list = paragraph.is_item;
            out.push_str(&paragraph_text(paragraph, &mut notes, why));
        }
    }
    out.push_str(&people(&draft.people));
    if !notes.texts.is_empty() {
        out.push('\n');
    }
    for (index, note) in notes.texts.iter().enumerate() {
        let _ = writeln!(out, "[^{}]: {note}", index + 1);
    }
    out
}

/// Who appears, for the one who edits: a comment, so that no form shows it.
fn people(people: &[Appearing]) -> String {
    if people.is_empty() {
        return String::new();
    }
    let mut out = String::from("\n<!-- Who appears, to be asked before this is published:\n");
    for person in people {
        let ask = if person.ask { ", must be asked" } else { "" };
        let entries: Vec<&str> = person.entries.iter().map(String::as_str).collect();
        let line = format!("- {}{ask}: {}", person.name, entries.join(", "));
        let _ = writeln!(out, "{}", shown(&line).replace("--", "-"));
    }
    out.push_str("-->\n");
    out
}

fn front_matter(draft: &EpisodeDraft, number: u32) -> String {
    let mut out = String::from("---\n");
    let _ = writeln!(out, "number: {number}");
    let _ = writeln!(out, "title: {}", scalar(&draft.title));
    let _ = writeln!(out, "vehicle: {}", scalar(&draft.vehicle));
    if let Some((from, to)) = draft.days {
        let _ = writeln!(out, "from: {from}\nto: {to}");
    }
    out.push_str("state: draft\n");
    if !draft.told.is_empty() {
        out.push_str("told:\n");
    }
    for name in &draft.told {
        let _ = writeln!(out, "  - {}", scalar(&name.written()));
    }
    out.push_str("---\n");
    out
}

/// A text that YAML reads back as it is.
fn scalar(text: &str) -> String {
    let text = shown(text);
    let is_plain = text.starts_with(|c: char| c.is_alphabetic())
        && !text.contains(": ")
        && !text.contains(" #")
        && !text.ends_with([':', ' '])
        && !text.contains(['\u{85}', '\u{2028}', '\u{2029}']);
    if is_plain {
        text
    } else {
        format!("'{}'", text.replace('\'', "''"))
    }
}

/// Footnotes, each place once.
#[derive(Default)]
struct Notes {
    texts: Vec<String>,
}

impl Notes {
    /// The mark for a place.
    fn mark(&mut self, origin: &StatementOrigin) -> String {
        let text = match origin {
            StatementOrigin::House => return String::new(),
            StatementOrigin::Noted(note) => escaped(note),
            StatementOrigin::Handbook(source) => {
                format!("general, not of this vehicle: {}", escaped(source))
            }
            StatementOrigin::Entry { entry, line, date } => {
                format!("{date}, {}:{line}", escaped(entry))
            }
            StatementOrigin::Counted { entry, line, date } => {
                format!("counted, {date}, {}:{line}", escaped(entry))
            }
            StatementOrigin::Page { page, line } => format!("{}:{line}", escaped(page)),
            StatementOrigin::Report(verb) => format!("`matchmark {verb}`"),
        };
        let index = self
            .texts
            .iter()
            .position(|known| *known == text)
            .unwrap_or_else(|| {
                self.texts.push(text);
                self.texts.len() - 1
            });
        format!("[^{}]", index + 1)
    }
}

fn paragraph_text(paragraph: &DraftParagraph, notes: &mut Notes, why: bool) -> String {
    let mut text = String::new();
    if let Some(lead) = &paragraph.lead {
        let _ = write!(
            text,
            "*{}{}*",
            escaped(lead),
            if paragraph.is_item { ":" } else { "." }
        );
    }
    for (index, line) in paragraph.lines.iter().enumerate() {
        if !text.is_empty() {
            text.push(' ');
        }
        let _ = write!(text, "{}{}{}", line.before, escaped(&line.text), line.after);
        // One mark for sentences that follow each other in an entry.
        let next = paragraph.lines.get(index + 1);
        if next.is_none_or(|next| !goes_on(line, next)) {
            let first = first_of_run(&paragraph.lines, index);
            text.push_str(&notes.mark(&first.origin));
        }
        if why {
            let _ = write!(text, " <!-- {} -->", line.why.replace("--", "-"));
        }
    }
    let indent = if paragraph.is_item { "  " } else { "" };
    let first = if paragraph.is_item { "- " } else { "" };
    wrapped(&text, first, indent)
}

/// Whether `next` stands in the same place as `line`: same entry, same kind.
fn goes_on(line: &Line, next: &Line) -> bool {
    match (&line.origin, &next.origin) {
        (StatementOrigin::Entry { entry: a, .. }, StatementOrigin::Entry { entry: b, .. }) => {
            a == b && line.before == next.before && line.before.is_empty()
        }
        (StatementOrigin::Report(a), StatementOrigin::Report(b)) => a == b,
        (
            StatementOrigin::Entry { .. }
            | StatementOrigin::Counted { .. }
            | StatementOrigin::Page { .. }
            | StatementOrigin::Report(_)
            | StatementOrigin::Handbook(_)
            | StatementOrigin::Noted(_)
            | StatementOrigin::House,
            _,
        ) => false,
    }
}

/// The first line of the run that ends at `index`.
fn first_of_run(lines: &[Line], index: usize) -> &Line {
    let mut first = index;
    while first > 0 && goes_on(&lines[first - 1], &lines[first]) {
        first -= 1;
    }
    &lines[first]
}

/// Words in lines, none of which begins with what Markdown takes for a mark.
fn wrapped(text: &str, first: &str, indent: &str) -> String {
    let mut out = String::from(first);
    let mut column = first.chars().count();
    let mut fresh = true;
    for word in text.split_whitespace() {
        let width = word.chars().count();
        if !fresh && column + 1 + width > WIDTH && !is_mark(word) {
            out.push('\n');
            out.push_str(indent);
            column = indent.len();
        } else if !fresh {
            out.push(' ');
            column += 1;
        }
        out.push_str(word);
        column += width;
        fresh = false;
    }
    out.push('\n');
    out
}

fn is_mark(word: &str) -> bool {
    let number = word.trim_start_matches(|c: char| c.is_ascii_digit());
    word.starts_with(['#', '>', '-', '+', '*', '=', '~', '|', '<'])
        || number.len() < word.len() && (number == "." || number == ")")
}

/// Plain words as Markdown that shows exactly them.
#[must_use]
pub fn escaped(text: &str) -> String {
    let text = shown(text);
    let mut out = String::with_capacity(text.len());
    let mut letters = text.chars().peekable();
    let mut before = ' ';
    while let Some(c) = letters.next() {
        let next = letters.peek().copied().unwrap_or(' ');
        let active = match c {
            '*' | '`' | '[' | ']' | '\\' | '~' => true,
            '<' => !next.is_whitespace(),
            '&' => next == '#' || next.is_ascii_alphabetic(),
            '_' => !(before.is_alphanumeric() && next.is_alphanumeric()),
            '#' | '>' | '+' | '-' | '=' | '|' => out.is_empty(),
            _ => false,
        };
        if active {
            out.push('\\');
        }
        out.push(c);
        before = c;
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plain_words_stay_plain() {
        for (text, markdown) in [
            ("3/8-16 x 1-1/4", "3/8-16 x 1-1/4"),
            ("a < b & c", "a < b & c"),
            ("<script>alert(1)</script>", "\\<script>alert(1)\\</script>"),
            ("*not* [a](b)", "\\*not\\* \\[a\\](b)"),
            ("part_no _x_", "part_no \\_x\\_"),
            ("# one", "\\# one"),
        ] {
            assert_eq!(escaped(text), markdown);
        }
    }

    #[test]
    fn lines_never_begin_with_a_mark() {
        let text = format!(
            "{} - {} # {} 1. end",
            "word ".repeat(15),
            "w ".repeat(37),
            "x ".repeat(37)
        );
        for line in wrapped(&text, "", "").lines() {
            assert!(
                !is_mark(line.split(' ').next().unwrap_or_default()),
                "{line}"
            );
        }
    }

    #[test]
    fn yaml_reads_names_back() {
        assert_eq!(scalar("Fuel tank"), "Fuel tank");
        assert_eq!(scalar("Drain: first"), "'Drain: first'");
        assert_eq!(scalar("- 'x'"), "'- ''x'''");
    }
}
