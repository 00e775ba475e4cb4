//! Problems, as JSON.

use serde_json::{Value, json};

use super::{Json, document, said};
use crate::presentation::export::{Document, Exporter};
use crate::problem::Problem;

impl Exporter<[Problem]> for Json {
    fn export(&self, problems: &[Problem]) -> Document {
        document(&json!({ "problems": values(problems) }))
    }
}

/// Problems, each as an object.
pub(super) fn values(problems: &[Problem]) -> Vec<Value> {
    problems
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
        .collect()
}
