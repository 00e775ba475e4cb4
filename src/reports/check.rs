//! All problems of a journal: of its texts, of its ledger, of the day.

use std::collections::HashMap;

use jiff::civil::Date;

use super::loans::loans;
use crate::entry::{Entry, Fact, Stated};
use crate::ledger::Ledger;
use crate::problem::{Problem, Spot};

/// Everything wrong, gravest and newest first. `read` is what was found in the texts; `exists` tells whether a path inside the journal is
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
    problems.extend(loans(entries, None).1);
    of_the_day(entries, today, exists, &mut problems);
    sort(&mut problems, entries);
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

/// Errors first; then what is in none of these entries or in one without a day, then
/// the entries from the newest on, each from its first line; the same problem once.
pub fn sort(problems: &mut Vec<Problem>, entries: &[Entry]) {
    let days: HashMap<&str, Option<Date>> = entries
        .iter()
        .map(|entry| (entry.path.as_str(), entry.date))
        .collect();
    let day = |problem: &Problem| days.get(problem.spot.file.as_str()).copied().flatten();
    problems.sort_by(|a, b| {
        let newest_first = match (day(a), day(b)) {
            (Some(one), Some(other)) => other.cmp(&one),
            (one, other) => one.cmp(&other),
        };
        a.severity
            .cmp(&b.severity)
            .then(newest_first)
            .then_with(|| (&a.spot, &a.message).cmp(&(&b.spot, &b.message)))
    });
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
    let to_come = |date: &Date| *date > today;
    let of_records: Vec<(u32, Date)> = entry
        .records
        .iter()
        .filter(|record| record.date != entry.date)
        .filter_map(|record| Some((record.spot.line, record.date.filter(to_come)?)))
        .collect();
    let of_entry = entry.date.filter(to_come).map(|date| (1, date));
    if of_entry.is_none() && of_records.is_empty() {
        return;
    }
    let lines = lines_with(&entry.text, "date");
    for (from, date) in of_entry.into_iter().chain(of_records) {
        let next = lines.partition_point(|line| *line < from);
        say(lines.get(next).copied().unwrap_or(from), date);
    }
}

/// The numbers of the lines that say `key:`.
fn lines_with(text: &str, key: &str) -> Vec<u32> {
    let says = |line: &str| {
        let words = line.trim_start_matches(|c: char| !c.is_alphanumeric());
        let start = words.get(..key.len());
        start.is_some_and(|start| start.eq_ignore_ascii_case(key))
    };
    (1..)
        .zip(text.lines())
        .filter(|(_, line)| says(line))
        .map(|(number, _)| number)
        .collect()
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
