//! How likely a line tells of a part that comes off, or is undone, now: not that it was
//! planned, remembered, denied, or merely looked at.
//!
//! Weights of the words and the pairs of words of its clause, of the kind of part, and of
//! what the rules say, learned from whole talks with what happened in them. The weights
//! stand in `weights.txt`; a test that only runs when it is asked for learns them from
//! `tests/data/talks.csv`.

use std::collections::BTreeSet;

use super::heard::{Heard, Tier};
use super::lexicon::Thing;
use super::mentions::last_word;
use super::pattern::SpokenItem;
use super::scene::Scene;
use crate::vocabulary::word_weights::WordWeights;

/// The learned weights.
const WEIGHTS: WordWeights = WordWeights::of(include_str!("weights.txt"));

/// The logarithm of the odds that the part of a line comes off, or is undone, when the line
/// is said.
pub(super) fn odds(scene: &Scene, line: &Heard, said: SaidBy) -> f32 {
    let mut odds = 0.0;
    let features = features(scene, line, said);
    WEIGHTS.each(
        features.into_iter().map(|feature| (feature, ())),
        |_, weight, _| odds += weight,
    );
    odds
}

/// What a line is proposed by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum SaidBy {
    /// A rule, as sure as it is.
    Rule,
    /// The name of the part alone.
    Name,
}

/// What is weighed of a line: the words of its clause and each pair of neighbours with no
/// comma between them, from `^` to `$`; and, with a `=` before it, what is known of the part
/// and of the clause.
pub(super) fn features(scene: &Scene, line: &Heard, said: SaidBy) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    let mut before = "^";
    for item in &scene.items(line.clause) {
        let word = word(scene, item, &line.part);
        if word != "," {
            found.insert(word.to_owned());
            if before != "," {
                found.insert(format!("{before} {word}"));
            }
        }
        before = word;
    }
    if before != "," {
        found.insert(format!("{before} $"));
    }
    let mut fact = |text: &str| {
        found.insert(format!("={text}"));
    };
    fact(match (said, line.tier) {
        (SaidBy::Name, _) => "named",
        (SaidBy::Rule, Tier::Sure) => "sure",
        (SaidBy::Rule, Tier::Inferred) => "inferred",
        (SaidBy::Rule, Tier::Asked) => "asked",
    });
    fact(scene.frames[line.clause].word());
    fact(&format!("a {}", last_word(&line.part)));
    let number = scene
        .mentions_of(line.clause)
        .find(|number| scene.mentions[*number].name == line.part);
    if let Some(number) = number {
        let mention = &scene.mentions[number];
        fact(match mention.known.thing {
            Thing::Part => "part",
            Thing::Head => "head",
            Thing::Pin => "pin",
            Thing::Fastener => "fastener",
        });
        if mention.is_beside {
            fact("beside");
        }
        if mention.is_several() {
            fact("several");
        }
        if scene.is_first[number] {
            fact("first");
        }
    }
    found
}

/// A word as it is weighed. Of a thing only counts whether it is the part in question,
/// hardware, or another; no word that was said has capitals.
fn word<'w>(scene: &'w Scene, item: &SpokenItem<'w>, part: &str) -> &'w str {
    match item {
        SpokenItem::Word(word) => word,
        SpokenItem::Comma => ",",
        SpokenItem::Thing(number) => {
            let mention = &scene.mentions[*number];
            match mention.known.thing {
                _ if mention.name == part => "PART",
                Thing::Fastener => "NUT",
                Thing::Part | Thing::Head | Thing::Pin => "THING",
            }
        }
    }
}
