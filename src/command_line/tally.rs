//! `tally`: hours and money.

use super::arguments::{Common, TallyArgs, TallyBy, TallyForm};
use super::destination::{DocumentSummary, deliver, terminal};
use super::failure::Failure;
use super::kept_reply::Question;
use super::kept_states::HardwareScope;
use super::scope::{DateSpan, PartScope};
use super::whole_journal::ReportInput;
use super::world::World;
use super::{Reply, opened, whole_journal};
use crate::journal::{Journal, VehicleFile};
use crate::presentation::csv::Csv;
use crate::presentation::drawing::months::{MonthsPicture, MonthsView};
use crate::presentation::export::Exporter;
use crate::presentation::json::Json;
use crate::presentation::tally::TallyView;
use crate::reports::months::months;
use crate::reports::parts_off::part_moves;
use crate::reports::spending::{Posting, with_places};
use crate::reports::tally::{TallyGrouping, budgets, sum, tally};
use crate::vocabulary::money::Money;

/// Rows of an answer whose rows can be any number.
const USUAL_MOST: u32 = 20;

/// Answers `tally`.
pub(super) fn run(verb: &TallyArgs, common: &Common, world: &World) -> Result<Reply, Failure> {
    let is_picture = verb.output.form() == TallyForm::Picture;
    if is_picture && verb.by.is_some_and(|by| by != TallyBy::Month) {
        return Err(Failure::misuse(
            "the picture is drawn by month",
            "leave out --by, or --as picture",
        ));
    }
    let journal = opened::journal(common, world)?;
    let question = Question::of("tally", verb, &verb.output, world);
    let here = (&journal, world);
    whole_journal::replied(&question, &verb.times, HardwareScope::Left, here, |asked| {
        answer(verb, &journal, asked, world)
    })
}

fn answer(
    verb: &TallyArgs,
    journal: &Journal,
    asked: &ReportInput,
    world: &World,
) -> Result<Reply, Failure> {
    let ledger = &asked.whole.ledger;
    let context = &asked.context;
    let all = with_places(asked.whole.beside.clone(), ledger, context);
    let parts = PartScope::typed(&verb.only, journal, ledger)?;
    let span = DateSpan::typed(&verb.days, world)?;
    let (dated, undated): (Vec<Posting>, Vec<Posting>) = all
        .into_iter()
        .filter(|posting| {
            parts.names(
                posting.vehicle.as_deref(),
                posting.system.as_deref(),
                posting.part.as_deref(),
            )
        })
        .partition(|posting| posting.date.is_some());
    let counted: Vec<Posting> = dated
        .iter()
        .filter(|posting| posting.date.is_some_and(|date| span.has(date)))
        .cloned()
        .collect();
    let by = verb.by.unwrap_or(TallyBy::System);
    let mut sums = tally(&counted, grouping(by), context);
    // A budget means something only where nothing is left out.
    if parts.are_whole_vehicles() && span.is_all() {
        let known = known_budgets(&asked.vehicles, parts.vehicle.as_deref());
        sums.budgets = budgets(&dated, &known, context.currency);
    }
    let as_of = opened::as_of(&verb.times, world)?;
    let mut yes = !sums.rows.is_empty();
    let shown = TallyView {
        tally: &sums,
        undated: &undated,
        currency: context.currency,
        several_vehicles: asked.vehicles.len() > 1,
        as_of,
        most: verb.most.or(match by {
            TallyBy::Part | TallyBy::Supplier => Some(USUAL_MOST),
            TallyBy::Vehicle | TallyBy::System | TallyBy::Month | TallyBy::Year | TallyBy::Kind => {
                None
            }
        }),
    };
    let document = match verb.output.form() {
        TallyForm::Text => terminal(&verb.output, world).export(&shown),
        TallyForm::Json => Json.export(&shown),
        TallyForm::Csv => Csv.export(&shown),
        TallyForm::Picture => {
            let moves = part_moves(ledger, &|state| parts.has(state));
            let mut months = months(&dated, &moves, (span.since, span.until), context);
            months.hold_against(&sums.budgets, &dated, context);
            yes = !months.rows.is_empty();
            let of = parts.words().into_iter().chain(shown.as_of.clone());
            let of: Vec<String> = of.collect();
            MonthsPicture.export(&MonthsView {
                months: &months,
                id: "months".to_owned(),
                of: (!of.is_empty()).then(|| of.join(", ")),
                shows_money: true,
                undated: sum(undated.iter(), context.currency),
            })
        }
    };
    let reply = deliver(document, &verb.output, DocumentSummary::default(), world)?;
    Ok(reply.answering(yes))
}

fn grouping(by: TallyBy) -> TallyGrouping {
    match by {
        TallyBy::Vehicle => TallyGrouping::Vehicle,
        TallyBy::System => TallyGrouping::System,
        TallyBy::Part => TallyGrouping::Part,
        TallyBy::Month => TallyGrouping::Month,
        TallyBy::Year => TallyGrouping::Year,
        TallyBy::Supplier => TallyGrouping::Supplier,
        TallyBy::Kind => TallyGrouping::Kind,
    }
}

/// The vehicles that have a budget.
fn known_budgets(vehicles: &[VehicleFile], vehicle: Option<&str>) -> Vec<(String, Money)> {
    vehicles
        .iter()
        .filter(|known| vehicle.is_none_or(|vehicle| known.slug == vehicle))
        .filter_map(|known| Some((known.slug.clone(), known.budget?)))
        .collect()
}
