//! Parts that no list knows, found by what is said of them: "that's the tree off", "the
//! tree's off", "Tree came out."

use super::lexicon::{KnownThing, Thing};
use super::mentions::{ADJECTIVES, Mention, is_function_word};
use super::speech::{Spoken, Stop};

/// What is known of such a part.
pub(super) const UNLISTED: KnownThing = KnownThing {
    thing: Thing::Head,
    comes_undone: false,
    system: "",
    in_journal: false,
};

/// Whether a word that no list knows is told of as a part that came off.
pub(super) fn is_told_off(
    words: &[Spoken],
    keys: &[&str],
    at: usize,
    last: Option<&Mention>,
) -> bool {
    let key = |at: usize| keys.get(at).copied().unwrap_or_default();
    let before = |back: usize| match at.checked_sub(back) {
        Some(at) => keys[at],
        None => "",
    };
    let own = keys[at];
    let is_noun = own.len() > 2
        && own.bytes().all(|byte| byte.is_ascii_lowercase())
        && !is_function_word(own)
        && !ADJECTIVES.contains(&own)
        && !NO_PART.contains(&own)
        && last.is_none_or(|last| last.words.end < at);
    if !is_noun || words[at].stop != Stop::None {
        return false;
    }
    let begins = at
        .checked_sub(1)
        .is_none_or(|at| words[at].stop != Stop::None);
    let is_named = matches!(before(1), "the" | "your" | "my" | "this")
        || begins
        || matches!(before(1), "and" | "so" | "now");
    let is_that =
        matches!(before(2), "'s" | "is" | "are") && matches!(before(3), "that" | "there" | "here");
    let ends = |at: usize| words.get(at).is_some_and(|word| word.stop != Stop::None);
    let is_off = |at: usize| OFF.contains(&key(at)) && ends(at);
    let is_said = match key(at + 1) {
        "'s" | "is" | "are" | "came" | "comes" | "come" => is_off(at + 2),
        _ => is_that && is_off(at + 1),
    };
    is_named && is_said
}

/// What is said of a part that came off.
const OFF: [&str; 4] = ["off", "out", "free", "undone"];

/// What is off or out, and no part.
const NO_PART: [&str; 4] = ["she", "everything", "everybody", "nothing"];

#[cfg(test)]
mod tests {
    use crate::import::narration::cues::Cue;
    use crate::import::narration::lexicon::Lexicon;
    use crate::import::narration::scene::Scene;

    fn named(text: &str) -> Vec<String> {
        let cue = Cue {
            start: 0,
            end: 9_000,
            text: text.to_owned(),
        };
        let scene = Scene::new(&[cue], &Lexicon::new(&[]));
        let names = scene.mentions.into_iter().map(|mention| mention.name);
        names.collect()
    }

    #[test]
    fn what_is_said_to_be_off_is_a_part() {
        for text in [
            "That's the doodad off.",
            "Three of them. The doodad's out.",
            "Doodad came out.",
            "And this doodad is free.",
        ] {
            assert_eq!(named(text), ["doodad"], "{text}");
        }
        for text in [
            "She's off.",
            "Everything's out.",
            "The doodad's off to Spain.",
            "I like the doodad.",
            "Some doodad's off.",
        ] {
            assert_eq!(named(text), [""; 0], "{text}");
        }
    }
}
