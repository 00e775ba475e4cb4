//! All problems of a journal: of its texts, of its ledger, of the day.

use jiff::civil::Date;

use super::loans::{loans, tools_said};
use crate::entry::{Entry, Fact, Stated};
use crate::ledger::Ledger;
use crate::problem::{Problem, Spot};

/// Everything wrong, errors first, then by file and line. `read` is what was
/// found in the texts; `exists` tells whether a path inside the journal is
/// there.
#[must_use]
pub fn check(
    entries: &[Entry],
    ledger: &Ledger,
    read: &[Problem],
    today: Date,
    exists: &dyn Fn(&str) -> bool,
) -> Vec<Problem> {
    let mut problems = read.to_vec();
    problems.extend(ledger.problems(entries));
    problems.extend(loans(entries.iter().flat_map(tools_said).collect()).1);
    of_the_day(entries, today, exists, &mut problems);
    sort(&mut problems);
    problems
}

/// What depends on the day and the disk: dates that have not come yet, photos
/// that are not there.
pub fn of_the_day(
    entries: &[Entry],
    today: Date,
    exists: &dyn Fn(&str) -> bool,
    problems: &mut Vec<Problem>,
) {
    for entry in entries {
        future(entry, today, problems);
        photos(entry, exists, problems);
    }
}

/// Errors first, then by file and line; the same problem once.
pub fn sort(problems: &mut Vec<Problem>) {
    problems
        .sort_by(|a, b| (a.severity, &a.spot, &a.message).cmp(&(b.severity, &b.spot, &b.message)));
    problems.dedup();
}

/// Dates that have not come yet.
fn future(entry: &Entry, today: Date, problems: &mut Vec<Problem>) {
    let mut say = |line: u32, date: Date| {
        problems.push(
            Problem::warning(
                in_file(
                    entry,
                    &Spot {
                        line,
                        column: 1,
                        width: 1,
                        ..Spot::default()
                    },
                ),
                format!("{date} is in the future"),
            )
            .hint("correct the date; what is planned belongs under `needs`"),
        );
    };
    if let Some(date) = entry.date.filter(|date| *date > today) {
        say(line_with(&entry.text, 1, "date"), date);
    }
    for record in &entry.records {
        if record.date == entry.date {
            continue;
        }
        if let Some(date) = record.date.filter(|date| *date > today) {
            say(line_with(&entry.text, record.spot.line, "date"), date);
        }
    }
}

/// The first line from `from` on that says `key:`.
fn line_with(text: &str, from: u32, key: &str) -> u32 {
    let skip = from.saturating_sub(1) as usize;
    text.lines()
        .enumerate()
        .skip(skip)
        .find(|(_, line)| {
            line.trim_start_matches(|c: char| !c.is_alphanumeric())
                .to_lowercase()
                .starts_with(key)
        })
        .map_or(from, |(index, _)| u32::try_from(index + 1).unwrap_or(from))
}

/// Photos that are named and not there.
fn photos(entry: &Entry, exists: &dyn Fn(&str) -> bool, problems: &mut Vec<Problem>) {
    let of_records = entry.records.iter().flat_map(|record| &record.facts);
    for Stated { fact, spot, .. } in entry.facts.iter().chain(of_records) {
        let Fact::Photo(path) = fact else {
            continue;
        };
        if path.contains("://") || exists(path) {
            continue;
        }
        problems.push(
            Problem::note(in_file(entry, spot), format!("there is no photo `{path}`"))
                .hint("photos lie in photos/, and the path begins with `photos/`"),
        );
    }
}

fn in_file(entry: &Entry, spot: &Spot) -> Spot {
    Spot {
        file: entry.path.clone(),
        ..spot.clone()
    }
}
