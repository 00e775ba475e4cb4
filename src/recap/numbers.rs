//! The figures of a draft, each as a report gives it and with the question that
//! gives the same.

use std::cmp::Ordering;
use std::collections::BTreeMap;

use super::draft::{DraftParagraph, figure};
use super::request::Extent;
use crate::ledger::{Ledger, PlaceState};
use crate::reports::bags::{PartSelection, bags};
use crate::reports::parts::standing;
use crate::reports::replaced::{ReplacedRow, replaced};
use crate::reports::spending::spending;
use crate::reports::tally::{Sum, sum};
use crate::reports::whole::{RecordSubject, about};
use crate::vocabulary::spoken::{listed, said_part, spoken_money};
use crate::vocabulary::status::Status;

/// The figures.
#[must_use]
pub fn numbers(extent: &Extent<'_>, ledger: &Ledger) -> Vec<DraftParagraph> {
    let scope = extent.which_days();
    let on = format!("--on {}", extent.request.as_of);
    let mut said = Vec::new();
    if let Some(words) = spent_words(&spent(extent, ledger)) {
        said.push(figure(&words, &format!("tally {scope} {on}")));
    }
    if let Some(words) = replaced_words(&replacements(extent, ledger), extent.most) {
        said.push(figure(&words, &format!("replaced {scope} {on}")));
    }
    let then = format!("{} {on}", extent.which());
    if let Some(words) = bag_words(extent, ledger) {
        said.push(figure(&words, &format!("bags {then}")));
    }
    // Of one part the story itself says where it stands.
    if let Some(words) = standing_words(extent, ledger).filter(|_| extent.request.part.is_none()) {
        said.push(figure(&words, &format!("part {then}")));
    }
    said
}

/// Time and money of the days.
fn spent(extent: &Extent<'_>, ledger: &Ledger) -> Sum {
    let postings = spending(
        extent.entries,
        ledger,
        Some(extent.request.as_of),
        extent.context,
    );
    let ours = postings
        .iter()
        .filter(|posting| extent.has_posting(posting));
    sum(ours, extent.context.currency)
}

fn spent_words(sum: &Sum) -> Option<String> {
    let mut words = Vec::new();
    let (hours, minutes) = (sum.minutes / 60, sum.minutes % 60);
    let one = |count: u64, word: &str| {
        (count > 0).then(|| format!("{count} {word}{}", if count == 1 { "" } else { "s" }))
    };
    let time: Vec<String> = [one(hours, "hour"), one(minutes, "minute")]
        .into_iter()
        .flatten()
        .collect();
    if !time.is_empty() {
        words.push(format!("{} in the shop", listed(&time)));
    }
    let amounts = |wanted: Ordering| -> Vec<String> {
        let own = sum
            .money
            .iter()
            .filter(|money| money.minor.cmp(&0) == wanted);
        own.map(spoken_money).collect()
    };
    let (spent, back) = (amounts(Ordering::Greater), amounts(Ordering::Less));
    if !spent.is_empty() {
        words.push(format!("{} spent", listed(&spent)));
    }
    if !back.is_empty() {
        words.push(format!("{} came back", listed(&back)));
    }
    // What was not written down nobody knows.
    (!words.is_empty()).then(|| format!("Written down: {}.", words.join(", ")))
}

fn replacements(extent: &Extent<'_>, ledger: &Ledger) -> Vec<ReplacedRow> {
    let mut rows = replaced(ledger, &|state| extent.has(state), &BTreeMap::new());
    if let Some((first, last)) = extent.days {
        rows.retain(|row| row.date >= first && row.date <= last);
    }
    rows
}

/// "9 replacements are written down, among them ...": of some the new unit waits on a
/// shelf.
fn replaced_words(rows: &[ReplacedRow], most: usize) -> Option<String> {
    let mut names: Vec<String> = Vec::new();
    for row in rows {
        let name = said_part(&row.part, &[]);
        if !names.contains(&name) {
            names.push(name);
        }
    }
    let (count, parts) = (rows.len(), names.len());
    // To leave out one or two would save nobody any time.
    let among = parts > most + 2;
    if among {
        names.truncate(most);
    }
    let names = listed(&names);
    match (count, among) {
        (0, _) => None,
        (1, _) => Some(format!("1 replacement is written down: {names}.")),
        (_, true) => Some(format!(
            "{count} replacements are written down, among them {names}."
        )),
        (_, false) if parts < count => Some(format!(
            "{count} replacements are written down, of {parts} parts: {names}."
        )),
        (_, false) => Some(format!("{count} replacements are written down: {names}.")),
    }
}

/// What waits in bags at the end of the days.
fn bag_words(extent: &Extent<'_>, ledger: &Ledger) -> Option<String> {
    let whole = extent.request.system.is_none() && extent.request.parts.is_none();
    let asked = PartSelection {
        with_entries: false,
        wanted: &|state| extent.has(state),
        whole_vehicle: &|vehicle| whole && vehicle == extent.request.vehicle,
    };
    let bags = bags(ledger, &asked).bags;
    let empty = bags.iter().filter(|bag| bag.emptied.is_some()).count();
    let are = if empty == 1 { "is" } else { "are" };
    match bags.len() {
        0 => None,
        1 if empty == 0 => Some("1 bag was filled.".to_owned()),
        1 => Some("1 bag was filled, and is empty again.".to_owned()),
        all if empty == 0 => Some(format!("{all} bags were filled.")),
        all => Some(format!(
            "{all} bags were filled, and {empty} of them {are} empty again."
        )),
    }
}

/// Where the parts stand at the end of the days.
fn standing_words(extent: &Extent<'_>, ledger: &Ledger) -> Option<String> {
    let states: Vec<&PlaceState> = ledger
        .recorded()
        .map(|(_, state)| state)
        .filter(|state| extent.has(state) && about(state, extent.context) == RecordSubject::Part)
        .collect();
    let known: Vec<Option<Status>> = states
        .iter()
        .map(|state| standing(state, ledger).known)
        .collect();
    let on = known
        .iter()
        .filter(|status| status.is_some_and(Status::is_on))
        .count();
    let out = known
        .iter()
        .filter(|status| **status == Some(Status::Out))
        .count();
    if known.is_empty() {
        return None;
    }
    let count = known.len();
    // Only those that there are: a listener counts along.
    let standing: Vec<String> = [
        (on, "on the vehicle"),
        (count - on - out, "off it"),
        (out, "away being worked on"),
    ]
    .into_iter()
    .filter(|(count, _)| *count > 0)
    .map(|(count, words)| format!("{count} {words}"))
    .collect();
    let standing = listed(&standing);
    Some(match count {
        1 => format!("1 part is in the records: {standing}."),
        count => format!("{count} parts are in the records: {standing}."),
    })
}
