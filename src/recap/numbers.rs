//! The figures of a draft, each as a report gives it and with the question that
//! gives the same.

use std::cmp::Ordering;
use std::collections::BTreeMap;

use super::draft::{DraftParagraph, StatementOrigin, statement};
use super::request::Extent;
use crate::reports::bags::{PartSelection, bags};
use crate::reports::parts::standing;
use crate::reports::replaced::replaced;
use crate::reports::spending::spending;
use crate::reports::tally::sum;
use crate::reports::whole::{RecordSubject, about};
use crate::vocabulary::money::Money;
use crate::vocabulary::spoken::{counted, listed, said_part, spoken_money};
use crate::vocabulary::status::Status;

/// The figures.
#[must_use]
pub fn numbers(extent: &Extent<'_>) -> Vec<DraftParagraph> {
    let request = extent.request;
    let (which, on) = (request.which(), request.as_of);
    let (first, last) = request.days;
    let days = format!("--since {first} --until {last}");
    // Of one part the story itself says where it stands.
    let is_of_many = request.part.is_none();
    let said = [
        (spent(extent), format!("tally {which} {days} --on {on}")),
        (
            replacements(extent),
            format!("replaced {which} {days} --on {on}"),
        ),
        (bags_filled(extent), format!("bags {which} --on {on}")),
        (
            parts(extent).filter(|_| is_of_many),
            format!("part {which} --on {on}"),
        ),
    ];
    let said = said.into_iter().filter_map(|(words, question)| {
        Some(statement(&words?, StatementOrigin::Report(question)))
    });
    said.collect()
}

/// Time and money of the days. What was not written down nobody knows.
fn spent(extent: &Extent<'_>) -> Option<String> {
    let Extent {
        entries,
        ledger,
        context,
        ..
    } = extent;
    let postings = spending(entries, ledger, Some(extent.request.as_of), context);
    let ours = postings
        .iter()
        .filter(|posting| extent.has_posting(posting));
    let sum = sum(ours, context.currency);
    let time = [
        (sum.minutes / 60, "hour", "hours"),
        (sum.minutes % 60, "minute", "minutes"),
    ];
    let time =
        time.map(|(count, one, many)| (usize::try_from(count).unwrap_or(usize::MAX), one, many));
    let time = time.into_iter().filter(|(count, ..)| *count > 0);
    let time = time.map(|(count, one, many)| counted(count, one, many));
    let amounts = |wanted: Ordering| {
        let own = |money: &&Money| money.minor.cmp(&0) == wanted;
        sum.money.iter().filter(own).map(spoken_money).collect()
    };
    let said: [(Vec<String>, &str); 3] = [
        (time.collect(), "in the shop"),
        (amounts(Ordering::Greater), "spent"),
        (amounts(Ordering::Less), "came back"),
    ];
    let said = said.iter().filter(|(what, _)| !what.is_empty());
    let said: Vec<String> = said
        .map(|(what, how)| format!("{} {how}", listed(what)))
        .collect();
    (!said.is_empty()).then(|| format!("Written down: {}.", said.join(", ")))
}

/// "9 replacements are written down, among them ...": of some the new unit waits on a
/// shelf.
fn replacements(extent: &Extent<'_>) -> Option<String> {
    let mut rows = replaced(extent.ledger, &|state| extent.has(state), &BTreeMap::new());
    rows.retain(|row| extent.request.has_day(row.date));
    let mut names: Vec<String> = Vec::new();
    for row in &rows {
        let name = said_part(&row.part, &[]);
        if !names.contains(&name) {
            names.push(name);
        }
    }
    let are = counted(rows.len(), "replacement is", "replacements are");
    let parts = names.len();
    // To leave out one or two would save nobody any time.
    let which = if parts > extent.most() + 2 {
        names.truncate(extent.most());
        format!(", among them {}", listed(&names))
    } else if parts < rows.len() {
        let of = counted(parts, "part", "parts");
        format!(", of {of}: {}", listed(&names))
    } else {
        format!(": {}", listed(&names))
    };
    (parts > 0).then(|| format!("{are} written down{which}."))
}

/// What waits in bags at the end of the days.
fn bags_filled(extent: &Extent<'_>) -> Option<String> {
    let request = extent.request;
    let whole = request.system.is_none() && request.parts.is_none();
    let asked = PartSelection {
        with_entries: false,
        wanted: &|state| extent.has(state),
        whole_vehicle: &|vehicle| whole && vehicle == request.vehicle,
    };
    let bags = bags(extent.ledger, &asked).bags;
    let empty = bags.iter().filter(|bag| bag.emptied.is_some()).count();
    let were = counted(bags.len(), "bag was", "bags were");
    match (bags.len(), empty) {
        (0, _) => None,
        (_, 0) => Some(format!("{were} filled.")),
        (1, _) => Some(format!("{were} filled, and is empty again.")),
        (_, 1) => Some(format!("{were} filled, and 1 of them is empty again.")),
        (_, more) => Some(format!(
            "{were} filled, and {more} of them are empty again."
        )),
    }
}

/// Where the parts stand at the end of the days.
fn parts(extent: &Extent<'_>) -> Option<String> {
    let mut counts = [
        (0, "on the vehicle"),
        (0, "off it"),
        (0, "away being worked on"),
    ];
    for (_, state) in extent.ledger.recorded() {
        if extent.has(state) && about(state, extent.context) == RecordSubject::Part {
            let stands = match standing(state, extent.ledger).known {
                Some(status) if status.is_on() => 0,
                Some(Status::Out) => 2,
                Some(_) | None => 1,
            };
            counts[stands].0 += 1;
        }
    }
    let all = counts.iter().map(|(count, _)| count).sum();
    // Only those that there are: a listener counts along.
    let said = counts.iter().filter(|(count, _)| *count > 0);
    let said: Vec<String> = said
        .map(|(count, words)| format!("{count} {words}"))
        .collect();
    let are = counted(all, "part is", "parts are");
    (all > 0).then(|| format!("{are} in the records: {}.", listed(&said)))
}
