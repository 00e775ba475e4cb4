//! Words that leave a value open: "maybe 8", "12?", "3, not sure", "12 no 14", "same as
//! left".
//!
//! Which keys ask about such a value, and whether it still counts, is decided where
//! entries are read.

use std::collections::HashSet;
use std::sync::OnceLock;

/// Why a value cannot be taken as it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Hedge {
    /// The person doubts it; the word that says so.
    Doubted(String),
    /// One value is taken back for another; the word that says so.
    Corrected(String),
    /// It stands with another part, or nowhere: "ditto", "same as left".
    Elsewhere,
}

/// Words of doubt, wherever they stand. Common practice, no source.
const DOUBTS: [&str; 49] = [
    "maybe",
    "mebbe",
    "perhaps",
    "probably",
    "prob",
    "probs",
    "possibly",
    "presumably",
    "supposedly",
    "allegedly",
    "unsure",
    "uncertain",
    "undecided",
    "dunno",
    "think",
    "guess",
    "guessing",
    "guessed",
    "reckon",
    "believe",
    "suppose",
    "iirc",
    "afaik",
    "tbc",
    "tbd",
    "not sure",
    "not certain",
    "not so sure",
    "not 100%",
    "no idea",
    "dont know",
    "do not know",
    "dont remember",
    "cant remember",
    "cannot remember",
    "forgot which",
    "forget which",
    "could be",
    "might be",
    "may be",
    "should be",
    "from memory",
    "or so",
    "to be confirmed",
    "to be checked",
    "ditto",
    "dito",
    "etc",
    "same again",
];

/// Words that take a value back, between two values.
const CORRECTIONS: [&str; 8] = [
    "no wait",
    "wait no",
    "hmm no",
    "no sorry",
    "scratch that",
    "correction",
    "i mean",
    "no hang on",
];

/// Words with which a value begins that stands elsewhere.
const ELSEWHERE: [&str; 40] = [
    "same",
    "ditto",
    "dito",
    "idem",
    "likewise",
    "samesame",
    "as left",
    "as right",
    "as front",
    "as rear",
    "as other",
    "as the other",
    "as the left",
    "as the right",
    "as above",
    "as before",
    "as below",
    "like left",
    "like right",
    "like the other",
    "like the left",
    "like the right",
    "see left",
    "see right",
    "see other",
    "see the other",
    "see near side",
    "see off side",
    "see nearside",
    "see offside",
    "see above",
    "see below",
    "see notes",
    "see note",
    "see text",
    "see photo",
    "identical to",
    "repeat of",
    "copy of",
    "mirror of",
];

/// What leaves a value open; `None` where it can be taken as it stands.
#[must_use]
pub fn hedge(text: &str) -> Option<Hedge> {
    let said = said(text);
    if stands_elsewhere(&said) {
        return Some(Hedge::Elsewhere);
    }
    let may_hold = said.iter().any(|word| begins_a_phrase(word));
    if may_hold && let Some(word) = find(&said, &CORRECTIONS) {
        return Some(Hedge::Corrected(word));
    }
    if let Some(word) = taken_back(&said) {
        return Some(Hedge::Corrected(word));
    }
    if may_hold && let Some(word) = find(&said, &DOUBTS) {
        return Some(Hedge::Doubted(word));
    }
    let asked = text.split_whitespace().find(|word| word.contains('?'));
    let vague = || said.iter().find(|word| is_about_figure(word));
    let last_word = || said.last().filter(|word| *word == "check");
    asked
        .map(str::to_owned)
        .or_else(|| vague().cloned())
        .or_else(|| last_word().cloned())
        .map(Hedge::Doubted)
}

/// Whether a text only points to another part or another place.
#[must_use]
pub fn is_elsewhere(text: &str) -> bool {
    // Nearly every text begins with another word, and need not be taken apart.
    let first = text.split(|c: char| !c.is_ascii_alphanumeric()).next();
    let first = first.filter(|first| !first.is_empty() && text.is_ascii());
    let may_be = first.is_none_or(|first| {
        let begins = |phrase: &&str| {
            let start = phrase.get(..first.len());
            start.is_some_and(|start| start.eq_ignore_ascii_case(first))
        };
        ELSEWHERE.iter().any(begins)
    });
    may_be && stands_elsewhere(&said(text))
}

/// The words in small letters without marks around them. Apostrophes are left out, so
/// that "don't" is one word.
fn said(text: &str) -> Vec<String> {
    let plain = super::words::fold(text).replace('\'', "");
    let bare = |word: &str| {
        word.trim_matches(|c: char| !c.is_alphanumeric() && c != '%')
            .to_owned()
    };
    let words = plain.split([' ', ',', ';', '(', ')', '/']).map(bare);
    words.filter(|word| !word.is_empty()).collect()
}

/// Whether a word begins one of the phrases that stand anywhere.
fn begins_a_phrase(word: &str) -> bool {
    static FIRST: OnceLock<HashSet<&str>> = OnceLock::new();
    let first = FIRST.get_or_init(|| {
        let phrases = CORRECTIONS.iter().chain(&DOUBTS);
        phrases
            .filter_map(|phrase| phrase.split(' ').next())
            .collect()
    });
    first.contains(word)
}

/// The first of these phrases that stands anywhere in what was said.
fn find(said: &[String], phrases: &[&str]) -> Option<String> {
    let holds = |phrase: &&&str| {
        let first = phrase.split(' ').next();
        let begins = said.iter().enumerate();
        let mut begins = begins.filter(|(_, word)| Some(word.as_str()) == first);
        begins.any(|(at, _)| is_next(&said[at..], phrase))
    };
    phrases
        .iter()
        .find(holds)
        .map(|phrase| (*phrase).to_owned())
}

/// Whether what was said begins with a phrase.
fn is_next(said: &[String], phrase: &str) -> bool {
    let mut said = said.iter();
    phrase
        .split(' ')
        .all(|word| said.next().is_some_and(|own| own == word))
}

fn stands_elsewhere(said: &[String]) -> bool {
    ELSEWHERE.iter().any(|phrase| is_next(said, phrase))
}

/// "12 no 14": a figure, and another instead of it. "No" before a figure is the word for
/// a number as well ("8 no 10 screws"), so nothing stands behind the second one.
fn taken_back(said: &[String]) -> Option<String> {
    let figure = |word: &String| word.starts_with(|c: char| c.is_ascii_digit());
    let back = |window: &[String]| {
        let denied = window[1] == "not" || window[1] == "no" && said.ends_with(window);
        denied && figure(&window[0]) && figure(&window[2])
    };
    let window = said.windows(3).find(|window| back(window))?;
    Some(window.join(" "))
}

/// "12ish".
fn is_about_figure(word: &str) -> bool {
    let figures = word.trim_end_matches("ish").trim_end_matches('-');
    figures.len() < word.len()
        && !figures.is_empty()
        && figures.bytes().all(|b| b.is_ascii_digit() || b == b'.')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_that_are_left_open() {
        for text in [
            "3?",
            "3 (maybe 8)",
            "maybe 3",
            "3, I think",
            "12ish",
            "12-ish",
            "20 or so",
            "don't know",
            "25 Nm from memory",
            "14 or 15, check",
            "not sure, 3",
        ] {
            assert!(matches!(hedge(text), Some(Hedge::Doubted(_))), "{text}");
        }
        for text in [
            "12 no 14",
            "bag 9 too no wait 10",
            "12, no, 14",
            "14 not 12",
        ] {
            assert!(matches!(hedge(text), Some(Hedge::Corrected(_))), "{text}");
        }
        for text in [
            "ditto",
            "Same as left",
            "as above",
            "see left",
            "same again",
        ] {
            assert_eq!(hedge(text), Some(Hedge::Elsewhere), "{text}");
        }
    }

    #[test]
    fn values_that_stand() {
        for text in [
            "12",
            "4 no. coach bolts",
            "8 No 10 screws",
            "bag no 12",
            "(sure it is M8)",
            "no screws, it had none",
            "the thinker's bench",
            "finish 3",
            "in the same tin as the clips",
            "must be new",
            "check strap pin",
            "",
        ] {
            assert_eq!(hedge(text), None, "{text}");
        }
    }
}
