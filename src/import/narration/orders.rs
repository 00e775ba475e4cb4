//! Which part had to come off before another, as it was said: questions for the person.
//!
//! An order that is only told by doing one thing after the other is none.

use super::happened::TalkFrame;
use super::hear::is_same_name;
use super::heard::HeardOrder;
use super::lexicon::Thing;
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
    let rest = items.len();
    let is_pronoun = |at: usize| {
        matches!(
            word(at),
            "it" | "that" | "those" | "these" | "them" | "they" | "he" | "she" | "him" | "her"
        )
    };
    // What "it" is: the thing named last before a place.
    let last_before = |at: usize| {
        things(0, at)
            .next_back()
            .or_else(|| named_before(scene, clause, 1))
    };
    // Of "you can't drive the pin till that's out" and "pull the pin, she won't lift till
    // that's off": what "that" is, and the other thing.
    let it_and_other = |at: usize| -> Option<(usize, Option<usize>)> {
        let Some(named) = things(0, at).next_back() else {
            return Some((named_before(scene, clause, 1)?, None));
        };
        let place = items[..at]
            .iter()
            .rposition(|item| matches!(item, SpokenItem::Thing(other) if *other == named))?;
        match (place + 1..at).any(is_pronoun) {
            true => Some((named, None)),
            false => Some((named_before_but(scene, clause, named)?, Some(named))),
        }
    };
    for at in 0..rest {
        match word(at) {
            // "you can't get the drum off till the nut's out", "until that's out of the
            // way the nut's going nowhere"
            "until" | "till" | "without" | "unless" => {
                if is_pronoun(at + 1) {
                    let (first, later) = it_and_other(at)?;
                    let later = later
                        .or_else(|| things(at + 1, rest).find(|other| *other != first))
                        .or_else(|| named_before_but(scene, clause, first))?;
                    return Some((first, later));
                }
                let first = things(at + 1, rest)
                    .next()
                    .or_else(|| named_before(scene, clause, 1))?;
                let later = things(0, at)
                    .rev()
                    .find(|other| *other != first)
                    .or_else(|| things_of_next(scene, clause, first))
                    .or_else(|| named_before_but(scene, clause, first))?;
                return Some((first, later));
            }
            // "so before I pull those, the tie rod": told from behind
            "before" if things(0, at).next().is_none() && clause_begins(&items, at) => {
                let mut behind = things(at + 1, rest);
                let object = behind.next()?;
                let is_it = (at + 1..rest)
                    .take_while(|at| matches!(items[*at], SpokenItem::Word(_)))
                    .any(|at| matches!(word(at), "those" | "it" | "that" | "them"));
                return match is_it {
                    true => Some((object, named_before(scene, clause, 1)?)),
                    false => Some((behind.next()?, object)),
                };
            }
            // "the bumper has to go before the fender will", "before it'll lift"
            "before" if !matches!(word(at + 1), "and" | "you" | "anybody" | "anyone") => {
                let first = last_before(at)?;
                let later = match is_pronoun(at + 1) {
                    true => named_before_but(scene, clause, first),
                    false => things(at + 1, rest).next(),
                }?;
                return Some((first, later));
            }
            // "with the hub gone, the stub axle", "not with the cowl screwed to it"
            "with" | "while" => {
                let is_it = is_pronoun(at + 1)
                    && things(at + 1, (at + 3).min(rest)).next().is_none()
                    || word(at + 1) == "both";
                let is_named = matches!(
                    word(at + 1),
                    "the" | "that" | "this" | "those" | "these" | "your" | "my"
                );
                let state = (at + 1..(at + 9).min(rest))
                    .take_while(|at| !matches!(items[*at], SpokenItem::Comma))
                    .find_map(|at| match word(at) {
                        "gone" | "off" | "out" | "away" => Some(true),
                        // "with the catch on it" says where the catch is.
                        "on" | "in" if !is_pronoun(at + 1) => Some(false),
                        "screwed" | "tied" | "attached" => Some(false),
                        _ => None,
                    });
                let Some(is_gone) = state else { continue };
                let (first, later) = if is_it && !is_gone {
                    let Some(found) = it_and_other(at) else {
                        continue;
                    };
                    found
                } else if is_it {
                    let Some(first) = last_before(at) else {
                        continue;
                    };
                    (first, None)
                } else if is_named {
                    let Some(first) = things(at + 1, (at + 4).min(rest)).next() else {
                        continue;
                    };
                    let before = things(0, at).find(|other| *other != first);
                    (first, before.filter(|_| !is_gone))
                } else {
                    continue;
                };
                let later = later.or_else(|| match is_gone {
                    true => things(at + 1, rest)
                        .find(|other| *other > first)
                        .or_else(|| things_of_next(scene, clause + 1, first)),
                    false => named_before_but(scene, clause, first),
                });
                if let Some(later) = later {
                    return Some((first, later));
                }
            }
            // "so the shocks first", "the line has to go first"
            "first"
                if things(0, at).next().is_some()
                    && gives_a_reason(scene, clause)
                    && !matches!(word(at.wrapping_sub(1)), "the" | "at" | "my") =>
            {
                let first = things(0, at).next_back()?;
                let later =
                    covered(scene, clause).or_else(|| named_before_but(scene, clause, first))?;
                return Some((first, later));
            }
            // "the wipers are in the way"
            "in" if word(at + 1) == "the" && matches!(word(at + 2), "way" | "road") => {
                let first = things(0, at).next_back()?;
                let later = named_before_but(scene, clause, first)?;
                return Some((first, later));
            }
            // "that's got to come off", "the filter's got to come out first"
            "to" if matches!(word(at.wrapping_sub(1)), "got" | "has" | "have" | "had")
                && matches!(word(at + 1), "come" | "go" | "be") =>
            {
                let is_off = (at + 2..(at + 6).min(rest))
                    .any(|at| matches!(word(at), "off" | "out" | "first" | "away"));
                if is_off
                    && let Some(first) = things(0, at).next_back()
                    && let Some(later) =
                        covered(scene, clause).or_else(|| named_before_but(scene, clause, first))
                {
                    return Some((first, later));
                }
            }
            _ => {}
        }
    }
    None
}

/// Whether only words without weight stand before a place.
fn clause_begins(items: &[SpokenItem<'_>], at: usize) -> bool {
    items[..at].iter().all(|item| {
        matches!(
            item,
            SpokenItem::Word("so" | "and" | "but" | "now") | SpokenItem::Comma
        )
    })
}

/// "So the shocks first", "or you'll tear it": why it has to be so.
fn gives_a_reason(scene: &Scene, clause: usize) -> bool {
    let keys = |clause: usize| {
        let words = scene.clauses[clause].words.clone();
        scene.words[words].iter().map(|word| word.key.as_str())
    };
    let here = keys(clause).any(|word| {
        matches!(
            word,
            "so" | "to"
                | "must"
                | "or"
                | "why"
                | "else"
                | "otherwise"
                | "because"
                | "goes"
                | "needs"
        )
    });
    let next = clause + 1 < scene.clauses.len()
        && keys(clause + 1)
            .next()
            .is_some_and(|word| matches!(word, "or" | "else" | "otherwise" | "because"));
    here || next
}

/// "Its bracket sits over the bumper bolt": what is hidden by what has to go.
fn covered(scene: &Scene, clause: usize) -> Option<usize> {
    let before = clause.checked_sub(1)?;
    scene.mentions_of(before).find(|number| {
        let start = scene.mentions[*number].words.start;
        let from = scene.clauses[before]
            .words
            .start
            .max(start.saturating_sub(4));
        scene.words[from..start]
            .iter()
            .any(|word| matches!(word.key.as_str(), "over" | "across" | "behind"))
    })
}

/// The thing that the clauses before are about, other than this one.
fn named_before_but(scene: &Scene, clause: usize, but: usize) -> Option<usize> {
    let name = &scene.mentions[but].name;
    (clause.saturating_sub(3)..clause).rev().find_map(|clause| {
        scene.mentions_of(clause).find(|number| {
            let mention = &scene.mentions[*number];
            can_come_off(mention) && !mention.is_beside && !is_same_name(&mention.name, name)
        })
    })
}

/// What comes off by itself or with hardware, and is more than "the nut".
fn can_come_off(mention: &Mention) -> bool {
    let is_bare = mention.known.thing == Thing::Fastener && !mention.name.contains(' ');
    !mention.is_new && !is_bare
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
    if clause >= scene.clauses.len() {
        return None;
    }
    scene
        .mentions_of(clause)
        .find(|number| *number > first && scene.mentions[*number].is_part())
}
