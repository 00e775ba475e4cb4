//! The figures, each as a report gives it.

use std::cmp::Ordering;
use std::collections::BTreeMap;

use super::{SummaryScope, SummarySource};
use crate::reports::bags::{PartSelection, bags};
use crate::reports::parts::standing;
use crate::reports::replaced::replaced;
use crate::reports::spending::spending;
use crate::reports::tally::sum;
use crate::reports::whole::{RecordSubject, about};
use crate::vocabulary::money::Money;
use crate::vocabulary::spoken::{counted, listed, said_part, spoken_money};
use crate::vocabulary::status::Status;

/// A figure.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Figure {
    /// The sentence that says it.
    pub words: String,
    /// The verb, with its options, that answers the same.
    pub question: String,
}

/// The figures of these days.
#[must_use]
pub fn figures(scope: &SummaryScope<'_>, source: SummarySource<'_>) -> Vec<Figure> {
    let (which, on) = (scope.options(), scope.as_of);
    let (first, last) = scope.days;
    let days = format!("--since {first} --until {last}");
    // Of one part the story itself says where it stands.
    let parts = scope.part.is_none().then(|| parts(scope, source)).flatten();
    let said = [
        (
            spent(scope, source),
            format!("tally {which} {days} --on {on}"),
        ),
        (
            replacements(scope, source),
            format!("replaced {which} {days} --on {on}"),
        ),
        (
            bags_filled(scope, source),
            format!("bags {which} --on {on}"),
        ),
        (parts, format!("part {which} --on {on}")),
    ];
    let said = said.into_iter().filter_map(|(words, question)| {
        Some(Figure {
            words: words?,
            question,
        })
    });
    said.collect()
}

/// Time and money of the days. What was not written down nobody knows.
fn spent(scope: &SummaryScope<'_>, source: SummarySource<'_>) -> Option<String> {
    let SummarySource {
        entries,
        ledger,
        context,
    } = source;
    let postings = spending(entries, ledger, Some(scope.as_of), context);
    let ours = postings.iter().filter(|posting| scope.has_posting(posting));
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
fn replacements(scope: &SummaryScope<'_>, source: SummarySource<'_>) -> Option<String> {
    let mut rows = replaced(source.ledger, &|state| scope.has(state), &BTreeMap::new());
    rows.retain(|row| scope.has_day(row.date));
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
    let which = if parts > scope.most + 2 {
        names.truncate(scope.most);
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
fn bags_filled(scope: &SummaryScope<'_>, source: SummarySource<'_>) -> Option<String> {
    let whole = scope.system.is_none() && scope.parts.is_none();
    let asked = PartSelection {
        with_entries: false,
        wanted: &|state| scope.has(state),
        whole_vehicle: &|vehicle| whole && vehicle == scope.vehicle,
    };
    let bags = bags(source.ledger, &asked).bags;
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
fn parts(scope: &SummaryScope<'_>, source: SummarySource<'_>) -> Option<String> {
    let mut counts = [
        (0, "on the vehicle"),
        (0, "off it"),
        (0, "away being worked on"),
    ];
    for (_, state) in source.ledger.recorded() {
        if scope.has(state) && about(state, source.context) == RecordSubject::Part {
            let stands = match standing(state, source.ledger).known {
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
