//! Whether a person says in prose that something is not for the film.
//!
//! Nothing is kept out by it, as words of prose may mean anything: such a moment is not
//! proposed, and the outline shows that somebody should look.

use crate::vocabulary::words::words;

/// How much a sentence asks to leave out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum LeftOut {
    /// What stands around it.
    Paragraph,
    /// All that its record or entry says.
    All,
}

/// What a sentence or a title asks to leave out: "not for the film", "none of this goes
/// in", "not to be told".
#[must_use]
pub fn asked_for(text: &str) -> Option<LeftOut> {
    // Most sentences have none of these words, which is soon seen.
    let small = text.to_lowercase();
    if !TELLING.iter().any(|word| small.contains(word)) {
        return None;
    }
    let plain = text.replace('\u{2019}', "'").replace('\'', "");
    let said: Vec<String> = words(&plain).collect();
    let has = |row: &[&str]| said.windows(row.len()).any(|window| window == row);
    let refuses = said.iter().enumerate().any(|(at, word)| {
        is_refusal(word) && {
            let behind = &said[at + 1..said.len().min(at + 1 + REACH)];
            is_for_the_film(behind) || behind.windows(2).any(is_about_telling)
        }
    });
    // "I must think whether this can be shown."
    let doubts = has(&["whether"]) && said.windows(2).any(is_about_telling);
    let asks = refuses || doubts || LEFT_OUT.iter().any(|row| has(row));
    let all = has(&["none", "of", "this"]) || has(&["leave", "this", "out"]);
    asks.then_some(if all {
        LeftOut::All
    } else {
        LeftOut::Paragraph
    })
}

/// Whether a title says that its entry is private.
#[must_use]
pub fn is_private_title(title: &str) -> bool {
    words(title).any(|word| word == "private") || asked_for(title).is_some()
}

/// Whatever asks to leave something out has one of these.
const TELLING: [&str; 12] = [
    "film", "video", "episode", "camera", "channel", "told", "shown", "leave", "goes", "record",
    "between", "write",
];

/// So many words behind a refusal belong to it.
const REACH: usize = 7;

/// Phrases that say it without a refusal before what is refused.
const LEFT_OUT: [&[&str]; 7] = [
    &["leave", "this", "out"],
    &["leave", "it", "out"],
    &["leave", "that", "out"],
    &["none", "of", "this", "goes", "in"],
    &["off", "the", "record"],
    &["between", "you", "and", "me"],
    &["do", "not", "write", "about", "this"],
];

fn is_refusal(word: &str) -> bool {
    REFUSALS.contains(&word)
}

/// Words that refuse, without their apostrophes.
const REFUSALS: [&str; 18] = [
    "not", "none", "never", "nothing", "no", "dont", "doesnt", "didnt", "wont", "cant", "isnt",
    "arent", "wasnt", "shouldnt", "wouldnt", "couldnt", "mustnt", "cannot",
];

/// "in any film", "for the video", "on the channel".
fn is_for_the_film(said: &[String]) -> bool {
    let is_toward = |word: &str| matches!(word, "in" | "into" | "for" | "on" | "onto");
    let is_film = |word: &str| {
        matches!(
            word,
            "film" | "films" | "video" | "videos" | "episode" | "episodes" | "camera" | "channel"
        )
    };
    said.iter().enumerate().any(|(at, word)| {
        let behind = &said[at + 1..said.len().min(at + 3)];
        is_toward(word) && behind.iter().any(|word| is_film(word))
    })
}

/// "be told", "being shown".
fn is_about_telling(pair: &[String]) -> bool {
    matches!(pair[0].as_str(), "be" | "being") && matches!(pair[1].as_str(), "told" | "shown")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_not_for_the_film_is_seen() {
        for (text, expected) in [
            ("Not for the film", true),
            ("This stays here, it is not going in the video.", true),
            ("She said it doesn’t go in any film unless he agrees.", true),
            ("I won't put this into an episode.", true),
            ("Please leave this out.", true),
            ("None of that is for the film.", true),
            ("I do not write it for being told.", true),
            ("I must ask whether this can be shown.", true),
            ("The camera was not running.", false),
            ("Nobody told me that the nut is left-handed.", false),
            ("I did not film the first try.", false),
            ("The part went in for the first time.", false),
            ("It went on camera and sounded awful.", false),
            ("I want the front in the film.", false),
            ("", false),
        ] {
            assert_eq!(asked_for(text).is_some(), expected, "{text}");
        }
        assert!(is_private_title("Private, for the two of us"));
        assert!(!is_private_title("The road home"));
    }
}
