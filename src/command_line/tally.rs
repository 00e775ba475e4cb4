//! `tally`: hours and money.

use jiff::civil::Date;

use super::arguments::{Common, Tally, TallyBy};
use super::failure::Failure;
use super::find::{system, vehicle};
use super::scope::parts_named;
use super::world::World;
use super::{Reply, opened};
use crate::journal::{Contents, Journal};
use crate::ledger::Ledger;
use crate::presentation::json;
use crate::presentation::tally::{Shown, csv, render};
use crate::reports::spending::{Posting, spending};
use crate::reports::tally::{By, budgets, tally};
use crate::vocabulary::money::Money;
use crate::vocabulary::words::fold;

/// Rows of an answer whose rows can be any number.
const USUAL_MOST: u32 = 20;

/// Answers `tally`.
pub(super) fn run(verb: &Tally, common: &Common, world: &World) -> Result<Reply, Failure> {
    let journal = opened::journal(common, world)?;
    if verb.csv && common.json {
        return Err(Failure::misuse(
            "the answer is either CSV or JSON",
            "leave out --csv or --json",
        ));
    }
    let on = opened::maybe_day("--on", verb.times.on.as_ref(), world)?;
    let contents = opened::contents(&journal, verb.times.as_written.as_ref(), world)?;
    let ledger = Ledger::fold_until(&contents.entries, on);
    let context = contents.context();
    let all = spending(&contents.entries, &ledger, on, &context);
    let wanted = Wanted::read(verb, &journal, &ledger, world)?;
    let (dated, undated): (Vec<Posting>, Vec<Posting>) = all
        .into_iter()
        .filter(|posting| wanted.names(posting))
        .partition(|posting| posting.date.is_some());
    let counted: Vec<Posting> = dated
        .iter()
        .filter(|posting| wanted.days(posting))
        .cloned()
        .collect();
    let mut sums = tally(&counted, by(verb.by), &context);
    if wanted.is_whole_vehicles() {
        let known = known_budgets(&contents, wanted.vehicle.as_deref());
        sums.budgets = budgets(&dated, &known, context.currency);
    }
    let yes = !sums.rows.is_empty();
    let shown = Shown {
        tally: &sums,
        undated: &undated,
        currency: context.currency,
        several_vehicles: contents.vehicles.len() > 1,
        as_of: opened::as_of(&verb.times, world)?,
        most: verb.most.or(match verb.by {
            TallyBy::Part | TallyBy::Supplier => Some(USUAL_MOST),
            TallyBy::Vehicle | TallyBy::System | TallyBy::Month | TallyBy::Year | TallyBy::Kind => {
                None
            }
        }),
    };
    let out = if common.json {
        json::text(&json::tally(&shown))
    } else if verb.csv {
        csv(&sums)
    } else {
        render(&shown, world.width).render(world.colours)
    };
    Ok(Reply::new(out).answering(yes))
}

fn by(by: TallyBy) -> By {
    match by {
        TallyBy::Vehicle => By::Vehicle,
        TallyBy::System => By::System,
        TallyBy::Part => By::Part,
        TallyBy::Month => By::Month,
        TallyBy::Year => By::Year,
        TallyBy::Supplier => By::Supplier,
        TallyBy::Kind => By::Kind,
    }
}

/// What the answer is about.
struct Wanted {
    vehicle: Option<String>,
    system: Option<String>,
    part: Option<std::collections::BTreeSet<(String, String)>>,
    since: Option<Date>,
    until: Option<Date>,
}

impl Wanted {
    fn read(
        verb: &Tally,
        journal: &Journal,
        ledger: &Ledger,
        world: &World,
    ) -> Result<Wanted, Failure> {
        let vehicle = vehicle(verb.scope.vehicle.as_ref(), journal)?;
        Ok(Wanted {
            system: system(verb.scope.system.as_ref(), journal)?,
            part: match &verb.part {
                Some(part) => Some(parts_named(part, vehicle.as_deref(), journal, ledger)?),
                None => None,
            },
            since: opened::maybe_day("--since", verb.scope.since.as_ref(), world)?,
            until: opened::last_day("--until", verb.scope.until.as_ref(), world)?,
            vehicle,
        })
    }

    /// Whether a posting is of the vehicle, system and part.
    fn names(&self, posting: &Posting) -> bool {
        let is = |wanted: &Option<String>, own: &Option<String>| {
            wanted
                .as_deref()
                .is_none_or(|wanted| own.as_deref().is_some_and(|own| fold(own) == fold(wanted)))
        };
        let part = |labels: &std::collections::BTreeSet<(String, String)>| {
            posting
                .vehicle
                .clone()
                .zip(posting.part.clone())
                .is_some_and(|own| labels.contains(&own))
        };
        is(&self.vehicle, &posting.vehicle)
            && is(&self.system, &posting.system)
            && self.part.as_ref().is_none_or(part)
    }

    /// Whether a posting is of the days.
    fn days(&self, posting: &Posting) -> bool {
        posting.date.is_some_and(|date| {
            self.since.is_none_or(|since| date >= since)
                && self.until.is_none_or(|until| date <= until)
        })
    }

    /// Whether nothing of a vehicle is left out, so that a budget means
    /// something.
    fn is_whole_vehicles(&self) -> bool {
        self.system.is_none() && self.part.is_none() && self.since.is_none() && self.until.is_none()
    }
}

/// The vehicles that have a budget.
fn known_budgets(contents: &Contents, vehicle: Option<&str>) -> Vec<(String, Money)> {
    contents
        .vehicles
        .iter()
        .filter(|known| vehicle.is_none_or(|vehicle| known.slug == vehicle))
        .filter_map(|known| Some((known.slug.clone(), known.budget?)))
        .collect()
}
