//! One fact of a sheet as the line of an entry, written so that the entry reads all of it as
//! that fact.
//!
//! What no way of writing makes readable is found in `refusals`.

use crate::entry::{Context, read};
use crate::problem::Severity;

/// Marks behind which an entry may see the next fact of a line begin.
const PARTING: [&str; 6] = [", ", ". ", "; ", ": ", " - ", " / "];

/// `- key: value` with the end of the line. Where the entry would take words of the value for
/// another fact, as in `stored: on the hub, finger tight`, they stand in brackets, in which it
/// looks for none.
pub(super) fn fact_line(key: &str, value: &str, journal: &Context) -> String {
    let plain = format!("- {key}: {value}\n");
    if is_all_of_key(&plain, key, journal) {
        return plain;
    }
    let marks = PARTING.iter();
    let first = marks.filter_map(|mark| Some((value.find(mark)?, mark.len())));
    let bracketed = first.min().map(|(at, length)| {
        let (before, behind) = (&value[..at], &value[at + length..]);
        format!("- {key}: {before} ({behind})\n")
    });
    bracketed
        .filter(|line| is_all_of_key(line, key, journal))
        .unwrap_or(plain)
}

/// Whether an entry reads a line without an error, and nothing in it as another fact than the
/// one of its key; but a bag and a need may follow, as they do in every entry.
fn is_all_of_key(line: &str, key: &str, journal: &Context) -> bool {
    const LINE: u32 = 3;
    let (entry, problems) = read(&format!("## Lid\n\n{line}"), journal);
    let keys: Vec<&str> = entry
        .records
        .iter()
        .flat_map(|record| &record.facts)
        .map(|stated| stated.key.word())
        .collect();
    keys.contains(&key)
        && keys
            .iter()
            .all(|read| *read == key || matches!(*read, "bag" | "needs"))
        && !problems
            .iter()
            .any(|problem| problem.severity == Severity::Error && problem.spot.line == LINE)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::vocabulary::money::Currency;

    #[test]
    fn words_stay_with_the_fact_they_stand_in() {
        let journal = Context {
            systems: Vec::new(),
            vehicles: Vec::new(),
            currency: Currency::EUR,
        };
        for (key, value, expected) in [
            (
                "stored",
                "rack 2, behind the door",
                "rack 2, behind the door",
            ),
            ("stored", "out on the bench", "out on the bench"),
            (
                "stored",
                "off to the left of the vice",
                "off to the left of the vice",
            ),
            (
                "stored",
                "on the hub, finger tight",
                "on the hub (finger tight)",
            ),
            ("stored", "bench, removed", "bench (removed)"),
            ("stored", "bench. Hours: 2", "bench (Hours: 2)"),
            ("stored", "hours: 2", "hours (2)"),
            ("found", "worn, needs a new bush", "worn, needs a new bush"),
            ("found", "worn, fitted", "worn, fitted"),
            ("lesson", "drain first, cost: 30", "drain first (cost: 30)"),
        ] {
            let line = fact_line(key, value, &journal);
            assert_eq!(line, format!("- {key}: {expected}\n"));
        }
    }
}
