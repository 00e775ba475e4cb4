//! Words that different shops use for the same thing: both sides of the ocean,
//! old and new workshop speech.
//!
//! The words stand in `parts` and, where they name no part, in `shop_words.txt`.
//! It does not translate: a word that means something else across the ocean (a
//! false friend) is left out, because a synonym must never make a search worse.

use std::collections::HashMap;
use std::sync::OnceLock;

use super::parts::{names, parts};
use crate::vocabulary::words;

/// Words for one thing, folded: any of them finds all the others.
type Group = Vec<&'static str>;

/// All groups of words for one thing, folded.
#[must_use]
pub fn same_words() -> Vec<Vec<&'static str>> {
    groups().to_vec()
}

/// The stem of the first word of its group, for the stem of a word that names a thing, a
/// material or work and no part: "gasoline" is "petrol".
#[must_use]
pub fn first_of_group(stemmed: &str) -> Option<&'static str> {
    static FIRST: OnceLock<HashMap<String, String>> = OnceLock::new();
    let first = FIRST.get_or_init(|| {
        let groups = read(include_str!("shop_words.txt"));
        let single = |name: &&str| !name.contains(' ');
        let groups = groups.filter(|group| single(&group[0]));
        let pairs = groups.flat_map(|group| {
            let first = words::stem(group[0]);
            let others: Vec<&str> = group.into_iter().skip(1).filter(single).collect();
            others
                .into_iter()
                .map(move |other| (words::stem(other), first.clone()))
        });
        pairs.collect()
    });
    first.get(stemmed).map(String::as_str)
}

/// All groups: parts with several names, and the other words of `shop_words.txt`.
fn groups() -> &'static [Group] {
    static GROUPS: OnceLock<Vec<Group>> = OnceLock::new();
    GROUPS.get_or_init(|| {
        let parts = parts().iter().map(|part| part.names.clone());
        parts
            .chain(read(include_str!("shop_words.txt")))
            .filter(|group| group.len() > 1)
            .collect()
    })
}

/// The groups of `everyday_words.txt`, for whole sentences.
fn everyday_groups() -> &'static [Group] {
    static GROUPS: OnceLock<Vec<Group>> = OnceLock::new();
    GROUPS.get_or_init(|| read(include_str!("everyday_words.txt")).collect())
}

/// Names with their groups, by the letters with which they begin: a sentence looks for
/// each of its words among thousands.
type NamesByBeginning = HashMap<&'static str, Vec<(&'static str, &'static [&'static str])>>;

fn by_beginning(groups: impl Iterator<Item = &'static [&'static str]>) -> NamesByBeginning {
    let mut names = NamesByBeginning::new();
    for group in groups {
        for name in group {
            let first = name.split(' ').next().unwrap_or_default();
            let begin_so = names.entry(beginning(first)).or_default();
            begin_so.push((name, group));
        }
    }
    names
}

/// All names of shops, and what is kept together.
fn shop_names() -> &'static NamesByBeginning {
    static NAMES: OnceLock<NamesByBeginning> = OnceLock::new();
    let kept = KEPT_TOGETHER.iter().map(std::slice::from_ref);
    NAMES.get_or_init(|| by_beginning(groups().iter().map(Vec::as_slice).chain(kept)))
}

/// All everyday names.
fn everyday_names() -> &'static NamesByBeginning {
    static NAMES: OnceLock<NamesByBeginning> = OnceLock::new();
    NAMES.get_or_init(|| by_beginning(everyday_groups().iter().map(Vec::as_slice)))
}

/// The groups of a table, one a line.
fn read(table: &'static str) -> impl Iterator<Item = Group> {
    let lines = table.lines();
    let lines = lines.filter(|line| !line.is_empty() && !line.starts_with(['#', '/']));
    lines.map(names)
}

/// How a question is put.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum QuestionForm {
    /// As key words, meant as they are typed.
    KeyWords,
    /// As a whole sentence, in everyday words.
    Sentence,
}

/// What the handbook knows about the beginning of some words.
#[derive(Debug, PartialEq, Eq)]
pub struct ShopWordMatch {
    /// How many of the words it is about.
    pub length: usize,
    /// The stems of each other name; none for words that only must be kept
    /// together.
    pub others: Vec<Vec<String>>,
    /// The stems of everyday words for it, for a sentence.
    pub everyday: Vec<Vec<String>>,
    /// Whether the words say nothing of it one by one: "give up", "out of date".
    pub is_phrase: bool,
}

/// What the given stems begin with, if the handbook knows it: the longest run
/// of them that is a name for something.
#[must_use]
pub fn synonyms(asked: &[String], form: QuestionForm) -> Option<ShopWordMatch> {
    let of_shops = names_at(asked, shop_names());
    let everyday = match form {
        QuestionForm::KeyWords => Vec::new(),
        QuestionForm::Sentence => names_at(asked, everyday_names()),
    };
    let longest = |known: &[KnownName]| known.iter().map(|(own, _)| own.len()).max();
    let of_shops_longest = longest(&of_shops);
    let length = of_shops_longest.max(longest(&everyday))?;
    let own = &asked[..length];
    // A shorter way to say the same ("starter" for "starter motor") would let a
    // question for all words be answered by some of them.
    let says_less = |other: &[String]| other.iter().all(|word| own.contains(word));
    let others = |known: Vec<KnownName>| {
        let same = known.into_iter().filter(|(name, _)| name.len() == length);
        let mut others: Vec<Vec<String>> = same
            .flat_map(|(_, group)| group.iter().map(|other| stems(other)))
            .filter(|other| !says_less(other))
            .collect();
        others.sort();
        others.dedup();
        others
    };
    Some(ShopWordMatch {
        length,
        others: others(of_shops),
        everyday: others(everyday),
        is_phrase: length > 1 && of_shops_longest != Some(length),
    })
}

/// A name of a group as stems, and the group.
type KnownName = (Vec<String>, &'static [&'static str]);

/// The names among these with which the stems begin, as stems.
fn names_at(asked: &[String], names: &NamesByBeginning) -> Vec<KnownName> {
    let Some(first) = asked.first() else {
        return Vec::new();
    };
    let begin_so = names.get(beginning(first)).into_iter().flatten();
    begin_so
        .filter(|(name, _)| name.split(' ').next().map(words::stem).as_ref() == Some(first))
        .map(|(name, group)| (stems(name), *group))
        .filter(|(own, _)| asked.starts_with(own))
        .collect()
}

/// As much of a stem, or a word, as both have: two letters, as `pry` has the stem `pri`.
fn beginning(stem: &str) -> &str {
    let end = stem.char_indices().nth(2).map_or(stem.len(), |(at, _)| at);
    &stem[..end]
}

fn stems(words: &str) -> Vec<String> {
    words.split(' ').map(words::stem).collect()
}

/// FALSE FRIENDS in company: here the first word does not mean what it means
/// alone, so it is not to be exchanged.
pub const KEPT_TOGETHER: &[&str] = &[
    "wing bolt",
    "wing screw",
    "ground clearance",
    "ground coat",
    "ground down",
    "ground off",
    "ground flat",
    "vice versa",
    "welding torch",
    "cutting torch",
    "gas torch",
    "steering damper",
    "vibration damper",
    "damper pulley",
    "steel toe boot",
    "work boot",
    "serial number plate",
    "wear indicator",
];

#[cfg(test)]
mod tests {
    use std::collections::HashMap;

    use super::*;

    fn stemmed(text: &str) -> Vec<String> {
        words::words(text).map(|word| words::stem(&word)).collect()
    }

    /// The other names that the beginning of a text has, as stems.
    fn others(text: &str) -> Vec<String> {
        let stems = stemmed(text);
        let known =
            synonyms(&stems, QuestionForm::KeyWords).map_or(Vec::new(), |known| known.others);
        let mut others: Vec<_> = known.iter().map(|stems| stems.join(" ")).collect();
        others.sort();
        others
    }

    #[test]
    fn the_table_is_large_folded_and_says_nothing_twice() {
        assert!(groups().len() >= 140, "{} groups", groups().len());
        let named = groups().iter().flatten();
        let mut seen = HashMap::new();
        let mut twice = Vec::new();
        for text in named.chain(KEPT_TOGETHER) {
            assert_eq!(*text, words::words(text).collect::<Vec<_>>().join(" "));
            assert!(text.starts_with(beginning(&stems(text)[0])), "{text}");
            if let Some(before) = seen.insert(stems(text), text) {
                twice.push((before, text));
            }
        }
        assert!(twice.is_empty(), "the same: {twice:?}");
    }

    /// A question leaves joining words out before it looks for other names; such
    /// a name is found when it is written with hyphens.
    #[test]
    fn hardly_a_name_has_a_joining_word() {
        let joined: Vec<_> = groups()
            .iter()
            .flatten()
            .filter(|text| text.split(' ').any(words::is_stop_word))
            .collect();
        assert_eq!(joined, [&"oil pick up", &"toe in"]);
    }

    #[test]
    fn every_word_finds_all_the_others_and_is_found_by_them() {
        for group in groups() {
            for word in group {
                let stems = stemmed(word);
                let known = synonyms(&stems, QuestionForm::KeyWords)
                    .unwrap_or_else(|| panic!("{word} is unknown"));
                assert_eq!(known.length, stems.len(), "{word}");
                for other in group {
                    let other = stemmed(other);
                    let says_less = other.iter().all(|word| stems.contains(word));
                    let found = known.others.contains(&other);
                    assert_eq!(found, !says_less, "{word}: {other:?}");
                }
            }
        }
    }

    #[test]
    fn the_longest_name_wins() {
        assert_eq!(others("shock absorbers"), ["damper"]);
        assert_eq!(others("gudgeon pin circlip"), ["piston pin", "wrist pin"]);
        assert_eq!(others("wing"), ["fender", "mudguard"]);
        assert_eq!(others("wing nuts"), ["butterfli nut"]);
        assert_eq!(
            others("fender washer"),
            ["mudguard washer", "penni washer", "repair washer"]
        );
    }

    #[test]
    fn everyday_words_are_for_whole_sentences() {
        let asked = stemmed("mend the crack");
        assert_eq!(synonyms(&asked, QuestionForm::KeyWords), None);
        let known = synonyms(&asked, QuestionForm::Sentence).expect("known");
        assert!(known.everyday.contains(&stemmed("repair")) && known.length == 1);
        let known = synonyms(&stemmed("took off"), QuestionForm::Sentence);
        assert!(known.is_some_and(|known| known.length == 2));
        let known = synonyms(&stemmed("take off the hub"), QuestionForm::Sentence);
        let known = known.expect("known");
        assert!(known.is_phrase && known.everyday.contains(&stemmed("remove")));
    }

    #[test]
    fn everyday_words_are_folded_and_say_nothing_twice_in_a_line() {
        for group in everyday_groups() {
            assert!(group.len() > 1, "{group:?}");
            let mut seen = std::collections::BTreeSet::new();
            for name in group {
                assert_eq!(*name, words::words(name).collect::<Vec<_>>().join(" "));
                assert!(seen.insert(stems(name)), "{name} twice");
            }
        }
    }

    #[test]
    fn false_friends_are_left_alone() {
        for text in [
            "gas",
            "ground clearance",
            "welding torch",
            "set screw",
            "points",
            "filler",
            "undercoat",
            "steering damper",
            "shock",
            "rocker",
            "motor",
            "spindle",
            "vice versa",
        ] {
            assert!(others(text).is_empty(), "{text}: {:?}", others(text));
        }
        assert!(!others("hood").contains(&"soft top".to_owned()));
    }
}
