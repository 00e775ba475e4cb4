//! Where a general torque is never offered: what a life hangs on, and the
//! inside of an engine.
//!
//! Recognised by words, on the careful side: what might be one of these is
//! taken for it. The list is the trade's (common practice, no source).

use crate::vocabulary::words::{stem, words};

/// A field in which only the service manual's figure counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Field {
    /// Brakes.
    Brakes,
    /// Steering.
    Steering,
    /// Suspension and axles.
    Suspension,
    /// Wheels and hubs.
    Wheels,
    /// Belts, seats, their anchors, towing.
    Restraints,
    /// The inside of the engine.
    Engine,
}

impl Field {
    /// All of them.
    pub const ALL: [Field; 6] = [
        Field::Brakes,
        Field::Steering,
        Field::Suspension,
        Field::Wheels,
        Field::Restraints,
        Field::Engine,
    ];

    /// What it is called.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Field::Brakes => "brakes",
            Field::Steering => "steering",
            Field::Suspension => "suspension",
            Field::Wheels => "wheels",
            Field::Restraints => "restraints",
            Field::Engine => "the inside of the engine",
        }
    }

    /// Words of parts and systems that belong to it.
    const fn words(self) -> &'static [&'static str] {
        match self {
            Field::Brakes => &[
                "brake",
                "brakes",
                "braking",
                "handbrake",
                "footbrake",
                "drum",
                "brake shoe",
                "shoe",
                "wheel cylinder",
                "master cylinder",
                "caliper",
                "calliper",
                "brake disc",
                "disc",
                "rotor",
                "backing plate",
                "backplate",
                "anchor plate",
                "brake servo",
                "bleed screw",
                "bleeder",
            ],
            Field::Steering => &[
                "steering",
                "track rod",
                "tie rod",
                "drag link",
                "pitman arm",
                "drop arm",
                "idler arm",
                "king pin",
                "kingpin",
                "swivel pin",
                "swivel",
                "stub axle",
                "ball joint",
                "knuckle",
                "steering rack",
                "steering box",
                "steering column",
                "steering arm",
                "relay rod",
                "centre link",
                "center link",
                "handlebar",
                "fork yoke",
                "head bearing",
            ],
            Field::Suspension => &[
                "suspension",
                "leaf spring",
                "coil spring",
                "road spring",
                "front spring",
                "rear spring",
                "spring eye",
                "spring hanger",
                "spring shackle",
                "shackle",
                "spring seat",
                "spring plate",
                "u bolt",
                "damper",
                "shock absorber",
                "shocker",
                "control arm",
                "wishbone",
                "radius arm",
                "radius rod",
                "trailing arm",
                "swing arm",
                "torsion bar",
                "anti roll bar",
                "sway bar",
                "strut",
                "axle",
                "axle beam",
                "panhard rod",
                "track bar",
                "subframe",
                "fork leg",
                "front fork",
            ],
            Field::Wheels => &[
                "wheel",
                "wheels",
                "hub",
                "spindle",
                "wheel bearing",
                "hub bearing",
                "wheel stud",
                "lug nut",
                "wheel nut",
                "wheel bolt",
                "axle nut",
                "hub nut",
                "rim",
            ],
            Field::Restraints => &[
                "restraint",
                "restraints",
                "seat belt",
                "seatbelt",
                "safety belt",
                "belt anchor",
                "belt anchorage",
                "buckle",
                "harness anchor",
                "seat",
                "seat rail",
                "seat mount",
                "seat frame",
                "airbag",
                "air bag",
                "pretensioner",
                "roll bar",
                "roll cage",
                "child seat",
                "tow bar",
                "towbar",
                "tow hook",
                "hitch",
                "coupling head",
            ],
            Field::Engine => &[
                "connecting rod",
                "con rod",
                "conrod",
                "big end",
                "little end",
                "main bearing",
                "bearing cap",
                "main cap",
                "rod cap",
                "rod bolt",
                "crankshaft",
                "crank",
                "crankcase",
                "camshaft",
                "cam",
                "cylinder head",
                "head bolt",
                "head nut",
                "head stud",
                "head gasket",
                "flywheel",
                "flexplate",
                "piston",
                "gudgeon",
                "gudgeon pin",
                "wrist pin",
                "rocker",
                "rocker shaft",
                "rocker arm",
                "valve spring",
                "valve gear",
                "timing chain",
                "timing gear",
                "timing belt",
                "oil pump",
                "cylinder barrel",
                "barrel nut",
                "balancer",
                "damper pulley",
                "spark plug",
            ],
        }
    }
}

/// Words that look like a field's and are of the body or of outside the
/// engine.
const HARMLESS: [&str; 12] = [
    "wheel arch",
    "wheelhouse",
    "wheel house",
    "wheel trim",
    "wheel cover",
    "hub cap",
    "hubcap",
    "rocker cover",
    "rocker panel",
    "rocker box cover",
    "disc sander",
    "seat cover",
];

/// Parts of an engine that are outside it: for the rest of a system called
/// engine no general figure is offered.
const OUTSIDE: [&str; 19] = [
    "mount",
    "mounting",
    "bracket",
    "starter",
    "dynamo",
    "generator",
    "alternator",
    "fan",
    "air cleaner",
    "air filter",
    "manifold",
    "dipstick",
    "hose",
    "clip",
    "cover",
    "shield",
    "coil",
    "breather",
    "thermostat",
];

/// The field that a part's name, or the name of its system, belongs to, with
/// the words that say so.
#[must_use]
pub fn field(part: &str, system: &str) -> Option<(Field, &'static str)> {
    let part_stems = without(stems(part), &HARMLESS);
    let system_stems = stems(system);
    let named = |stems: &[String]| {
        Field::ALL.into_iter().find_map(|field| {
            let word = field.words().iter().find(|word| holds(stems, word))?;
            Some((field, *word))
        })
    };
    if let Some(found) = named(&part_stems).or_else(|| named(&system_stems)) {
        return Some(found);
    }
    let engine = |stems: &[String]| holds(stems, "engine") || holds(stems, "power unit");
    let outside = OUTSIDE.iter().any(|word| holds(&part_stems, word));
    let inside = engine(&part_stems) || engine(&system_stems);
    (inside && !outside).then_some((Field::Engine, "engine"))
}

fn stems(text: &str) -> Vec<String> {
    words(text).map(|word| stem(&word)).collect()
}

/// Whether the words stand in the text, side by side.
fn holds(text: &[String], wanted: &str) -> bool {
    find(text, wanted).is_some()
}

fn find(text: &[String], wanted: &str) -> Option<(usize, usize)> {
    let wanted = stems(wanted);
    text.windows(wanted.len())
        .position(|some| some == wanted)
        .map(|at| (at, wanted.len()))
}

fn without(mut text: Vec<String>, harmless: &[&str]) -> Vec<String> {
    for words in harmless {
        while let Some((at, count)) = find(&text, words) {
            // A gap, so that what stood on both sides does not come together.
            text.splice(at..at + count, [String::new()]);
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(part: &str, system: &str) -> Option<Field> {
        field(part, system).map(|(field, _)| field)
    }

    #[test]
    fn what_a_life_hangs_on_is_recognised() {
        for (part, system, expected) in [
            ("wheel nut", "", Field::Wheels),
            ("Wheel Nuts", "", Field::Wheels),
            ("brake drum, left front", "", Field::Brakes),
            ("", "brakes", Field::Brakes),
            ("drag link", "", Field::Steering),
            ("king-pin", "", Field::Steering),
            ("U-bolt", "", Field::Suspension),
            ("shackle", "rear suspension", Field::Suspension),
            ("plate", "front suspension", Field::Suspension),
            ("spindle nut", "", Field::Wheels),
            ("seat belt anchor", "body", Field::Restraints),
            ("cylinder head", "engine", Field::Engine),
            ("big end cap", "", Field::Engine),
            ("some nut", "engine", Field::Engine),
            ("", "engine", Field::Engine),
        ] {
            assert_eq!(of(part, system), Some(expected), "{part} / {system}");
        }
    }

    #[test]
    fn what_may_be_tightened_by_a_general_figure() {
        for (part, system) in [
            ("bumper", "body"),
            ("wing, left front", "body"),
            ("wheel arch, left", "body"),
            ("battery tray", "electrics"),
            ("engine mount", "engine"),
            ("dynamo", "engine"),
            ("fuel tank", "fuel"),
            ("", "body"),
            ("", ""),
        ] {
            assert_eq!(of(part, system), None, "{part} / {system}");
        }
    }
}
