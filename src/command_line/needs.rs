//! `needs`: open work, purchases, questions, tools to return.

use std::path::Path;

use jiff::Span;
use jiff::civil::Date;

use super::arguments::{Common, Needs};
use super::failure::Failure;
use super::kept_states::Hardware;
use super::own_file::may_write;
use super::scope::Parts;
use super::world::World;
use super::{Reply, opened, whole_journal};
use crate::journal::{Journal, write_atomically};
use crate::presentation::calendar::{self, calendar};
use crate::presentation::json;
use crate::presentation::needs::{HARDWARE, Shown, render};
use crate::reports::needs::{Kind, Open, open};
use crate::vocabulary::words::fold;

/// Answers `needs`.
pub(super) fn run(verb: &Needs, common: &Common, world: &World) -> Result<Reply, Failure> {
    let journal = opened::journal(common, world)?;
    let asked = whole_journal::asked(&verb.times, Hardware::Left, &journal, world)?;
    let today = asked.on.unwrap_or_else(|| world.today());
    let due = verb.due.as_ref().map(|text| due(text, today, world));
    let ledger = &asked.whole.ledger;
    let wanted = Wanted {
        parts: Parts::typed(&verb.only, &journal, ledger)?,
        buy: verb.buy,
        due: due.transpose()?,
    };
    let all: Vec<Open> = open(ledger, asked.whole.tools.clone(), today, &asked.context)
        .into_iter()
        .filter(|open| wanted.holds(open))
        .collect();
    if let Some(file) = &verb.calendar {
        return write_calendar(&world.here.join(file), &all, &journal, world);
    }
    let yes = !all.is_empty();
    let out = if common.json {
        json::text(&json::needs(&all, today))
    } else if yes {
        let shown = Shown {
            all: &all,
            today,
            as_of: opened::as_of(&verb.times, world)?,
            several_vehicles: asked.vehicles.len() > 1,
            buy: verb.buy,
        };
        render(&shown, world.width).render(world.colours)
    } else {
        wanted.nothing()
    };
    Ok(asked.replied(Reply::new(out).answering(yes)))
}

/// Which of all that is open is asked for.
struct Wanted {
    parts: Parts,
    buy: bool,
    due: Option<Date>,
}

impl Wanted {
    fn holds(&self, open: &Open) -> bool {
        let label = open.label();
        self.parts.names(
            open.vehicle.as_deref(),
            open.system.as_deref(),
            label.as_deref(),
        ) && (!self.buy || open.kind == Kind::Buy)
            && self
                .due
                .is_none_or(|due| open.by.is_some_and(|by| by <= due))
    }

    fn nothing(&self) -> String {
        let what = if self.buy {
            "nothing is to buy"
        } else {
            "nothing is open"
        };
        match self.due {
            Some(due) => format!("{what} that is due by {due}\n"),
            None if self.buy => format!("{what}\n{HARDWARE}\n"),
            None => format!("{what}\n"),
        }
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

/// Writes what has a day as a calendar.
fn write_calendar(
    file: &Path,
    all: &[Open],
    journal: &Journal,
    world: &World,
) -> Result<Reply, Failure> {
    let dated: Vec<&Open> = all.iter().filter(|open| open.by.is_some()).collect();
    if dated.is_empty() {
        let out = "nothing open has a day; no calendar was written\n".to_owned();
        return Ok(Reply::new(out).answering(false));
    }
    may_write(file, calendar::MADE_BY, "calendar")?;
    let text = calendar(&dated, &journal.settings().name, world.now().timestamp());
    write_atomically(file, text.as_bytes())?;
    let days = if dated.len() == 1 { "day" } else { "days" };
    let out = format!("{} {days}, written to {}\n", dated.len(), file.display());
    Ok(Reply::new(out))
}
