//! Which parts a question is about: of a vehicle, of a system, by a name.

use std::collections::BTreeSet;

use super::failure::Failure;
use super::find::{system, vehicle};
use crate::journal::Journal;
use crate::ledger::{Ledger, PlaceState};
use crate::reports::parts::{self, Meant};
use crate::vocabulary::words::fold;

/// What `--vehicle`, `--system` and `--part` leave.
#[derive(Clone, Debug)]
pub struct Parts {
    /// The vehicle, by its slug.
    pub vehicle: Option<String>,
    /// The system, as the journal writes it.
    system: Option<String>,
    /// The parts a name means, by vehicle and label.
    labels: Option<BTreeSet<(String, String)>>,
}

impl Parts {
    /// Understands what was typed.
    ///
    /// # Errors
    /// When a vehicle, a system or a part is not known.
    pub fn typed(
        vehicle_typed: Option<&String>,
        system_typed: Option<&String>,
        part: Option<&String>,
        journal: &Journal,
        ledger: &Ledger,
    ) -> Result<Parts, Failure> {
        let vehicle = vehicle(vehicle_typed, journal)?;
        let system = system(system_typed, journal)?;
        let labels = match part {
            Some(part) => Some(parts_named(part, vehicle.as_deref(), journal, ledger)?),
            None => None,
        };
        Ok(Parts {
            vehicle,
            system,
            labels,
        })
    }

    /// Whether a part is asked about.
    #[must_use]
    pub fn has(&self, state: &PlaceState) -> bool {
        let own_system = state.system.as_deref().map(fold);
        self.has_vehicle(&state.vehicle)
            && self
                .system
                .as_ref()
                .is_none_or(|system| own_system == Some(fold(system)))
            && self
                .labels
                .as_ref()
                .is_none_or(|labels| labels.contains(&(state.vehicle.clone(), state.label())))
    }

    /// Whether everything of a vehicle is asked about.
    #[must_use]
    pub fn has_all_of(&self, vehicle: &str) -> bool {
        self.system.is_none() && self.labels.is_none() && self.has_vehicle(vehicle)
    }

    fn has_vehicle(&self, other: &str) -> bool {
        self.vehicle.as_ref().is_none_or(|vehicle| vehicle == other)
    }
}

/// The parts a name means, by vehicle and label: all that it could.
pub(super) fn parts_named(
    text: &str,
    vehicle: Option<&str>,
    journal: &Journal,
    ledger: &Ledger,
) -> Result<BTreeSet<(String, String)>, Failure> {
    let names = parts::Names {
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
