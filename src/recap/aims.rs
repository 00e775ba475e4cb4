//! What was set out to do: the moment near the beginning that says so.

use std::collections::BTreeSet;

use super::material::Material;
use super::moments::Voice;
use crate::vocabulary::words::words;

/// Verbs of intention, before "to".
const INTENDING: [&str; 17] = [
    "aim", "aimed", "decided", "going", "hope", "hoped", "hoping", "intend", "intended", "mean",
    "meant", "plan", "planned", "planning", "want", "wanted", "wish",
];

/// Verbs after "to" that are about the telling and not about the work.
const TELLING: [&str; 8] = [
    "describe", "explain", "mention", "record", "say", "show", "tell", "write",
];

/// Nouns for it, before "is" or "was".
const INTENTION: [&str; 7] = ["aim", "goal", "idea", "intention", "job", "plan", "target"];

/// Whether a sentence says what its speaker intends: "the plan is", "I wanted
/// to", "we set out to".
#[must_use]
pub fn intends(sentence: &str) -> bool {
    let words: Vec<String> = words(sentence).collect();
    let is = |at: usize, list: &[&str]| {
        words
            .get(at)
            .is_some_and(|word| list.contains(&word.as_str()))
    };
    // "I did not want to", "nobody meant to": not every intention is one's own.
    let own = |at: usize| {
        let before = &words[at.saturating_sub(4)..at];
        let speaks = before
            .iter()
            .any(|word| ["i", "we"].contains(&word.as_str()));
        let denies = ["not", "never", "t", "nobody"];
        speaks && !before.iter().any(|word| denies.contains(&word.as_str()))
    };
    (0..words.len()).any(|at| {
        let of_work = !is(at + 2, &TELLING);
        let verb = is(at, &INTENDING) && is(at + 1, &["to"]) && of_work && own(at);
        let set_out = is(at, &["set"]) && is(at + 1, &["out"]) && is(at + 2, &["to"]) && own(at);
        let forward =
            is(at, &["looking"]) && is(at + 1, &["forward"]) && is(at + 2, &["to"]) && own(at);
        let noun = is(at, &INTENTION)
            && is(at + 1, &["is", "was"])
            && at
                .checked_sub(1)
                .is_some_and(|at| is(at, &["the", "my", "our"]));
        verb || set_out || forward || noun
    })
}

/// The moment that says most often what was intended among the first quarter of
/// the entries, the stronger of two; `order` has the strongest first.
#[must_use]
pub fn aim(
    material: &Material,
    order: &[usize],
    may: &[bool],
    opening: Option<usize>,
) -> Option<usize> {
    let mut seen: BTreeSet<&str> = BTreeSet::new();
    let mut entries: Vec<&str> = Vec::new();
    for (source, _) in material.sources.iter().zip(may).filter(|(_, may)| **may) {
        if seen.insert(&source.when.entry) {
            entries.push(&source.when.entry);
        }
    }
    let first: BTreeSet<&str> = entries[..entries.len().div_ceil(4)]
        .iter()
        .copied()
        .collect();
    let mut best: Option<(usize, usize)> = None;
    for index in order
        .iter()
        .copied()
        .filter(|index| Some(*index) != opening)
    {
        let moment = &material.moments[index];
        let entry = material.sources[moment.source].when.entry.as_str();
        // Half a paragraph would leave the other half behind.
        let is_whole = material.is_paragraph(index);
        if moment.voice != Voice::Prose || !is_whole || !first.contains(entry) {
            continue;
        }
        let said = moment.sentences.iter();
        let count = said.filter(|one| intends(&one.text)).count();
        if count > best.map_or(0, |(most, _)| most) {
            best = Some((count, index));
        }
    }
    best.map(|(_, index)| index)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn intentions_are_known_by_their_grammar() {
        for (text, expected) in [
            ("The plan is to get the engine to turn first.", true),
            ("We wanted to see the crank before winter.", true),
            ("I had meant to replace two of them.", true),
            ("This year I am going to paint the hull.", true),
            ("Our goal was a rolling chassis by May.", true),
            ("I set out to find the leak.", true),
            ("I want to describe the corner properly.", false),
            ("I did not want to go to bed.", false),
            ("He wanted to know what it cost.", false),
            ("I have no idea.", false),
            ("The bolt was going to the bin.", false),
        ] {
            assert_eq!(intends(text), expected, "{text}");
        }
    }
}
