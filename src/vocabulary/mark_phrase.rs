//! What is said of pieces that broke, were lost or must be new: "one sheared",
//! "new ones needed", "had to cut them".
//!
//! Which pieces are meant is decided in `hardware_line`.

use super::hardware::PurchaseMark;
use super::hardware_words::{is_about, is_kind, joins_mark, mark_word, singular};
use super::spoken_number::number_word;

/// A phrase that marks pieces.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MarkPhrase {
    /// How they are marked.
    pub mark: PurchaseMark,
    /// How many of them; `None` for all.
    pub count: Option<u32>,
    /// Whether it says of all lines that they are.
    pub all: bool,
    /// Which kind it names, for one piece.
    pub kind: Option<String>,
    /// Whether the marked ones may come on top of those counted before, or
    /// it is only supposed.
    pub unsure: bool,
}

/// The words of a phrase, small and bare.
fn bare_words(phrase: &str) -> Vec<String> {
    phrase
        .to_lowercase()
        .split_whitespace()
        .map(|word| word.trim_matches(|c: char| !c.is_alphanumeric()).to_owned())
        .filter(|word| !word.is_empty())
        .collect()
}

/// The words without the tool that it was done with: "cut them off wi the grinder".
fn without_tool(mut words: Vec<String>) -> Vec<String> {
    let with = |word: &String| matches!(word.as_str(), "with" | "wi" | "w" | "using" | "by");
    let tool = |word: &String| {
        matches!(
            word.as_str(),
            "grinder"
                | "hacksaw"
                | "saw"
                | "chisel"
                | "torch"
                | "gas"
                | "drill"
                | "bolt-cutters"
                | "bolt-cutter"
                | "cutter"
                | "cutters"
                | "disc"
                | "nut-splitter"
                | "splitter"
                | "flame"
        )
    };
    if let Some(at) = words.iter().position(with).filter(|at| *at > 0)
        && words.last().is_some_and(tool)
        && words.len() - at <= 4
    {
        words.truncate(at);
    }
    words
}

/// The words without the place where a piece stayed: "one sheared off in the frame".
fn without_place(mut words: Vec<String>) -> Vec<String> {
    let broken = words.iter().position(|word| mark_word(word).is_some());
    let inside = |word: &String| matches!(word.as_str(), "in" | "inside" | "into");
    // Of all pieces it is told, and stays with them as a note.
    let counted = |word: &String| number_word(word).is_some() || word.parse::<u32>().is_ok();
    // "lost one in the grass"
    let behind = |at: usize| words.get(at + 1).is_some_and(counted);
    if let Some(broken) = broken.filter(|at| words[..*at].iter().any(counted) || behind(*at))
        && let Some(at) = words[broken..].iter().position(inside)
        && words.len() - broken - at <= 4
    {
        words.truncate(broken + at);
    }
    words
}

/// Whether a phrase says that something is not so.
fn denies(words: &[String]) -> bool {
    const NOT: [&str; 10] = [
        "not", "no", "none", "don't", "dont", "never", "cannot", "can't", "isn't", "without",
    ];
    words.iter().any(|word| NOT.contains(&word.as_str()))
}

/// Reads a phrase that says nothing but a mark.
#[must_use]
pub fn mark_phrase(phrase: &str) -> Option<MarkPhrase> {
    let words = without_place(without_tool(bare_words(phrase)));
    let whole = |mark| MarkPhrase {
        mark,
        count: None,
        all: true,
        kind: None,
        unsure: phrase.contains('?'),
    };
    let says = |wanted: &[&str]| words.iter().any(|word| wanted.contains(&word.as_str()));
    if denies(&words) {
        let reuse = says(&["reuse", "re-use", "reusable", "reused", "again"]);
        let found = says(&["find", "found"]);
        return if reuse {
            Some(whole(PurchaseMark::New))
        } else if found && words.len() <= 4 {
            Some(whole(PurchaseMark::Lost))
        } else {
            None
        };
    }
    if words == ["single", "use"] || words == ["use", "once"] || words == ["one", "use"] {
        return Some(whole(PurchaseMark::New));
    }
    let thread = says(&["thread", "threads"]);
    if thread
        && says(&["gone", "knackered", "ruined", "damaged", "worn", "bad"])
        && words.len() <= 4
    {
        return Some(whole(PurchaseMark::Stripped));
    }
    let at = words.iter().position(|word| mark_word(word).is_some())?;
    let mark = mark_word(&words[at])?;
    // A later word may say it more exactly: "one missing, needs new" is two.
    let number = |word: &String| {
        number_word(word).or_else(|| word.parse().ok().filter(|count: &u32| *count < 1000))
    };
    let before = words[..at].iter().find_map(number);
    let behind = words[at + 1..].iter().find_map(number);
    let behind = behind.filter(|_| mark != PurchaseMark::New);
    let mut kind = None;
    for (place, word) in words.iter().enumerate() {
        if is_kind(word) && !joins_mark(word) {
            kind = Some((place, singular(word)));
        } else if place != at
            && !joins_mark(word)
            && number(word).is_none()
            && mark_word(word).is_none()
            && !is_about(word)
        {
            return None;
        }
    }
    let count = before.or(behind);
    let some = says(&["some", "few", "most", "half", "several"]);
    let supposed = some || phrase.contains('?') || words.iter().any(|word| is_about(word));
    // "1 sheared bolt" may be a further one; "one bolt sheared" is one of them.
    let further = kind.as_ref().is_some_and(|(place, _)| *place > at);
    Some(MarkPhrase {
        mark,
        count,
        all: words.iter().any(|word| word == "all" || word == "both"),
        kind: kind.map(|(_, kind)| kind),
        unsure: supposed || count.is_some() && (mark == PurchaseMark::Lost || further),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn phrases_that_mark() {
        for (phrase, mark, count, unsure) in [
            ("new", PurchaseMark::New, None, false),
            ("new ones needed", PurchaseMark::New, None, false),
            ("need new", PurchaseMark::New, None, false),
            ("to be replaced", PurchaseMark::New, None, false),
            ("do not reuse", PurchaseMark::New, None, false),
            ("single use", PurchaseMark::New, None, false),
            ("one sheared", PurchaseMark::Sheared, Some(1), false),
            ("2 of them stripped", PurchaseMark::Stripped, Some(2), false),
            (
                "one bolt snapped off",
                PurchaseMark::Sheared,
                Some(1),
                false,
            ),
            ("1 sheared bolt", PurchaseMark::Sheared, Some(1), true),
            ("had to cut them", PurchaseMark::Cut, None, false),
            ("all stripped", PurchaseMark::Stripped, None, false),
            ("lost one", PurchaseMark::Lost, Some(1), true),
            ("lost one in the grass", PurchaseMark::Lost, Some(1), true),
            (
                "dropped 2 into the chassis",
                PurchaseMark::Lost,
                Some(2),
                true,
            ),
            ("missing one", PurchaseMark::Lost, Some(1), true),
            ("stripped?", PurchaseMark::Stripped, None, true),
            ("half of them broken", PurchaseMark::Sheared, None, true),
            ("some broken", PurchaseMark::Sheared, None, true),
            (
                "cut them off wi the grinder",
                PurchaseMark::Cut,
                None,
                false,
            ),
            (
                "had to cut both with a hacksaw",
                PurchaseMark::Cut,
                None,
                false,
            ),
            (
                "one sawn off using the disc cutter",
                PurchaseMark::Cut,
                Some(1),
                false,
            ),
            ("threads gone", PurchaseMark::Stripped, None, false),
            (
                "one sheared off in the frame",
                PurchaseMark::Sheared,
                Some(1),
                false,
            ),
            (
                "two snapped inside the hub",
                PurchaseMark::Sheared,
                Some(2),
                false,
            ),
        ] {
            let read = mark_phrase(phrase).expect(phrase);
            assert_eq!(
                (read.mark, read.count, read.unsure),
                (mark, count, unsure),
                "{phrase}"
            );
        }
        for none in [
            "ok to reuse",
            "not stripped",
            "no new ones needed",
            "new old stock",
            "zinc plated",
            "cut washer type",
            "behind the bracket",
            "",
        ] {
            assert_eq!(mark_phrase(none), None, "{none}");
        }
    }
}
