//! The fold of units and money: another unit in the place, and what is paid for
//! it or for anything else.
//!
//! Amounts are only kept here; what they come to is for `reports` to say.

use jiff::civil::Date;

use super::event::PlaceRecord;
use super::fold::only;
use super::needs;
use super::state::{PlaceState, Spent, Unit};
use crate::entry::{Fact, Replacement, Stated};
use crate::problem::{Problem, Spot};
use crate::vocabulary::cost::Cost;
use crate::vocabulary::money::Money;
use crate::vocabulary::status::Status;

impl PlaceState {
    /// A cost, unless it is the one said inside `replaced by` as well.
    pub(super) fn spend(&mut self, cost: &Cost, stated: &Stated, record: &PlaceRecord, date: Date) {
        let spot = &stated.spot;
        if said_inside(&record.facts, stated) {
            let text = format!("the cost {} is counted once", cost.money);
            self.problems.push(
                Problem::note(spot.clone(), text)
                    .hint("it stands inside `replaced by` as well; delete one of the two"),
            );
            return;
        }
        let buys = self.unit().brought.is_some()
            && only_cost(record) == Some(cost)
            && record.facts.iter().any(|stated| {
                matches!(&stated.fact, Fact::ReplacedBy(replacement) if replacement.cost.is_none())
            })
            && self.unit().cost == Some(cost.money);
        self.costs.push(Spent {
            cost: cost.clone(),
            unit: buys.then(|| self.unit().number),
            date,
            spot: spot.clone(),
        });
    }

    /// Another unit in the place.
    pub(super) fn replace(
        &mut self,
        replacement: &Replacement,
        record: &PlaceRecord,
        date: Date,
        spot: &Spot,
    ) {
        let of_record = only_cost(record).map(|cost| cost.money);
        needs::close_purchases(self, date);
        let waiting = self.unit().number > 1 && !self.unit().was_on;
        if waiting && replacement.old.is_none() {
            if let Some(cost) = &replacement.cost {
                self.amend_cost(cost, date, spot);
            }
            if let Some(unit) = self.units.last_mut() {
                amend(unit, replacement, of_record);
            }
            return;
        }
        // What was to be done on the old unit is of no account any more.
        needs::close_work(self, date);
        let number = self.unit().number + 1;
        if let Some(cost) = &replacement.cost {
            self.buy(number, cost, date, spot);
        }
        if let Some(old) = self.units.last_mut() {
            old.until = Some(date);
            old.fate = replacement.old;
            if !old.status.is_some_and(Status::is_gone) {
                old.status = Some(Status::Replaced);
            }
        }
        let mut unit = Unit {
            from: Some(date),
            brought: Some(spot.clone()),
            ..Unit::new(number)
        };
        amend(&mut unit, replacement, of_record);
        self.units.push(unit);
        self.sent = None;
        self.stored = None;
        self.ready_with = None;
    }

    fn buy(&mut self, unit: u32, cost: &Cost, date: Date, spot: &Spot) {
        self.costs.push(Spent {
            cost: cost.clone(),
            unit: Some(unit),
            date,
            spot: spot.clone(),
        });
    }

    /// What the waiting unit cost, said again: a unit is paid once.
    fn amend_cost(&mut self, cost: &Cost, date: Date, spot: &Spot) {
        let number = self.unit().number;
        let before = self
            .costs
            .iter()
            .position(|spent| spent.unit == Some(number));
        if let Some(before) = before.map(|at| self.costs.remove(at))
            && before.cost.money != cost.money
        {
            let text = format!(
                "{} cost {} on {}; now {} is counted, once",
                self.label(),
                before.cost.money,
                before.date,
                cost.money
            );
            self.problems.push(
                Problem::note(spot.clone(), text)
                    .hint("a further payment is a line of its own: `- cost: ...`"),
            );
        }
        self.buy(number, cost, date, spot);
    }
}

impl Unit {
    /// A unit of which nothing is said yet.
    pub(super) fn new(number: u32) -> Unit {
        Unit {
            number,
            status: None,
            said: false,
            silent: true,
            from: None,
            until: None,
            was_on: false,
            what: String::new(),
            kind: None,
            code: None,
            source: None,
            cost: None,
            fate: None,
            moved_to: None,
            brought: None,
        }
    }
}

/// What a replacement says of its unit; what it does not say stays.
/// The record's own cost is the unit's where no other was said.
fn amend(unit: &mut Unit, replacement: &Replacement, of_record: Option<Money>) {
    if !replacement.what.is_empty() {
        unit.what.clone_from(&replacement.what);
    }
    if replacement.kind.is_some() {
        unit.kind = replacement.kind;
    }
    if replacement.number.is_some() {
        unit.code.clone_from(&replacement.number);
    }
    if replacement.from.is_some() {
        unit.source.clone_from(&replacement.from);
    }
    let inside = replacement.cost.as_ref().map(|cost| cost.money);
    unit.cost = inside.or(unit.cost).or(of_record);
}

/// Whether a cost is one that stands inside a `replaced by` of the same record
/// as well: each of those takes one away, the first of the same amount first.
#[must_use]
pub fn said_inside(facts: &[Stated], cost: &Stated) -> bool {
    let Fact::Cost(own) = &cost.fact else {
        return false;
    };
    let inside = facts.iter().filter(|stated| {
        let Fact::ReplacedBy(replacement) = &stated.fact else {
            return false;
        };
        let cost = replacement.cost.as_ref();
        cost.is_some_and(|cost| cost.money == own.money)
    });
    let inside = inside.count();
    inside > 0
        && facts
            .iter()
            .take_while(|stated| !std::ptr::eq(*stated, cost))
            .filter(|stated| matches!(&stated.fact, Fact::Cost(other) if other.money == own.money))
            .count()
            < inside
}

/// The cost of a record that says exactly one, and it was spent.
fn only_cost(record: &PlaceRecord) -> Option<&Cost> {
    let cost = only(record, |fact| {
        if let Fact::Cost(cost) = fact {
            Some(cost)
        } else {
            None
        }
    });
    cost.filter(|cost| cost.money.minor > 0)
}
