//! A narration as JSON: what was heard, which orders, what did not happen, and the
//! entry that the ticked lines make.

use serde_json::{Value, json};

use super::{Json, document, said};
use crate::import::narration::cues::stamp;
use crate::import::narration::heard::{Heard, Narration, Tier, sides_in_words};
use crate::presentation::export::{Document, Exporter};
use crate::vocabulary::position::Side;

/// A narration and the entry it would make.
#[derive(Clone, Copy, Debug)]
pub struct NarrationAnswer<'a> {
    /// What was heard.
    pub narration: &'a Narration,
    /// The vehicle, if it is known.
    pub vehicle: Option<&'a str>,
    /// The day, as RFC 3339 writes it.
    pub date: &'a str,
    /// The entry of all ticked lines.
    pub entry: &'a str,
}

impl Exporter<NarrationAnswer<'_>> for Json {
    fn export(&self, answer: &NarrationAnswer<'_>) -> Document {
        let narration = answer.narration;
        let orders: Vec<Value> = narration
            .orders
            .iter()
            .map(|order| {
                json!({
                    "part": order.part,
                    "at": at(&order.at),
                    "first": order.first,
                    "first_at": at(&order.first_at),
                    "start": stamp(order.start),
                    "words": order.words,
                })
            })
            .collect();
        let left_out: Vec<Value> = narration
            .left_out
            .iter()
            .map(|left| {
                json!({
                    "start": stamp(left.start),
                    "kind": left.kind.word(),
                    "part": left.part,
                    "words": left.words,
                    "why": left.why,
                })
            })
            .collect();
        document(&json!({
            "vehicle": answer.vehicle,
            "date": answer.date,
            "events": narration.heard.iter().map(event).collect::<Vec<_>>(),
            "came_first": orders,
            "left_out": left_out,
            "entry": answer.entry,
        }))
    }
}

fn event(heard: &Heard) -> Value {
    let hardware: Vec<Value> = heard
        .hardware
        .iter()
        .map(|pieces| {
            json!({
                "count": pieces.count,
                "what": pieces.what,
                "size": pieces.size,
                "bag": pieces.bag,
            })
        })
        .collect();
    json!({
        "kind": heard.kind.word(),
        "part": heard.part,
        "at": at(&heard.at),
        "start": stamp(heard.start),
        "words": heard.words,
        "detail": heard.detail,
        "to": heard.to,
        "where": heard.place,
        "hardware": hardware,
        "marked": heard.tier == Tier::Inferred,
        "asked": heard.tier == Tier::Asked,
        "new": heard.is_new,
    })
}

fn at(sides: &[Side]) -> Value {
    said(&sides_in_words(sides))
}

/// An entry that a ticked sheet would make.
#[derive(Clone, Copy, Debug)]
pub struct SheetPreview<'a> {
    /// The vehicle.
    pub vehicle: &'a str,
    /// The day, as RFC 3339 writes it.
    pub date: &'a str,
    /// The entry.
    pub entry: &'a str,
    /// What of the sheet was not understood.
    pub said: &'a [String],
}

impl Exporter<SheetPreview<'_>> for Json {
    fn export(&self, preview: &SheetPreview<'_>) -> Document {
        document(&json!({
            "written": null,
            "vehicle": preview.vehicle,
            "date": preview.date,
            "entry": preview.entry,
            "said": preview.said,
        }))
    }
}
