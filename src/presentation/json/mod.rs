//! Answers as JSON. The keys are a promise; `docs/json.md` lists them.
//!
//! Absent facts are `null`, dates RFC 3339, money `{amount, currency}`,
//! durations minutes, marks Unicode scalars.

pub mod bags;
pub mod find;
pub mod narration;
pub mod needs;
pub mod part;
pub mod past;
pub mod problems;
pub mod recap;
pub mod refit;
pub mod replaced;
pub mod tally;
pub mod torque;
pub mod understood;
pub mod writing;

use serde_json::{Value, json};

use super::export::Document;
use crate::vocabulary::money::Money;
use crate::vocabulary::words::is_obeyed;

/// The form for another program.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Json;

/// A value as a document.
pub(in crate::presentation) fn document(value: &Value) -> Document {
    Document::text(text(value))
}

/// A value as text, with a line end.
fn text(value: &Value) -> String {
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

fn merge(value: &mut Value, more: Value) {
    if let (Value::Object(value), Value::Object(more)) = (value, more) {
        value.extend(more);
    }
}
