//! The little that reading an entry has to know about its journal.

use crate::vocabulary::money::Currency;
use crate::vocabulary::position::Driven;
use crate::vocabulary::words::{fold, one_slip};

/// Systems, vehicles and currency of a journal.
#[derive(Clone, Debug)]
pub struct Context {
    /// The systems in the order in which they go back.
    pub systems: Vec<String>,
    /// The vehicles.
    pub vehicles: Vec<Vehicle>,
    /// What amounts without a currency count in.
    pub currency: Currency,
}

/// What reading has to know about a vehicle.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Vehicle {
    /// The name of its file, without the ending.
    pub slug: String,
    /// Its full name.
    pub name: String,
    /// On which side the driver sits.
    pub driven: Driven,
}

impl Context {
    /// The vehicle with this slug or name.
    #[must_use]
    pub fn vehicle(&self, text: &str) -> Option<&Vehicle> {
        let wanted = fold(text);
        self.vehicles
            .iter()
            .find(|vehicle| fold(&vehicle.slug) == wanted || fold(&vehicle.name) == wanted)
    }

    /// The slug of the vehicle whose slug or name is one slip away.
    #[must_use]
    pub fn near_vehicle(&self, text: &str) -> Option<&str> {
        let wanted = fold(text);
        self.vehicles
            .iter()
            .find(|vehicle| {
                one_slip(&wanted, &fold(&vehicle.slug)) || one_slip(&wanted, &fold(&vehicle.name))
            })
            .map(|vehicle| vehicle.slug.as_str())
    }

    /// The system with this name, as the journal writes it.
    #[must_use]
    pub fn system(&self, text: &str) -> Option<&str> {
        let wanted = fold(text);
        self.systems
            .iter()
            .find(|system| fold(system) == wanted)
            .map(String::as_str)
    }

    /// The system one slip away.
    #[must_use]
    pub fn near_system(&self, text: &str) -> Option<&str> {
        let wanted = fold(text);
        self.systems
            .iter()
            .find(|system| one_slip(&wanted, &fold(system)))
            .map(String::as_str)
    }

    /// On which side the driver of this vehicle sits.
    #[must_use]
    pub fn driven(&self, vehicle: Option<&str>) -> Driven {
        vehicle
            .and_then(|slug| self.vehicle(slug))
            .map_or(Driven::Unsaid, |vehicle| vehicle.driven)
    }
}
