//! Of which parts each side, or each corner, of a vehicle has its own.
//!
//! On which side the talk is, `sides` says.

use super::mentions::Mention;
use crate::vocabulary::name::{ends_with_name, singular};

/// Systems of which each corner of a vehicle has its share.
pub(super) const CORNERS: [&str; 4] = ["brakes", "wheels", "suspension", "steering"];

/// How many of a part a vehicle has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Share {
    /// One in each corner, or two.
    Corner,
    /// One on each side, or one in each door.
    Flank,
    /// One.
    One,
    /// Nobody knows.
    Open,
}

/// Whether each side has one of a part.
pub(super) fn share(mention: &Mention) -> Share {
    /// Of these there is one.
    const ONE: [&str; 46] = [
        "tailgate",
        "axle",
        "master cylinder",
        "pedal",
        "steering box",
        "steering wheel",
        "steering column",
        "servo",
        "compensator",
        "handbrake lever",
        "bonnet",
        "hood",
        "grille",
        "boot lid",
        "trunk lid",
        "windscreen",
        "windshield",
        "bumper",
        "roof",
        "dashboard",
        "bulkhead",
        "carpet",
        "dash",
        "radiator",
        "thermostat",
        "tank",
        "manifold",
        "gearbox",
        "engine",
        "motor",
        "fan",
        "sump",
        "battery",
        "dynamo",
        "generator",
        "alternator",
        "starter",
        "distributor",
        "carburettor",
        "carb",
        "heater",
        "loom",
        "cowl",
        "shroud",
        "platform",
        "gauge",
    ];
    /// Bodywork of a flank.
    const FLANK: [&str; 42] = [
        "lamp",
        "light",
        "lens",
        "bulb",
        "bumper end",
        "bumper iron",
        "door",
        "seat",
        "wing",
        "fender",
        "sill",
        "rocker panel",
        "window",
        "winder",
        "crank",
        "armrest",
        "regulator",
        "card",
        "hinge",
        "pillar",
        "glass",
        "quarterlight",
        "vent window",
        "pull",
        "handle",
        "latch",
        "striker",
        "strap",
        "kick panel",
        "headlamp",
        "headlight",
        "running board",
        "shield",
        "mirror",
        "floor pan",
        "floor",
        "runner",
        "channel",
        "arch",
        "ring",
        "indicator",
        "quarter panel",
    ];
    /// Parts of a corner that no system of the handbook has by this name.
    const CORNER: [&str; 6] = ["half shaft", "axle shaft", "wheel", "drum", "tyre", "tire"];
    let name = singular(&mention.name);
    let ends = |list: &[&str]| list.iter().any(|word| ends_with_name(name, word));
    if ends(&ONE) && !ends(&["stub axle"]) || mention.known.system == "cooling" {
        Share::One
    } else if CORNERS.contains(&mention.known.system) || ends(&CORNER) {
        Share::Corner
    } else if ends(&FLANK) {
        Share::Flank
    } else {
        Share::Open
    }
}

/// Whether a part is a lamp at the rear: what is named behind it is there too.
pub(super) fn is_rear_lamp(mention: &Mention) -> bool {
    const REAR: [&str; 4] = ["tail light", "tail lamp", "rear light", "rear lamp"];
    let name = singular(&mention.name);
    REAR.iter().any(|word| ends_with_name(name, word))
}
