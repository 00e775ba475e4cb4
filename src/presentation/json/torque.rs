//! Torques as JSON.

use serde_json::{Value, json};

use super::{Json, document};
use crate::presentation::export::{Document, Exporter};
use crate::presentation::torque::{RecordedTorqueView, Refusal, TorqueAnswer};
use crate::reports::general_torque::{
    GeneralTorques, POUND_FORCE, TorqueRow, never_for, pound_inches,
};
use crate::reports::torque::Conversion;

impl Exporter<TorqueAnswer<'_>> for Json {
    fn export(&self, answer: &TorqueAnswer<'_>) -> Document {
        document(&match answer {
            TorqueAnswer::General(found, recorded) => general(found, recorded),
            TorqueAnswer::Refused {
                thread,
                refusal,
                recorded,
            } => refused(thread, refusal, recorded),
            TorqueAnswer::Converted(conversion) => converted(conversion),
        })
    }
}

/// A general torque; all that is no figure says so.
fn general(found: &GeneralTorques, recorded: &[RecordedTorqueView]) -> Value {
    let figures: Vec<Value> = found.rows.iter().map(|one| row(one, found)).collect();
    json!({
        "thread": found.thread,
        "series": found.series,
        "general": true,
        "service_manual_decides": true,
        "never_for": never_for(),
        "recorded": recorded_values(recorded),
        "refused": Value::Null,
        "share": found.share,
        "friction": found.friction.0,
        "nut_factor": hundredths(found.friction.1),
        "stress_area": {
            "value": rounded(found.area.0, 4),
            "unit": if found.metric { "mm²" } else { "in²" },
            "source": found.area.1,
        },
        "figures": figures,
    })
}

fn row(row: &TorqueRow, found: &GeneralTorques) -> Value {
    let others: Vec<Value> = row
        .others
        .iter()
        .map(|(word, factor, figure)| {
            json!({ "friction": word, "nut_factor": hundredths(*factor), "torque": torque(*figure) })
        })
        .collect();
    json!({
        "grade": row.grade,
        "length": row.length,
        "source": row.standard,
        "proof_stress": {
            "value": row.proof_stress,
            "unit": if found.metric { "MPa" } else { "psi" },
            "from": row.sizes.0,
            "over": row.over,
            "to": row.sizes.1,
        },
        "proof_load": force(row.proof_load),
        "clamp": force(row.clamp),
        "torque": torque(row.torque),
        "others": others,
    })
}

fn torque(newton_metres: f64) -> Value {
    let inches = pound_inches(newton_metres);
    json!({
        "n_m": rounded(newton_metres, 3),
        "lbf_ft": rounded(inches / 12.0, 3),
        "lbf_in": rounded(inches, 3),
    })
}

fn force(newtons: f64) -> Value {
    json!({ "n": rounded(newtons, 4), "lbf": rounded(newtons / POUND_FORCE, 4) })
}

fn hundredths(factor: u32) -> f64 {
    f64::from(factor) / 100.0
}

/// A number rounded to this many significant digits.
fn rounded(number: f64, digits: usize) -> f64 {
    let places = digits.saturating_sub(1);
    format!("{number:.places$e}").parse().unwrap_or(number)
}

/// A refusal.
fn refused(thread: &str, refusal: &Refusal, recorded: &[RecordedTorqueView]) -> Value {
    json!({
        "thread": thread,
        "general": true,
        "service_manual_decides": true,
        "never_for": never_for(),
        "recorded": recorded_values(recorded),
        "refused": {
            "about": refusal.about,
            "field": refusal.field,
            "why": refusal.why,
            "hint": refusal.hint,
        },
        "series": Value::Null,
        "share": Value::Null,
        "friction": Value::Null,
        "nut_factor": Value::Null,
        "stress_area": Value::Null,
        "figures": [],
    })
}

fn recorded_values(recorded: &[RecordedTorqueView]) -> Vec<Value> {
    recorded
        .iter()
        .map(|one| {
            json!({
                "vehicle": one.vehicle,
                "part": one.part,
                "torque": one.torque,
                "entry": one.entry,
                "line": one.line,
            })
        })
        .collect()
}

/// A torque in all units.
fn converted(conversion: &Conversion) -> Value {
    let units: Vec<Value> = conversion
        .units
        .iter()
        .map(|(unit, low, high)| json!({ "unit": unit, "low": low, "high": high }))
        .collect();
    json!({ "written": conversion.written, "converted": units, "further": conversion.further })
}
