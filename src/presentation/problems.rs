//! Problems with the line they stand in, for a terminal.

use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};

use super::text::{counted, cut, shown};
use crate::problem::{Problem, Severity};

/// The problems, each with its source line, then a line that counts them.
/// `text_of` gives the text of a file.
#[must_use]
pub fn render(
    problems: &[Problem],
    text_of: &dyn Fn(&str) -> Option<String>,
    width: usize,
    colours: bool,
) -> String {
    let renderer = if colours {
        Renderer::styled()
    } else {
        Renderer::plain()
    };
    let renderer = renderer.term_width(width);
    let mut out = String::new();
    let mut last: Option<(String, Option<String>)> = None;
    for problem in problems {
        if last
            .as_ref()
            .is_none_or(|(file, _)| *file != problem.spot.file)
        {
            let text = (!problem.spot.file.is_empty())
                .then(|| text_of(&problem.spot.file))
                .flatten();
            last = Some((problem.spot.file.clone(), text));
        }
        let text = last.as_ref().and_then(|(_, text)| text.as_deref());
        out.push_str(&one(problem, text, &renderer));
        out.push_str("\n\n");
    }
    out
}

/// One problem.
fn one(problem: &Problem, text: Option<&str>, renderer: &Renderer) -> String {
    let level = match problem.severity {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
        Severity::Note => Level::NOTE,
    };
    let message = cut(&shown(&problem.message), LONGEST_SENTENCE);
    let hint = problem
        .hint
        .as_deref()
        .map(|hint| cut(&shown(hint), LONGEST_SENTENCE));
    let line_text = text.and_then(|text| line_of(text, problem.spot.line));
    let Some(line_text) = line_text else {
        let place = if problem.spot.file.is_empty() {
            String::new()
        } else {
            format!(" ({})", shown(&problem.spot.file))
        };
        let mut group = Group::with_title(level.primary_title(format!("{message}{place}")));
        if let Some(hint) = &hint {
            group = group.element(Level::HELP.message(hint.as_str()));
        }
        return renderer.render(&[group]);
    };
    let (source, span) = excerpt(&line_text, problem);
    let mut group = Group::with_title(level.primary_title(message)).element(
        Snippet::source(source)
            .line_start(problem.spot.line as usize)
            .path(shown(&problem.spot.file))
            .annotation(AnnotationKind::Primary.span(span)),
    );
    if let Some(hint) = &hint {
        group = group.element(Level::HELP.message(hint.as_str()));
    }
    renderer.render(&[group])
}

/// The longest message or hint: one that repeats a name as long as a story
/// helps nobody.
const LONGEST_SENTENCE: usize = 400;

/// The longest stretch of a line that is shown.
const LONGEST: usize = 160;

/// The line as it can be shown, and the bytes in it that are meant. Control
/// characters become blanks, so that columns stay where they are.
fn excerpt(line: &str, problem: &Problem) -> (String, std::ops::Range<usize>) {
    let safe: Vec<char> = line
        .chars()
        .map(|c| {
            if shown(&c.to_string()).is_empty() {
                ' '
            } else {
                c
            }
        })
        .collect();
    let start = (problem.spot.column.saturating_sub(1) as usize).min(safe.len());
    let end = (start + problem.spot.width.max(1) as usize).min(safe.len());
    let from = if start > LONGEST { start - 40 } else { 0 };
    let until = (from + LONGEST).min(safe.len());
    let byte = |at: usize| {
        safe[from..at.clamp(from, until)]
            .iter()
            .map(|c| c.len_utf8())
            .sum::<usize>()
    };
    let source: String = safe[from..until].iter().collect();
    let span = byte(start)..byte(end).max(byte(start));
    (source, span)
}

/// Line `number` (from 1) of a text, without its end.
fn line_of(text: &str, number: u32) -> Option<String> {
    let index = (number as usize).checked_sub(1)?;
    let unified = text.replace("\r\n", "\n").replace('\r', "\n");
    unified.split('\n').nth(index).map(str::to_owned)
}

/// "2 errors, 1 warning, 3 notes", or that there are none.
#[must_use]
pub fn summary(problems: &[Problem]) -> String {
    let count = |severity: Severity| {
        problems
            .iter()
            .filter(|problem| problem.severity == severity)
            .count()
    };
    let mut parts = Vec::new();
    for (severity, one, many) in [
        (Severity::Error, "error", "errors"),
        (Severity::Warning, "warning", "warnings"),
        (Severity::Note, "note", "notes"),
    ] {
        if count(severity) > 0 {
            parts.push(counted(count(severity), one, many));
        }
    }
    if parts.is_empty() {
        "no problems".to_owned()
    } else {
        parts.join(", ")
    }
}
