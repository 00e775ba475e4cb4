//! What has to be said about the places that a heading or `at:` names.
//!
//! How places are read is decided in `handbook::heading`.

use std::ops::Range;

use super::understand::FactContext;
use crate::handbook::heading::PlaceRemark;

/// Reports what was remarked about the places at these bytes.
pub(super) fn report(
    reader: &mut FactContext<'_>,
    vehicle: Option<&str>,
    span: &Range<usize>,
    remarks: Vec<PlaceRemark>,
) {
    for remark in remarks {
        match remark {
            PlaceRemark::Slip { said, read } => reader.warning(
                span.clone(),
                format!("`{said}` was read as `{read}`"),
                &format!("write `{read}`"),
            ),
            PlaceRemark::Unsettled { said } => {
                let (message, hint) = unsettled(&said, vehicle);
                reader.error(span.clone(), message, &hint);
            }
            PlaceRemark::Ambiguous { said, readings } => reader.error(
                span.clone(),
                format!("`{said}` has two readings: {readings}"),
                "write the place in full words, each of several under `at:`: `at: left front; left rear`",
            ),
            PlaceRemark::LeftInName { said } => reader.warning(
                span.clone(),
                format!("`{said}`: what it is called, or where it sits? It was kept in the name"),
                "write a place behind a comma, `Hinge, inner`; a hyphen keeps a word in the name, `inside-mirror`",
            ),
            PlaceRemark::Inside { said } => reader.warning(
                span.clone(),
                format!("`{said}` was read as the place, not as part of the name"),
                "write a place behind a comma, `Hinge, upper`; a hyphen keeps a word in the name, `door-bottom`",
            ),
        }
    }
}

/// A side without a word that tells which.
fn unsettled(said: &str, vehicle: Option<&str>) -> (String, String) {
    let file = vehicle.unwrap_or("VEHICLE");
    let folded = said.to_lowercase();
    let of_people = ["driver", "pass"]
        .iter()
        .any(|start| folded.starts_with(start));
    let initials = folded.len() <= 5 && !folded.starts_with(['n', 'o']);
    if of_people || initials {
        return (
            format!(
                "`{said}`: left or right? The vehicle's file does not say where the driver sits"
            ),
            format!("write `left` or `right` here, or `driven: left` in vehicles/{file}.md"),
        );
    }
    (
        format!("`{said}` means the left to some and the right to others"),
        format!(
            "write `left` or `right`; with `driven: right` in vehicles/{file}.md nearside is the left"
        ),
    )
}
