//! The figures of a draft, each as a report gives it and with the question that
//! gives the same.

use std::cmp::Ordering;
use std::collections::BTreeMap;

use super::draft::Paragraph;
use super::frame::{Extent, figure};
use super::speech::{listed, said_part, spoken_money};
use crate::ledger::{Ledger, PlaceState};
use crate::reports::bags::{Asked, bags};
use crate::reports::parts::standing;
use crate::reports::replaced::{Row, replaced};
use crate::reports::spending::{Posting, spending};
use crate::reports::tally::{Sum, sum};
use crate::reports::whole::{About, about};
use crate::vocabulary::status::Status;
use crate::vocabulary::words::fold;

/// The figures.
#[must_use]
pub fn numbers(extent: &Extent<'_>, ledger: &Ledger) -> Vec<Paragraph> {
    let scope = extent.which_days();
    let on = format!("--on {}", extent.as_of);
    let mut said = Vec::new();
    if let Some(words) = spent_words(&spent(extent, ledger)) {
        said.push(figure(&words, &format!("tally {scope} {on}")));
    }
    for (index, (pair, count)) in extent.often.iter().enumerate() {
        let words = match index {
            0 => format!("Said most often: {pair}, {count} times."),
            1 => format!("Then {pair}, {count} times."),
            _ => format!("Then {pair}, {count}."),
        };
        said.push(figure(&words, &format!("find '\"{pair}\"' {scope}")));
    }
    if let Some(words) = replaced_words(&replacements(extent, ledger), extent.most) {
        said.push(figure(&words, &format!("replaced {scope} {on}")));
    }
    let then = format!("{} {on}", extent.which());
    if let Some(words) = bag_words(extent, ledger) {
        said.push(figure(&words, &format!("bags {then}")));
    }
    // Of one part the story itself says where it stands.
    if let Some(words) = standing_words(extent, ledger).filter(|_| extent.part.is_none()) {
        said.push(figure(&words, &format!("part {then}")));
    }
    said
}

/// Time and money of the days.
fn spent(extent: &Extent<'_>, ledger: &Ledger) -> Sum {
    let Some((first, last)) = extent.days else {
        return Sum::default();
    };
    let postings = spending(extent.entries, ledger, Some(extent.as_of), extent.context);
    let is_ours = |posting: &&Posting| {
        posting.vehicle.as_deref() == Some(extent.vehicle)
            && posting
                .date
                .is_some_and(|date| date >= first && date <= last)
            && extent.system.is_none_or(|system| {
                posting
                    .system
                    .as_ref()
                    .is_some_and(|own| fold(own) == fold(system))
            })
            && extent.parts.is_none_or(|parts| {
                let own = posting.vehicle.clone().zip(posting.part.clone());
                own.is_some_and(|own| parts.contains(&own))
            })
    };
    sum(postings.iter().filter(is_ours), extent.context.currency)
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

fn replacements(extent: &Extent<'_>, ledger: &Ledger) -> Vec<Row> {
    let mut rows = replaced(ledger, &|state| extent.has(state), &BTreeMap::new());
    if let Some((first, last)) = extent.days {
        rows.retain(|row| row.date >= first && row.date <= last);
    }
    rows
}

/// "4 replacements are written down: ...": of some the new unit waits on a shelf.
fn replaced_words(rows: &[Row], most: usize) -> Option<String> {
    let mut names: Vec<String> = Vec::new();
    for row in rows {
        let name = said_part(&row.part, &[]);
        if !names.contains(&name) {
            names.push(name);
        }
    }
    if names.len() > most {
        names.truncate(most);
        names.push("others".to_owned());
    }
    match rows.len() {
        0 => None,
        1 => Some(format!(
            "1 replacement is written down: {}.",
            listed(&names)
        )),
        count => Some(format!(
            "{count} replacements are written down: {}.",
            listed(&names)
        )),
    }
}

/// What waits in bags at the end of the days.
fn bag_words(extent: &Extent<'_>, ledger: &Ledger) -> Option<String> {
    let whole = extent.system.is_none() && extent.parts.is_none();
    let asked = Asked {
        wanted: &|state| extent.has(state),
        whole_vehicle: &|vehicle| whole && vehicle == extent.vehicle,
    };
    let bags = bags(ledger, &asked).bags;
    let empty = bags.iter().filter(|bag| bag.emptied.is_some()).count();
    let word = if bags.len() == 1 { "bag" } else { "bags" };
    let (all, waiting) = (bags.len(), bags.len() - empty);
    let pieces = counted(&[(waiting, "with hardware"), (empty, "empty again")]);
    (all > 0).then(|| format!("{all} {word}: {pieces}."))
}

/// Where the parts stand at the end of the days.
fn standing_words(extent: &Extent<'_>, ledger: &Ledger) -> Option<String> {
    let states: Vec<&PlaceState> = ledger
        .recorded()
        .map(|(_, state)| state)
        .filter(|state| extent.has(state) && about(state, extent.context) == About::Part)
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
    let parts = if known.len() == 1 { "part" } else { "parts" };
    let count = known.len();
    let standing = counted(&[
        (on, "on the vehicle"),
        (count - on - out, "off it"),
        (out, "away being worked on"),
    ]);
    Some(format!("{count} {parts} in the records: {standing}."))
}

/// Words only for those that there are: a listener counts along.
fn counted(pieces: &[(usize, &str)]) -> String {
    let pieces = pieces.iter().filter(|(count, _)| *count > 0);
    let said: Vec<String> = pieces
        .map(|(count, words)| format!("{count} {words}"))
        .collect();
    said.join(", ")
}
