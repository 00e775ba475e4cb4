//! How strong a piece of hardware is said to be: a grade or a property class.
//!
//! What that means in figures stands in the handbook.

use std::fmt;
use std::ops::Range;

use serde::{Deserialize, Serialize};

/// A grade or class, by its name.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Grade {
    /// Of inch hardware: `5`, `8`, `5.2`.
    Grade(String),
    /// Of metric hardware: `8.8`, `10`, `A2-70`.
    Class(String),
}

/// Property classes of bolts that people write without the word: no other
/// figure of hardware looks like them.
const CLASSES: [&str; 10] = [
    "3.6", "4.6", "4.8", "5.6", "5.8", "6.8", "8.8", "9.8", "10.9", "12.9",
];

/// Stainless ones.
const STAINLESS: [&str; 12] = [
    "a1", "a2", "a3", "a4", "a5", "a2-50", "a2-70", "a2-80", "a4-50", "a4-70", "a4-80", "a4-100",
];

/// Those of nuts, one figure each.
const NUTS: [&str; 7] = ["4", "5", "6", "8", "9", "10", "12"];

impl Grade {
    /// The grade or class with this name, the word before it or not: `grade 5`,
    /// `gr. 8`, `8.8`, `class 10`.
    #[must_use]
    pub fn read(text: &str) -> Option<Grade> {
        let text = text.trim();
        let whole = |found: &(Grade, Range<usize>)| found.1 == (0..text.len());
        let found = Grade::said(text).or_else(|| Grade::bare(text));
        found.filter(whole).map(|(grade, _)| grade)
    }

    /// The first grade or class that is called so in a text in plain signs
    /// (`gr. 8`), and where it stands.
    #[must_use]
    pub fn said(text: &str) -> Option<(Grade, Range<usize>)> {
        let lower = text.to_ascii_lowercase();
        let mut words = pieces(&lower).peekable();
        while let Some((start, word)) = words.next() {
            let (Some(said), glued) = split(word) else {
                continue;
            };
            let (name, end) = match (glued, words.peek()) {
                ("", Some((next, name))) => (*name, next + name.len()),
                ("", None) => continue,
                (glued, _) => (glued, start + word.len()),
            };
            if let Some(grade) = named(said, name) {
                return Some((grade, start..end));
            }
        }
        None
    }

    /// The first class that stands in a text without the word for it (`8.8`),
    /// and where. Look for sizes first: `4.8 x 9` is a rivet.
    #[must_use]
    pub fn bare(text: &str) -> Option<(Grade, Range<usize>)> {
        let lower = text.to_ascii_lowercase();
        pieces(&lower)
            .find(|(_, word)| CLASSES.contains(word) || STAINLESS.contains(word))
            .map(|(start, word)| {
                let span = start..start + word.len();
                (Grade::Class(word.to_uppercase()), span)
            })
    }
}

/// Words of a text with where they begin; signs at their ends are no part.
fn pieces(text: &str) -> impl Iterator<Item = (usize, &str)> {
    text.split_whitespace().map(|word| {
        let start = word.as_ptr() as usize - text.as_ptr() as usize;
        let bare = word.trim_start_matches(['(', ',']);
        let start = start + word.len() - bare.len();
        (start, bare.trim_end_matches([',', ')', ';', ':']))
    })
}

/// Which word says that a grade follows.
#[derive(Clone, Copy, PartialEq, Eq)]
enum GradeWord {
    Grade,
    Class,
}

/// `gr.8` into its word and what is glued to it.
fn split(word: &str) -> (Option<GradeWord>, &str) {
    const WORDS: [(&str, GradeWord); 8] = [
        ("grade", GradeWord::Grade),
        ("grd", GradeWord::Grade),
        ("gr", GradeWord::Grade),
        ("sae", GradeWord::Grade),
        ("class", GradeWord::Class),
        ("cl", GradeWord::Class),
        ("klasse", GradeWord::Class),
        ("kl", GradeWord::Class),
    ];
    for (known, said) in WORDS {
        if let Some(rest) = word.strip_prefix(known) {
            let rest = rest.strip_prefix(['.', '-']).unwrap_or(rest);
            if rest.is_empty() || rest.starts_with(|c: char| c.is_ascii_digit()) {
                return (Some(said), rest);
            }
        }
    }
    match word.strip_prefix('g') {
        // "G8" on American bolts; "G1" is a pipe thread.
        Some(grade @ ("2" | "5" | "8")) => (Some(GradeWord::Grade), grade),
        Some(_) | None => (None, word),
    }
}

fn named(said: GradeWord, name: &str) -> Option<Grade> {
    if CLASSES.contains(&name) || STAINLESS.contains(&name) {
        return Some(Grade::Class(name.to_uppercase()));
    }
    let mut signs = name.bytes();
    let (first, point, last) = (signs.next(), signs.next(), signs.next());
    let digit = |sign: Option<u8>| sign.is_some_and(|sign| sign.is_ascii_digit());
    let number = name.len() == 1 && digit(first)
        || name.len() == 3 && digit(first) && point == Some(b'.') && digit(last);
    let letter = name.len() == 1 && first.is_some_and(|sign| sign.is_ascii_alphabetic());
    match said {
        GradeWord::Grade if number || letter => Some(Grade::Grade(name.to_uppercase())),
        GradeWord::Class if NUTS.contains(&name) => Some(Grade::Class(name.to_owned())),
        GradeWord::Grade | GradeWord::Class => None,
    }
}

impl fmt::Display for Grade {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Grade::Grade(name) => write!(f, "grade {name}"),
            Grade::Class(name) => write!(f, "class {name}"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn grades_and_classes_as_people_write_them() {
        for (text, shown) in [
            ("grade 5", "grade 5"),
            ("Gr. 8", "grade 8"),
            ("gr8", "grade 8"),
            ("G8", "grade 8"),
            ("SAE 5", "grade 5"),
            ("Grade 8.2", "grade 8.2"),
            ("8.8", "class 8.8"),
            ("grade 8.8", "class 8.8"),
            ("class 10.9", "class 10.9"),
            ("cl. 10", "class 10"),
            ("A2-70", "class A2-70"),
        ] {
            let grade = Grade::read(text).expect(text);
            assert_eq!(grade.to_string(), shown, "{text}");
            assert_eq!(Grade::read(&grade.to_string()), Some(grade), "{text}");
        }
        for none in [
            "",
            "grade",
            "grease 5",
            "8",
            "class clown",
            "iso",
            "class M8",
            "10.5",
        ] {
            assert_eq!(Grade::read(none), None, "{none}");
        }
        assert_eq!(
            Grade::said("bolt (gr 5), blue").map(|(_, span)| span),
            Some(6..10)
        );
        assert_eq!(Grade::said("iso 4014 bolt, class 4711"), None);
        // The word before the word goes with it when the kind is read.
        assert!(Grade::said("SAE grade 5").is_some());
    }
}
