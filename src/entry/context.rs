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

    /// The slug of the vehicle whose slug or name is one slip away; else of the only
    /// one that has this word in its slug or name.
    #[must_use]
    pub fn near_vehicle(&self, text: &str) -> Option<&str> {
        let wanted = fold(text);
        let names = |vehicle: &Vehicle| [fold(&vehicle.slug), fold(&vehicle.name)];
        let slip = |vehicle: &&Vehicle| names(vehicle).iter().any(|name| one_slip(&wanted, name));
        let is_part = |vehicle: &&Vehicle| {
            names(vehicle)
                .iter()
                .any(|name| name.split([' ', '-']).any(|word| word == wanted))
        };
        let mut parts = self.vehicles.iter().filter(is_part);
        let only = match (parts.next(), parts.next()) {
            (Some(only), None) => Some(only),
            (_, _) => None,
        };
        let near = self.vehicles.iter().find(slip).or(only);
        near.map(|vehicle| vehicle.slug.as_str())
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_word_of_one_vehicle_alone_names_it() {
        let vehicle = |slug: &str, name: &str| Vehicle {
            slug: slug.to_owned(),
            name: name.to_owned(),
            driven: Driven::Unsaid,
        };
        let context = Context {
            systems: Vec::new(),
            vehicles: vec![
                vehicle("tarnhof-18", "Tarnhof 18"),
                vehicle("pavetta-125", "Pavetta 125"),
                vehicle("pavetta-150", "Pavetta 150"),
            ],
            currency: Currency::EUR,
        };
        assert_eq!(context.near_vehicle("tarnhof"), Some("tarnhof-18"));
        assert_eq!(context.near_vehicle("Tarnhof-81"), Some("tarnhof-18"));
        assert_eq!(context.near_vehicle("pavetta"), None);
        assert_eq!(context.near_vehicle("hof"), None);
    }
}
