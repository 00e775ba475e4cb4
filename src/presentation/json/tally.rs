//! Hours and money, as JSON.

use serde_json::{Value, json};

use super::{Json, document, merge, money};
use crate::presentation::export::{Document, Exporter};
use crate::presentation::tally;
use crate::vocabulary::money::Money;

impl Exporter<tally::TallyView<'_>> for Json {
    fn export(&self, shown: &tally::TallyView<'_>) -> Document {
        document(&tally(shown))
    }
}

fn tally(shown: &tally::TallyView<'_>) -> Value {
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
