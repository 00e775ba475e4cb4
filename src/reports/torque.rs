//! A recorded torque as it is shown: in both unit systems, with its source.
//!
//! It shows what a record says and never fills in a figure of its own.

use crate::handbook::units;
use crate::vocabulary::torque::{Torque, TorqueError};
use crate::vocabulary::torque_stages::by_hand;
use crate::vocabulary::torque_unit::TorqueUnit;

/// A recorded torque, ready to be shown.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RecordedTorque {
    /// The figures in the unit they were written in: "75-90 lbf·ft"; the words
    /// of the record where they could not be read.
    pub figures: String,
    /// The same in the other unit system: "102-122 N·m"; empty where the
    /// record names no unit.
    pub converted: Vec<String>,
    /// What is tightened further: more stages in both unit systems, an angle.
    pub further: Vec<String>,
    /// Book and page; empty where the record names none.
    pub source: String,
}

/// The torque that a record's words state.
#[must_use]
pub fn recorded(written: &str) -> RecordedTorque {
    let torque = match Torque::read(written) {
        Ok(torque) => torque,
        Err(TorqueError::Backwards(mut torque)) => {
            // Reported where it was read; shown the right way round.
            if let Some(high) = torque.high {
                torque.high = Some(torque.low);
                torque.low = high;
            }
            torque
        }
        Err(TorqueError::NoFigure | TorqueError::UnknownUnit(_)) => {
            let hand = by_hand(written);
            let (figures, further, source) =
                hand.unwrap_or_else(|| (written.to_owned(), Vec::new(), String::new()));
            return RecordedTorque {
                figures,
                converted: Vec::new(),
                further: further.iter().map(|stage| stage_words(stage)).collect(),
                source,
            };
        }
    };
    let unit = torque.unit.map(|unit| format!(" {}", unit.word()));
    RecordedTorque {
        figures: format!("{}{}", torque.figures(), unit.unwrap_or_default()),
        converted: units::counterparts(&torque)
            .into_iter()
            .zip(std::iter::repeat(torque.unit))
            .filter_map(|(to, from)| Some(units::range(&torque, from?, to)))
            .collect(),
        further: torque
            .further
            .iter()
            .map(|stage| stage_words(stage))
            .collect(),
        source: torque.source,
    }
}

/// A stage as it is shown: a figure in both unit systems, anything else as it stands.
fn stage_words(stage: &str) -> String {
    match Torque::read(stage) {
        Ok(torque) if torque.unit.is_some() => in_both_systems(stage),
        Ok(_) | Err(_) => stage.to_owned(),
    }
}

/// A torque in every unit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Conversion {
    /// As it was given: "75-90 lbf·ft".
    pub written: String,
    /// Unit, lower and upper figure, for every other unit.
    pub units: Vec<(&'static str, String, Option<String>)>,
    /// What is tightened further, which is in no other unit where it is an angle.
    pub further: Vec<String>,
}

/// A torque in every unit but its own, to four digits; `None` without a unit.
#[must_use]
pub fn conversion(torque: &Torque) -> Option<Conversion> {
    let from = torque.unit?;
    let units = TorqueUnit::ALL
        .into_iter()
        .filter(|to| *to != from)
        .map(|to| {
            let figure = |figure| units::closely(figure, from, to);
            (to.word(), figure(torque.low), torque.high.map(figure))
        })
        .collect();
    Some(Conversion {
        written: format!("{} {}", torque.figures(), from.word()),
        units,
        further: torque
            .further
            .iter()
            .map(|stage| stage_words(stage))
            .collect(),
    })
}

/// In one line: "75-90 lbf·ft (102-122 N·m), shop manual 3-12".
#[must_use]
pub fn in_both_systems(written: &str) -> String {
    let torque = recorded(written);
    let mut line = torque.figures;
    if !torque.converted.is_empty() {
        line.push_str(&format!(" ({})", torque.converted.join(", ")));
    }
    for stage in &torque.further {
        line.push_str(&format!(", then {stage}"));
    }
    if !torque.source.is_empty() {
        line.push_str(&format!(", {}", torque.source));
    }
    line
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_recorded_torque_stands_in_both_systems_with_its_source() {
        for (written, shown) in [
            (
                "75–90 lbf·ft, shop manual 3-12",
                "75-90 lbf·ft (102-122 N·m), shop manual 3-12",
            ),
            ("12-15 Nm, sheet", "12-15 N·m (106-133 lbf·in), sheet"),
            ("90-75 N·m", "75-90 N·m (55-66 lbf·ft)"),
            ("40", "40"),
            ("40, book", "40, book"),
            ("good and tight", "good and tight"),
            (
                "20 N·m, then 40 N·m, then 90°, sheet",
                "20 N·m (14.8 lbf·ft), then 40 N·m (30 lbf·ft), then 90°, sheet",
            ),
            ("hand tight + 3/4 turn", "hand tight, then 3/4 turn"),
        ] {
            assert_eq!(in_both_systems(written), shown);
        }
    }
}
