//! On which side the talk is: what was said last holds until another is said.
//!
//! Only parts that a vehicle has on both sides take it over.

use super::happened::TalkFrame;
use super::mentions::{Mention, last_word};
use super::scene::Scene;
use super::shares::{CORNERS, Share, share};
use super::speech::Stop;
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

/// How many words from a side its end may stand.
const BESIDE: usize = 9;

/// How many words behind a side are read for signs that it is only spoken of.
const BEHIND: usize = 8;

/// The sides of each mention.
#[must_use]
pub fn sides(scene: &Scene, driven: Driven) -> Vec<Vec<Side>> {
    let mut now = Whereabouts::default();
    let only_end = only_end(scene);
    let mut all = vec![Vec::new(); scene.mentions.len()];
    // When a side, or a part of which each side has one, was named last; a part of which
    // there is one puts an end to it.
    let mut sided: Option<u32> = None;
    for clause in 0..scene.clauses.len() {
        let before = now;
        now = after_words(scene, clause, now, driven);
        if now != before && now.side.is_some() {
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
                Share::Corner | Share::Flank => sided = Some(start),
                Share::One if !mention.is_beside && mention.is_part() => sided = None,
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
                    let is_there = now.side == Some(side) && own_end.is_none();
                    if !is_there
                        && !is_remark(scene, clause, mention.words.end)
                        && !is_passed(scene, clause, mention.words.start)
                    {
                        now.side = Some(side);
                        now.end = own_end.or(of_driver_end(scene, mention)).or(now.end);
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
            if takes {
                if own_end.is_some() {
                    if own_side.is_some() {
                        now.end = own_end;
                    } else if is_all(scene, clause, number, 2) && share != Share::Corner {
                        // "Back seat." begins anew; the back shackle is of the same spring.
                        now = Whereabouts::default();
                    }
                } else if let Some(end) = now.end.or(only_end)
                    && (share == Share::Corner || side_of(&own).is_some())
                {
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

/// The driver's door, seat and window are in front.
fn of_driver_end(scene: &Scene, mention: &Mention) -> Option<Side> {
    let is_in_front = mention.of_driver.is_some() && is_of_front(last_word(&mention.name));
    (is_in_front && has_rear_doors(scene)).then_some(Side::Front)
}

/// Whether a talk tells front doors from rear ones.
fn has_rear_doors(scene: &Scene) -> bool {
    scene.words.windows(2).any(|pair| {
        matches!(pair[0].key.as_str(), "front" | "rear" | "back")
            && matches!(
                pair[1].key.as_str(),
                "door" | "doors" | "passenger" | "left" | "right"
            )
    })
}

/// Whether what is the driver's tells of a side: the driver's door, not the driver's one.
fn names_a_side(word: &str) -> bool {
    is_of_front(word) || word == "side"
}

/// How many clauses back a side is looked for.
const CLAUSES_BACK: usize = 6;

/// Whether a side was named in the sentence before this word: "offside now, the other side".
fn says_a_side(scene: &Scene, clause: usize, at: usize) -> bool {
    let sentence = scene.clauses[clause].sentence;
    let same = |other: &usize| scene.clauses[*other].sentence == sentence;
    let clauses = (clause.saturating_sub(CLAUSES_BACK)..=clause).rev();
    let from = clauses.take_while(same).last().unwrap_or(clause);
    scene.words[scene.clauses[from].words.start..at]
        .iter()
        .any(|word| {
            matches!(
                word.key.as_str(),
                "left" | "right" | "nearside" | "offside" | "driver" | "passenger"
            )
        })
}

fn is_of_front(word: &str) -> bool {
    matches!(word, "door" | "seat" | "window")
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
    let mut said_at = None;
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
                    // A thread is no side, and neither is where the wheel stands.
                    || next == "hand" && !matches!(key(at + 2), "thread" | "threaded" | "threads" | "drive")
                    || matches!(previous, "" | "so" | "and" | "now" | "then" | "to" | "other")
                        && scene.words[at].stop == Stop::None
                        && next == "one"
                    || previous == "to" && next == "again";
                is_side.then_some(if word == "left" {
                    Side::Left
                } else {
                    Side::Right
                })
            }
            "driver" | "passenger" | "drivers" | "passengers"
                if next == "'s" && names_a_side(key(at + 2))
                    || matches!(next, "side" | "front" | "rear" | "door" | "end")
                    || word.ends_with('s') && names_a_side(next) =>
            {
                driver_side(word.starts_with("driver"), driven)
            }
            "nearside" | "offside" if previous == "be" => None,
            "near" | "off" | "kerb" if next == "side" => driver_side(word == "off", driven),
            "nearside" | "offside" => driver_side(word == "offside", driven),
            "same" | "this" if next == "side" => side,
            "other"
                if matches!(next, "side" | "door")
                    && !matches!(previous, "any" | "some")
                    && !says_a_side(scene, clause, at) =>
            {
                match side {
                    Some(Side::Left) => Some(Side::Right),
                    Some(Side::Right) => Some(Side::Left),
                    other => other,
                }
            }
            _ => None,
        };
        if set.is_some() {
            said_at = said_at.or(Some(at));
        }
        let end_of_phrase = match (next, key(at + 2)) {
            ("side" | "hand", _) => at + 2,
            ("'s", "side") => at + 3,
            _ => at + 1,
        };
        let is_of_somebody = driven == Driven::Unsaid
            && matches!(word, "driver" | "passenger" | "drivers" | "passengers")
            && (matches!(next, "side" | "'s") || next == "door");
        let is_unknown = driven == Driven::Unsaid && matches!(word, "nearside" | "offside");
        if set.is_some() || is_of_somebody || is_unknown {
            side = set;
            moves &= set.is_none() || !is_remark(scene, clause, end_of_phrase);
        }
        if let Some(end) = end_said(scene, clause, at)
            && (now.end.is_none() || matches!(next, "axle" | "brakes" | "suspension"))
        {
            now.end = Some(end);
        }
    }
    if moves && said_at.is_none_or(|at| !is_passed(scene, clause, at)) {
        now.side = side;
        if let Some(at) = said_at {
            now.end = end_beside(scene, clause, at).or(now.end);
        }
    }
    now
}

/// Whether a clause tells of a side at another time, or of how it is: "I did the other side
/// before" is no way there.
fn is_passed(scene: &Scene, clause: usize, at: usize) -> bool {
    let is_elsewhere = matches!(
        scene.frames[clause],
        TalkFrame::Remembered | TalkFrame::Elsewhere
    );
    let clause = scene.clauses[clause].words.clone();
    let words = &scene.words[clause.start..clause.end.min(at + BEHIND)];
    is_elsewhere
        || words.iter().any(|word| {
            matches!(
                word.key.as_str(),
                "before"
                    | "had"
                    | "has"
                    | "remember"
                    | "told"
                    | "if"
                    | "till"
                    | "until"
                    | "was"
                    | "were"
                    | "ago"
                    | "last"
                    | "looked"
                    | "like"
                    | "years"
                    | "should"
                    | "fine"
                    | "winters"
                    | "leaving"
                    | "never"
                    | "always"
                    | "touched"
            )
        })
        || scene.words[clause.start..at]
            .iter()
            .any(|word| word.key == "did")
}

/// The end that is said beside a side: "nearside front", "the back door on
/// the passenger side", "the driver's door".
fn end_beside(scene: &Scene, clause: usize, at: usize) -> Option<Side> {
    let sentence = scene.clauses[clause].sentence;
    let same = |other: &usize| {
        scene
            .clauses
            .get(*other)
            .is_some_and(|one| one.sentence == sentence)
    };
    let from = (clause.saturating_sub(2)..=clause)
        .find(same)
        .unwrap_or(clause);
    let to = (clause..=clause + 2).rev().find(same).unwrap_or(clause);
    let words = scene.clauses[from].words.start..scene.clauses[to].words.end;
    let key = |at: usize| match words.contains(&at) {
        true => scene.words[at].key.as_str(),
        false => "",
    };
    // "in front of the axle"
    let is_in_front = |at: usize| key(at + 1) == "of" && at > 0 && key(at - 1) == "in";
    let near = at.saturating_sub(BESIDE).max(words.start)..(at + BESIDE).min(words.end);
    let end = near.clone().find_map(|at| match key(at) {
        "front" if key(at + 1) != "panel" && !is_in_front(at) => Some(Side::Front),
        "rear" => Some(Side::Rear),
        "back"
            if matches!(
                key(at + 1),
                "door" | "seat" | "end" | "wheel" | "left" | "right" | "one" | "corner" | "window"
            ) =>
        {
            Some(Side::Rear)
        }
        _ => None,
    });
    end.or_else(|| {
        let is_of_somebody = matches!(key(at), "driver" | "passenger" | "drivers" | "passengers");
        let next = if key(at + 1) == "'s" {
            key(at + 2)
        } else {
            key(at + 1)
        };
        (is_of_somebody && is_of_front(next) && has_rear_doors(scene)).then_some(Side::Front)
    })
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
            "The passenger's one works fine.",
            "I had the passenger side out two winters ago.",
            "Right, brake shoes next.",
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
    fn captions_leave_apostrophes_out() {
        assert_eq!(
            last_sides(&["drivers side first, seat off"], Driven::Left),
            [Side::Left]
        );
    }
}
