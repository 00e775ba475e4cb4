//! What was understood of one entry, as JSON.

use std::borrow::Borrow;

use serde_json::{Map, Value, json};

use super::{Json, document, problems, said};
use crate::entry::{Fact, Key, Stated};
use crate::presentation::export::{Document, Exporter};
use crate::problem::Problem;
use crate::reports::known_names::Novelty;
use crate::reports::understood::Understood;
use crate::vocabulary::fastener::size_as_said;
use crate::vocabulary::hardware::Hardware;
use crate::vocabulary::status::Status;

impl Exporter<(&Understood<'_>, &[Problem])> for Json {
    fn export(&self, (understood, found): &(&Understood<'_>, &[Problem])) -> Document {
        let mut value = value(understood);
        value["problems"] = json!(problems::values(found));
        document(&value)
    }
}

/// The entry with its records, one a place.
pub(super) fn value(understood: &Understood<'_>) -> Value {
    let entry = understood.entry;
    let records: Vec<Value> = understood
        .records
        .iter()
        .map(|one| {
            json!({
                "line": one.record.spot.line,
                "part": one.record.name.written(),
                "at": said(&one.record.at.to_string()),
                "new": one.part != Novelty::Known,
                "near": near(&one.part),
                "facts": facts(&one.record.facts),
                "words_only": one.words_only,
            })
        })
        .collect();
    let bags: Vec<Value> = understood
        .bags
        .iter()
        .map(|(bag, novelty)| {
            let holds: Vec<String> = bag.holds.iter().map(|(part, _)| part.written()).collect();
            json!({
                "line": bag.spot.line,
                "bag": bag.label.written(),
                "new": *novelty != Novelty::Known,
                "holds": holds,
                "pieces": bag.hardware.iter().map(|(one, _)| piece(one)).collect::<Vec<Value>>(),
                "stored": bag.stored,
            })
        })
        .collect();
    let words_only = understood.prose.iter();
    let words_only: Vec<Value> = words_only
        .map(|passage| json!({ "line": passage.line, "heading": passage.title }))
        .collect();
    json!({
        "entry": said(&entry.path),
        "date": entry.date.map(|day| day.to_string()),
        "vehicle": entry.vehicle,
        "facts": facts(&understood.session),
        "records": records,
        "bags": bags,
        "words_only": words_only,
    })
}

fn near(novelty: &Novelty) -> Value {
    match novelty {
        Novelty::Near(known) => json!(known),
        Novelty::Known | Novelty::New => Value::Null,
    }
}

/// Facts in the order of the text. Pieces of hardware from one line are one fact.
fn facts<S: Borrow<Stated>>(facts: &[S]) -> Vec<Value> {
    let same_line = |a: &S, b: &S| {
        let (a, b) = (a.borrow(), b.borrow());
        let pieces = |stated: &Stated| matches!(stated.fact, Fact::Hardware(_));
        pieces(a) && pieces(b) && a.spot == b.spot && a.written == b.written
    };
    facts
        .chunk_by(same_line)
        .map(|all| fact(&all.iter().map(Borrow::borrow).collect::<Vec<&Stated>>()))
        .collect()
}

/// The facts of one value.
fn fact(all: &[&Stated]) -> Value {
    let Some(&first) = all.first() else {
        return Value::Null;
    };
    let mut value = Map::new();
    value.insert("key".into(), key(first));
    value.insert("line".into(), json!(first.spot.line));
    value.insert("value".into(), json!(first.written));
    let mut more = |key: &str, meaning: Value| {
        value.insert(key.to_owned(), meaning);
    };
    // A fact that is not among these, a key added tomorrow among them, is its value.
    let fact = &first.fact;
    if let Fact::Status(status) = fact {
        more("value", json!(status.word()));
        more("status", json!(status.word()));
    } else if let Fact::Surface(surface) = fact {
        more("value", json!(surface.word()));
    } else if let Fact::Hardware(_) = fact {
        let mut pieces = Vec::new();
        for stated in all {
            if let Fact::Hardware(one) = &stated.fact {
                pieces.push(piece(one));
            }
        }
        more("pieces", json!(pieces));
    } else if let Fact::Leftover(one) | Fact::Short(one) = fact {
        more("pieces", json!([piece(one)]));
    } else if let Fact::Cost(cost) = fact {
        more("amount", json!(cost.money.amount()));
        more("currency", json!(cost.money.currency.code()));
        more("what", said(&cost.text));
    } else if let Fact::Hours(minutes) = fact {
        more("minutes", json!(minutes.0));
    } else if let Fact::Needs(need) = fact {
        let by = need.by.map(|day| day.to_string());
        let words = match &by {
            Some(day) => format!("{}, by {day}", need.text),
            None => need.text.clone(),
        };
        more("value", json!(words));
        more("need", json!(words));
        more("by", json!(by));
        more("buy", json!(need.is_purchase()));
    } else if let Fact::Bag(bag) = fact {
        more("value", json!(bag.written()));
    } else if let Fact::Done(work) = fact {
        more("value", json!(work));
    } else if let Fact::SentTo(sent) = fact {
        more("status", json!(Status::Out.word()));
        more("to", json!(sent.to));
        more("back", json!(sent.back_by.map(|day| day.to_string())));
    }
    if first.inherited {
        more("inherited", json!(true));
    }
    Value::Object(value)
}

/// The key under which the format keeps what was understood: work written as a
/// status is `done`. What has no key that anyone knows has none here.
fn key(stated: &Stated) -> Value {
    let key = if let Fact::Unknown(_) = stated.fact {
        return Value::Null;
    } else if let Fact::Surface(_) = stated.fact {
        Key::Surface
    } else if let Fact::Done(_) = stated.fact {
        Key::Done
    } else {
        stated.key
    };
    json!(key.word())
}

fn piece(one: &Hardware) -> Value {
    let fastener = one.fastener();
    let marks: Vec<&str> = one.marks.iter().map(|mark| mark.word()).collect();
    json!({
        "count": one.quantity,
        "what": said(fastener.kind.written()),
        "size": size_as_said(&one.what),
        "grade": fastener.grade.as_ref().map(ToString::to_string),
        "bag": one.bag.as_ref().map(|bag| bag.written()),
        "marks": marks,
    })
}
