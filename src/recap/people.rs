//! Who is in it: for each of those who helped, the sentence with which the journal
//! brings them in.

use std::collections::{BTreeMap, BTreeSet};

use super::draft::Appearing;
use super::material::Material;
use super::moments::{Sentence, Voice};
use crate::entry::spoken_words;
use crate::vocabulary::words::{is_stop_word, words};

/// A sentence of more words is a story and no introduction.
const BREATH: usize = 30;

/// For each of those who ever helped, the first sentence that names them, if it begins
/// with them: "Ann from the mill came over", "My brother Bob, twelve, held the lamp".
/// Only sources that `may` be told are quoted. Gives the moment, and which of its sentences.
#[must_use]
pub fn introductions<'m>(
    material: &'m Material<'_>,
    may: &[bool],
) -> BTreeMap<&'m str, (usize, usize)> {
    let helpers = material
        .sources
        .iter()
        .flat_map(|source| &source.entry.helpers);
    let mut unseen: BTreeSet<&str> = helpers.map(String::as_str).collect();
    unseen.retain(|name| is_name(name));
    let mut found = BTreeMap::new();
    let prose = material.moments.iter().enumerate();
    for (moment, own) in prose.filter(|(_, own)| own.voice == Voice::Prose) {
        for (sentence, one) in own.sentences.iter().enumerate() {
            // Most sentences name nobody, which is soon seen.
            let is_named = |name: &&str| one.text.contains(name) && says(one, name);
            let named: Vec<&str> = unseen.iter().copied().filter(is_named).collect();
            for name in named {
                unseen.remove(name);
                let is_free = may[own.source] && !own.held_back;
                if is_free && begins_with(one, name) && spoken_words(&one.text) <= BREATH {
                    found.insert(name, (moment, sentence));
                }
            }
        }
    }
    found
}

/// Those who appear in these moments: helpers of whom they speak, and whoever the
/// journal says must be asked.
#[must_use]
pub fn appearing(material: &Material<'_>, told: &BTreeSet<usize>) -> Vec<Appearing> {
    let mut found: BTreeMap<&str, Appearing> = BTreeMap::new();
    for moment in told {
        let source = material.source(*moment);
        let sentences = &material.moments[*moment].sentences;
        let is_spoken_of = |name: &&String| sentences.iter().any(|one| says(one, name));
        let helpers = source.entry.helpers.iter().filter(is_spoken_of);
        let helpers = helpers.map(|name| (name.as_str(), false));
        for (name, ask) in helpers.chain(source.asks().map(|name| (name, true))) {
            let own = found.entry(name).or_default();
            own.name = name.to_owned();
            own.ask |= ask;
            own.entries.insert(source.when.entry.clone());
        }
    }
    found.into_values().collect()
}

/// Whether a helper was written down by name: not "my sister", "two men".
fn is_name(helper: &str) -> bool {
    let mut letters = helper.chars();
    letters.next().is_some_and(char::is_uppercase)
        && letters.all(char::is_alphabetic)
        && !is_stop_word(&helper.to_lowercase())
}

/// Whether a sentence speaks of someone as a helper is written: a name with its capital,
/// "my sister" also at the beginning.
#[must_use]
pub fn says(sentence: &Sentence, helper: &str) -> bool {
    let split = |text: &str| -> Vec<String> {
        let all = text.split(|c: char| !c.is_alphanumeric());
        let words = all.filter(|word| !word.is_empty());
        words.map(str::to_owned).collect()
    };
    let (said, wanted) = (split(&sentence.text), split(helper));
    let is_same = |(said, wanted): (&String, &String)| {
        let is_name = wanted.starts_with(char::is_uppercase);
        said == wanted || !is_name && said.to_lowercase() == *wanted
    };
    let mut rows = said.windows(wanted.len().max(1));
    !wanted.is_empty() && rows.any(|row| row.iter().zip(&wanted).all(is_same))
}

/// Whether the first thing a sentence says is a name, or whose they are and then it.
fn begins_with(sentence: &Sentence, name: &str) -> bool {
    let name = name.to_lowercase();
    let first: Vec<String> = words(&sentence.text).take(3).collect();
    match &first[..] {
        [one, ..] if *one == name => true,
        [ours, _, one] if *one == name => ours == "my" || ours == "our",
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn people_are_brought_in_by_sentences_that_begin_with_them() {
        for (text, expected) in [
            ("Ann from the mill came over.", true),
            ("My brother Ann, twelve, held the lamp.", true),
            ("I asked Ann.", false),
            ("Annie came.", false),
        ] {
            let sentence = Sentence {
                text: text.to_owned(),
                line: 1,
            };
            assert_eq!(begins_with(&sentence, "Ann"), expected, "{text}");
        }
    }

    #[test]
    fn helpers_are_spoken_of_as_they_are_written() {
        for (text, helper, expected) in [
            ("I asked Will about it.", "Will", true),
            ("I asked will he come.", "Will", false),
            ("Willow bark helps.", "Will", false),
            ("My sister laughed.", "my sister", true),
            ("My other sister laughed.", "my sister", false),
            ("Nobody came.", "", false),
        ] {
            let sentence = Sentence {
                text: text.to_owned(),
                line: 1,
            };
            assert_eq!(says(&sentence, helper), expected, "{text}");
        }
    }

    #[test]
    fn not_every_helper_has_a_name() {
        for (helper, expected) in [
            ("Jonas", true),
            ("my sister", false),
            ("The neighbours", false),
            ("", false),
        ] {
            assert_eq!(is_name(helper), expected, "{helper}");
        }
    }
}
