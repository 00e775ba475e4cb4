//! Problems with the line they stand in, for a terminal.

use std::collections::BTreeMap;

use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

use super::text::{Text, TextStyle, counted, cut, plain, shown};
use crate::problem::{Problem, Severity};

/// The most problems that are printed where not all were asked for.
pub const MOST_SHOWN: usize = 20;

/// The most files that are named where the rest of the problems stands.
const MOST_FILES: usize = 3;

/// How many of the problems are printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ProblemLimit {
    /// The first [`MOST_SHOWN`]; the rest is counted.
    First,
    /// All of them.
    All,
}

impl ProblemLimit {
    /// All if `all` were asked for.
    #[must_use]
    pub const fn of(all: bool) -> ProblemLimit {
        if all {
            ProblemLimit::All
        } else {
            ProblemLimit::First
        }
    }
}

/// The problems, each with its source line; then, where not all are shown, how many
/// more there are and in which files. `text_of` gives the text of a file.
#[must_use]
pub fn render(
    problems: &[Problem],
    show: ProblemLimit,
    text_of: &dyn Fn(&str) -> Option<String>,
    width: usize,
    colours: bool,
) -> String {
    let mut out = Text::new(width);
    let (first, rest) = match show {
        ProblemLimit::First => problems.split_at(MOST_SHOWN.min(problems.len())),
        ProblemLimit::All => (problems, [].as_slice()),
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
        one(&mut out, problem, line.map(String::as_str));
        out.gap();
    }
    if !rest.is_empty() {
        out.wrapped(0, 2, &[plain(more(rest))]);
        out.gap();
    }
    out.render(colours)
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

/// One problem: what is wrong, where, the line itself, what to do.
fn one(out: &mut Text, problem: &Problem, line: Option<&str>) {
    let label = match problem.severity {
        Severity::Error => TextStyle::Error,
        Severity::Warning => TextStyle::Warning,
        Severity::Note => TextStyle::Note,
    };
    let message = cut(&shown(&problem.message), LONGEST_SENTENCE);
    let mut head = vec![
        (label, format!("{}:", problem.severity.word())),
        (TextStyle::Title, format!(" {message}")),
    ];
    if line.is_none() && !problem.spot.file.is_empty() {
        head.push(plain(format!(" ({})", problem.spot.file)));
    }
    out.wrapped(0, 2, &head);
    let number = problem.spot.line.to_string();
    let margin = line.map_or(1, |_| number.len());
    if let Some(line) = line {
        let spot = &problem.spot;
        let place = format!(" {}:{number}:{}", spot.file, spot.column);
        let arrow = format!("{}-->", "\u{a0}".repeat(margin));
        out.wrapped(0, margin + 4, &[(TextStyle::Faint, arrow), plain(place)]);
        let room = out.width().saturating_sub(margin + 3);
        let (source, marked) = excerpt(line, problem, room);
        let gutter = format!("{} |", " ".repeat(margin));
        out.row(&[(TextStyle::Faint, gutter.clone())]);
        out.row(&[(TextStyle::Faint, format!("{number} | ")), plain(source)]);
        out.row(&[(TextStyle::Faint, format!("{gutter} ")), (label, marked)]);
        out.row(&[(TextStyle::Faint, gutter)]);
    }
    if let Some(hint) = &problem.hint {
        let hint = cut(&shown(hint), LONGEST_SENTENCE);
        let sign = format!("{}=", "\u{a0}".repeat(margin + 1));
        out.wrapped(
            0,
            margin + 3,
            &[(TextStyle::Faint, sign), plain(format!(" help: {hint}"))],
        );
    }
}

/// The longest message or hint: one that repeats a name as long as a story
/// helps nobody.
const LONGEST_SENTENCE: usize = 400;

/// Columns shown before what is meant, where a line is cut at its beginning.
const BEFORE: usize = 8;

/// As much of a line as `room` columns show, and the signs that mark in the line
/// below what is meant. Control characters become blanks, so that columns stay
/// where they are.
fn excerpt(line: &str, problem: &Problem, room: usize) -> (String, String) {
    let safe: Vec<char> = line
        .chars()
        .map(|c| {
            if shown(&c.to_string()).is_empty() || c == '\t' {
                ' '
            } else {
                c
            }
        })
        .collect();
    let wide = |chars: &[char]| -> usize { chars.iter().map(|c| c.width().unwrap_or(0)).sum() };
    let start = (problem.spot.column.saturating_sub(1) as usize).min(safe.len());
    let end = (start + problem.spot.width.max(1) as usize).min(safe.len());
    // Where all of it is not seen, what is meant is.
    let is_seen = wide(&safe) <= room || wide(&safe[..end]) < room;
    let mut from = match is_seen {
        true => 0,
        false => start.saturating_sub(BEFORE),
    };
    while from > 0 && from < start && safe[from] == ' ' {
        from += 1;
    }
    let sign = if from > 0 { "…" } else { "" };
    let rest: String = safe[from..].iter().collect();
    let source = cut(&format!("{sign}{rest}"), room);
    let before = sign.width() + wide(&safe[from..start]);
    let meant = wide(&safe[start..end]).max(1);
    let marks = meant.min(room.saturating_sub(before)).max(1);
    (
        source,
        format!("{}{}", " ".repeat(before), "^".repeat(marks)),
    )
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

    fn shown_in(line: &str, column: u32, width: u32, columns: usize) -> String {
        let mut problem = Problem::warning(
            Spot {
                file: "entries/a.md".into(),
                line: 1,
                column,
                width,
            },
            "odd",
        );
        problem.hint = Some("write it otherwise".into());
        let text_of = |_: &str| Some(line.to_owned());
        render(&[problem], ProblemLimit::All, &text_of, columns, false)
    }

    #[test]
    fn what_is_meant_is_marked() {
        assert_eq!(
            shown_in("- status: remvoed", 11, 7, 80),
            "warning: odd\n --> entries/a.md:1:11\n  |\n1 | - status: remvoed\n  |           ^^^^^^^\n  |\n  = help: write it otherwise\n\n"
        );
    }

    #[test]
    fn of_a_long_line_the_part_that_is_meant_is_shown() {
        let line = format!("- found: {} sprung, and more", "very ".repeat(40));
        let start = u32::try_from(line.find("sprung").expect("there")).expect("small") + 1;
        let text = shown_in(&line, start, 6, 40);
        assert!(text.lines().all(|line| line.width() <= 40), "{text}");
        let lines: Vec<&str> = text.lines().collect();
        let at = lines[4].find('^').expect("marked");
        let marked: String = lines[3].chars().skip(at).take(6).collect();
        assert_eq!(marked, "sprung", "{text}");
    }

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
        let all = print(20, ProblemLimit::First);
        assert!(
            all.contains("problem 20.") && !all.contains("more"),
            "{all}"
        );
        looked.set(0);
        let some = print(120, ProblemLimit::First);
        assert!(looked.get() <= 20, "looked at {} texts", looked.get());
        assert!(some.contains("problem 20.") && !some.contains("problem 21."));
        let last = some.trim_end().split("\n\n").last().unwrap_or_default();
        let last = last.split_whitespace().collect::<Vec<_>>().join(" ");
        assert_eq!(
            last,
            "and 100 more problems (100 warnings, 20 in entries/4.md, 20 in entries/3.md, 20 in \
             entries/2.md, 40 in 2 other files); `matchmark check --all` shows all"
        );
        let all = print(120, ProblemLimit::All);
        assert!(all.contains("problem 120.") && !all.contains("more"));
    }
}
