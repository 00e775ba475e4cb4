//! Every hour and every amount of a journal, one by one, with all that can be
//! asked about it.
//!
//! Nothing is added up here; that is for `tally`. Each hour and each amount
//! comes exactly once: what a section does not claim for its part stays with
//! the session, and what says no vehicle or no part says so.

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use super::whole::{assumed, system_of};
use crate::entry::{Context, Entry, Fact, Record, ReplacementKind, Stated, UnitOrigin};
use crate::ledger::{Aliases, Ledger, PlaceKey, PlaceState, Spent, key, said_inside, shares};
use crate::problem::Spot;
use crate::vocabulary::hardware::share;
use crate::vocabulary::hours::Minutes;
use crate::vocabulary::money::Money;
use crate::vocabulary::position::{Position, places};

/// An hour or an amount.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Posting {
    /// The vehicle, if one was said.
    pub vehicle: Option<String>,
    /// The system, if one is known.
    pub system: Option<String>,
    /// Whether nobody said that system.
    pub system_assumed: bool,
    /// The part as it is written, with its position; `None` for what is of a
    /// session as a whole.
    pub part: Option<String>,
    /// The part's place, if the ledger has one.
    pub place: Option<PlaceKey>,
    /// The day; `None` where the text has none that counts.
    pub date: Option<Date>,
    /// What of.
    pub what: SpendingKind,
    /// Where it is said.
    pub spot: Spot,
}

/// What was spent, or came back.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum SpendingKind {
    /// Time.
    Hours(Minutes),
    /// Money that bought no unit.
    Money(Money),
    /// The price of a unit that took another's place.
    Unit {
        /// How much.
        money: Money,
        /// Of what kind the unit is.
        kind: Option<ReplacementKind>,
        /// From whom it came.
        supplier: Option<String>,
    },
}

/// All of them, up to the end of a day if one is given. `ledger` is folded from
/// the same entries up to the same day.
#[must_use]
pub fn spending(
    entries: &[Entry],
    ledger: &Ledger,
    last: Option<Date>,
    context: &Context,
) -> Vec<Posting> {
    let beside = entries.iter();
    let beside = beside.flat_map(|entry| beside_places(entry, &ledger.aliases));
    let beside = beside.filter(|posting| posting.is_by(last)).collect();
    with_places(beside, ledger, context)
}

/// All of them: those of the places of a ledger, and those `beside` them, from the
/// same entries.
#[must_use]
pub fn with_places(beside: Vec<Posting>, ledger: &Ledger, context: &Context) -> Vec<Posting> {
    let of_places = ledger.recorded();
    let mut postings: Vec<Posting> = of_places
        .flat_map(|(key, state)| of_place(key, state, context))
        .collect();
    postings.extend(beside.into_iter().map(|posting| {
        let place = posting.place.as_ref();
        match place.and_then(|key| ledger.places.get(key)) {
            Some(state) => Posting {
                system: system_of(state, context),
                system_assumed: assumed(state, context),
                part: Some(state.label()),
                ..posting
            },
            None => posting,
        }
    }));
    postings
}

/// What an entry says that no place keeps: what is of the session, and what names
/// no vehicle or no day. Where a place is meant, its system and name are still
/// those of the text.
#[must_use]
pub fn beside_places(entry: &Entry, aliases: &Aliases) -> Vec<Posting> {
    let outside = entry
        .records
        .iter()
        .filter(|record| record.vehicle.is_none() || record.date.is_none())
        .flat_map(|record| outside_ledger(entry, record));
    let of_session = of_session(entry, aliases).into_iter();
    of_session.chain(outside).collect()
}

impl Posting {
    /// Whether it counts at the end of a day.
    #[must_use]
    pub fn is_by(&self, last: Option<Date>) -> bool {
        match (self.date, last) {
            (Some(date), Some(last)) => date <= last,
            (Some(_) | None, _) => true,
        }
    }
}

/// What the records of a place say.
fn of_place<'l>(
    key: &'l PlaceKey,
    state: &'l PlaceState,
    context: &Context,
) -> impl Iterator<Item = Posting> + use<'l> {
    let system = system_of(state, context);
    let system_assumed = assumed(state, context);
    let posting = move |date: Date, spot: &Spot, what: SpendingKind| Posting {
        vehicle: Some(state.vehicle.clone()),
        system: system.clone(),
        system_assumed,
        part: Some(state.label()),
        place: Some(key.clone()),
        date: Some(date),
        what,
        spot: spot.clone(),
    };
    let hours = state
        .hours
        .iter()
        .map(|hours| (hours.date, &hours.spot, SpendingKind::Hours(hours.value)));
    let money = state
        .costs
        .iter()
        .map(|spent| (spent.date, &spent.spot, money_of(spent, state)));
    hours
        .chain(money)
        .map(move |(date, spot, what)| posting(date, spot, what))
}

fn money_of(spent: &Spent, state: &PlaceState) -> SpendingKind {
    let money = spent.cost.money;
    let unit = spent.unit.and_then(|number| {
        let unit = state.units.iter().find(|unit| unit.number == number)?;
        Some((unit.kind, unit.source.as_ref().map(supplier)))
    });
    match unit {
        Some((kind, supplier)) => SpendingKind::Unit {
            money,
            kind,
            supplier,
        },
        None => SpendingKind::Money(money),
    }
}

/// From whom a unit came: a name as written, or the vehicle that gave it.
fn supplier(origin: &UnitOrigin) -> String {
    match origin {
        UnitOrigin::Someone(name) => name.clone(),
        UnitOrigin::Donor { vehicle, .. } => vehicle.clone(),
    }
}

/// What a front matter says: amounts, and the hours no section has a share in.
/// Where it names a part, these are that part's.
fn of_session(entry: &Entry, aliases: &Aliases) -> Vec<Posting> {
    let session = |what: SpendingKind, spot: &Spot| Posting {
        vehicle: entry.vehicle.clone(),
        system: entry.system.clone(),
        system_assumed: false,
        part: None,
        place: None,
        date: entry.date,
        what,
        spot: in_file(entry, spot),
    };
    let mut postings: Vec<Posting> = entry
        .facts
        .iter()
        .filter_map(|stated| {
            cost_of(stated).map(|money| session(SpendingKind::Money(money), &stated.spot))
        })
        .collect();
    let Some((Minutes(left), spot)) = entry.hours_left() else {
        return postings;
    };
    let Some(record) = entry.single() else {
        postings.push(session(SpendingKind::Hours(Minutes(left)), &spot));
        return postings;
    };
    let places = places(&record.at);
    postings.extend(places.iter().enumerate().map(|(index, at)| {
        let minutes = Minutes(share(left, index, places.len()));
        let vehicle = record.vehicle.as_deref();
        Posting {
            vehicle: record.vehicle.clone(),
            system: record.system.as_ref().map(|(system, _)| system.clone()),
            system_assumed: false,
            part: Some(label(record, at)),
            place: vehicle.map(|vehicle| key(vehicle, &record.name, at, aliases)),
            date: record.date,
            ..session(SpendingKind::Hours(minutes), &spot)
        }
    }));
    postings
}

/// What a record says that the ledger cannot place, as it names no vehicle or
/// no day. It is counted as the ledger counts.
fn outside_ledger(entry: &Entry, record: &Record) -> Vec<Posting> {
    let mut postings = Vec::new();
    for own in shares(entry, record) {
        let mut add = |what: SpendingKind, spot: &Spot| {
            postings.push(Posting {
                vehicle: record.vehicle.clone(),
                system: record.system.as_ref().map(|(system, _)| system.clone()),
                system_assumed: false,
                part: Some(label(record, &own.at)),
                place: None,
                date: record.date,
                what,
                spot: in_file(entry, spot),
            });
        };
        for stated in &own.facts {
            if let Fact::ReplacedBy(unit) = &stated.fact
                && let Some(cost) = &unit.cost
            {
                let what = SpendingKind::Unit {
                    money: cost.money,
                    kind: unit.kind,
                    supplier: unit.from.as_ref().map(supplier),
                };
                add(what, &stated.spot);
            }
        }
        for stated in &own.facts {
            if let Fact::Hours(minutes) = stated.fact {
                add(SpendingKind::Hours(minutes), &stated.spot);
            } else if let Some(money) = cost_of(stated).filter(|_| !said_inside(&own.facts, stated))
            {
                add(SpendingKind::Money(money), &stated.spot);
            }
        }
    }
    postings
}

fn cost_of(stated: &Stated) -> Option<Money> {
    if let Fact::Cost(cost) = &stated.fact {
        Some(cost.money)
    } else {
        None
    }
}

fn label(record: &Record, at: &Position) -> String {
    if at.is_empty() {
        record.name.written().to_owned()
    } else {
        format!("{}, {at}", record.name.written())
    }
}

fn in_file(entry: &Entry, spot: &Spot) -> Spot {
    Spot {
        file: entry.path.clone(),
        ..spot.clone()
    }
}
