//! On which side the talk is: what was said last holds until another is said.
//!
//! Only parts that a vehicle has on both sides take it over.

use super::mentions::Mention;
use super::scene::Scene;
use crate::vocabulary::position::{Driven, Side};

/// The side and the end that the talk is at.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Whereabouts {
    /// Left or right.
    pub side: Option<Side>,
    /// Front or rear.
    pub end: Option<Side>,
}

/// So long, in milliseconds, the talk is of a corner after one of its parts was named.
const OF_A_CORNER: u32 = 150_000;

/// The sides of each mention.
#[must_use]
pub fn sides(scene: &Scene, driven: Driven) -> Vec<Vec<Side>> {
    let mut now = Whereabouts::default();
    let mut all = vec![Vec::new(); scene.mentions.len()];
    // When a part that has a side, or an end, was named last.
    let (mut flank, mut corner) = (None, None);
    // When a side was named by itself last: "driver's side first".
    let mut said = None;
    for clause in 0..scene.clauses.len() {
        let before = now.side;
        now = after_words(scene, clause, now, driven);
        if now.side != before && now.side.is_some() {
            said = Some(scene.clause_start(clause));
        }
        for number in scene.mentions_of(clause) {
            let mention = &scene.mentions[number];
            let mut own: Vec<Side> = mention.sides.clone();
            if let Some(is_driver) = mention.of_driver
                && let Some(side) = driver_side(is_driver, driven)
            {
                own.push(side);
            }
            let mut takes = taken_over(mention);
            let start = scene.at(mention.words.start);
            if mention.known.system.is_empty() {
                // What no list knows is of a corner only where the talk is of one.
                takes.end &= corner.is_some_and(|at| start.saturating_sub(at) <= OF_A_CORNER);
                let since = if takes.is_of_flank {
                    flank.max(said)
                } else {
                    flank
                };
                takes.side &= since.is_some_and(|at| start.saturating_sub(at) <= OF_A_CORNER);
            } else {
                corner = takes.end.then_some(start).or(corner);
                flank = takes.side.then_some(start).or(flank);
            }
            let own_side = own
                .iter()
                .copied()
                .find(|side| matches!(side, Side::Left | Side::Right));
            // "rear spring" is a name that says its end.
            let named_end = match mention.name.split(' ').next() {
                Some("front") => Some(Side::Front),
                Some("rear" | "back") => Some(Side::Rear),
                Some(_) | None => None,
            };
            let own_end = named_end.or_else(|| {
                own.iter()
                    .copied()
                    .find(|side| matches!(side, Side::Front | Side::Rear))
            });
            if takes.side {
                if let Some(side) = own_side {
                    if now.side != Some(side) || own_end.is_some() {
                        now.end = own_end.or(if takes.end { now.end } else { None });
                    }
                    now.side = Some(side);
                } else if let Some(side) = now.side
                    && mention.of_driver.is_none()
                    // "the rear seat" on a side only if that is said.
                    && (own_end.is_none() || own_end == now.end)
                    && mention.count != Some(2)
                {
                    own.push(side);
                }
            }
            if of_both_sides(scene, clause) {
                own.retain(|side| !matches!(side, Side::Left | Side::Right));
            }
            if takes.side && !takes.end && mention.is_definite && is_all(scene, clause, number, 3) {
                // "So now the door." leaves the corner.
                now.end = None;
            }
            if takes.end {
                if own_end.is_some() {
                    if own_side.is_some() {
                        now.end = own_end;
                    } else if is_all(scene, clause, number, 2) {
                        // "Back seat." begins anew.
                        now = Whereabouts {
                            side: None,
                            end: own_end,
                        };
                    }
                } else if let Some(end) = now.end {
                    own.push(end);
                }
            }
            own.sort();
            own.dedup();
            all[number] = own;
        }
    }
    all
}

const fn driver_side(is_driver: bool, driven: Driven) -> Option<Side> {
    match (is_driver, driven) {
        (true, Driven::Left) | (false, Driven::Right) => Some(Side::Left),
        (true, Driven::Right) | (false, Driven::Left) => Some(Side::Right),
        (_, Driven::Unsaid) => None,
    }
}

/// "So hoses, both sides": of each.
fn of_both_sides(scene: &Scene, clause: usize) -> bool {
    let words = &scene.words[scene.clauses[clause].words.clone()];
    words
        .windows(2)
        .any(|pair| pair[0].key == "both" && matches!(pair[1].key.as_str(), "sides" | "side"))
}

/// Whether a clause names a part and has at most this many other words.
fn is_all(scene: &Scene, clause: usize, number: usize, besides: usize) -> bool {
    let own = &scene.mentions[number].words;
    scene.clauses[clause].words.len() <= own.len() + besides
}

/// What a part takes over from the talk.
struct Taken {
    side: bool,
    end: bool,
    /// Whether its name says that a flank has it.
    is_of_flank: bool,
}

/// Parts of a corner take the side and the end; parts of doors and flanks the side.
fn taken_over(mention: &Mention) -> Taken {
    /// Of these there is one.
    const ONE: [&str; 45] = [
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
    const FLANK: [&str; 36] = [
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
    /// Bodywork of a corner.
    const CORNER: [&str; 8] = [
        "fender",
        "wing",
        "headlamp",
        "headlight",
        "headlight ring",
        "shield",
        "pillar",
        "arch",
    ];
    let name = mention.name.as_str();
    let ends = |list: &[&str]| {
        list.iter().any(|word| {
            let singular = crate::vocabulary::name::singular(name);
            singular == *word || singular.ends_with(&format!(" {word}"))
        })
    };
    if ends(&ONE) && !ends(&["stub axle"]) {
        return Taken {
            side: false,
            end: false,
            is_of_flank: false,
        };
    }
    match mention.known.system {
        "brakes" | "wheels" | "suspension" | "steering" => Taken {
            side: true,
            end: true,
            is_of_flank: false,
        },
        "" | "body" | "glass" | "trim" | "electrics" | "transmission" => Taken {
            side: ends(&FLANK) || mention.known.system.is_empty(),
            end: ends(&CORNER) || mention.known.system.is_empty() && !ends(&FLANK),
            is_of_flank: ends(&FLANK),
        },
        _ => Taken {
            side: false,
            end: false,
            is_of_flank: false,
        },
    }
}

/// Where the talk is after the words of a clause, apart from those of its mentions.
fn after_words(scene: &Scene, clause: usize, before: Whereabouts, driven: Driven) -> Whereabouts {
    let range = scene.clauses[clause].words.clone();
    let key = |at: usize| match range.contains(&at) {
        true => scene.words[at].key.as_str(),
        false => "",
    };
    let mut now = before;
    for at in range.clone() {
        let word = key(at);
        let previous = if at > range.start { key(at - 1) } else { "" };
        let next = key(at + 1);
        let set = match word {
            "left" | "right" => {
                let is_side = matches!(previous, "the" | "on" | "this" | "that")
                    && !matches!(
                        next,
                        "thing"
                            | "way"
                            | "one's"
                            | "size"
                            | "tool"
                            | "job"
                            | "order"
                            | "place"
                            | "spot"
                            | "now"
                            | "there"
                            | "up"
                            | "down"
                            | "in"
                            | "at"
                            | "out"
                            | "off"
                    )
                    || next == "side"
                    // A thread is no side.
                    || next == "hand" && !key(at + 2).starts_with("thread")
                    || at == range.start && next == "one";
                is_side.then_some(if word == "left" {
                    Side::Left
                } else {
                    Side::Right
                })
            }
            "driver" | "passenger" if next == "'s" && key(at + 2) == "side" || next == "side" => {
                driver_side(word == "driver", driven)
            }
            "near" | "off" if next == "side" => driver_side(word == "off", driven),
            "nearside" | "offside" => driver_side(word == "offside", driven),
            "other" if matches!(next, "side" | "door") && matches!(previous, "the") => {
                match now.side {
                    Some(Side::Left) => Some(Side::Right),
                    Some(Side::Right) => Some(Side::Left),
                    other => other,
                }
            }
            _ => None,
        };
        let is_of_somebody = matches!(word, "driver" | "passenger" | "drivers" | "passengers")
            && (matches!(next, "side" | "'s") || next == "door");
        if set.is_some() || is_of_somebody || matches!(word, "nearside" | "offside") {
            now.side = set;
        }
        let end = match (word, next) {
            ("front", "end" | "brakes" | "axle" | "suspension") => Some(Side::Front),
            ("rear" | "back", "end" | "brakes" | "axle" | "suspension") => Some(Side::Rear),
            _ => None,
        };
        // "I'm not touching the rear today."
        if end.is_some()
            && !range
                .clone()
                .any(|at| matches!(key(at), "not" | "another" | "about"))
        {
            now.end = end;
        }
    }
    now
}
