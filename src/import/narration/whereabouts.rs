//! Where a talk is: the side and the end that its words lead to, and which words only
//! speak of them.
//!
//! Which parts take them is for `sides`.

use super::happened::TalkFrame;
use super::mentions::{Mention, last_word};
use super::scene::Scene;
use super::shares::CORNERS;
use super::speech::Stop;
use crate::vocabulary::position::{Driven, Side};

/// The side and the end that the talk is at.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Whereabouts {
    /// Left or right.
    pub side: Option<Side>,
    /// Front or rear: it holds on the other side too, for parts of corners.
    pub end: Option<Side>,
    /// The same if it was said with the side: a door may be either.
    pub end_with_side: Option<Side>,
    /// The end of whose doors the talk is: "front doors", and then a side.
    pub end_of_doors: Option<Side>,
    /// Where it was before: the side, the end that was said with it, and the clause that went
    /// on from there.
    came_from: Option<(Side, Option<Side>, usize)>,
}

/// How many words from a side its end may stand.
const BESIDE: usize = 9;

/// How many words behind a side are read for signs that it is only spoken of.
const BEHIND: usize = 8;

/// The most words of a clause that only says what comes next.
const A_HEADING: usize = 4;

/// How many words before it.
const AHEAD: usize = 6;

/// How many clauses back a side is looked for.
const CLAUSES_BACK: usize = 6;

/// Where the talk is after the words of a clause, apart from those of its mentions, and
/// which word says a side.
pub(super) fn after_words(
    scene: &Scene,
    clause: usize,
    before: Whereabouts,
    driven: Driven,
) -> (Whereabouts, Option<usize>) {
    let range = scene.clauses[clause].words.clone();
    let key = |at: usize| match range.contains(&at) {
        true => scene.words[at].key.as_str(),
        false => "",
    };
    // "Pin's out from the other side" is said of a pin.
    let is_from = |at: usize| {
        at >= 2 && key(at - 1) == "the" && matches!(key(at - 2), "from" | "off" | "than" | "like")
    };
    // "We'll start on my own side, the driver's."
    let ends = |at: usize| at + 1 >= range.end || scene.words[at].stop != Stop::None;
    let mut now = before;
    let mut side = now.side;
    let mut moves = true;
    let mut goes = false;
    let mut said_at = None;
    for at in range.clone() {
        let word = key(at);
        let previous = if at > range.start { key(at - 1) } else { "" };
        let next = key(at + 1);
        let set = match word {
            "left" | "right" => {
                let is_side = matches!(previous, "the" | "on" | "this" | "that")
                    && (ends(at) || next == "one")
                    || matches!(next, "side" | "front" | "rear")
                    // A thread is no side, and neither is where the wheel stands.
                    || next == "hand" && !matches!(key(at + 2), "thread" | "threaded" | "threads" | "drive")
                    || matches!(previous, "" | "so" | "and" | "now" | "then" | "to" | "other")
                        && scene.words[at].stop == Stop::None
                        && next == "one"
                    || previous == "to" && next == "again";
                (is_side && !is_from(at)).then_some(if word == "left" {
                    Side::Left
                } else {
                    Side::Right
                })
            }
            "driver" | "passenger" | "drivers" | "passengers"
                if next == "'s" && (names_a_side(key(at + 2)) || ends(at + 1))
                    || matches!(next, "side" | "front" | "rear" | "door" | "end")
                    || word.ends_with('s') && names_a_side(next) =>
            {
                driver_side(word.starts_with("driver"), driven)
            }
            "nearside" | "offside" if previous == "be" => None,
            "near" | "off" | "kerb" if next == "side" => driver_side(word == "off", driven),
            "nearside" | "offside" => driver_side(word == "offside", driven),
            "starboard" => Some(Side::Right),
            "port" if matches!(next, "side" | "one" | "ones") || ends(at) => Some(Side::Left),
            "same" | "this" if next == "side" => side,
            "other"
                if matches!(next, "side" | "door")
                    && !matches!(previous, "any" | "some")
                    && !is_from(at)
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
            ("'s", "side" | "front" | "rear" | "corner") => at + 3,
            ("'s", _) if ends(at + 1) => at + 2,
            _ => at + 1,
        };
        let is_of_somebody = driven == Driven::Unsaid
            && matches!(word, "driver" | "passenger" | "drivers" | "passengers")
            && (matches!(next, "side" | "'s") || next == "door");
        let is_unknown = driven == Driven::Unsaid && matches!(word, "nearside" | "offside");
        if set.is_some() || is_of_somebody || is_unknown {
            side = set;
            goes |= is_way(scene, clause, at, end_of_phrase);
            moves &= set.is_none() || !is_remark(scene, clause, end_of_phrase);
        }
        // "Front doors."
        if next == "doors" && range.len() <= A_HEADING {
            now.end_of_doors = match word {
                "front" => Some(Side::Front),
                "rear" | "back" => Some(Side::Rear),
                _ => now.end_of_doors,
            };
        }
        if let Some(end) = end_said(scene, clause, at)
            && (now.end.is_none()
                || matches!(next, "axle" | "brakes" | "suspension")
                || is_sent(scene, clause, at))
        {
            now.end = Some(end);
        }
    }
    if goes || moves && said_at.is_none_or(|at| !is_passed(scene, clause, at)) {
        now.side = side;
        if let Some(at) = said_at {
            let beside = end_beside(scene, clause, at);
            now.end = beside.or(now.end);
            if beside.is_some() || side != before.side {
                now.end_with_side = beside.or(end_come_back_to(before, side, clause));
            }
            if let Some(other) = before.side.filter(|_| side != before.side) {
                now.came_from = Some((other, before.end_with_side, clause));
            }
        }
    }
    (now, said_at)
}

/// The end of a side to which the talk comes back after a few words: "the passenger is on the
/// right where I come from, but here it's the left".
fn end_come_back_to(before: Whereabouts, side: Option<Side>, clause: usize) -> Option<Side> {
    let (other, end, at) = before.came_from?;
    end.filter(|_| side == Some(other) && clause - at <= CLAUSES_BACK)
}

/// Whether somebody goes to a side, whatever else is said: "over to the driver's side if
/// you're looking at her", "driver's side now".
fn is_way(scene: &Scene, clause: usize, at: usize, end: usize) -> bool {
    let range = scene.clauses[clause].words.clone();
    let key = |at: usize| match range.contains(&at) {
        true => scene.words[at].key.as_str(),
        false => "",
    };
    let is_there = |word: &str| matches!(word, "the" | "my" | "our");
    let leads = at >= 3
        && is_there(key(at - 1))
        && matches!(key(at - 2), "to" | "on" | "onto" | "with" | "at")
        && matches!(
            key(at - 3),
            "over" | "round" | "around" | "across" | "back" | "start" | "starting" | "begin" | "go"
        );
    let end = end + usize::from(matches!(key(end), "front" | "rear"));
    leads || matches!(key(end), "now" | "first" | "next")
}

/// Whether a clause tells of a side at another time, or of how it is: "I did the other side
/// before" is no way there.
pub(super) fn is_passed(scene: &Scene, clause: usize, at: usize) -> bool {
    let is_elsewhere = matches!(
        scene.frames[clause],
        TalkFrame::Remembered | TalkFrame::Elsewhere
    );
    let clause = scene.clauses[clause].words.clone();
    let from = clause.start.max(at.saturating_sub(AHEAD));
    let words = &scene.words[from..clause.end.min(at + BEHIND)];
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
                    | "looked"
                    | "saw"
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
        || scene.words[from..at]
            .iter()
            .rev()
            .take_while(|word| word.stop == Stop::None)
            .any(|word| matches!(word.key.as_str(), "did" | "not"))
        || words.windows(2).any(|pair| {
            let time = pair[1].key.as_str();
            pair[0].key == "last"
                && matches!(
                    time,
                    "time" | "week" | "month" | "year" | "night" | "spring" | "winter"
                )
        })
}

/// Whether what was named up to this word is only spoken of: "the passenger wing's a good
/// one", "the driver's side that was the bad one". The talk stays where it is.
pub(super) fn is_remark(scene: &Scene, clause: usize, end: usize) -> bool {
    if scene.words[end - 1].stop != Stop::None {
        return false;
    }
    // "the left one's already missing three"
    let end = match scene.words.get(end) {
        Some(next) if next.key == "one" && next.stop == Stop::None => end + 1,
        Some(_) | None => end,
    };
    let behind = end..scene.clauses[clause].words.end.max(end);
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
        // "the door behind, same side"
        "behind" if at > 0 && matches!(key(at - 1), "door" | "one" | "wheel") => Some(Side::Rear),
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

/// The end that a talk of corners is sent to, if it is never sent to the other: "today the
/// front axle", and an hour of hubs and brakes.
pub(super) fn only_end(scene: &Scene) -> Option<Side> {
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
    // "Now the back." "We go to the front."
    let is_of_tonight = key(at.wrapping_sub(1)) == "the"
        && range
            .clone()
            .any(|at| matches!(key(at), "tonight" | "today"));
    let is_of_end = is_of_end || is_of_tonight || is_sent(scene, clause, at);
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

/// Whether a talk is sent to "the front" or "the back" as such.
fn is_sent(scene: &Scene, clause: usize, at: usize) -> bool {
    let range = scene.clauses[clause].words.clone();
    let key = |at: usize| match range.contains(&at) {
        true => scene.words[at].key.as_str(),
        false => "",
    };
    let ends = !range.contains(&(at + 1)) || scene.words[at].stop != Stop::None;
    at > range.start
        && key(at - 1) == "the"
        && ends
        && range.len() <= AHEAD
        && range
            .clone()
            .any(|at| matches!(key(at), "now" | "start" | "begin" | "go" | "tonight"))
}

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

/// Whether what is the driver's tells of a side: the driver's door, not the driver's one.
fn names_a_side(word: &str) -> bool {
    is_of_front(word) || matches!(word, "side" | "front" | "rear" | "corner")
}

pub(super) fn is_of_front(word: &str) -> bool {
    matches!(word, "door" | "seat" | "window")
}

/// The driver's door, seat and window are in front.
pub(super) fn of_driver_end(scene: &Scene, mention: &Mention) -> Option<Side> {
    let is_in_front = mention.of_driver.is_some() && is_of_front(last_word(&mention.name));
    (is_in_front && has_rear_doors(scene)).then_some(Side::Front)
}

/// Whether a talk tells front doors from rear ones. A van's back doors are on no side.
fn has_rear_doors(scene: &Scene) -> bool {
    scene.words.windows(2).any(|pair| {
        let [one, other] = pair else { return false };
        one.stop == Stop::None
            && matches!(
                (one.key.as_str(), other.key.as_str()),
                ("rear", "doors")
                    | ("front" | "rear", "door")
                    | ("front" | "rear" | "back", "passenger" | "left" | "right")
            )
    })
}

pub(super) const fn driver_side(is_driver: bool, driven: Driven) -> Option<Side> {
    match (is_driver, driven) {
        (true, Driven::Left) | (false, Driven::Right) => Some(Side::Left),
        (true, Driven::Right) | (false, Driven::Left) => Some(Side::Right),
        (_, Driven::Unsaid) => None,
    }
}
