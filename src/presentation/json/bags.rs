//! Bags and what to buy, as JSON.

use serde_json::{Value, json};

use super::{Json, document, said};
use crate::presentation::bags::BagsAnswer;
use crate::presentation::export::{Document, Exporter};
use crate::presentation::purchases::ShoppingList;
use crate::reports::bags::{Bag, BagPart, BagsReport, Loose};
use crate::reports::purchases::Purchase;
use crate::vocabulary::fastener::Fastener;

impl Exporter<BagsAnswer<'_>> for Json {
    fn export(&self, answer: &BagsAnswer<'_>) -> Document {
        document(&match answer {
            BagsAnswer::All { answer, shown, .. } => bags(answer, shown),
            BagsAnswer::Unknown { .. } => bags(&BagsReport::default(), &[]),
        })
    }
}

impl Exporter<ShoppingList<'_>> for Json {
    fn export(&self, list: &ShoppingList<'_>) -> Document {
        document(&buy(list.purchases))
    }
}

/// The bags, pieces in none, and what cannot be.
fn bags(answer: &BagsReport, shown: &[&Bag]) -> Value {
    let loose: Vec<Value> = answer.loose.iter().map(loose).collect();
    let problems: Vec<Value> = answer
        .problems
        .iter()
        .map(|problem| {
            json!({
                "message": problem.message,
                "entry": problem.spot.file,
                "line": problem.spot.line,
            })
        })
        .collect();
    json!({
        "bags": shown.iter().map(|shown| bag(shown)).collect::<Vec<Value>>(),
        "in_no_bag": loose,
        "problems": problems,
    })
}

fn bag(bag: &Bag) -> Value {
    let pieces: Vec<Value> = bag
        .pieces
        .iter()
        .map(|piece| {
            let marks: Vec<&str> = piece.marks.iter().map(|mark| mark.word()).collect();
            let mut value = kind(&piece.kind);
            super::merge(
                &mut value,
                json!({
                    "in": piece.put_in,
                    "used": piece.used,
                    "left": piece.left,
                    "short": piece.short,
                    "new": piece.new,
                    "marks": marks,
                    "notes": piece.notes,
                }),
            );
            value
        })
        .collect();
    let entries: Vec<Value> = bag
        .entries
        .iter()
        .map(|happened| {
            json!({
                "date": happened.date.to_string(),
                "entry": happened.entry,
                "line": happened.line,
                "what": happened.what,
            })
        })
        .collect();
    json!({
        "bag": bag.label,
        "filling": bag.filling,
        "vehicle": bag.vehicles.first(),
        "vehicles": bag.vehicles,
        "stored": bag.stored,
        "since": bag.since.map(|day| day.to_string()),
        "emptied": bag.emptied.map(|day| day.to_string()),
        "parts": bag.parts.iter().map(part).collect::<Vec<Value>>(),
        "pieces": pieces,
        "entries": entries,
        "earlier": bag.earlier.iter().map(self::bag).collect::<Vec<Value>>(),
    })
}

fn part(part: &BagPart) -> Value {
    json!({
        "vehicle": said(&part.vehicle),
        "part": part.name,
        "at": said(&part.at),
        "status": part.status,
        "on_since": part.on_since.map(|day| day.to_string()),
    })
}

/// Kind, size and grade.
fn kind(kind: &Fastener) -> Value {
    json!({
        "kind": said(kind.kind.written()),
        "size": kind.size.as_ref().map(ToString::to_string),
        "grade": kind.grade.as_ref().map(ToString::to_string),
    })
}

fn loose(loose: &Loose) -> Value {
    let mut value = kind(&loose.kind);
    super::merge(
        &mut value,
        json!({
            "part": part(&loose.part),
            "pieces": loose.pieces,
            "entry": loose.entry,
            "line": loose.line,
        }),
    );
    value
}

/// What to get.
fn buy(purchases: &[Purchase]) -> Value {
    let lines: Vec<Value> = purchases
        .iter()
        .map(|purchase| {
            let parts: Vec<Value> = purchase
                .parts
                .iter()
                .map(|part| {
                    json!({
                        "vehicle": part.vehicle,
                        "part": part.part,
                        "at": said(&part.at),
                        "pieces": part.pieces,
                        "why": part.why.word(),
                        "entry": part.entry,
                        "line": part.line,
                    })
                })
                .collect();
            let perhaps: Vec<Value> = purchase
                .perhaps
                .iter()
                .map(|perhaps| {
                    json!({
                        "date": perhaps.date.to_string(),
                        "said": perhaps.said,
                        "entry": perhaps.entry,
                        "line": perhaps.line,
                    })
                })
                .collect();
            let mut value = kind(&purchase.kind);
            super::merge(
                &mut value,
                json!({ "pieces": purchase.pieces, "parts": parts, "perhaps": perhaps }),
            );
            value
        })
        .collect();
    json!({ "buy": lines })
}
