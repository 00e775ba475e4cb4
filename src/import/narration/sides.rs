//! On which side the talk is: what was said last holds until another is said.
//!
//! Only parts that a vehicle has on both sides take it over.

use super::happened::TalkFrame;
use super::mentions::Mention;
use super::scene::Scene;
use crate::vocabulary::name::singular;
use crate::vocabulary::position::{Driven, Side};

/// The side and the end that the talk is at.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Whereabouts {
    /// Left or right.
    pub side: Option<Side>,
    /// Front or rear.
    pub end: Option<Side>,
}

/// Systems of which each corner of a vehicle has its share.
const CORNERS: [&str; 4] = ["brakes", "wheels", "suspension", "steering"];

/// So long, in milliseconds, the talk is of a corner after one of its parts was named.
const OF_A_CORNER: u32 = 150_000;

/// The sides of each mention.
#[must_use]
pub fn sides(scene: &Scene, driven: Driven) -> Vec<Vec<Side>> {
    let mut now = Whereabouts::default();
    let only_end = only_end(scene);
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
                if takes.side && takes.is_of_flank {
                    flank = Some(start);
                }
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
                    let is_there = now.side == Some(side) && own_end.is_none();
                    let moves = !is_remark(scene, clause, mention.words.end);
                    if moves && !is_there {
                        now.end = own_end.or(now.end);
                    }
                    if moves {
                        now.side = Some(side);
                    }
                } else if let Some(side) = now.side
                    && mention.of_driver.is_none()
                    // "the rear seat" on a side only if that is said.
                    && (own_end.is_none() || own_end == now.end)
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
                    } else if is_all(scene, clause, number, 2)
                        && !CORNERS.contains(&mention.known.system)
                    {
                        // "Back seat." begins anew; the back shackle is of the same spring.
                        now = Whereabouts {
                            side: None,
                            end: own_end,
                        };
                    }
                } else if let Some(end) = now.end.or(only_end) {
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

/// The end that a talk of corners is sent to, if it is never sent to the other: "today the
/// front axle", and an hour of hubs and brakes.
fn only_end(scene: &Scene) -> Option<Side> {
    let known = || scene.mentions.iter().map(|mention| mention.known.system);
    let of_corners = known().filter(|system| CORNERS.contains(system)).count();
    if of_corners * 2 < known().filter(|system| !system.is_empty()).count() {
        return None;
    }
    let (mut front, mut rear) = (0, 0);
    for clause in 0..scene.clauses.len() {
        for at in scene.clauses[clause].words.clone() {
            match end_said(scene, clause, at) {
                Some(Side::Front) => front += 1,
                Some(_) => rear += 1,
                None => {}
            }
        }
    }
    match (front, rear) {
        (1.., 0) => Some(Side::Front),
        (0, 1..) => Some(Side::Rear),
        (_, _) => None,
    }
}

/// The end to which a word sends the talk: "the front axle", "round the back end".
fn end_said(scene: &Scene, clause: usize, at: usize) -> Option<Side> {
    let range = scene.clauses[clause].words.clone();
    let key = |at: usize| match range.contains(&at) {
        true => scene.words[at].key.as_str(),
        false => "",
    };
    let end = match key(at) {
        "front" => Side::Front,
        "rear" | "back" => Side::Rear,
        _ => return None,
    };
    let is_of_end = matches!(
        key(at + 1),
        "end" | "brakes" | "axle" | "suspension" | "hubs" | "corner" | "corners" | "springs"
    );
    // "I'm not touching the rear brakes", "I did the front brakes in October", "hanging by
    // the back end".
    let is_passed = range.clone().any(|at| {
        matches!(
            key(at),
            "not" | "another" | "about" | "did" | "by" | "was" | "were" | "had"
        )
    });
    let is_now = matches!(scene.frames[clause], TalkFrame::Now | TalkFrame::Later);
    (is_of_end && !is_passed && is_now).then_some(end)
}

const fn driver_side(is_driver: bool, driven: Driven) -> Option<Side> {
    match (is_driver, driven) {
        (true, Driven::Left) | (false, Driven::Right) => Some(Side::Left),
        (true, Driven::Right) | (false, Driven::Left) => Some(Side::Right),
        (_, Driven::Unsaid) => None,
    }
}

/// Whether what was named up to this word is only spoken of: "the passenger wing's a good
/// one", "the driver's side that was the bad one". The talk stays where it is.
fn is_remark(scene: &Scene, clause: usize, end: usize) -> bool {
    let behind = end..scene.clauses[clause].words.end;
    let mut behind = scene.words[behind].iter().map(|word| word.key.as_str());
    let is_said = |word| matches!(word, "'s" | "is" | "was" | "stays" | "that");
    behind.next().is_some_and(is_said)
        && !behind.any(|word| {
            matches!(
                word,
                "off" | "out" | "away" | "done" | "next" | "first" | "now" | "down" | "up"
            )
        })
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
    const FLANK: [&str; 38] = [
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
    /// Bodywork of a corner.
    const CORNER: [&str; 10] = [
        "bumper end",
        "bumper iron",
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
            let singular = singular(name);
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
        system if CORNERS.contains(&system) || ends(&["half shaft", "axle shaft"]) => Taken {
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
    let mut side = now.side;
    let mut moves = true;
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
                    || matches!(next, "side" | "front" | "rear")
                    // A thread is no side.
                    || next == "hand" && !key(at + 2).starts_with("thread")
                    || at == range.start && next == "one";
                is_side.then_some(if word == "left" {
                    Side::Left
                } else {
                    Side::Right
                })
            }
            "driver" | "passenger" | "drivers" | "passengers"
                if next == "'s" && key(at + 2) == "side" || next == "side" =>
            {
                driver_side(word.starts_with("driver"), driven)
            }
            "near" | "off" if next == "side" => driver_side(word == "off", driven),
            "nearside" | "offside" => driver_side(word == "offside", driven),
            "other" if matches!(next, "side" | "door") && matches!(previous, "the") => match side {
                Some(Side::Left) => Some(Side::Right),
                Some(Side::Right) => Some(Side::Left),
                other => other,
            },
            _ => None,
        };
        let end_of_phrase = match (next, key(at + 2)) {
            ("side" | "hand", _) => at + 2,
            ("'s", "side") => at + 3,
            _ => at + 1,
        };
        let is_of_somebody = driven == Driven::Unsaid
            && matches!(word, "driver" | "passenger" | "drivers" | "passengers")
            && (matches!(next, "side" | "'s") || next == "door");
        if set.is_some() || is_of_somebody || matches!(word, "nearside" | "offside") {
            side = set;
            moves &= set.is_none() || !is_remark(scene, clause, end_of_phrase);
        }
        if let Some(end) = end_said(scene, clause, at)
            && (now.end.is_none() || matches!(next, "axle" | "brakes" | "suspension"))
        {
            now.end = Some(end);
        }
    }
    // "I did the other side before" is no way there.
    let is_passed = |at: usize| {
        matches!(
            key(at),
            "before" | "had" | "remember" | "told" | "if" | "till" | "until"
        )
    };
    if moves && !range.clone().any(is_passed) {
        now.side = side;
    }
    now
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::import::narration::cues::Cue;
    use crate::import::narration::lexicon::Lexicon;

    /// The sides of the last part that is named.
    fn last_sides(talk: &[&str], driven: Driven) -> Vec<Side> {
        let cues: Vec<Cue> = talk
            .iter()
            .zip(0..)
            .map(|(text, number)| Cue {
                start: number * 20_000,
                end: (number + 1) * 20_000,
                text: (*text).to_owned(),
            })
            .collect();
        let scene = Scene::new(&cues, &Lexicon::new(&[]));
        sides(&scene, driven).pop().unwrap_or_default()
    }

    #[test]
    fn a_talk_of_front_corners_stays_at_the_front() {
        let talk = [
            "Tonight the front axle, and the front brakes with it. Nearside first.",
            "Brake drum off, brake shoes off, wheel cylinder off. I heard the door.",
            "The other one, then, the driver's side. Brake drum's off.",
        ];
        assert_eq!(last_sides(&talk, Driven::Right), [Side::Right, Side::Front]);
        let talk = [
            "The back end tonight. I did the front brakes in October.",
            "Nearside, brake drum off, brake shoes off.",
        ];
        assert_eq!(last_sides(&talk, Driven::Right), [Side::Left, Side::Rear]);
        let talk = [
            "Tonight the front brakes. Nearside first, brake drum off, brake shoes off.",
            "And the rear brakes, the rear springs. Driver's side, the brake shoes.",
        ];
        assert_eq!(last_sides(&talk, Driven::Right), [Side::Right, Side::Rear]);
    }

    #[test]
    fn what_is_named_of_a_door_keeps_the_talk_at_it() {
        let tea = ["Tea."; 5];
        let mut talk = vec!["So, driver's side. Seat."];
        talk.extend(tea);
        talk.push("Okay, the door, this side still.");
        talk.extend(&tea[..2]);
        talk.push("And the card is in my lap.");
        assert_eq!(last_sides(&talk, Driven::Left), [Side::Left]);
    }

    #[test]
    fn the_other_side_is_no_way_there_when_it_was_done_before() {
        let talk = [
            "Near side, brake drum off.",
            "The other side I did before. Brake shoes off.",
        ];
        assert_eq!(last_sides(&talk, Driven::Right)[0], Side::Left);
        let talk = [
            "Near side, brake drum off.",
            "The other side now. Brake shoes off.",
        ];
        assert_eq!(last_sides(&talk, Driven::Right)[0], Side::Right);
    }

    #[test]
    fn who_says_which_side_is_which_goes_to_none() {
        let talk = [
            "I begin with the offside. And so that we agree: nearside is the left.",
            "Brake drum off, brake shoes off.",
        ];
        assert_eq!(last_sides(&talk, Driven::Right), [Side::Right]);
    }

    #[test]
    fn a_corner_is_named_by_both_of_its_sides() {
        let talk = ["So, over here. Right front corner.", "The headlamp's out."];
        assert_eq!(last_sides(&talk, Driven::Left), [Side::Right, Side::Front]);
    }

    #[test]
    fn who_only_speaks_of_the_other_side_does_not_go_there() {
        let here = "Driver's side first, brake drum off.";
        for aside in [
            "The passenger side's got a nail in it.",
            "The passenger wing's a good wing.",
            "I did the passenger side before.",
        ] {
            let talk = [here, aside, "Brake shoes off."];
            let now = last_sides(&talk, Driven::Left);
            assert!(now.contains(&Side::Left), "{aside}: {now:?}");
        }
        let talk = [here, "Passenger side now.", "Brake shoes off."];
        assert!(last_sides(&talk, Driven::Left).contains(&Side::Right));
    }

    #[test]
    fn captions_leave_apostrophes_out() {
        assert_eq!(
            last_sides(&["drivers side first, seat off"], Driven::Left),
            [Side::Left]
        );
    }
}
