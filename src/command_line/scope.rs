//! What a question is about: parts of a vehicle, of a system, by a name; days.

use std::collections::BTreeSet;

use jiff::civil::Date;

use super::arguments::{DateRangeArgs, ScopeArgs};
use super::failure::Failure;
use super::opened;
use super::world::World;
use crate::journal::Journal;
use crate::ledger::{Ledger, PlaceState};
use crate::reports::parts::{self, Meant};
use crate::vocabulary::words::fold;

/// What `--vehicle`, `--system` and `--part` leave.
#[derive(Clone, Debug)]
pub struct PartScope {
    /// The vehicle, by its slug.
    pub vehicle: Option<String>,
    /// The system, as the journal writes it.
    system: Option<String>,
    /// The parts a name means, by vehicle and label.
    labels: Option<BTreeSet<(String, String)>>,
}

impl PartScope {
    /// Understands what was typed.
    ///
    /// # Errors
    /// When a vehicle, a system or a part is not known.
    pub fn typed(
        only: &ScopeArgs,
        journal: &Journal,
        ledger: &Ledger,
    ) -> Result<PartScope, Failure> {
        let vehicle = vehicle(only.vehicle.as_ref(), journal)?;
        let system = system(only.system.as_ref(), journal)?;
        let labels = match &only.part {
            Some(part) => Some(parts_named(part, vehicle.as_deref(), journal, ledger)?),
            None => None,
        };
        Ok(PartScope {
            vehicle,
            system,
            labels,
        })
    }

    /// Whether a part is asked about.
    #[must_use]
    pub fn has(&self, state: &PlaceState) -> bool {
        let label = state.label();
        self.names(Some(&state.vehicle), state.system.as_deref(), Some(&label))
    }

    /// Whether something is asked about that is of this vehicle, system and part,
    /// as far as it has them.
    #[must_use]
    pub fn names(&self, vehicle: Option<&str>, system: Option<&str>, label: Option<&str>) -> bool {
        let is = |wanted: &Option<String>, own: Option<&str>| {
            wanted
                .as_deref()
                .is_none_or(|wanted| own.is_some_and(|own| fold(own) == fold(wanted)))
        };
        let is_named = |labels: &BTreeSet<(String, String)>| {
            vehicle
                .zip(label)
                .is_some_and(|(vehicle, label)| labels.contains(&(vehicle.into(), label.into())))
        };
        is(&self.vehicle, vehicle)
            && is(&self.system, system)
            && self.labels.as_ref().is_none_or(is_named)
    }

    /// What is asked about, for a title: the vehicle, the system, the part.
    #[must_use]
    pub fn words(&self) -> Vec<String> {
        let labels = self.labels.iter().flatten().map(|(_, label)| label);
        let given = [&self.vehicle, &self.system].into_iter().flatten();
        given.chain(labels).cloned().collect()
    }

    /// Whether nothing of the vehicles asked about is left out.
    #[must_use]
    pub fn are_whole_vehicles(&self) -> bool {
        self.system.is_none() && self.labels.is_none()
    }

    /// Whether everything of a vehicle is asked about.
    #[must_use]
    pub fn has_all_of(&self, vehicle: &str) -> bool {
        self.are_whole_vehicles() && self.names(Some(vehicle), None, None)
    }
}

/// What `--since` and `--until` leave.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DateSpan {
    /// The first day.
    pub since: Option<Date>,
    /// The last day.
    pub until: Option<Date>,
}

impl DateSpan {
    /// Understands what was typed.
    ///
    /// # Errors
    /// When something is no day.
    pub fn typed(days: &DateRangeArgs, world: &World) -> Result<DateSpan, Failure> {
        Ok(DateSpan {
            since: opened::maybe_day("--since", days.since.as_ref(), world)?,
            until: opened::last_day("--until", days.until.as_ref(), world)?,
        })
    }

    /// Whether a day is asked about.
    #[must_use]
    pub fn has(&self, day: Date) -> bool {
        self.since.is_none_or(|since| day >= since) && self.until.is_none_or(|until| day <= until)
    }

    /// Whether all days are.
    #[must_use]
    pub fn is_all(&self) -> bool {
        self.since.is_none() && self.until.is_none()
    }
}

/// The parts a name means, by vehicle and label: all that it could.
pub(super) fn parts_named(
    text: &str,
    vehicle: Option<&str>,
    journal: &Journal,
    ledger: &Ledger,
) -> Result<BTreeSet<(String, String)>, Failure> {
    let names = parts::NameContext {
        aliases: &ledger.aliases,
        context: &journal.context(),
        vehicle,
    };
    let found = match names.meant(text, &ledger.places) {
        Meant::One(key) | Meant::Near(key) => vec![key],
        Meant::Several(keys) => keys,
        Meant::None => Vec::new(),
    };
    let labels: BTreeSet<(String, String)> = found
        .iter()
        .filter_map(|key| ledger.places.get(key))
        .map(|state| (state.vehicle.clone(), state.label()))
        .collect();
    if labels.is_empty() {
        return Err(Failure::misuse(
            format!("no part is called `{text}`"),
            "`matchmark part` lists all parts",
        ));
    }
    Ok(labels)
}

/// The vehicle after `--vehicle`, by its slug.
pub(super) fn vehicle(text: Option<&String>, journal: &Journal) -> Result<Option<String>, Failure> {
    let Some(text) = text else { return Ok(None) };
    let context = journal.context();
    if let Some(vehicle) = context.vehicle(text) {
        return Ok(Some(vehicle.slug.clone()));
    }
    if context.vehicles.is_empty() {
        return Ok(Some(text.clone()));
    }
    let known: Vec<&str> = context
        .vehicles
        .iter()
        .map(|vehicle| vehicle.slug.as_str())
        .collect();
    let hint = match context.near_vehicle(text) {
        Some(near) => format!(
            "did you mean `{near}`? the vehicles are: {}",
            known.join(", ")
        ),
        None => format!("the vehicles are: {}", known.join(", ")),
    };
    Err(Failure::misuse(
        format!("`{text}` is no vehicle of this journal"),
        hint,
    ))
}

/// The system after `--system`, as the journal writes it.
pub(super) fn system(text: Option<&String>, journal: &Journal) -> Result<Option<String>, Failure> {
    let Some(text) = text else { return Ok(None) };
    let context = journal.context();
    match context.system(text).or_else(|| context.near_system(text)) {
        Some(system) => Ok(Some(system.to_owned())),
        None => Err(Failure::misuse(
            format!("`{text}` is no system of this journal"),
            format!("the systems are: {}", context.systems.join(", ")),
        )),
    }
}
