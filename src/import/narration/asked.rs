//! Lines to tick: parts that were named where something came off, and that no rule
//! has as off.
//!
//! A person who ticks them gets what rules cannot know.

use super::happened::TalkFrame;
use super::hear::{holds_or_flows, is_same_name};
use super::heard::{Heard, HeardKind, LeftOutLine, Tier};
use super::lexicon::Thing;
use super::scene::Scene;
use crate::vocabulary::position::Side;

/// A thing is asked about from this score on.
const LEAST: i32 = 2;

/// The same of one that something else lies on or hangs from, and that has a name of one
/// word: one in ten of them came off.
const LEAST_BESIDE: i32 = 3;

/// A part named again within this time, in milliseconds, has one line.
const SAME_TALK: u32 = 30_000;

/// The lines to ask, in the order of their times.
#[must_use]
pub fn asked(
    scene: &Scene,
    sides: &[Vec<Side>],
    heard: &[Heard],
    left_out: &[LeftOutLine],
) -> Vec<Heard> {
    let mut lines: Vec<(i32, Heard)> = Vec::new();
    let works: Vec<bool> = (0..scene.clauses.len())
        .map(|clause| speaks_of_work(scene, clause))
        .collect();
    for (number, mention) in scene.mentions.iter().enumerate() {
        let clause = scene.clause_of[number];
        if scene.frames[clause] != TalkFrame::Now && scene.frames[clause] != TalkFrame::Supposed {
            continue;
        }
        // "on the rack by the door"
        let is_resting_place = mention.is_beside
            && heard
                .iter()
                .any(|other| other.kind == HeardKind::Stored && other.clause == clause);
        if is_resting_place || holds_or_flows(&mention.name) {
            continue;
        }
        let is_bare = mention.known.thing == Thing::Fastener && !mention.name.contains(' ');
        if is_bare && !says_off(scene, clause) {
            continue;
        }
        let mut score = 0;
        let near = |from: usize, to: usize| (from..=to.min(works.len() - 1)).any(|at| works[at]);
        if works[clause] {
            score += 3;
        } else if near(clause.saturating_sub(1), clause + 2) {
            score += 2;
        } else if near(clause.saturating_sub(2), clause + 4) {
            score += 1;
        }
        if mention.is_definite {
            score += 1;
        }
        if mention.is_beside {
            score -= 1;
        }
        if mention.is_new {
            score -= 3;
        }
        if mention.known.thing == Thing::Fastener && !is_bare {
            score -= 1;
        }
        if scene.frames[clause] == TalkFrame::Supposed {
            score -= 1;
        }
        let start = scene.at(mention.words.start);
        let same_head = |part: &str| is_same_name(part, &mention.name);
        let is_heard = heard.iter().any(|other| {
            other.kind.is_off()
                && same_head(&other.part)
                && other.start.abs_diff(start) <= SAME_TALK
        });
        let is_left = left_out.iter().any(|other| {
            other.kind.is_off() && same_head(&other.part) && other.start.abs_diff(start) <= 5_000
        });
        if is_left {
            score -= 1;
        }
        let least = match mention.is_beside && !mention.name.contains(' ') {
            true => LEAST_BESIDE,
            false => LEAST,
        };
        if is_heard || score < least {
            continue;
        }
        let kind = match mention.known.comes_undone {
            true => HeardKind::Undone,
            false => HeardKind::Removed,
        };
        let line = Heard {
            kind,
            part: mention.name.clone(),
            at: sides[number].clone(),
            start,
            words: scene.said(clause),
            detail: None,
            to: None,
            place: None,
            hardware: Vec::new(),
            tier: Tier::Asked,
            clause,
            is_new: !mention.known.in_journal,
        };
        let is_line = |(_, other): &&mut (i32, Heard)| {
            same_head(&other.part) && start.saturating_sub(other.start) <= SAME_TALK
        };
        match lines.iter_mut().rev().find(is_line) {
            Some((before, line)) if score > *before => {
                *before = score;
                line.start = start;
            }
            Some(_) => {}
            None => lines.push((score, line)),
        }
    }
    lines.into_iter().map(|(_, line)| line).collect()
}

/// Whether a clause has a word of something coming off.
fn speaks_of_work(scene: &Scene, clause: usize) -> bool {
    let range = scene.clauses[clause].words.clone();
    scene.words[range].iter().any(|word| {
        matches!(
            word.key.as_str(),
            "off"
                | "out"
                | "undo"
                | "undone"
                | "unscrew"
                | "unscrews"
                | "unbolt"
                | "unhook"
                | "unclip"
                | "unplug"
                | "disconnect"
                | "loose"
                | "free"
                | "apart"
                | "away"
                | "pull"
                | "pulls"
                | "pulled"
                | "lift"
                | "lifts"
                | "lifted"
                | "slide"
                | "slides"
                | "remove"
                | "removed"
                | "bolt"
                | "bolts"
                | "nut"
                | "nuts"
                | "screw"
                | "screws"
                | "clip"
                | "clips"
                | "pop"
                | "popped"
                | "drop"
                | "drops"
                | "first"
                | "comes"
                | "come"
                | "came"
                | "up"
                | "down"
                | "went"
                | "gone"
                | "lap"
                | "hand"
                | "hands"
        )
    })
}

/// Whether a clause says of something that it is off.
fn says_off(scene: &Scene, clause: usize) -> bool {
    let range = scene.clauses[clause].words.clone();
    scene.words[range].iter().any(|word| {
        matches!(
            word.key.as_str(),
            "off" | "out" | "away" | "undone" | "come" | "comes" | "came" | "loose"
        )
    })
}
