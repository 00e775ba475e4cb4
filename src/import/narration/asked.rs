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

/// Within this time it has one line even if it may well have come off again.
const AT_ONCE: u32 = 6_000;

/// Logarithm of the odds from which a part that is named again may have come off again, one
/// of several: 23 to 77.
const AGAIN: f32 = -1.2;

/// A line for each part that was named.
pub(super) fn named(scene: &Scene, sides: &[Vec<Side>]) -> Vec<Heard> {
    let mut lines = Vec::new();
    for (number, mention) in scene.mentions.iter().enumerate() {
        if holds_or_flows(&mention.name) {
            continue;
        }
        let clause = scene.clause_of[number];
        let kind = match mention.known.comes_undone {
            true => HeardKind::Undone,
            false => HeardKind::Removed,
        };
        lines.push(Heard {
            kind,
            part: mention.name.clone(),
            at: sides[number].clone(),
            start: scene.at(mention.words.start),
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

/// A part that was named, and how likely it came off then.
#[derive(Clone, Debug)]
pub(super) struct NamedLine {
    pub(super) odds: f32,
    pub(super) line: Heard,
    /// Whether it has a line already.
    pub(super) is_again: bool,
}

/// Those that no rule has a line of, of each part that is named one soon after another that
/// of the highest odds.
pub(super) fn most_likely(lines: Vec<(f32, Heard)>, heard: &[Heard]) -> Vec<NamedLine> {
    // With each line when its part was named last.
    let mut found: Vec<(u32, NamedLine)> = Vec::new();
    // Those of which the talk still is, by number.
    let mut open: Vec<usize> = Vec::new();
    for (odds, line) in lines {
        let start = line.start;
        let near = if odds >= AGAIN { AT_ONCE } else { SAME_TALK };
        let apart = |other: &Heard| other.start.abs_diff(start);
        let is_heard = |other: &&Heard| {
            apart(other) <= SAME_TALK && other.kind.is_off() && is_of_same(other, &line)
        };
        let heard_at = heard.iter().filter(is_heard).map(apart).min();
        if heard_at.is_some_and(|apart| apart <= near) {
            continue;
        }
        open.retain(|at| start.saturating_sub(found[*at].0) <= SAME_TALK);
        let same = |at: &&usize| is_of_same(&found[**at].1.line, &line);
        let before = open.iter().rev().find(same).copied();
        let mut named = NamedLine {
            odds,
            line,
            is_again: before.is_some() || heard_at.is_some(),
        };
        match before.map(|at| &mut found[at]) {
            Some((last, best)) if odds.min(best.odds) < AGAIN || start - *last <= AT_ONCE => {
                *last = start;
                if odds > best.odds {
                    named.is_again = best.is_again;
                    *best = named;
                }
            }
            Some(_) | None => {
                open.push(found.len());
                found.push((start, named));
            }
        }
    }
    found.into_iter().map(|(_, named)| named).collect()
}

/// Whether two lines are of a part of one name, and not on different sides.
fn is_of_same(one: &Heard, other: &Heard) -> bool {
    is_same_name(&one.part, &other.part)
        && (one.at == other.at || one.at.is_empty() || other.at.is_empty())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(part: &str, start: u32, at: &[Side]) -> Heard {
        Heard {
            kind: HeardKind::Removed,
            part: part.to_owned(),
            at: at.to_vec(),
            start,
            words: String::new(),
            detail: None,
            to: None,
            place: None,
            hardware: Vec::new(),
            tier: Tier::Asked,
            clause: 0,
            is_new: true,
        }
    }

    fn starts(lines: Vec<(f32, Heard)>, heard: &[Heard]) -> Vec<(u32, bool)> {
        let found = most_likely(lines, heard).into_iter();
        let found = found.map(|named| (named.line.start, named.is_again));
        found.collect()
    }

    #[test]
    fn a_part_that_is_named_again_may_have_come_off_again() {
        let plug = |odds: f32, start: u32| (odds, line("plug", start, &[]));
        // Of two that hardly came off, the likelier one.
        assert_eq!(
            starts(vec![plug(-4.0, 0), plug(-3.0, 9_000)], &[]),
            [(9_000, false)]
        );
        // Of two that may well have, both.
        let lines = vec![plug(0.0, 0), plug(0.0, 9_000)];
        assert_eq!(starts(lines.clone(), &[]), [(0, false), (9_000, true)]);
        // In the same breath it is the same.
        assert_eq!(
            starts(vec![plug(0.0, 0), plug(0.0, 3_000)], &[]),
            [(0, false)]
        );
        // What a rule has heard is there already.
        let heard = [line("spark plug", 1_000, &[])];
        assert_eq!(starts(lines, &heard), [(9_000, true)]);
        assert_eq!(starts(vec![plug(-2.0, 9_000)], &heard), []);
    }

    #[test]
    fn each_side_has_its_own_line() {
        let lamp = |start: u32, side: Side| (-2.0, line("lamp", start, &[side]));
        let lines = vec![lamp(0, Side::Left), lamp(9_000, Side::Right)];
        assert_eq!(starts(lines, &[]), [(0, false), (9_000, false)]);
    }
}
