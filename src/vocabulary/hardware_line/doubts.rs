//! What a careful reader of hardware could not know, and what was left over.
//!
//! What is told to the person is decided where entries are read.

use super::kind_words::is_foreign;
use crate::vocabulary::bag_phrase::bag_phrase;
use crate::vocabulary::hardware::Hardware;
use crate::vocabulary::hardware_words::{is_kind, mark_word};
use crate::vocabulary::mark_phrase::denies_mark;
use crate::vocabulary::spoken_number::number_word;

/// What a careful reader of hardware could not know. Texts are as written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum HardwareDoubt {
    /// Several pieces, and no number.
    Uncounted(String),
    /// One piece, it seems, and no number: counted as one.
    CountedAsOne(String),
    /// "a handful".
    Vague(String),
    /// "about 6": taken as 6.
    About(String),
    /// "2-3".
    Range(String),
    /// "1O".
    OddNumber(String),
    /// Nothing is named: "same as the other side".
    NoPieces(String),
    /// More than one bag for the same pieces.
    SeveralBags(String),
    /// "bag", and no label.
    NoLabel,
    /// A word that was taken for "bag", and the label.
    BagSlip(String, String),
    /// Part of the pieces counted before, or further ones: "1 longer", "lost one".
    OfThoseOrMore(String),
    /// A mark that does not say which of the pieces it means.
    WhichOnes(String),
    /// A bag for some pieces, and none for this.
    NoBagSaid(String),
    /// A number that may be a length or a count: "M8 x30".
    LengthOrCount(String),
    /// Numbers or signs that were left over: "bolts/4", "each side".
    LeftOver(String),
}

/// What of a piece should have been read and was not: a number before a
/// kind or at the end, signs that join, "each side".
pub(super) fn left_over(piece: &Hardware) -> Option<String> {
    let kind = piece.fastener().kind;
    let kind = kind.written();
    let words: Vec<&str> = kind.split(' ').collect();
    let joining = |word: &str| {
        let parts: Vec<&str> = word.split('/').collect();
        let slashed = parts.len() > 1 && parts.iter().any(|part| part.len() > 2);
        let measured = parts.len() > 1 && word.bytes().any(|b| b.is_ascii_digit());
        slashed || measured || word.contains(['+', '=', '|', '?', '@', '<', '>', '*', '&'])
    };
    let numbers = |at: usize| {
        let word = words[at].trim_matches('.');
        let number = !word.is_empty() && word.bytes().all(|b| b.is_ascii_digit());
        let code = number && word.len() > 2 && at > 0 && is_kind(words[at - 1]);
        let next = words.get(at + 1).is_some_and(|next| is_kind(next));
        (number || number_word(word).is_some()) && !code && (next || at + 1 == words.len())
    };
    let told = piece.note.as_deref().unwrap_or_default().to_lowercase();
    let told: Vec<&str> = told.split(' ').collect();
    let shared = |words: &[&str]| {
        words.windows(2).any(|pair| {
            matches!(pair[0], "each" | "per" | "either" | "a")
                && matches!(pair[1], "side" | "end" | "wheel" | "corner" | "hinge")
        })
    };
    let corrected = told.contains(&"but") || told.contains(&"only");
    if shared(&words) || shared(&told) || corrected {
        return Some(piece.note.clone().unwrap_or_else(|| kind.to_owned()));
    }
    let mark = words
        .iter()
        .chain(&told)
        .enumerate()
        .find_map(|(at, word)| {
            let next = words
                .iter()
                .chain(&told)
                .nth(at + 1)
                .copied()
                .unwrap_or_default();
            let word = word.trim_matches(|c: char| !c.is_alphabetic());
            let old = matches!(
                next,
                "old" | "style" | "type" | "pattern" | "head" | "motion"
            );
            mark_word(word)
                .filter(|_| !old && !matches!(word, "cut" | "replaced" | "dropped" | "cutting"))
        });
    let denied = told
        .iter()
        .any(|word| matches!(*word, "not" | "no" | "never" | "none"));
    if mark.is_some_and(|mark| !piece.marks.contains(&mark)) && !denied {
        return Some(piece.note.clone().unwrap_or_else(|| kind.to_owned()));
    }
    // "25-32 mm": from one measure to another, which no size holds.
    let spans = |at: usize| {
        let measured = words.get(at + 1) == Some(&"mm") || words[at].ends_with("mm");
        let mut ends = words[at].trim_end_matches("mm").split('-');
        let digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
        measured && ends.clone().count() == 2 && ends.all(digits)
    };
    let odd = (0..words.len()).any(|at| joining(words[at]) || numbers(at) || spans(at));
    // "had to be drilled out", "heads chewed": are they to be bought?
    let unusable = told.iter().chain(&words).any(|word| is_unusable(word));
    let labelled = bag_phrase(piece.note.as_deref().unwrap_or_default())
        .is_some_and(|found| found.label.is_some());
    // "(2x40, 1x60)": sizes of some of them.
    let sized = told.iter().any(|word| {
        word.split_once('x').is_some_and(|(one, other)| {
            let digits = |text: &str| text.starts_with(|c: char| c.is_ascii_digit());
            digits(one) && digits(other)
        })
    });
    if sized {
        return piece.note.clone();
    }
    let denied_mark = denies_mark(piece.note.as_deref().unwrap_or_default());
    if unusable && piece.marks.is_empty() && !denied_mark || labelled {
        return Some(piece.note.clone().unwrap_or_else(|| kind.to_owned()));
    }
    let odd = odd || words.iter().any(|word| is_foreign(word)) || holds_number(&words);
    odd.then(|| kind.to_owned())
}

/// Whether a word says that a piece is no good any more, and no mark.
fn is_unusable(word: &str) -> bool {
    const WORDS: [&str; 18] = [
        "drilled",
        "chewed",
        "knackered",
        "buggered",
        "shot",
        "scrap",
        "scrapped",
        "useless",
        "duff",
        "wrecked",
        "ruined",
        "mangled",
        "destroyed",
        "burnt",
        "burned",
        "unusable",
        "binned",
        "butchered",
    ];
    WORDS.contains(&word.trim_matches(|c: char| !c.is_alphabetic()))
}

/// Whether a number or a measure is left in a kind; one behind the kind is a code: "ball
/// bearing 6203", "bulb type 2".
fn holds_number(words: &[&str]) -> bool {
    const NUMBERED: [&str; 7] = ["type", "series", "mk", "mark", "no", "number", "size"];
    (0..words.len()).any(|at| {
        let word = words[at].trim_matches(|c: char| !c.is_alphanumeric());
        let figures = word.bytes().filter(u8::is_ascii_digit).count();
        let number = figures > 0 && word.starts_with(|c: char| c.is_ascii_digit());
        let before = at.checked_sub(1).map(|before| words[before]);
        let code = figures > 2 && before.is_some_and(is_kind)
            || before.is_some_and(|before| NUMBERED.contains(&before));
        (number || number_word(word).is_some()) && !code
    })
}

/// Two sizes of which one is meant: "M8 or 5/16".
pub(super) fn either_size(text: &str) -> Option<String> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let measured = |word: &&str| {
        let small = word.to_lowercase();
        let bare = small.trim_start_matches(['m', '#', '.']);
        bare.starts_with(|c: char| c.is_ascii_digit())
    };
    let at = (1..words.len()).find(|at| words[*at].eq_ignore_ascii_case("or"))?;
    let before = words[..at]
        .iter()
        .rev()
        .take(2)
        .find(|word| measured(word))?;
    let behind = words[at + 1..].iter().take(2).find(|word| measured(word))?;
    // "5 or 6 bolts" is a number of pieces, and asked as such.
    let size = |word: &str| word.bytes().any(|b| !b.is_ascii_digit());
    let counts = at <= 2 && !size(before) && !size(behind);
    (!counts).then(|| format!("{before} or {behind}"))
}
