//! All problems of a journal: of its texts, of its ledger, of the day.

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

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
    Findings::of(entries, ledger, read).on_day(today, exists)
}

/// What is wrong whatever the day, and what the day and the disk decide.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Findings {
    /// How many entries were read.
    pub entries: usize,
    problems: Vec<Problem>,
    /// The days that entries are about, and where they say so.
    days: Vec<(Date, Spot)>,
    /// The photos that are named.
    photos: Vec<(String, Spot)>,
}

impl Findings {
    /// Looks at everything.
    #[must_use]
    pub fn of(entries: &[Entry], ledger: &Ledger, read: &[Problem]) -> Findings {
        let mut problems = read.to_vec();
        problems.extend(ledger.problems(entries));
        problems.extend(loans(entries.iter().flat_map(tools_said).collect()).1);
        sort(&mut problems);
        Findings {
            entries: entries.len(),
            problems,
            days: entries.iter().flat_map(days).collect(),
            photos: entries.iter().flat_map(photos).collect(),
        }
    }

    /// Everything wrong on a day, errors first, then by file and line.
    #[must_use]
    pub fn on_day(self, today: Date, exists: &dyn Fn(&str) -> bool) -> Vec<Problem> {
        let mut problems = self.problems;
        problems.extend(future(self.days, today));
        problems.extend(missing(self.photos, exists));
        sort(&mut problems);
        problems
    }
}

/// What depends on the day and the disk: dates that have not come yet, photos
/// that are not there.
pub fn of_the_day(
    entries: &[Entry],
    today: Date,
    exists: &dyn Fn(&str) -> bool,
    problems: &mut Vec<Problem>,
) {
    problems.extend(future(entries.iter().flat_map(days), today));
    problems.extend(missing(entries.iter().flat_map(photos), exists));
}

/// Errors first, then by file and line; the same problem once.
pub fn sort(problems: &mut Vec<Problem>) {
    problems
        .sort_by(|a, b| (a.severity, &a.spot, &a.message).cmp(&(b.severity, &b.spot, &b.message)));
    problems.dedup();
}

/// The days that an entry is about: its own, and those of records that have another.
fn days(entry: &Entry) -> Vec<(Date, Spot)> {
    let at = |line: u32| {
        let spot = Spot {
            line,
            column: 1,
            width: 1,
            ..Spot::default()
        };
        in_file(entry, &spot)
    };
    let own = entry.date.into_iter();
    let own = own.map(|date| (date, at(line_with(&entry.text, 1, "date"))));
    let others = entry.records.iter();
    let others = others.filter(|record| record.date != entry.date);
    let others = others.filter_map(|record| {
        let line = line_with(&entry.text, record.spot.line, "date");
        Some((record.date?, at(line)))
    });
    own.chain(others).collect()
}

/// Dates that have not come yet.
fn future(
    days: impl IntoIterator<Item = (Date, Spot)>,
    today: Date,
) -> impl Iterator<Item = Problem> {
    let days = days.into_iter().filter(move |(date, _)| *date > today);
    days.map(|(date, spot)| {
        Problem::warning(spot, format!("{date} is in the future"))
            .hint("correct the date; what is planned belongs under `needs`")
    })
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

/// The photos that an entry names.
fn photos(entry: &Entry) -> Vec<(String, Spot)> {
    let of_records = entry.records.iter().flat_map(|record| &record.facts);
    let all = entry.facts.iter().chain(of_records);
    all.filter_map(|Stated { fact, spot, .. }| {
        let Fact::Photo(path) = fact else {
            return None;
        };
        Some((path.clone(), in_file(entry, spot)))
    })
    .collect()
}

/// Photos that are named and not there.
fn missing(
    photos: impl IntoIterator<Item = (String, Spot)>,
    exists: &dyn Fn(&str) -> bool,
) -> impl Iterator<Item = Problem> {
    let photos = photos.into_iter();
    photos
        .filter(|(path, _)| !path.contains("://") && !exists(path))
        .map(|(path, spot)| {
            Problem::note(spot, format!("there is no photo `{path}`"))
                .hint("photos lie in photos/, and the path begins with `photos/`")
        })
}

fn in_file(entry: &Entry, spot: &Spot) -> Spot {
    Spot {
        file: entry.path.clone(),
        ..spot.clone()
    }
}
