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

/// The words with "cut" for what a drill, a grinder or a flame does to a piece that will not
/// come undone: "drilled them out", "burnt off".
fn with_cut(mut words: Vec<String>) -> Vec<String> {
    const VERBS: [&str; 12] = [
        "drilled",
        "drill",
        "ground",
        "grind",
        "burnt",
        "burned",
        "burn",
        "torched",
        "gassed",
        "chiselled",
        "chiseled",
        "hacked",
    ];
    let away = |word: &String| matches!(word.as_str(), "out" | "off" | "away" | "through");
    if let Some(at) = words.iter().position(|word| VERBS.contains(&word.as_str()))
        && words[at..].iter().any(away)
    {
        words[at] = "cut".to_owned();
    }
    words
}

/// What people call a thread that does not hold any more.
const BAD_THREAD: [&str; 14] = [
    "gone",
    "knackered",
    "ruined",
    "damaged",
    "worn",
    "bad",
    "shot",
    "buggered",
    "bust",
    "stripped",
    "chewed",
    "mangled",
    "poor",
    "crossed",
];

/// The words without what somebody did or where it stayed: "broken getting it off",
/// "snapped off flush".
fn without_tale(mut words: Vec<String>) -> Vec<String> {
    const TALES: [&str; 14] = [
        "getting", "taking", "undoing", "removing", "trying", "coming", "pulling", "when", "while",
        "flush", "level", "clean", "during", "whilst",
    ];
    let broken = words.iter().position(|word| mark_word(word).is_some());
    if let Some(broken) = broken
        && let Some(at) = words[broken..]
            .iter()
            .position(|word| TALES.contains(&word.as_str()))
        && at > 0
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

/// Whether a phrase only says that nothing broke and nothing is to be bought: "none
/// lost", "no new ones needed".
#[must_use]
pub fn denies_mark(phrase: &str) -> bool {
    let words = bare_words(phrase);
    let joins = |word: &String| {
        mark_word(word).is_some() || joins_mark(word) || is_kind(word) || word == "none"
    };
    denies(&words)
        && mark_phrase(phrase).is_none()
        && words.iter().any(|word| mark_word(word).is_some())
        && words.iter().all(joins)
}

/// Reads a phrase that says nothing but a mark.
#[must_use]
pub fn mark_phrase(phrase: &str) -> Option<MarkPhrase> {
    let words = without_tale(without_place(without_tool(with_cut(bare_words(phrase)))));
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
    // A later word may say it more exactly: "one missing, needs new" is two.
    let number = |word: &String| {
        number_word(word).or_else(|| word.parse().ok().filter(|count: &u32| *count < 1000))
    };
    if says(&["thread", "threads"]) && says(&BAD_THREAD) && words.len() <= 6 {
        let other = |word: &String| {
            !joins_mark(word) && number(word).is_none() && !BAD_THREAD.contains(&word.as_str())
        };
        return (!words.iter().any(other)).then(|| MarkPhrase {
            count: words.iter().find_map(number),
            ..whole(PurchaseMark::Stripped)
        });
    }
    let at = words.iter().position(|word| mark_word(word).is_some())?;
    let mark = mark_word(&words[at])?;
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
        // "Missing one" may be one that was never there; "one missing" is one of them.
        unsure: supposed
            || count.is_some()
                && (further || behind == count && before.is_none() && words[at] == "missing"),
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
            ("lost one", PurchaseMark::Lost, Some(1), false),
            ("lost one in the grass", PurchaseMark::Lost, Some(1), false),
            ("3 missing", PurchaseMark::Lost, Some(3), false),
            ("drilled em all out", PurchaseMark::Cut, None, false),
            ("had to be drilled out", PurchaseMark::Cut, None, false),
            ("one burnt off", PurchaseMark::Cut, Some(1), false),
            (
                "threads gone on one",
                PurchaseMark::Stripped,
                Some(1),
                false,
            ),
            ("1 thread knackered", PurchaseMark::Stripped, Some(1), false),
            ("2 with bad threads", PurchaseMark::Stripped, Some(2), false),
            ("all to be bought new", PurchaseMark::New, None, false),
            ("want replacing", PurchaseMark::New, None, false),
            (
                "2 broken getting it off",
                PurchaseMark::Sheared,
                Some(2),
                false,
            ),
            (
                "one snapped off flush",
                PurchaseMark::Sheared,
                Some(1),
                false,
            ),
            (
                "dropped 2 into the chassis",
                PurchaseMark::Lost,
                Some(2),
                false,
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
        for denied in [
            "none lost",
            "no new ones needed",
            "not broken",
            "none missing",
        ] {
            assert!(denies_mark(denied), "{denied}");
        }
        for other in [
            "do not reuse",
            "one lost",
            "no. 8 screws",
            "not found",
            "none",
        ] {
            assert!(!denies_mark(other), "{other}");
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
