//! What each month brought: hours, money, parts that came off and parts that went on
//! again; and what was spent of a budget by then.
//!
//! Every month from the first to the last has a row, also where nothing happened.

use std::collections::BTreeMap;

use jiff::ToSpan;
use jiff::civil::Date;

use super::parts_off::{PartMove, Whereabouts};
use super::spending::Posting;
use super::tally::{Budget, Sum, TallyGrouping, tally};
use crate::entry::Context;
use crate::vocabulary::money::Money;

/// What a month brought.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MonthRow {
    /// Its first day.
    pub month: Date,
    /// Hours and money.
    pub sum: Sum,
    /// Parts.
    pub parts: PartsMoved,
}

/// How many parts moved in a month.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct PartsMoved {
    /// How often a part came off.
    pub came_off: u32,
    /// How often a part went on again.
    pub went_on: u32,
    /// How many were given up, less those that were taken back.
    pub given_up: i32,
    /// How many were off at its end and are to go back.
    pub still_off: i32,
}

/// What was spent of a budget.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BudgetMonths {
    /// The budget, with all that was spent.
    pub budget: Budget,
    /// What was spent by the end of each month, beside the rows.
    pub spent: Vec<Money>,
}

/// The months of a journal, or of a part of it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Months {
    /// The months, without a gap.
    pub rows: Vec<MonthRow>,
    /// The budgets that hold for all of these months.
    pub budgets: Vec<BudgetMonths>,
}

impl MonthRow {
    /// `2026-03`.
    #[must_use]
    pub fn key(&self) -> String {
        key(self.month)
    }
}

fn key(month: Date) -> String {
    format!("{:04}-{:02}", month.year(), month.month())
}

/// The months of these postings and moves, from one day to another where they are given.
/// What came off before counts for what is still off. Postings without a day count
/// nowhere.
#[must_use]
pub fn months(
    postings: &[Posting],
    moves: &[PartMove],
    (since, until): (Option<Date>, Option<Date>),
    context: &Context,
) -> Months {
    let asked = |day: Date| {
        since.is_none_or(|since| day >= since) && until.is_none_or(|until| day <= until)
    };
    let asked_postings: Vec<Posting> = postings
        .iter()
        .filter(|posting| posting.date.is_some_and(&asked))
        .cloned()
        .collect();
    let sums: BTreeMap<String, Sum> = tally(&asked_postings, TallyGrouping::Month, context)
        .rows
        .into_iter()
        .filter_map(|row| Some((row.key?, row.sum)))
        .collect();
    let by_then = moves.iter();
    let by_then = by_then.filter(|part| until.is_none_or(|until| part.date <= until));
    let mut moves: Vec<&PartMove> = by_then.collect();
    moves.sort_by_key(|part| part.date);
    let days = asked_postings.iter().filter_map(|posting| posting.date);
    let moved = moves.iter().map(|part| part.date);
    let days: Vec<Date> = days.chain(moved.filter(|day| asked(*day))).collect();
    let (Some(first), Some(last)) = (days.iter().min(), days.iter().max()) else {
        return Months::default();
    };
    let mut waiting = moves.into_iter().peekable();
    let mut still_off = 0;
    let mut rows = Vec::new();
    let mut month = Some(first.first_of_month());
    while let Some(own) = month.filter(|own| own <= last) {
        let mut parts = PartsMoved::default();
        while let Some(part) = waiting.next_if(|part| part.date <= own.last_of_month()) {
            still_off += change(part);
            if asked(part.date) {
                parts.count(part);
            }
        }
        parts.still_off = still_off;
        rows.push(MonthRow {
            month: own,
            sum: sums.get(&key(own)).cloned().unwrap_or_default(),
            parts,
        });
        month = own.checked_add(1.month()).ok();
    }
    Months {
        rows,
        budgets: Vec::new(),
    }
}

/// By how much a move changes the number of parts that are off and to go back.
fn change(part: &PartMove) -> i32 {
    let is_off = |at: Whereabouts| i32::from(at == Whereabouts::Off);
    is_off(part.to) - is_off(part.from)
}

impl PartsMoved {
    /// Whether none moved.
    #[must_use]
    pub fn is_quiet(&self) -> bool {
        (self.came_off, self.went_on, self.given_up) == (0, 0, 0)
    }

    fn count(&mut self, part: &PartMove) {
        match (part.from, part.to) {
            (Whereabouts::On, Whereabouts::On) => {}
            (Whereabouts::On, Whereabouts::Off) => self.came_off += 1,
            (Whereabouts::On, Whereabouts::ForGood) => {
                self.came_off += 1;
                self.given_up += 1;
            }
            (Whereabouts::Off, Whereabouts::On) => self.went_on += 1,
            (Whereabouts::ForGood, Whereabouts::On) => {
                self.went_on += 1;
                self.given_up -= 1;
            }
            (Whereabouts::Off, Whereabouts::ForGood) => self.given_up += 1,
            (Whereabouts::ForGood, Whereabouts::Off) => self.given_up -= 1,
            (Whereabouts::Off, Whereabouts::Off) | (Whereabouts::ForGood, Whereabouts::ForGood) => {
            }
        }
    }
}

impl Months {
    /// Holds what was spent on vehicles against their budgets, in the currency of each.
    pub fn hold_against(&mut self, budgets: &[Budget], postings: &[Posting], context: &Context) {
        for budget in budgets {
            let own: Vec<Posting> = postings
                .iter()
                .filter(|posting| posting.vehicle.as_ref() == Some(&budget.vehicle))
                .cloned()
                .collect();
            let sums: BTreeMap<Option<String>, Sum> = tally(&own, TallyGrouping::Month, context)
                .rows
                .into_iter()
                .map(|row| (row.key, row.sum))
                .collect();
            let currency = budget.budget.currency;
            let mut so_far = Money { minor: 0, currency };
            let spent = self.rows.iter().map(|row| {
                let money = sums.get(&Some(row.key())).map(|sum| &sum.money[..]);
                let own = money.unwrap_or_default().iter();
                for money in own.filter(|money| money.currency == currency) {
                    so_far.minor = so_far.minor.saturating_add(money.minor);
                }
                so_far
            });
            let spent = spent.collect();
            self.budgets.push(BudgetMonths {
                budget: budget.clone(),
                spent,
            });
        }
    }
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;

    use super::Whereabouts::{ForGood, Off, On};
    use super::*;
    use crate::vocabulary::money::Currency;

    fn context() -> Context {
        Context {
            systems: Vec::new(),
            vehicles: Vec::new(),
            currency: Currency::EUR,
        }
    }

    fn moved(date: Date, from: Whereabouts, to: Whereabouts) -> PartMove {
        PartMove { date, from, to }
    }

    /// Three parts come off, one goes on again, one is given up.
    fn moves() -> Vec<PartMove> {
        vec![
            moved(date(2026, 3, 5), Off, On),
            moved(date(2025, 12, 31), On, Off),
            moved(date(2025, 12, 1), On, Off),
            moved(date(2026, 3, 31), Off, ForGood),
            moved(date(2026, 1, 1), On, Off),
        ]
    }

    fn rows(days: (Option<Date>, Option<Date>)) -> Vec<(String, u32, u32, i32, i32)> {
        let months = months(&[], &moves(), days, &context());
        let rows = months.rows.iter().map(|row| {
            let parts = row.parts;
            let moved = (parts.came_off, parts.went_on, parts.given_up);
            (row.key(), moved.0, moved.1, moved.2, parts.still_off)
        });
        rows.collect()
    }

    #[test]
    fn each_month_has_a_row() {
        let row = |key: &str, off, on, given_up, still| (key.to_owned(), off, on, given_up, still);
        let all = [
            row("2025-12", 2, 0, 0, 2),
            row("2026-01", 1, 0, 0, 3),
            row("2026-02", 0, 0, 0, 3),
            row("2026-03", 0, 1, 1, 1),
        ];
        assert_eq!(rows((None, None)), all);
        // What came off before the first day is still off.
        assert_eq!(rows((Some(date(2026, 1, 2)), None)), all[3..]);
        // What happens after the last day is not known yet.
        let until = rows((None, Some(date(2026, 3, 30))));
        assert_eq!(until[3], row("2026-03", 0, 1, 0, 2));
        assert_eq!(rows((Some(date(2027, 1, 1)), None)), []);
    }

    #[test]
    fn the_end_of_the_calendar_is_an_end() {
        let last = [moved(date(9999, 12, 31), On, Off)];
        let months = months(&[], &last, (None, None), &context());
        assert_eq!(months.rows.len(), 1);
    }
}
