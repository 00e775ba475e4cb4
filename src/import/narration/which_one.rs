//! What "one" stands for: the other one, the third one, the passenger's one.

use super::lexicon::KnownThing;
use super::mentions::{KEPT_PLACES, Mention};
use super::speech::{Spoken, Stop};
use crate::vocabulary::name::singular;

/// How many words later "one" still stands for what was named.
const WORDS_LATER: usize = 30;

/// "The left one", "the passenger's side one": what was named last, once more; how many words
/// that takes, and what it stands for.
pub(super) fn which_one(
    words: &[Spoken],
    keys: &[&str],
    at: usize,
    found: &[Mention],
) -> Option<(usize, String, KnownThing)> {
    if !matches!(keys[at], "one" | "ones") {
        return None;
    }
    let before = |back: usize| match at.checked_sub(back) {
        Some(at) if words[at].stop == Stop::None => keys[at],
        Some(_) | None => "",
    };
    let chosen_by = (1..=3)
        .map(before)
        .find(|word| !matches!(*word, "'s" | "side"))
        .unwrap_or_default();
    // "With the impact driver, one there."
    if (2..=4).map(before).any(|word| word == "impact") {
        return None;
    }
    let is_place = |word: &str| KEPT_PLACES.iter().any(|(place, _)| *place == word);
    if !is_place(chosen_by) && !CHOICES.contains(&chosen_by) {
        return None;
    }
    let last = found.iter().rev().find(|mention| !mention.is_beside)?;
    if at - last.words.end > WORDS_LATER {
        return None;
    }
    let name = singular(&last.name);
    let name = match name.split_once(' ') {
        Some((first, rest)) if is_place(first) && is_place(chosen_by) => rest,
        Some(_) | None => name,
    };
    Some((1, name.to_owned(), last.known))
}

/// Words that choose one of several, beside its place.
const CHOICES: [&str; 18] = [
    "left",
    "right",
    "front",
    "rear",
    "back",
    "other",
    "driver",
    "drivers",
    "passenger",
    "passengers",
    "nearside",
    "offside",
    "first",
    "second",
    "third",
    "fourth",
    "last",
    "next",
];

#[cfg(test)]
mod tests {
    use crate::import::narration::cues::Cue;
    use crate::import::narration::lexicon::Lexicon;
    use crate::import::narration::scene::Scene;

    fn last_named(text: &str) -> String {
        let cue = Cue {
            start: 0,
            end: 9_000,
            text: text.to_owned(),
        };
        let scene = Scene::new(&[cue], &Lexicon::new(&[]));
        let last = scene.mentions.into_iter().next_back();
        last.map(|mention| mention.name).unwrap_or_default()
    }

    #[test]
    fn one_stands_for_what_was_named_last() {
        for one in [
            "The left one is off.",
            "Passenger one popped right out.",
            "Driver's side one, off.",
            "The third one won't.",
            "Now the other one.",
        ] {
            let text = format!("Scuff plates, on the sill. {one}");
            assert_eq!(last_named(&text), "scuff plate", "{text}");
        }
        assert_eq!(
            last_named("The top hose first. The bottom one is off."),
            "bottom hose"
        );
        assert_eq!(
            last_named("The drum. A tap with the impact driver, one there."),
            "drum"
        );
        assert_eq!(
            last_named("The grille is on the bench. That one time."),
            "grille"
        );
    }
}
