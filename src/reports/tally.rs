//! Hours and money added up by one thing at a time, and held against a budget.
//!
//! Amounts of two currencies are never added: every sum has one amount for each
//! currency. Whatever is asked, the rows add up to the whole.

use std::cmp::Reverse;
use std::collections::BTreeMap;

use crate::entry::{Context, ReplacementKind};
use crate::reports::spending::{Posting, SpendingKind};
use crate::vocabulary::money::{Currency, Money};
use crate::vocabulary::system_source::marked;
use crate::vocabulary::words::fold;

/// By what is added up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TallyGrouping {
    /// Vehicle.
    Vehicle,
    /// System.
    System,
    /// Part, with its position.
    Part,
    /// Month of the year.
    Month,
    /// Year.
    Year,
    /// From whom units came.
    Supplier,
    /// The kind of unit that took another's place.
    Kind,
}

impl TallyGrouping {
    /// All of them.
    pub const ALL: [TallyGrouping; 7] = [
        TallyGrouping::Vehicle,
        TallyGrouping::System,
        TallyGrouping::Part,
        TallyGrouping::Month,
        TallyGrouping::Year,
        TallyGrouping::Supplier,
        TallyGrouping::Kind,
    ];

    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            TallyGrouping::Vehicle => "vehicle",
            TallyGrouping::System => "system",
            TallyGrouping::Part => "part",
            TallyGrouping::Month => "month",
            TallyGrouping::Year => "year",
            TallyGrouping::Supplier => "supplier",
            TallyGrouping::Kind => "kind",
        }
    }

    /// What a row is called whose postings do not say.
    #[must_use]
    pub const fn unsaid(self) -> &'static str {
        match self {
            TallyGrouping::Vehicle => "without a vehicle",
            TallyGrouping::System => "without a system",
            TallyGrouping::Part => "without a part",
            TallyGrouping::Month | TallyGrouping::Year => "without a day",
            TallyGrouping::Supplier => "without a supplier",
            TallyGrouping::Kind => "no unit replaced",
        }
    }
}

/// Key of the row for replaced units whose replacement's kind was not recorded.
pub const KIND_UNSAID: &str = "without a kind";

/// Time and money together.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Sum {
    /// Time, in minutes.
    pub minutes: u64,
    /// One amount for each currency, the journal's own first.
    pub money: Vec<Money>,
}

/// One row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TallyRow {
    /// What the row is about; `None` where nothing was said.
    pub key: Option<String>,
    /// The vehicle, in a tally by vehicle or part.
    pub vehicle: Option<String>,
    /// What was spent on it.
    pub sum: Sum,
}

/// A budget and what is left of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Budget {
    /// The vehicle.
    pub vehicle: String,
    /// What it may cost.
    pub budget: Money,
    /// What was spent in that currency.
    pub spent: Money,
    /// What is left; negative when it was overrun.
    pub left: Money,
    /// What was spent in others.
    pub besides: Vec<Money>,
}

/// The answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tally {
    /// By what.
    pub by: TallyGrouping,
    /// The rows.
    pub rows: Vec<TallyRow>,
    /// The whole.
    pub total: Sum,
    /// The budgets.
    pub budgets: Vec<Budget>,
}

/// Adds postings up.
#[must_use]
pub fn tally(postings: &[Posting], by: TallyGrouping, context: &Context) -> Tally {
    let mut groups: BTreeMap<(Option<String>, Option<String>), Vec<&Posting>> = BTreeMap::new();
    for posting in postings {
        let (key, vehicle) = key_of(posting, by);
        let place = (key.map(|key| fold(&key)), vehicle);
        groups.entry(place).or_default().push(posting);
    }
    let mut rows: Vec<TallyRow> = groups
        .into_values()
        .filter_map(|group| {
            let (key, vehicle) = key_of(group.first()?, by);
            Some(TallyRow {
                key,
                vehicle,
                sum: sum(group.into_iter(), context.currency),
            })
        })
        .collect();
    sort(&mut rows, by, context);
    Tally {
        by,
        rows,
        total: sum(postings.iter(), context.currency),
        budgets: Vec::new(),
    }
}

/// What a posting counts for, as it is written, and the vehicle where that
/// tells rows apart.
fn key_of(posting: &Posting, by: TallyGrouping) -> (Option<String>, Option<String>) {
    let year = posting.date.map(|date| format!("{:04}", date.year()));
    let month = posting
        .date
        .map(|date| format!("{:04}-{:02}", date.year(), date.month()));
    let key = match by {
        TallyGrouping::Vehicle => posting.vehicle.clone(),
        TallyGrouping::System => marked(posting.system.as_deref(), posting.system_assumed),
        TallyGrouping::Part => posting.part.clone(),
        TallyGrouping::Month => month,
        TallyGrouping::Year => year,
        TallyGrouping::Supplier => match &posting.what {
            SpendingKind::Unit { supplier, .. } => supplier.clone(),
            SpendingKind::Hours(_) | SpendingKind::Money(_) => None,
        },
        TallyGrouping::Kind => match &posting.what {
            SpendingKind::Unit { kind, .. } => {
                Some(kind.map_or(KIND_UNSAID, |kind| kind.word()).to_owned())
            }
            SpendingKind::Hours(_) | SpendingKind::Money(_) => None,
        },
    };
    let of_vehicle = match by {
        TallyGrouping::Vehicle | TallyGrouping::Part => key.is_some(),
        TallyGrouping::System
        | TallyGrouping::Month
        | TallyGrouping::Year
        | TallyGrouping::Supplier
        | TallyGrouping::Kind => false,
    };
    let vehicle = posting.vehicle.clone().filter(|_| of_vehicle);
    (key, vehicle)
}

/// The sum of postings; the journal's currency first, the others by code.
#[must_use]
pub fn sum<'p>(postings: impl Iterator<Item = &'p Posting>, home: Currency) -> Sum {
    let mut minutes: u64 = 0;
    let mut amounts: BTreeMap<(bool, Currency), i64> = BTreeMap::new();
    for posting in postings {
        match &posting.what {
            SpendingKind::Hours(own) => minutes += u64::from(own.0),
            SpendingKind::Money(money) | SpendingKind::Unit { money, .. } => {
                let amount = amounts
                    .entry((money.currency != home, money.currency))
                    .or_default();
                *amount = amount.saturating_add(money.minor);
            }
        }
    }
    Sum {
        minutes,
        money: amounts
            .into_iter()
            .map(|((_, currency), minor)| Money { minor, currency })
            .collect(),
    }
}

/// Days in their order, systems and kinds in that of the journal and the
/// format, the rest by what was spent; what says nothing comes last.
fn sort(rows: &mut [TallyRow], by: TallyGrouping, context: &Context) {
    let known = |row: &TallyRow, words: &[String]| {
        let key = row.key.as_deref().map(fold).unwrap_or_default();
        let at = words.iter().position(|word| fold(word) == key);
        at.unwrap_or(words.len())
    };
    let home = |row: &TallyRow| {
        let own = row.sum.money.iter();
        let own = own.filter(|money| money.currency == context.currency);
        own.map(|money| money.minor).sum::<i64>()
    };
    let kinds: Vec<String> = ReplacementKind::ALL
        .iter()
        .map(|kind| kind.word().to_owned())
        .collect();
    rows.sort_by_cached_key(|row| {
        let rank = match by {
            TallyGrouping::System => (known(row, &context.systems), Reverse(0), Reverse(0)),
            TallyGrouping::Kind => (known(row, &kinds), Reverse(0), Reverse(0)),
            TallyGrouping::Month | TallyGrouping::Year => (0, Reverse(0), Reverse(0)),
            TallyGrouping::Vehicle | TallyGrouping::Part | TallyGrouping::Supplier => {
                (0, Reverse(home(row)), Reverse(row.sum.minutes))
            }
        };
        (
            row.key.is_none(),
            rank,
            row.key.clone(),
            row.vehicle.clone(),
        )
    });
}

/// The budgets of vehicles, given with their amounts, against what was spent on
/// them.
#[must_use]
pub fn budgets(postings: &[Posting], budgets: &[(String, Money)], home: Currency) -> Vec<Budget> {
    budgets
        .iter()
        .map(|(vehicle, budget)| {
            let own = postings
                .iter()
                .filter(|posting| posting.vehicle.as_ref() == Some(vehicle));
            let (same, besides): (Vec<Money>, Vec<Money>) = sum(own, home)
                .money
                .into_iter()
                .partition(|money| money.currency == budget.currency);
            let minor = |minor: i64| Money {
                minor,
                currency: budget.currency,
            };
            let spent = minor(same.first().map_or(0, |money| money.minor));
            Budget {
                vehicle: vehicle.clone(),
                budget: *budget,
                spent,
                left: minor(budget.minor.saturating_sub(spent.minor)),
                besides,
            }
        })
        .collect()
}
