//! How likely a clause tells that a part comes off, or is undone, now: not that it was
//! planned, remembered, denied, or merely looked at.
//!
//! Weights of the words and the pairs of words of the clause, and of the words of the
//! clause before it, learned from labelled moments of such talk. The weights stand in
//! `weights.txt`; a test that only runs when it is asked for learns them from
//! `tests/data/said.csv`. Which part "it" is, is not known here.

use std::collections::BTreeSet;
use std::sync::OnceLock;

use super::cues::Cue;
use super::lexicon::{Lexicon, Thing};
use super::pattern::SpokenItem;
use super::scene::Scene;
use crate::vocabulary::name::singular;
use crate::vocabulary::word_weights::WordWeights;

/// Logarithm of the odds below which a line is not ticked: 3 to 97.
const UNLIKELY: f32 = -3.5;

/// Logarithm of the odds below which a tick is to be looked at: 1 to 1.
const CERTAIN: f32 = 0.0;

/// How long before a clause the one before it may begin, in milliseconds, to be heard
/// together with it.
const TOGETHER: u32 = 25_000;

/// How far the words of a clause may be believed to tell that something came off.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Belief {
    /// It hardly did.
    Unlikely,
    /// It may have.
    Open,
    /// It did.
    Certain,
}

/// The learned weights.
const WEIGHTS: WordWeights = WordWeights::of(include_str!("weights.txt"));

/// How far to believe that the part of this name comes off, or is undone, in a clause.
pub(super) fn belief(scene: &Scene, clause: usize, part: &str) -> Belief {
    let mut odds = 0.0;
    let features = features(scene, clause, part);
    WEIGHTS.each(
        features.into_iter().map(|feature| (feature, ())),
        |_, weight, _| odds += weight,
    );
    match odds {
        odds if odds < UNLIKELY => Belief::Unlikely,
        odds if odds < CERTAIN => Belief::Open,
        _ => Belief::Certain,
    }
}

/// The words of a clause and each pair of neighbours with no comma between them, from `^`
/// to `$`; and, with a `<` before them, the words of the clause before.
fn features(scene: &Scene, clause: usize, part: &str) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    let items = scene.items(clause);
    let mut before = "^";
    for item in &items {
        let word = word(scene, item, part);
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
    let start = scene.clause_start(clause);
    if let Some(earlier) = clause.checked_sub(1)
        && start.saturating_sub(scene.clause_start(earlier)) < TOGETHER
    {
        let items = scene.items(earlier);
        let words = items.iter().map(|item| word(scene, item, part));
        found.extend(words.filter(|word| *word != ",").map(|w| format!("<{w}")));
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

/// What is weighed of a moment in which a part is spoken of: the last clause that names it,
/// or else the last of all.
#[must_use]
pub fn weighed(part: &str, before: &str, said: &str) -> BTreeSet<String> {
    let cue = |start: u32, text: &str| Cue {
        start,
        end: start,
        text: text.to_owned(),
    };
    static LEXICON: OnceLock<Lexicon> = OnceLock::new();
    let lexicon = LEXICON.get_or_init(|| Lexicon::new(&[]));
    let scene = Scene::new(&[cue(0, before), cue(10_000, said)], lexicon);
    let is_said = |clause: usize| scene.clause_start(clause) > 0;
    let named = scene.mentions.iter().zip(&scene.clause_of);
    let named = named
        .rev()
        .find(|(mention, of)| is_said(**of) && last_word(&mention.name) == last_word(part));
    match (named, scene.clauses.len()) {
        (Some((mention, clause)), _) => features(&scene, *clause, &mention.name),
        (None, 0) => BTreeSet::new(),
        (None, clauses) => features(&scene, clauses - 1, ""),
    }
}

/// What kind of thing a name is of, however many: "hose" of "top hoses".
fn last_word(name: &str) -> &str {
    singular(name.rsplit(' ').next().unwrap_or_default())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_weighed_names_no_part() {
        let found = weighed("top hose", "One clip.", "Right, the top hose is off");
        let expected = [
            "<NUT", "<one", "PART", "PART is", "^ right", "is", "is off", "off", "off $", "right",
            "the", "the PART",
        ];
        let found: Vec<&str> = found.iter().map(String::as_str).collect();
        assert_eq!(found, expected);
    }

    #[test]
    fn the_words_tell_what_happens_from_what_does_not() {
        for (text, expected) in [
            ("The radiator's off.", Belief::Certain),
            ("so the radiator comes off", Belief::Certain),
            ("the radiator won't budge", Belief::Open),
            ("I never had the radiator off this one", Belief::Unlikely),
            ("I took the radiator off in April", Belief::Unlikely),
            ("If you pull the radiator you see it", Belief::Open),
        ] {
            let cue = Cue {
                start: 0,
                end: 0,
                text: text.to_owned(),
            };
            let scene = Scene::new(&[cue], &Lexicon::new(&[]));
            assert_eq!(belief(&scene, 0, "radiator"), expected, "{text}");
        }
    }
}
