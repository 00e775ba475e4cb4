//! Tools that have to go back to someone, and those that broke.
//!
//! `return by` and `return within` begin a loan, or move its day, and so does a word for
//! borrowing, without a day; `returned` ends it. They may stand in any entry, so they are
//! looked at together.

use jiff::ToSpan;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use crate::entry::{Entry, Fact, Record, Return, Stated, Tool};
use crate::ledger::{RecordTime, best_match, when};
use crate::problem::{Problem, Spot};
use crate::vocabulary::words::{fold, words};

/// A tool that is here and has to go back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Loan {
    /// Which, as it was last written.
    pub tool: String,
    /// The day by which it has to be back, if one was said.
    pub by: Option<Date>,
    /// Whether it broke, rather than that it has to go back.
    pub broke: bool,
    /// The day it came.
    pub since: Date,
    /// The vehicle it came for, if that was said.
    pub vehicle: Option<String>,
    /// The system, if that was said.
    pub system: Option<String>,
    /// Where it is said last.
    pub spot: Spot,
}

/// What an entry says of a tool that has to go back, or went.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ToolSaid {
    tool: Tool,
    when: RecordTime,
    vehicle: Option<String>,
    system: Option<String>,
    spot: Spot,
}

impl ToolSaid {
    /// The day it is about.
    #[must_use]
    pub fn date(&self) -> Date {
        self.when.date
    }
}

/// The tools that still have to go back, oldest first, and what is wrong with
/// those that are said to be returned.
#[must_use]
pub fn loans(mut said: Vec<ToolSaid>) -> (Vec<Loan>, Vec<Problem>) {
    said.sort_by(|a, b| (&a.when, &a.spot).cmp(&(&b.when, &b.spot)));
    let mut open: Vec<Loan> = Vec::new();
    let mut problems = Vec::new();
    for said in said {
        let by = match said.tool.back {
            None if says(&said.tool.name, &MENDED) => {
                if let Some(found) = of_name(&open, &said.tool.name).filter(|at| open[*at].broke) {
                    open.remove(found);
                }
                continue;
            }
            // Borrowed, or broken.
            None => None,
            Some(Return::By(day)) => Some(day),
            Some(Return::Within(days)) => {
                let day = said.when.date.checked_add(i64::from(days).days());
                Some(day.unwrap_or(Date::MAX))
            }
            Some(Return::Went) => {
                match of_name(&open, &said.tool.name) {
                    Some(found) => {
                        open.remove(found);
                    }
                    None => problems.push(not_lent(&said, &open)),
                }
                continue;
            }
        };
        let loan = Loan {
            broke: by.is_none() && says(&said.tool.name, &BROKE),
            tool: said.tool.name,
            by,
            since: said.when.date,
            vehicle: said.vehicle,
            system: said.system,
            spot: said.spot,
        };
        // What stands behind a comma is who lent it.
        let name = |tool: &str| fold(tool.split(',').next().unwrap_or_default());
        let own = name(&loan.tool);
        match open.iter().position(|open| name(&open.tool) == own) {
            Some(same) => {
                let since = open[same].since;
                open[same] = Loan { since, ..loan };
            }
            None => open.push(loan),
        }
    }
    (open, problems)
}

/// What an entry says of tools that have to go back.
#[must_use]
pub fn tools_said(entry: &Entry) -> Vec<ToolSaid> {
    let of_session = entry.facts.iter().filter_map(|stated| {
        let system = entry.system.as_deref();
        said_by(entry, stated, entry.date, entry.vehicle.as_deref(), system)
    });
    let of_records = entry.records.iter().filter(|record| is_first(record));
    let of_records = of_records.flat_map(|record| {
        record.facts.iter().filter_map(|stated| {
            let system = record.system.as_ref().map(|(system, _)| system.as_str());
            said_by(
                entry,
                stated,
                record.date,
                record.vehicle.as_deref(),
                system,
            )
        })
    });
    of_session.chain(of_records).collect()
}

/// A short form says the same of all its parts; once is enough.
fn is_first(record: &Record) -> bool {
    record.short.is_none_or(|(at, _)| at == 0)
}

fn said_by(
    entry: &Entry,
    stated: &Stated,
    date: Option<Date>,
    vehicle: Option<&str>,
    system: Option<&str>,
) -> Option<ToolSaid> {
    let Fact::Tool(tool) = &stated.fact else {
        return None;
    };
    let told = [&BROKE[..], &BORROWED, &MENDED];
    if tool.back.is_none() && !told.iter().any(|words| says(&tool.name, words)) {
        return None;
    }
    Some(ToolSaid {
        tool: tool.clone(),
        when: when(entry, date, stated.spot.line)?,
        vehicle: vehicle.map(str::to_owned),
        system: system.map(str::to_owned),
        spot: Spot {
            file: entry.path.clone(),
            ..stated.spot.clone()
        },
    })
}

/// Words for a tool that is here on loan (common practice, no source).
const BORROWED: [&str; 5] = ["borrowed", "loan", "lent", "hired", "rented"];

/// Words for a tool that is of no more use.
const BROKE: [&str; 9] = [
    "wrecked", "broke", "broken", "ruined", "snapped", "bent", "stripped", "worn", "lost",
];

/// Words for one that is of use again, or another in its place.
const MENDED: [&str; 5] = ["mended", "repaired", "replaced", "fixed", "found"];

/// Whether a text holds one of these words.
fn says(text: &str, wanted: &[&str]) -> bool {
    words(text).any(|word| wanted.contains(&word.as_str()))
}

/// The loan that a name means: of the same name, else the one that shares most
/// words.
fn of_name(open: &[Loan], name: &str) -> Option<usize> {
    let folded = fold(name);
    let same = open.iter().position(|loan| fold(&loan.tool) == folded);
    let tools: Vec<&str> = open.iter().map(|loan| loan.tool.as_str()).collect();
    same.or_else(|| best_match(name, &tools))
}

fn not_lent(said: &ToolSaid, open: &[Loan]) -> Problem {
    let message = format!("`{}` was not to be returned", said.tool.name);
    let names: Vec<&str> = open.iter().map(|loan| loan.tool.as_str()).collect();
    let hint = if names.is_empty() {
        "a loan begins with `tool: NAME, return by 2026-05-01`".to_owned()
    } else {
        format!("still here: {}; use its words", names.join("; "))
    };
    Problem::note(said.spot.clone(), message).hint(hint)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::entry::{Context, read_file};
    use crate::vocabulary::money::Currency;

    fn context() -> Context {
        Context {
            systems: Vec::new(),
            vehicles: Vec::new(),
            currency: Currency::EUR,
        }
    }

    fn after(tools: &[&str]) -> (Vec<(String, String)>, usize) {
        let entries: Vec<Entry> = tools
            .iter()
            .enumerate()
            .map(|(at, tool)| {
                let day = at + 1;
                let text =
                    format!("---\ndate: 2026-03-0{day}\nvehicle: wren\ntool: {tool}\n---\n\n# X\n");
                read_file(&format!("entries/{day}.md"), &text, &context()).0
            })
            .collect();
        let (open, problems) = loans(entries.iter().flat_map(tools_said).collect());
        let open = open.into_iter().map(|loan| {
            (
                loan.tool,
                loan.by.map(|day| day.to_string()).unwrap_or_default(),
            )
        });
        (open.collect(), problems.len())
    }

    fn one(tool: &str, by: &str) -> Vec<(String, String)> {
        vec![(tool.to_owned(), by.to_owned())]
    }

    #[test]
    fn a_loan_begins_moves_and_ends() {
        let puller = "hub puller, from Jonas, return by 2026-04-01";
        assert_eq!(
            after(&[puller]),
            (one("hub puller, from Jonas", "2026-04-01"), 0)
        );
        let longer = "Hub puller, from Jonas, return within 2 weeks";
        assert_eq!(
            after(&[puller, longer]),
            (one("Hub puller, from Jonas", "2026-03-16"), 0)
        );
        assert_eq!(after(&[puller, "hub puller, returned"]), (vec![], 0));
        assert_eq!(
            after(&[puller, "the puller, returned to Jonas with cake"]),
            (vec![], 0)
        );
        assert_eq!(after(&[puller, "hub puller returned"]), (vec![], 0));
    }

    #[test]
    fn what_was_not_lent_cannot_go_back() {
        let puller = "hub puller, return by 2026-04-01";
        assert_eq!(
            after(&[puller, "welding mask, returned"]),
            (one("hub puller", "2026-04-01"), 1)
        );
        assert_eq!(after(&["welding mask, returned"]), (vec![], 1));
        // Two that fit as well: neither is taken.
        let other = "gear puller, return by 2026-05-01";
        let (open, problems) = after(&[puller, other, "puller, returned"]);
        assert_eq!((open.len(), problems), (2, 1));
        assert_eq!(after(&["return spring pliers"]), (vec![], 0));
    }

    #[test]
    fn what_was_borrowed_or_broke_is_not_forgotten() {
        assert_eq!(
            after(&["hub puller, borrowed from Jonas"]),
            (one("hub puller, borrowed from Jonas", ""), 0)
        );
        assert_eq!(
            after(&["hub puller, borrowed from Jonas", "hub puller, returned"]),
            (vec![], 0)
        );
        assert_eq!(after(&["torque wrench, broke it"]).0.len(), 1);
        assert_eq!(
            after(&["torque wrench, broke it", "torque wrench, repaired"]),
            (vec![], 0)
        );
        assert_eq!(after(&["torque wrench"]), (vec![], 0));
    }

    #[test]
    fn of_two_entries_of_a_day_the_hour_decides() {
        let entry = |name: &str, time: &str, tool: &str| {
            let text = format!(
                "---\ndate: 2026-03-01\ntime: {time}\nvehicle: wren\ntool: {tool}\n---\n\n# X\n"
            );
            read_file(&format!("entries/{name}.md"), &text, &context()).0
        };
        let lent = "hub puller, return by 2026-04-01";
        let back = "hub puller, returned";
        let of = |entries: [Entry; 2]| loans(entries.iter().flat_map(tools_said).collect());
        let (open, problems) = of([entry("a", "20:00", back), entry("b", "08:00", lent)]);
        assert_eq!((open.len(), problems.len()), (0, 0));
        let (open, problems) = of([entry("a", "07:00", back), entry("b", "08:00", lent)]);
        assert_eq!((open.len(), problems.len()), (1, 1));
    }
}
