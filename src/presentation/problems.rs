//! Problems with the line they stand in, for a terminal.

use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

use super::text::{Label, Text, counted, cut, plain, shown};
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
    let mut out = Text::new(width);
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
        one(&mut out, problem, text);
        out.gap();
    }
    out.render(colours)
}

/// One problem: what is wrong, where, the line itself, what to do.
fn one(out: &mut Text, problem: &Problem, text: Option<&str>) {
    let label = match problem.severity {
        Severity::Error => Label::Error,
        Severity::Warning => Label::Warning,
        Severity::Note => Label::Note,
    };
    let message = cut(&shown(&problem.message), LONGEST_SENTENCE);
    let mut head = vec![
        (label, format!("{}:", problem.severity.word())),
        (Label::Title, format!(" {message}")),
    ];
    let line = text.and_then(|text| line_of(text, problem.spot.line));
    if line.is_none() && !problem.spot.file.is_empty() {
        head.push(plain(format!(" ({})", problem.spot.file)));
    }
    out.wrapped(0, 2, &head);
    let number = problem.spot.line.to_string();
    let margin = line.as_ref().map_or(1, |_| number.len());
    if let Some(line) = line {
        let spot = &problem.spot;
        let place = format!(" {}:{number}:{}", spot.file, spot.column);
        let arrow = format!("{}-->", "\u{a0}".repeat(margin));
        out.wrapped(0, margin + 4, &[(Label::Faint, arrow), plain(place)]);
        let room = out.width().saturating_sub(margin + 3);
        let (source, marked) = excerpt(&line, problem, room);
        let gutter = format!("{} |", " ".repeat(margin));
        out.row(&[(Label::Faint, gutter.clone())]);
        out.row(&[(Label::Faint, format!("{number} | ")), plain(source)]);
        out.row(&[(Label::Faint, format!("{gutter} ")), (label, marked)]);
        out.row(&[(Label::Faint, gutter)]);
    }
    if let Some(hint) = &problem.hint {
        let hint = cut(&shown(hint), LONGEST_SENTENCE);
        let sign = format!("{}=", "\u{a0}".repeat(margin + 1));
        out.wrapped(
            0,
            margin + 3,
            &[(Label::Faint, sign), plain(format!(" help: {hint}"))],
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
        render(&[problem], &|_| Some(line.to_owned()), columns, false)
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
}
