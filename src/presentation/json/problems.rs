//! Problems, as JSON.

use serde_json::{Value, json};

use super::said;
use crate::problem::Problem;

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
