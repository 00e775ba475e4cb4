//! On which side the talk is: what was said last holds until another is said.
//!
//! Only parts that a vehicle has on both sides take it over. Where the words lead is in
//! `whereabouts`.

use super::mentions::last_word;
use super::scene::Scene;
use super::shares::{Share, is_rear_lamp, share};
use super::whereabouts::{
    Whereabouts, after_words, driver_side, is_of_front, is_passed, is_remark, of_driver_end,
    only_end,
};
use crate::vocabulary::position::{Driven, Side};

/// So long, in milliseconds, the talk is of a corner after one of its parts was named.
const OF_A_CORNER: u32 = 150_000;

/// The sides of each mention.
#[must_use]
pub fn sides(scene: &Scene, driven: Driven) -> Vec<Vec<Side>> {
    let mut now = Whereabouts::default();
    let only_end = only_end(scene);
    let mut all = vec![Vec::new(); scene.mentions.len()];
    // When a side, or a part of which each side has one, was named last; a part of which
    // there is one puts an end to it.
    let mut sided: Option<u32> = None;
    let mut is_at_corner = true;
    for clause in 0..scene.clauses.len() {
        let said_at;
        (now, said_at) = after_words(scene, clause, now, driven);
        if said_at.is_some() && now.side.is_some() {
            sided = Some(scene.clause_start(clause));
        }
        for number in scene.mentions_of(clause) {
            let mention = &scene.mentions[number];
            let mut own: Vec<Side> = mention.sides.clone();
            if let Some(is_driver) = mention.of_driver
                && let Some(side) = driver_side(is_driver, driven)
            {
                own.push(side);
            }
            let start = scene.at(mention.words.start);
            let share = share(mention);
            let takes = match share {
                Share::Corner | Share::Flank => true,
                Share::One => false,
                Share::Open => sided.is_some_and(|at| start.saturating_sub(at) <= OF_A_CORNER),
            };
            match share {
                Share::Corner => {
                    is_at_corner = true;
                    sided = Some(start);
                }
                Share::Flank => {
                    is_at_corner &= !is_of_front(last_word(&mention.name));
                    sided = Some(start);
                }
                Share::One
                    if !mention.is_beside
                        && mention.is_part()
                        && said_at.is_none_or(|at| at < mention.words.start) =>
                {
                    sided = None;
                }
                Share::One | Share::Open => {}
            }
            let side_of = |own: &[Side]| {
                own.iter()
                    .copied()
                    .find(|side| matches!(side, Side::Left | Side::Right))
            };
            let own_side = side_of(&own);
            // "rear spring" is a name that says its end.
            let named_end = match mention.name.split(' ').next() {
                Some("front") => Some(Side::Front),
                Some("back") if mention.name.starts_with("back plate") => None,
                Some("rear" | "back") => Some(Side::Rear),
                Some(_) | None => None,
            };
            let own_end = named_end.or_else(|| {
                own.iter()
                    .copied()
                    .find(|side| matches!(side, Side::Front | Side::Rear))
            });
            if takes {
                if let Some(side) = own_side {
                    // "Last one, driver's door" is no rear one.
                    let is_there = now.side == Some(side)
                        && own_end.is_none()
                        && !(mention.of_driver.is_some() && last_word(&mention.name) == "door");
                    if !is_there
                        && !is_remark(scene, clause, mention.words.end)
                        && !is_passed(scene, clause, mention.words.start)
                    {
                        now.side = Some(side);
                        now.end_with_side = own_end.or(of_driver_end(scene, mention));
                        now.end = now.end_with_side.or(now.end);
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
            if is_rear_lamp(mention) {
                now.end = Some(Side::Rear);
                now.end_with_side = now.end;
            }
            if takes {
                if own_end.is_some() {
                    let is_bench = matches!(last_word(&mention.name), "seat" | "bench");
                    if own_side.is_some() {
                        now.end = own_end;
                        now.end_with_side = own_end;
                    } else if is_bench && is_all(scene, clause, number, 2) {
                        // "Back seat." begins anew.
                        now = Whereabouts::default();
                    }
                } else if share == Share::Corner || side_of(&own).is_some() {
                    let of_talk = match is_at_corner {
                        true => now.end.or(only_end),
                        false => now.end_with_side.or(now.end_of_doors),
                    };
                    own.extend(of_talk);
                }
            }
            if last_word(&mention.name) == "tailgate" {
                own.push(Side::Rear);
                (now.end, now.end_with_side) = (None, None);
            }
            own.sort();
            own.dedup();
            all[number] = own;
        }
    }
    all
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
    fn what_is_compared_with_a_side_does_not_lead_there() {
        let here = "Right rear, driver's side, brake drum off.";
        for aside in [
            "Put that spring next to the one off the left.",
            "Ah, from the other side. Silly me.",
            "I think that left us in nineteen eighty.",
        ] {
            let now = last_sides(&[here, aside, "Brake shoes off."], Driven::Right);
            assert!(now.contains(&Side::Right), "{aside}: {now:?}");
        }
    }

    #[test]
    fn a_side_that_is_said_again_counts_anew() {
        let talk = [
            "Passenger side, brake drum off. Now the gearbox.",
            "Back to our friend on the passenger side. The doodad's off.",
        ];
        assert_eq!(last_sides(&talk, Driven::Right), [Side::Left]);
    }

    #[test]
    fn the_end_of_one_door_is_not_that_of_the_next() {
        let talk = [
            "I'm at the back door on the passenger side.",
            "Window winder off. Now the driver's side.",
            "Window winder's off.",
        ];
        assert_eq!(last_sides(&talk, Driven::Left), [Side::Left]);
        let talk = [
            "Rear brakes, nearside. Brake drum off.",
            "Now the offside. Brake drum off.",
        ];
        assert_eq!(last_sides(&talk, Driven::Right), [Side::Right, Side::Rear]);
    }

    #[test]
    fn what_stands_behind_a_rear_lamp_is_at_the_rear() {
        let talk = ["Tail lights next, driver's side.", "Lens off."];
        assert_eq!(last_sides(&talk, Driven::Right), [Side::Right, Side::Rear]);
    }

    #[test]
    fn the_drivers_is_a_side() {
        let talk = [
            "We'll start on my own side, the driver's.",
            "Brake drum's off.",
        ];
        assert_eq!(last_sides(&talk, Driven::Right), [Side::Right]);
    }

    #[test]
    fn the_off_side_is_one_without_stops_too() {
        let talk = ["near side brake drum off off side brake drum's off"];
        assert_eq!(last_sides(&talk, Driven::Right), [Side::Right]);
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
            "The passenger's one works fine.",
            "I had the passenger side out two winters ago.",
            "You saw me do the other side, so I'll go quicker.",
            "Right, brake shoes next.",
            "I'm not having the passenger's drum out to compare.",
            "That's a job for the right gloves.",
            "They snap, the right one's already missing three.",
        ] {
            let talk = [here, aside, "Brake shoes off."];
            let now = last_sides(&talk, Driven::Left);
            assert!(now.contains(&Side::Left), "{aside}: {now:?}");
        }
        let talk = [here, "Passenger side now.", "Brake shoes off."];
        assert!(last_sides(&talk, Driven::Left).contains(&Side::Right));
    }

    #[test]
    fn a_door_has_the_end_that_was_said_with_its_side() {
        let talk = [
            "So I'm at the back door on the passenger side.",
            "Armrest, two screws, off.",
        ];
        assert_eq!(last_sides(&talk, Driven::Left), [Side::Right, Side::Rear]);
        let talk = ["Rear doors are fine. Driver's door now.", "Armrest's off."];
        assert_eq!(last_sides(&talk, Driven::Left), [Side::Left, Side::Front]);
        let talk = ["Driver's door now.", "Armrest's off."];
        assert_eq!(last_sides(&talk, Driven::Left), [Side::Left]);
    }

    #[test]
    fn a_side_that_was_said_is_not_turned_by_the_other() {
        let talk = [
            "Nearside first, brake drum off.",
            "Offside now, other side, everybody round.",
            "Brake shoes off.",
        ];
        assert_eq!(last_sides(&talk, Driven::Right), [Side::Right]);
    }

    #[test]
    fn a_talk_comes_back_to_the_end_it_left() {
        let talk = [
            "We begin with the nearside front door, the passenger door.",
            "Where I come from the passenger is still on the right, but here is the left. Good.",
            "Window winder off.",
        ];
        assert_eq!(last_sides(&talk, Driven::Right), [Side::Left, Side::Front]);
        let talk = [
            talk[0],
            "We pass to the door behind, same side.",
            "Window winder off.",
        ];
        assert_eq!(last_sides(&talk, Driven::Right), [Side::Left, Side::Rear]);
    }

    #[test]
    fn the_last_door_is_no_other_time() {
        let talk = [
            "Passenger side rear, window winder off.",
            "Last door, driver's side rear. Window winder off.",
        ];
        assert_eq!(last_sides(&talk, Driven::Left), [Side::Left, Side::Rear]);
        let talk = [
            talk[0],
            "i'll get to the box last lets go outside drivers side front is where i'm at",
            "brake drum off",
        ];
        assert_eq!(last_sides(&talk, Driven::Left), [Side::Left, Side::Front]);
        let talk = [
            "Rear doors. Back door, nearside. Winder off.",
            "Last one, driver's door. Winder off.",
        ];
        assert_eq!(last_sides(&talk, Driven::Right), [Side::Right, Side::Front]);
    }

    #[test]
    fn who_goes_to_a_side_is_there_whatever_else_is_said() {
        let here = "passenger side front brake drum off";
        for way in [
            "now i'm over to the driver's side front corner if you're looking at her",
            "like i did on my first one driver's side now",
        ] {
            let talk = [here, way, "brake shoes off"];
            let now = last_sides(&talk, Driven::Right);
            assert!(now.contains(&Side::Right), "{way}: {now:?}");
        }
    }

    #[test]
    fn what_tonight_is_for_is_an_end() {
        let talk = [
            "So tonight 'tis only the front legs of her. I'll start the driver's side.",
            "Brake drum's off.",
        ];
        assert_eq!(last_sides(&talk, Driven::Right), [Side::Right, Side::Front]);
    }

    #[test]
    fn a_talk_is_sent_to_the_other_end() {
        let talk = [
            "Nearside front, brake drum off.",
            "Now the back. We'll do the near side, where the hay is.",
            "Brake drum's off.",
        ];
        assert_eq!(last_sides(&talk, Driven::Right), [Side::Left, Side::Rear]);
        let talk = [
            "Nearside front, brake drum off.",
            "I'd never go to the back in my slippers.",
            "Brake shoes off.",
        ];
        assert_eq!(last_sides(&talk, Driven::Right), [Side::Left, Side::Front]);
    }

    #[test]
    fn a_side_that_is_said_behind_a_part_of_which_there_is_one_holds() {
        let talk = [
            "before the fuel tank start with the lights drivers side rear two screws",
            "and the lens is off",
        ];
        assert_eq!(last_sides(&talk, Driven::Left), [Side::Left, Side::Rear]);
    }

    #[test]
    fn the_drivers_front_is_a_corner() {
        for way in [
            "So we're starting here, driver's front corner.",
            "We begin with driver's front.",
        ] {
            let talk = [way, "Brake drum's off."];
            assert_eq!(last_sides(&talk, Driven::Left), [Side::Left, Side::Front]);
        }
    }

    #[test]
    fn a_wheel_is_of_a_corner_whatever_was_spoken_of_between() {
        for part in ["Wheel off.", "Lens off."] {
            let talk = ["Near side rear, then. The radiator's full.", part];
            assert_eq!(last_sides(&talk, Driven::Right), [Side::Left, Side::Rear]);
        }
    }

    #[test]
    fn front_doors_are_said_once_for_both_sides() {
        let talk = [
            "Right. Front doors. I'm at the driver's door now.",
            "Window winder off. Across to the nearside.",
            "Window winder off.",
        ];
        assert_eq!(last_sides(&talk, Driven::Right), [Side::Left, Side::Front]);
        let talk = [
            "The front doors are for another year. I'm at the driver's door now.",
            "Window winder off.",
        ];
        assert_eq!(last_sides(&talk, Driven::Right), [Side::Right]);
    }

    #[test]
    fn a_back_plate_is_at_either_end() {
        let talk = [
            "Nearside front, brake drum off.",
            "And the back plate's off.",
        ];
        assert_eq!(last_sides(&talk, Driven::Right), [Side::Left, Side::Front]);
    }

    #[test]
    fn the_tailgate_is_at_the_rear_and_on_no_side() {
        let talk = ["Driver's side, brake drum off. Now the tailgate."];
        assert_eq!(last_sides(&talk, Driven::Left), [Side::Rear]);
        let talk = [
            "Tail lights, driver's side. Lens off.",
            "Now the tailgate. Driver's side hinge off.",
        ];
        assert_eq!(last_sides(&talk, Driven::Left), [Side::Left]);
    }

    #[test]
    fn port_is_left_and_starboard_right() {
        for (side, expected) in [
            ("Port side.", Side::Left),
            ("We're on starboard.", Side::Right),
        ] {
            let talk = [side, "Brake drum off."];
            assert_eq!(last_sides(&talk, Driven::Right), [expected]);
        }
    }

    #[test]
    fn captions_leave_apostrophes_out() {
        assert_eq!(
            last_sides(&["drivers side first, seat off"], Driven::Left),
            [Side::Left]
        );
    }
}
