//! Which rows an entry has from a table: for telling what a table would bring in
//! a second time.
//!
//! Rows are compared by what they say, never by their number: a table that was
//! sorted anew has the same rows.

use std::collections::{BTreeMap, HashMap};

use super::row::ImportRow;
use crate::entry::Entry;
use crate::vocabulary::words::fold;

/// What rows say, and how many say the same.
pub type RowCounts = BTreeMap<String, usize>;

/// What a row says, without its number, its day and its vehicle.
#[must_use]
pub fn content(row: &ImportRow) -> String {
    let cost = row.cost_of_entry();
    said(
        &row.section(),
        cost.as_deref()
            .and_then(|cost| Some(cost.rsplit_once(" row ")?.0)),
    )
}

/// What the rows in an entry say. A section that a person wrote is among them:
/// no row says the same by accident.
#[must_use]
pub fn contents(entry: &Entry) -> RowCounts {
    let costs: HashMap<&str, &str> = entry
        .facts
        .iter()
        .filter_map(|stated| stated.written.rsplit_once(" row "))
        .map(|(cost, number)| (number.trim(), cost))
        .collect();
    let mut counts = RowCounts::new();
    let mut sections = entry.text.split("\n## ");
    sections.next();
    for section in sections {
        let cost = row_number(section.lines().next().unwrap_or_default())
            .and_then(|number| costs.get(number).copied());
        *counts.entry(said(section, cost)).or_default() += 1;
    }
    counts
}

/// The words of a section: without quotation marks, empty lines and what only
/// says which row or day it was, so that the same row is the same in an entry
/// that an editor or an older version of the program wrote.
fn said(section: &str, cost: Option<&str>) -> String {
    let mut lines = section.trim_start_matches("## ").lines();
    let heading = lines.next().unwrap_or_default();
    let heading = match row_number(heading) {
        Some(_) => String::new(),
        None => fold(heading),
    };
    let body = lines
        .map(|line| {
            line.strip_prefix('>')
                .map_or(line, |own| own.strip_prefix(' ').unwrap_or(own))
        })
        .map(str::trim_end)
        .filter(|line| !line.is_empty())
        .filter(|line| !line.starts_with("- done: row ") && !line.starts_with("- date: "));
    let mut said = vec![heading.as_str()];
    said.extend(body);
    said.extend(cost);
    said.join("\n")
}

/// The number in the heading of a row without a part.
fn row_number(heading: &str) -> Option<&str> {
    let number = heading
        .trim_start_matches("## ")
        .strip_prefix("Row ")?
        .trim();
    number
        .bytes()
        .all(|byte| byte.is_ascii_digit())
        .then_some(number)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::entry::{Context, read};
    use crate::import::columns::Columns;
    use crate::import::row::entry;
    use crate::import::rows;
    use crate::import::table::Table;
    use crate::vocabulary::money::Currency;

    #[test]
    fn rows_are_known_again_whatever_their_order() {
        let rows_of = |text: &str| {
            let table = Table::read(text.as_bytes()).expect("a table");
            rows::read(&table, &Columns::guess(&table.header, Currency::EUR)).rows
        };
        let head = "date,vehicle,part,text,cost,kind\n";
        let lines = [
            "2026-01-01,a,,oil,12,x\n",
            "2026-01-01,a,,oil,12,x\n",
            "2026-01-01,a,,oil,13,x\n",
            "2026-01-01,a,Horn,\"a\n\nb \",1,\n",
            "2026-01-01,a,Lamp,,,\n",
        ];
        let rows = rows_of(&format!("{head}{}", lines.concat()));
        let context = Context {
            systems: Vec::new(),
            vehicles: Vec::new(),
            currency: Currency::EUR,
        };
        let all: Vec<&ImportRow> = rows.iter().collect();
        let (entry, _) = read(&entry(rows[0].date, "a", &all, "t.csv"), &context);
        let turned: String = lines.iter().rev().copied().collect();
        let mut wanted = RowCounts::new();
        for row in rows_of(&format!("{head}{turned}")) {
            *wanted.entry(content(&row)).or_default() += 1;
        }
        assert_eq!(contents(&entry), wanted);
        assert_eq!(wanted.len(), 4);
    }
}
