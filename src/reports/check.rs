//! All problems of a journal: of its texts, of its ledger, of the day.

use std::collections::{BTreeSet, HashMap};

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use super::kept_entry::EntryFindings;
use super::loans::{ToolSaid, loans, tools_said};
use super::refit::asked;
use crate::entry::{Entry, Fact, Stated};
use crate::ledger::Ledger;
use crate::problem::{Problem, Spot};

/// Everything wrong, gravest and newest first. `read` is what was found in the texts, `systems` are those of the journal; `exists` tells whether a path inside the journal is
/// there.
#[must_use]
pub fn check(
    entries: &[Entry],
    ledger: &Ledger,
    read: &[Problem],
    systems: &[String],
    today: Date,
    exists: &dyn Fn(&str) -> bool,
) -> Vec<Problem> {
    Findings::of(entries, ledger, read, systems).on_day(today, exists, Vec::new())
}

/// What is wrong whatever the day, and what the day and the disk decide.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Findings {
    /// How many entries were read.
    pub entries: usize,
    problems: Vec<Problem>,
    /// The day of each entry that has one, by path.
    dates: Vec<(String, Date)>,
    /// The days that entries are about, and where they say so.
    days: Vec<(Date, Spot)>,
    /// The photos that are named.
    photos: Vec<(String, Spot)>,
}

impl Findings {
    /// Looks at everything.
    #[must_use]
    pub fn of(
        entries: &[Entry],
        ledger: &Ledger,
        read: &[Problem],
        systems: &[String],
    ) -> Findings {
        let tools = entries.iter().flat_map(tools_said).collect();
        let found = entries.iter();
        let found = found.map(|entry| EntryFindings::of(entry, Vec::new()));
        let found = found.collect();
        Findings::of_checked(entries, found, (ledger, tools), read.to_vec(), systems)
    }

    /// The same from entries that were read before, with or without their texts, and from what was found
    /// in them; `beside` is what is wrong in other texts.
    #[must_use]
    pub fn of_checked(
        entries: &[Entry],
        found: Vec<EntryFindings>,
        (ledger, tools): (&Ledger, Vec<ToolSaid>),
        beside: Vec<Problem>,
        systems: &[String],
    ) -> Findings {
        let dated = entries.iter();
        let dated = dated.filter_map(|entry| Some((entry.path.clone(), entry.date?)));
        let mut all = Findings {
            entries: entries.len(),
            problems: beside,
            dates: dated.collect(),
            ..Findings::default()
        };
        for own in found {
            all.problems.extend(own.problems);
            all.days.extend(own.days);
            all.photos.extend(own.photos);
        }
        all.problems.extend(ledger.problems(entries));
        all.problems.extend(asked(ledger, entries, systems));
        all.problems.extend(loans(tools).1);
        // In order already, so that what a day adds is soon put between them.
        sort(&mut all.problems, entries);
        all
    }

    /// The pictures that records name.
    #[must_use]
    pub fn pictures(&self) -> BTreeSet<&str> {
        self.photos.iter().map(|(path, _)| path.as_str()).collect()
    }

    /// Everything wrong on a day, gravest and newest first, these included.
    #[must_use]
    pub fn on_day(
        self,
        today: Date,
        exists: &dyn Fn(&str) -> bool,
        these: Vec<Problem>,
    ) -> Vec<Problem> {
        let mut problems = self.problems;
        problems.extend(these);
        problems.extend(future(self.days, today));
        problems.extend(missing(self.photos, exists));
        let dates = self.dates.iter();
        sort_by_days(
            &mut problems,
            &dates.map(|(path, date)| (path.as_str(), *date)).collect(),
        );
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

/// Errors first; then what is in none of these entries or in one without a day, then
/// the entries from the newest on, each from its first line; the same problem once.
pub fn sort(problems: &mut Vec<Problem>, entries: &[Entry]) {
    let days = entries.iter();
    let days = days.filter_map(|entry| Some((entry.path.as_str(), entry.date?)));
    sort_by_days(problems, &days.collect());
}

fn sort_by_days(problems: &mut Vec<Problem>, days: &HashMap<&str, Date>) {
    let day = |problem: &Problem| days.get(problem.spot.file.as_str()).copied();
    let mut dated: Vec<(Option<Date>, Problem)> = problems
        .drain(..)
        .map(|problem| (day(&problem), problem))
        .collect();
    dated.sort_by(|(of_a, a), (of_b, b)| {
        let newest_first = match (of_a, of_b) {
            (Some(one), Some(other)) => other.cmp(one),
            (one, other) => one.cmp(other),
        };
        a.severity
            .cmp(&b.severity)
            .then(newest_first)
            .then_with(|| (&a.spot, &a.message).cmp(&(&b.spot, &b.message)))
    });
    problems.extend(dated.into_iter().map(|(_, problem)| problem));
    problems.dedup();
}

/// The days that an entry is about: its own, and those of records that have another.
pub(super) fn days(entry: &Entry) -> Vec<(Date, Spot)> {
    let at = |line: u32| {
        let spot = Spot {
            line,
            column: 1,
            width: 1,
            ..Spot::default()
        };
        in_file(entry, &spot)
    };
    let own = entry.date.map(|date| (1, date));
    let others = entry.records.iter();
    let others = others.filter(|record| record.date != entry.date);
    let others = others.filter_map(|record| Some((record.spot.line, record.date?)));
    let days: Vec<(u32, Date)> = own.into_iter().chain(others).collect();
    if days.is_empty() {
        return Vec::new();
    }
    let lines = lines_with(&entry.text, "date");
    let days = days.into_iter().map(|(from, date)| {
        let next = lines.partition_point(|line| *line < from);
        (date, at(lines.get(next).copied().unwrap_or(from)))
    });
    days.collect()
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

/// The photos that an entry names.
pub(super) fn photos(entry: &Entry) -> Vec<(String, Spot)> {
    let of_records = entry.records.iter().flat_map(|record| &record.facts);
    let all = entry.facts.iter().chain(of_records);
    all.filter_map(|Stated { fact, spot, .. }| {
        let Fact::Photo(picture) = fact else {
            return None;
        };
        Some((picture.path.clone(), in_file(entry, spot)))
    })
    .collect()
}

/// Photos that are named and not there.
fn missing(
    photos: impl IntoIterator<Item = (String, Spot)>,
    exists: &dyn Fn(&str) -> bool,
) -> impl Iterator<Item = Problem> {
    let photos = photos.into_iter();
    let local = photos.filter(|(path, _)| !path.contains("://"));
    local.filter_map(|(path, spot)| {
        let problem = if lies_outside(&path) {
            Problem::note(
                spot,
                format!("`{path}` lies outside the journal, and does not go with it"),
            )
            .hint("copy it into photos/, and write the path from there: `photos/...`")
        } else if exists(&path) {
            return None;
        } else {
            Problem::note(spot, format!("there is no photo `{path}`"))
                .hint("photos lie in photos/, and the path begins with `photos/`")
        };
        Some(problem)
    })
}

/// Whether a path leads out of the journal, as it is written.
fn lies_outside(path: &str) -> bool {
    let drive = path.as_bytes().get(1) == Some(&b':');
    let mut depth = 0_i32;
    let climbs = path.split(['/', '\\']).any(|part| {
        depth += match part {
            ".." => -1,
            "" | "." => 0,
            _ => 1,
        };
        depth < 0
    });
    drive || climbs || path.starts_with(['/', '\\', '~'])
}

fn in_file(entry: &Entry, spot: &Spot) -> Spot {
    Spot {
        file: entry.path.clone(),
        ..spot.clone()
    }
}
