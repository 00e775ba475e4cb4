//! A torque as typed: a figure, an angle, stages, "hand tight".
//!
//! A figure is kept as typed; no general one is put in its place.

use super::standing::is_one_of_two;
use super::{FactContext, Value};
use crate::entry::fact::Fact;
use crate::vocabulary::torque::{Torque, TorqueError};
use crate::vocabulary::torque_stages::by_hand;

impl FactContext<'_> {
    pub(super) fn torque(&mut self, value: &Value) -> Option<Fact> {
        let text = &value.text;
        let example = "write figure, unit and source: `75-90 lbf·ft, shop manual 3-12`";
        match Torque::read(text) {
            Ok(torque) => {
                if is_one_of_two(text) {
                    self.warning(
                        value.span.clone(),
                        format!("`{text}`: which of the figures?"),
                        "write the one that counts, or a range as `25-30 N·m`",
                    );
                }
                if torque.unit.is_none() {
                    self.warning(
                        value.span.clone(),
                        format!("`{text}` names no unit"),
                        example,
                    );
                }
                if torque.comma_as_decimal {
                    self.note(
                        value.span.clone(),
                        format!("the comma in `{text}` was read as the decimal mark"),
                        &format!("write {}", torque.figures()),
                    );
                }
                Some(Fact::Torque(text.clone()))
            }
            Err(TorqueError::Backwards(_)) => {
                self.warning(
                    value.span.clone(),
                    format!("the range `{text}` runs backwards"),
                    "the smaller figure comes first",
                );
                Some(Fact::Torque(text.clone()))
            }
            Err(TorqueError::NoFigure) if by_hand(text).is_some() => {
                Some(Fact::Torque(text.clone()))
            }
            Err(TorqueError::NoFigure) => {
                self.error(
                    value.span.clone(),
                    format!("`{text}` is no torque: it has no figure"),
                    example,
                );
                None
            }
            Err(TorqueError::UnknownUnit(unit)) => {
                self.error(
                    value.span.clone(),
                    format!("`{unit}` is no unit of torque"),
                    "the units are lbf·ft, lbf·in, ozf·in, N·m, kgf·m, kgf·cm",
                );
                None
            }
        }
    }
}
