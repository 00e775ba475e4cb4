//! `needs`: open work, purchases, questions, tools to return.

use jiff::Span;
use jiff::civil::Date;

use super::arguments::{Common, NeedsArgs, NeedsForm};
use super::destination::{DocumentSummary, deliver, terminal};
use super::failure::Failure;
use super::kept_reply::Question;
use super::kept_states::HardwareScope;
use super::scope::PartScope;
use super::whole_journal::ReportInput;
use super::world::World;
use super::{Reply, opened, whole_journal};
use crate::journal::Journal;
use crate::presentation::calendar::Calendar;
use crate::presentation::export::Exporter;
use crate::presentation::json::Json;
use crate::presentation::needs::NeedsView;
use crate::presentation::text::counted;
use crate::reports::needs::{NeedKind, OpenNeed, open};
use crate::vocabulary::words::fold;

/// Answers `needs`.
pub(super) fn run(verb: &NeedsArgs, common: &Common, world: &World) -> Result<Reply, Failure> {
    let journal = opened::journal(common, world)?;
    let question = Question::of("needs", verb, &verb.output, world);
    let here = (&journal, world);
    whole_journal::replied(&question, &verb.times, HardwareScope::Left, here, |asked| {
        answer(verb, &journal, asked, world)
    })
}

fn answer(
    verb: &NeedsArgs,
    journal: &Journal,
    asked: &ReportInput,
    world: &World,
) -> Result<Reply, Failure> {
    let today = asked.on.unwrap_or_else(|| world.today());
    let due = verb.due.as_ref().map(|text| due(text, today, world));
    let ledger = &asked.whole.ledger;
    let wanted = NeedsFilter {
        parts: PartScope::typed(&verb.only, journal, ledger)?,
        buy: verb.buy,
        due: due.transpose()?,
    };
    let all: Vec<OpenNeed> = open(ledger, asked.whole.tools.clone(), today, &asked.context)
        .into_iter()
        .filter(|open| wanted.holds(open))
        .collect();
    let shown = NeedsView {
        all: &all,
        today,
        as_of: opened::as_of(&verb.times, world)?,
        several_vehicles: asked.vehicles.len() > 1,
        buy: verb.buy,
        due: wanted.due,
    };
    let dated = all.iter().filter(|open| open.by.is_some()).count();
    let (document, holds) = match verb.output.form() {
        NeedsForm::Text => (terminal(&verb.output, world).export(&shown), String::new()),
        NeedsForm::Json => (Json.export(&shown), String::new()),
        // A calendar without an event is none (RFC 5545, 3.4).
        NeedsForm::Calendar if dated == 0 => {
            let mut reply = Reply::new(String::new()).answering(false);
            reply.said = vec!["nothing open has a day, so there is no calendar".to_owned()];
            return Ok(reply);
        }
        NeedsForm::Calendar => {
            let calendar = Calendar {
                name: journal.settings().name.clone(),
                now: world.now().timestamp(),
            };
            (calendar.export(&shown), counted(dated, "day", "days"))
        }
    };
    let reply = deliver(
        document,
        &verb.output,
        DocumentSummary::holding(holds),
        world,
    )?;
    Ok(reply.answering(!all.is_empty()))
}

/// Which of all that is open is asked for.
struct NeedsFilter {
    parts: PartScope,
    buy: bool,
    due: Option<Date>,
}

impl NeedsFilter {
    fn holds(&self, open: &OpenNeed) -> bool {
        let label = open.label();
        self.parts.names(
            open.vehicle.as_deref(),
            open.system.as_deref(),
            label.as_deref(),
        ) && (!self.buy || open.kind == NeedKind::Buy)
            && self
                .due
                .is_none_or(|due| open.by.is_some_and(|by| by <= due))
    }
}

/// `14d`, `2w`, `3m` from today, or a day; a month means its last day.
fn due(text: &str, today: Date, world: &World) -> Result<Date, Failure> {
    let folded = fold(text);
    let unit = folded.trim_start_matches(|c: char| c.is_ascii_digit());
    let number = &folded[..folded.len() - unit.len()];
    let span = number.parse::<i32>().ok().and_then(|number| {
        let days = match unit.trim() {
            "d" | "day" | "days" => 1,
            "w" | "week" | "weeks" => 7,
            "m" | "month" | "months" => 30,
            _ => return None,
        };
        Some(number.saturating_mul(days))
    });
    if let Some(days) = span {
        let span = Span::new().try_days(days);
        let day = span.and_then(|span| today.checked_add(span));
        return day.map_err(|_| {
            Failure::misuse(
                format!("`{text}` after --due is too far away"),
                "write 14d, 2w, or a day",
            )
        });
    }
    let day = opened::last_day("--due", Some(&text.to_owned()), world);
    match day {
        Ok(Some(day)) => Ok(day),
        Ok(None) | Err(_) => Err(Failure::misuse(
            format!("`{text}` after --due is neither a span nor a day"),
            "write 14d, 2w, or 2026-03-14",
        )),
    }
}
