//! Lines of parts that were named, and of which no rule says that they came off.
//!
//! A person who ticks them gets what rules cannot know. Which of them are worth a look is
//! for `hear` to say, by their odds.

use super::hear::{holds_or_flows, is_same_name};
use super::heard::{Heard, HeardKind, Tier};
use super::scene::Scene;
use crate::vocabulary::position::Side;

/// A part named again within this time, in milliseconds, has one line.
const SAME_TALK: u32 = 30_000;

/// A line for each part that was named, but where a rule has a line of the same part.
pub(super) fn named(scene: &Scene, sides: &[Vec<Side>], heard: &[Heard]) -> Vec<Heard> {
    let mut lines = Vec::new();
    for (number, mention) in scene.mentions.iter().enumerate() {
        let clause = scene.clause_of[number];
        let start = scene.at(mention.words.start);
        let is_heard = heard.iter().any(|other| {
            other.start.abs_diff(start) <= SAME_TALK
                && other.kind.is_off()
                && is_same_name(&other.part, &mention.name)
        });
        if is_heard || holds_or_flows(&mention.name) {
            continue;
        }
        let kind = match mention.known.comes_undone {
            true => HeardKind::Undone,
            false => HeardKind::Removed,
        };
        lines.push(Heard {
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
        });
    }
    lines
}

/// One line for each part, that of the highest odds, of those that are named one soon after
/// another.
pub(super) fn most_likely(lines: Vec<(f32, Heard)>) -> Vec<(f32, Heard)> {
    // With each line when its part was named last.
    let mut found: Vec<(u32, (f32, Heard))> = Vec::new();
    // Those of which the talk still is, by number.
    let mut open: Vec<usize> = Vec::new();
    for (odds, line) in lines {
        let start = line.start;
        open.retain(|at| start.saturating_sub(found[*at].0) <= SAME_TALK);
        let same = |at: &&usize| is_same_name(&found[**at].1.1.part, &line.part);
        let before = open.iter().rev().find(same).copied();
        match before.map(|at| &mut found[at]) {
            Some((last, best)) => {
                *last = start;
                if odds > best.0 {
                    *best = (odds, line);
                }
            }
            None => {
                open.push(found.len());
                found.push((start, (odds, line)));
            }
        }
    }
    found.into_iter().map(|(_, line)| line).collect()
}
