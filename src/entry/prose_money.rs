//! Money that stands in prose, where nothing counts it.
//!
//! It is only said; whether it was a cost of this session, nobody can know from the words.

use std::collections::BTreeSet;

use super::model::Entry;
use super::source::Lines;
use crate::problem::Problem;
use crate::vocabulary::cost_reading::named_money_in;
use crate::vocabulary::money::Currency;

/// Says where amounts with their currency stand in the prose of an entry, once a text
/// that counts no money at all.
pub(super) fn find(entry: &Entry, lines: &Lines<'_>, currency: Currency) -> Vec<Problem> {
    let is_counted = |stated: &super::Stated| stated.key == super::Key::Cost;
    let counts = entry.facts.iter().any(is_counted)
        || entry
            .records
            .iter()
            .flat_map(|record| &record.facts)
            .any(|stated| is_counted(stated) || stated.key == super::Key::ReplacedBy);
    if counts {
        return Vec::new();
    }
    let passages = entry.records.iter().map(|record| &record.passage);
    let passages = passages.chain(entry.bags.iter().map(|bag| &bag.passage));
    let mut seen = BTreeSet::new();
    let mut found = Vec::new();
    for passage in passages.chain(&entry.prose) {
        let start = passage.prose.min(passage.bytes.end);
        let mut at = start;
        for line in entry.text[start..passage.bytes.end].split_inclusive('\n') {
            let from = at;
            at += line.len();
            let Some(money) = named_money_in(line, currency) else {
                continue;
            };
            if seen.insert(from) {
                let problem = Problem::note(
                    lines.spot(from..from + line.trim_end().len()),
                    format!("`{money}` stands in the text and is counted nowhere"),
                );
                found.push(problem.hint(format!(
                    "write `- cost: {money}` among the facts if it was paid for this"
                )));
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use crate::entry::{Context, read};
    use crate::vocabulary::money::Currency;

    fn said(body: &str) -> usize {
        let context = Context {
            systems: Vec::new(),
            vehicles: Vec::new(),
            currency: Currency::EUR,
        };
        let text = format!("---\ndate: 2026-03-14\nvehicle: wren\n---\n\n# An evening\n\n{body}\n");
        let (_, problems) = read(&text, &context);
        let told = |problem: &&crate::problem::Problem| problem.message.contains("counted nowhere");
        problems.iter().filter(told).count()
    }

    #[test]
    fn money_in_prose_is_said_where_no_cost_is() {
        for (body, count) in [
            ("Gave the man 20 quid for the puller.", 1),
            (
                "## Horn\n\n- status: removed\n\nThe new one was 12.50 EUR.",
                1,
            ),
            ("## Horn\n\n- cost: 12.50\n\nThe new one was 12.50 EUR.", 0),
            ("It took 20 minutes and 3 bolts M8.", 0),
        ] {
            assert_eq!(said(body), count, "{body}");
        }
    }
}
