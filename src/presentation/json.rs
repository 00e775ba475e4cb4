//! Answers as JSON. The keys are a promise; `docs/json.md` lists them.
//!
//! Absent facts are `null`, dates RFC 3339, money `{amount, currency}`,
//! durations minutes, marks Unicode scalars.

pub mod bags;

use serde_json::{Value, json};

use super::find::{Found, what_was_searched};
use super::part::Shown;
use super::past::Change;
use super::tally;
use crate::index::Answer;
use crate::ledger::{Dated, Moment, PlaceState};
use crate::problem::Problem;
use crate::reports::cautions::Raised;
use crate::reports::needs::Open;
use crate::reports::parts::{Listed, Standing};
use crate::reports::replaced::{Recorded, Row, origin_words};
use crate::reports::torque::recorded;
use crate::vocabulary::money::Money;
use crate::vocabulary::words::is_obeyed;

/// A value as text, with a line end.
#[must_use]
pub fn text(value: &Value) -> String {
    let pretty = serde_json::to_string_pretty(value).unwrap_or_default();
    let mut text = String::with_capacity(pretty.len() + 1);
    for c in pretty.chars() {
        // A reader of JSON gets every character back, and a terminal obeys none.
        if is_obeyed(c) && c != '\n' {
            text.push_str(&format!("\\u{:04x}", u32::from(c)));
        } else {
            text.push(c);
        }
    }
    text.push('\n');
    text
}

fn money(money: Option<Money>) -> Value {
    money.map_or(
        Value::Null,
        |money| json!({ "amount": money.amount(), "currency": money.currency.code() }),
    )
}

/// An empty text is an absent fact.
pub(super) fn said(text: &str) -> Value {
    if text.is_empty() {
        Value::Null
    } else {
        json!(text)
    }
}

/// Hits of a search.
#[must_use]
pub fn find(query: &str, answer: &Answer, found: &[Found<'_>]) -> Value {
    let hits: Vec<Value> = found
        .iter()
        .map(|found| {
            let hit = found.hit;
            let now: Vec<Value> = found
                .now
                .iter()
                .map(|now| {
                    json!({
                        "part": now.name,
                        "at": said(&now.at),
                        "unit": now.unit,
                        "status": now.standing.status,
                        "bags": now.standing.bags,
                        "stored": now.standing.stored,
                    })
                })
                .collect();
            json!({
                "entry": hit.entry,
                "line": hit.line,
                "date": hit.date,
                "vehicle": hit.vehicle,
                "system": hit.system,
                "part": hit.part,
                "at": said(&hit.at.join("; ")),
                "status": hit.status,
                "now": now,
                "passage": hit.passage,
                "marks": hit.marks,
                "footage": hit.footage,
            })
        })
        .collect();
    json!({
        "query": query,
        "searched": answer.searched,
        "said": what_was_searched(answer),
        "total": answer.total,
        "hits": hits,
    })
}

/// One part.
#[must_use]
pub fn part(part: &Shown<'_>, prose_of: &dyn Fn(&Moment) -> String) -> Value {
    let state = part.state;
    let units: Vec<Value> = state
        .units
        .iter()
        .map(|unit| {
            json!({
                "unit": unit.number,
                "from": unit.from.map(|day| day.to_string()),
                "until": unit.until.map(|day| day.to_string()),
                "kind": unit.kind.map(|kind| kind.word()),
                "number": unit.code,
                "source": unit.source.as_ref().map(origin_words),
                "cost": money(unit.cost),
                "fate": unit.fate.map(|fate| fate.word().to_owned())
                    .or_else(|| unit.moved_to.as_ref().map(|to| format!("moved to {to}"))),
            })
        })
        .collect();
    let timeline: Vec<Value> = state
        .timeline
        .iter()
        .map(|moment| {
            let facts: Vec<Value> = moment
                .facts
                .iter()
                .map(|(key, value)| json!({ "key": said(key), "value": value }))
                .collect();
            json!({
                "date": moment.when.date.to_string(),
                "entry": moment.spot.file,
                "line": moment.spot.line,
                "status": moment.status.map_or("at hand", |status| status.word()),
                "unit": moment.unit,
                "facts": facts,
                "text": prose_of(moment).trim(),
            })
        })
        .collect();
    let needs: Vec<Value> = state
        .open_needs()
        .map(|need| {
            json!({
                "need": need.need.text,
                "since": need.since.to_string(),
                "by": need.need.by.map(|day| day.to_string()),
                "entry": need.spot.file,
                "line": need.spot.line,
            })
        })
        .collect();
    let cautions: Vec<&str> = state
        .cautions
        .iter()
        .map(|caution| caution.value.as_str())
        .collect();
    let mut value = listed(state, &part.standing);
    merge(
        &mut value,
        json!({
            "also": part.also,
            "unit": state.unit().number,
            "ready": part.standing.ready,
            "surface": state.surface.map(|surface| surface.word()),
            "units": units,
            "timeline": timeline,
            "needs": needs,
            "cautions": cautions,
            "general_cautions": general_cautions(&part.raised),
            "torques": torques(state),
        }),
    );
    value
}

/// The recorded torques of a part, in both unit systems.
pub(super) fn torques(state: &PlaceState) -> Vec<Value> {
    let torque = |written: &Dated<String>| {
        let torque = recorded(&written.value);
        json!({
            "written": written.value,
            "figures": torque.figures,
            "converted": torque.converted,
            "source": said(&torque.source),
            "entry": written.spot.file,
            "line": written.spot.line,
        })
    };
    state.torques.iter().map(torque).collect()
}

/// Cautions of the handbook, and what raised them.
pub(super) fn general_cautions(raised: &[Raised]) -> Vec<Value> {
    raised
        .iter()
        .map(|raised| {
            let caution = raised.caution();
            json!({
                "hazard": caution.name,
                "text": caution.text,
                "source": caution.source.words(),
                "word": raised.word,
                "entry": said(&raised.spot.file),
                "line": raised.spot.line,
            })
        })
        .collect()
}

/// What a list says of a part.
fn listed(state: &PlaceState, standing: &Standing) -> Value {
    json!({
        "vehicle": state.vehicle,
        "part": state.name,
        "at": said(&state.at.to_string()),
        "system": state.system,
        "status": standing.status,
        "bags": standing.bags,
        "stored": standing.stored,
    })
}

fn merge(value: &mut Value, more: Value) {
    if let (Value::Object(value), Value::Object(more)) = (value, more) {
        value.extend(more);
    }
}

/// Parts under a key: `parts` for a list, `candidates` for a name that could
/// be any of them.
#[must_use]
pub fn parts<'p>(key: &str, parts: impl Iterator<Item = &'p Listed<'p>>) -> Value {
    let parts: Vec<Value> = parts
        .map(|part| listed(&part.state, &part.standing))
        .collect();
    json!({ key: parts })
}

/// What was replaced.
#[must_use]
pub fn replaced(rows: &[Row]) -> Value {
    let commit = |recorded: &Option<Recorded>| {
        recorded.as_ref().map_or(
            Value::Null,
            |recorded| json!({ "commit": recorded.commit, "date": recorded.date.to_string(), "by": recorded.by }),
        )
    };
    let rows: Vec<Value> = rows
        .iter()
        .map(|row| {
            json!({
                "vehicle": row.vehicle,
                "system": row.system,
                "part": row.part,
                "at": said(&row.at),
                "date": row.date.to_string(),
                "old": row.old,
                "new": {
                    "what": said(&row.what),
                    "kind": row.kind.map(|kind| kind.word()),
                    "number": row.number,
                    "from": row.from,
                    "cost": money(row.cost),
                },
                "fate": row.fate,
                "photos": row.photos,
                "entry": row.entry,
                "line": row.line,
                "recorded": commit(&row.recorded),
                "changed": commit(&row.changed),
            })
        })
        .collect();
    json!({ "rows": rows })
}

/// What is open on a day.
#[must_use]
pub fn needs(all: &[Open], today: jiff::civil::Date) -> Value {
    let needs: Vec<Value> = all
        .iter()
        .map(|open| {
            json!({
                "vehicle": open.vehicle,
                "system": open.system,
                "part": open.part,
                "at": said(&open.at),
                "kind": open.kind.word(),
                "need": open.need,
                "since": open.since.to_string(),
                "by": open.by.map(|by| by.to_string()),
                "overdue": open.is_overdue(today),
                "blocks": open.waiting.all,
                "directly": open.waiting.direct,
                "entry": open.spot.file,
                "line": open.spot.line,
            })
        })
        .collect();
    json!({ "needs": needs })
}

/// Hours and money.
#[must_use]
pub fn tally(shown: &tally::Shown<'_>) -> Value {
    let sums = |minutes: u64, amounts: &[Money]| {
        let amounts: Vec<Value> = amounts.iter().map(|amount| money(Some(*amount))).collect();
        json!({ "minutes": minutes, "money": amounts })
    };
    let rows: Vec<Value> = shown
        .tally
        .rows
        .iter()
        .map(|row| {
            let mut value = sums(row.sum.minutes, &row.sum.money);
            merge(
                &mut value,
                json!({ "key": row.key, "vehicle": row.vehicle }),
            );
            value
        })
        .collect();
    let budgets: Vec<Value> = shown
        .tally
        .budgets
        .iter()
        .map(|budget| {
            let besides: Vec<Value> = budget.besides.iter().map(|own| money(Some(*own))).collect();
            json!({
                "vehicle": budget.vehicle,
                "budget": money(Some(budget.budget)),
                "spent": money(Some(budget.spent)),
                "left": money(Some(budget.left)),
                "besides": besides,
            })
        })
        .collect();
    let left_out = crate::reports::tally::sum(shown.undated.iter(), shown.currency);
    let mut undated = sums(left_out.minutes, &left_out.money);
    let at: Vec<Value> = shown
        .undated
        .iter()
        .map(|posting| json!({ "entry": posting.spot.file, "line": posting.spot.line }))
        .collect();
    merge(&mut undated, json!({ "at": at }));
    json!({
        "by": shown.tally.by.word(),
        "rows": rows,
        "total": sums(shown.tally.total.minutes, &shown.tally.total.money),
        "budgets": budgets,
        "undated": undated,
    })
}

/// All problems.
#[must_use]
pub fn check(problems: &[Problem]) -> Value {
    let problems: Vec<Value> = problems
        .iter()
        .map(|problem| {
            json!({
                "severity": problem.severity.word(),
                "entry": said(&problem.spot.file),
                "line": problem.spot.line,
                "column": problem.spot.column,
                "message": problem.message,
                "hint": problem.hint,
            })
        })
        .collect();
    json!({ "problems": problems })
}

/// How the records changed.
#[must_use]
pub fn past(changes: &[Change]) -> Value {
    let changes: Vec<Value> = changes
        .iter()
        .map(|change| {
            let facts: Vec<Value> = change
                .facts
                .iter()
                .map(|fact| {
                    json!({
                        "part": fact.part,
                        "at": said(&fact.at),
                        "key": fact.key,
                        "before": fact.before,
                        "after": fact.after,
                    })
                })
                .collect();
            json!({
                "commit": change.commit,
                "date": change.date,
                "author": change.author,
                "entry": change.entry,
                "kind": change.kind,
                "facts": facts,
                "difference": change.difference,
            })
        })
        .collect();
    json!({ "changes": changes })
}
