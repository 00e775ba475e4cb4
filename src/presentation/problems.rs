//! Problems with the line they stand in, for a terminal.

use std::collections::BTreeMap;

use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};

use super::text::{Text, counted, cut, plain, shown};
use crate::problem::{Problem, Severity};

/// The most problems that are printed where not all were asked for.
pub const MOST_SHOWN: usize = 20;

/// The most files that are named where the rest of the problems stands.
const MOST_FILES: usize = 3;

/// How many of the problems are printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shown {
    /// The first [`MOST_SHOWN`]; the rest is counted.
    First,
    /// All of them.
    All,
}

impl Shown {
    /// All if `all` were asked for.
    #[must_use]
    pub const fn of(all: bool) -> Shown {
        if all { Shown::All } else { Shown::First }
    }
}

/// The problems, each with its source line; then, where not all are shown, how many
/// more there are and in which files. `text_of` gives the text of a file.
#[must_use]
pub fn render(
    problems: &[Problem],
    show: Shown,
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
    let (first, rest) = match show {
        Shown::First => problems.split_at(MOST_SHOWN.min(problems.len())),
        Shown::All => (problems, [].as_slice()),
    };
    let mut last: Option<(String, Vec<String>)> = None;
    for problem in first {
        if last
            .as_ref()
            .is_none_or(|(file, _)| *file != problem.spot.file)
        {
            let text = (!problem.spot.file.is_empty())
                .then(|| text_of(&problem.spot.file))
                .flatten();
            let lines = text.map(|text| lines_of(&text)).unwrap_or_default();
            last = Some((problem.spot.file.clone(), lines));
        }
        let line = (problem.spot.line as usize)
            .checked_sub(1)
            .and_then(|index| last.as_ref()?.1.get(index));
        out.push_str(&one(problem, line.map(String::as_str), &renderer));
        out.push_str("\n\n");
    }
    if !rest.is_empty() {
        let mut text = Text::new(width);
        text.wrapped(0, 2, &[plain(more(rest))]);
        out.push_str(&text.render(colours));
        out.push('\n');
    }
    out
}

/// How many problems are not shown, where they stand, and how to see them.
fn more(rest: &[Problem]) -> String {
    let mut by_file: BTreeMap<&str, usize> = BTreeMap::new();
    for problem in rest.iter().filter(|problem| !problem.spot.file.is_empty()) {
        *by_file.entry(problem.spot.file.as_str()).or_default() += 1;
    }
    let mut files: Vec<(&str, usize)> = by_file.into_iter().collect();
    files.sort_by(|(a, of_a), (b, of_b)| of_b.cmp(of_a).then(b.cmp(a)));
    let mut places: Vec<String> = files
        .iter()
        .take(MOST_FILES)
        .map(|(file, count)| format!("{count} in {}", shown(file)))
        .collect();
    let others = files.len().saturating_sub(MOST_FILES);
    if others > 0 {
        let count: usize = files[MOST_FILES..].iter().map(|(_, count)| count).sum();
        let others = counted(others, "other file", "other files");
        places.push(format!("{count} in {others}"));
    }
    let places = match places.is_empty() {
        true => String::new(),
        false => format!(", {}", places.join(", ")),
    };
    format!(
        "and {} ({}{places}); `matchmark check --all` shows all",
        counted(rest.len(), "more problem", "more problems"),
        summary(rest),
    )
}

/// One problem.
fn one(problem: &Problem, line: Option<&str>, renderer: &Renderer) -> String {
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
    let Some(line) = line else {
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
    let (source, span) = excerpt(line, problem);
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

/// The lines of a text, without their ends.
fn lines_of(text: &str) -> Vec<String> {
    let unified = text.replace("\r\n", "\n").replace('\r', "\n");
    unified.split('\n').map(str::to_owned).collect()
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::problem::Spot;

    fn problems(count: u32) -> Vec<Problem> {
        let one = |line| {
            let spot = Spot {
                file: format!("entries/{}.md", line % 5),
                line,
                column: 1,
                width: 1,
            };
            Problem::warning(spot, format!("problem {line}."))
        };
        (1..=count).map(one).collect()
    }

    #[test]
    fn twenty_are_printed_and_the_rest_is_counted() {
        let looked = std::cell::Cell::new(0);
        let print = |count, show| {
            let text_of = |_: &str| {
                looked.set(looked.get() + 1);
                Some("a line\n".repeat(200))
            };
            render(&problems(count), show, &text_of, 100, false)
        };
        let all = print(20, Shown::First);
        assert!(
            all.contains("problem 20.") && !all.contains("more"),
            "{all}"
        );
        looked.set(0);
        let some = print(120, Shown::First);
        assert!(looked.get() <= 20, "looked at {} texts", looked.get());
        assert!(some.contains("problem 20.") && !some.contains("problem 21."));
        let last = some.split("\n\n").last().unwrap_or_default();
        let last = last.split_whitespace().collect::<Vec<_>>().join(" ");
        assert_eq!(
            last,
            "and 100 more problems (100 warnings, 20 in entries/4.md, 20 in entries/3.md, 20 in \
             entries/2.md, 40 in 2 other files); `matchmark check --all` shows all"
        );
        let all = print(120, Shown::All);
        assert!(all.contains("problem 120.") && !all.contains("more"));
    }
}
