//! Which part had to come off before another, as it was said: questions for the person.
//!
//! An order that is only told by doing one thing after the other is none.

use super::happened::TalkFrame;
use super::hear::is_same_name;
use super::heard::HeardOrder;
use super::mentions::Mention;
use super::pattern::SpokenItem;
use super::scene::Scene;
use super::speech::said;
use crate::vocabulary::position::Side;

/// The orders that were heard.
#[must_use]
pub fn orders(scene: &Scene, sides: &[Vec<Side>]) -> Vec<HeardOrder> {
    let mut found: Vec<HeardOrder> = Vec::new();
    for clause in 0..scene.clauses.len() {
        if matches!(
            scene.frames[clause],
            TalkFrame::Remembered | TalkFrame::Elsewhere
        ) {
            continue;
        }
        let Some((first, later)) = in_clause(scene, clause) else {
            continue;
        };
        let (one, other) = (&scene.mentions[first], &scene.mentions[later]);
        if is_same_name(&one.name, &other.name) {
            continue;
        }
        let is_there = |order: &HeardOrder| {
            is_same_name(&order.first, &one.name) && is_same_name(&order.part, &other.name)
        };
        if found.iter().any(is_there) {
            continue;
        }
        let from = scene.clauses[clause.saturating_sub(1)].words.start;
        found.push(HeardOrder {
            first: one.name.clone(),
            first_at: sides[first].clone(),
            part: other.name.clone(),
            at: sides[later].clone(),
            start: scene.clause_start(clause),
            words: said(&scene.words, from..scene.clauses[clause].words.end),
        });
    }
    found
}

/// The thing that comes first and the thing that comes later, by what a clause says.
fn in_clause(scene: &Scene, clause: usize) -> Option<(usize, usize)> {
    let items = scene.items(clause);
    let word = |at: usize| match items.get(at) {
        Some(SpokenItem::Word(word)) => *word,
        Some(SpokenItem::Comma | SpokenItem::Thing(_)) | None => "",
    };
    let things = |from: usize, to: usize| {
        items[from..to].iter().filter_map(|item| match item {
            SpokenItem::Thing(number) if can_come_off(&scene.mentions[*number]) => Some(*number),
            SpokenItem::Thing(_) | SpokenItem::Word(_) | SpokenItem::Comma => None,
        })
    };
    for at in 0..items.len() {
        let rest = items.len();
        match word(at) {
            // "you can't get the drum off till the nut's out"
            "until" | "till" | "without" | "unless" => {
                let first = things(at + 1, rest)
                    .next()
                    .or_else(|| named_before(scene, clause, 1))?;
                let later = things(0, at)
                    .next_back()
                    .or_else(|| things_of_next(scene, clause, first))
                    .or_else(|| named_before(scene, clause, 2))?;
                return Some((first, later));
            }
            // "the bumper has to go before the fender will"
            "before" if word(at + 1) != "and" => {
                let first = things(0, at)
                    .next()
                    .or_else(|| named_before(scene, clause, 1))?;
                let later = things(at + 1, rest).next()?;
                return Some((first, later));
            }
            // "so the shocks first", "the line has to go first"
            "first"
                if things(0, at).next().is_some()
                    && !matches!(word(at.wrapping_sub(1)), "the" | "at" | "my") =>
            {
                let first = things(0, at).next_back()?;
                let later = named_before(scene, clause, 1)?;
                return Some((first, later));
            }
            // "the wipers are in the way"
            "in" if word(at + 1) == "the" && word(at + 2) == "way" => {
                let first = things(0, at).next_back()?;
                let later = named_before(scene, clause, 1)?;
                return Some((first, later));
            }
            // "that's got to come off", "the filter's got to come out first"
            "to" if matches!(word(at.wrapping_sub(1)), "got" | "has" | "have")
                && matches!(word(at + 1), "come" | "go" | "be") =>
            {
                let is_off = (at + 2..(at + 6).min(rest))
                    .any(|at| matches!(word(at), "off" | "out" | "first" | "away"));
                if is_off
                    && let Some(first) = things(0, at).next_back()
                    && let Some(later) = named_before(scene, clause, 1)
                {
                    return Some((first, later));
                }
            }
            _ => {}
        }
    }
    None
}

/// What comes off by itself or with hardware: no part of another one's name.
fn can_come_off(mention: &Mention) -> bool {
    !mention.is_new
}

/// The thing that the clauses before are about, the last one that is not only where
/// something else is.
fn named_before(scene: &Scene, clause: usize, most: usize) -> Option<usize> {
    let from = clause.saturating_sub(most + 2);
    (from..clause).rev().find_map(|clause| {
        scene.mentions_of(clause).find(|number| {
            can_come_off(&scene.mentions[*number]) && !scene.mentions[*number].is_beside
        })
    })
}

fn things_of_next(scene: &Scene, clause: usize, first: usize) -> Option<usize> {
    scene
        .mentions_of(clause)
        .find(|number| *number > first && scene.mentions[*number].is_part())
}
