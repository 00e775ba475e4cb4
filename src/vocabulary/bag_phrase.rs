//! The bag in a phrase about hardware, in whatever words: "in bag #12",
//! "bag12", "zip bag B7", "tin 3".
//!
//! Which pieces it holds is decided in `hardware_line`.

use super::hardware_words::{is_bag, is_bag_kind, is_container, is_kind, mark_word};
use super::label::BagLabel;
use super::spoken_number::number_word;
use super::words::{is_stop_word, one_slip};

/// A phrase parted at its bag.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BagPhrase {
    /// The words before it.
    pub before: String,
    /// The bag; `None` where none is named.
    pub label: Option<BagLabel>,
    /// The words behind it.
    pub after: String,
    /// Why it is not sure.
    pub doubt: Option<BagDoubt>,
    /// Whether it is said of all pieces: "all in bag 9".
    pub for_all: bool,
}

/// Why a bag is not sure.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum BagDoubt {
    /// "bag 12 or 13", as written.
    Several(String),
    /// "bag" and no label.
    NoLabel,
    /// A word that was taken for "bag".
    Slip(String),
}

/// The first bag in a phrase in plain signs; `None` where no bag is said.
#[must_use]
pub fn bag_phrase(phrase: &str) -> Option<BagPhrase> {
    let spread = spread(phrase);
    let words: Vec<&str> = spread.split_whitespace().collect();
    let small: Vec<String> = words.iter().map(|word| plain(word)).collect();
    // "2 chains, jam jar": nothing else is said behind the comma.
    if let [first, .., last] = small.as_slice()
        && small.len() == 2
        && is_container(last)
        && first.chars().all(char::is_alphabetic)
        && named_from(&small, 1) == 0
        && number_word(first).is_none()
        && !matches!(first.as_str(), "in" | "into" | "the" | "a" | "an" | "my")
    {
        return Some(BagPhrase {
            before: String::new(),
            label: Some(BagLabel::new(&words.join(" "))),
            after: String::new(),
            doubt: None,
            for_all: false,
        });
    }
    (0..words.len()).find_map(|at| bag_at(&words, &small, at))
}

/// "bag12", "bag#12", "bag:" with a gap behind the word.
fn spread(phrase: &str) -> String {
    let lower = phrase.to_ascii_lowercase();
    let mut out = String::with_capacity(phrase.len() + 4);
    let mut from = 0;
    for (at, word) in lower.match_indices("bag") {
        let end = at + word.len();
        let starts = !lower[..at].ends_with(char::is_alphanumeric);
        let glued = lower[end..].starts_with(|c: char| {
            c.is_ascii_digit() || matches!(c, '#' | ':' | '=' | '-' | '.' | '"' | '\'')
        });
        if starts && glued {
            out.push_str(&phrase[from..end]);
            out.push(' ');
            from = end;
            from += lower[end..]
                .chars()
                .take_while(|c| matches!(c, ':' | '=' | '-' | '.'))
                .count();
        }
    }
    out.push_str(&phrase[from..]);
    out
}

fn plain(word: &str) -> String {
    word.to_lowercase()
        .trim_matches(|c: char| matches!(c, ':' | '=' | '.' | ',' | '(' | ')' | '"' | '\''))
        .to_owned()
}

/// Whether a word alone can be a label: a figure in it, or one letter.
fn is_short_label(word: &str) -> bool {
    let bare = word.trim_matches(|c: char| !c.is_alphanumeric());
    (bare.bytes().any(|b| b.is_ascii_digit()) && bare.len() <= 6)
        || bare.len() == 1 && !matches!(bare, "a" | "x" | "X")
}

fn bag_at(words: &[&str], small: &[String], at: usize) -> Option<BagPhrase> {
    let word = small[at].as_str();
    let next = words.get(at + 1);
    let parted = |start: usize, label: Option<&str>, end: usize, doubt: Option<BagDoubt>| {
        let (before, all_before) = without_joining(&words[..start], &small[..start]);
        let after = words[end..].join(" ");
        let joins = |w: &String| {
            matches!(
                w.as_str(),
                "all" | "together" | "of" | "them" | "the" | "lot" | "these"
            )
        };
        let all_after = small[end..].iter().any(|w| w == "all" || w == "together")
            && small[end..].iter().all(joins);
        BagPhrase {
            before,
            label: label.map(BagLabel::new),
            after: if all_after { String::new() } else { after },
            doubt,
            for_all: all_before || all_after,
        }
    };
    if word == "bags" {
        let said = words[at..].join(" ");
        let numbered = next.is_some_and(|next| is_short_label(next));
        return numbered.then(|| {
            let doubt = Some(BagDoubt::Several(said));
            parted(at, None, words.len(), doubt)
        });
    }
    if let Some(end) = without_bag(words, small, at) {
        let start = if at > 0
            && small[at - 1] != "bagged"
            && matches!(small[at - 1].as_str(), "no" | "not")
        {
            at - 1
        } else {
            at
        };
        return Some(parted(start, None, end, None));
    }
    // "ziplock bag 5" is named by its last word.
    let again = small.get(at + 1).is_some_and(|next| is_bag(next));
    // "bag tub 5" is the tub.
    if let (Some(kind), Some(label)) = (small.get(at + 1), words.get(at + 2))
        && is_bag(word)
        && is_container(kind)
        && is_short_label(label)
    {
        let label = format!("{kind} {}", bare(label));
        return Some(parted(at, Some(&label), at + 3, None));
    }
    if is_bag(word) && !again {
        return bag_with_label(words, small, at, &parted);
    }
    if is_container(word) {
        if let Some(next) = next.filter(|next| is_short_label(next)) {
            let from = named_from(small, at);
            let label = format!("{} {}", words[from..=at].join(" "), bare(next));
            return Some(parted(from, Some(&label), at + 2, None));
        }
        // "in the coffee tin"
        let opens = small[..at].iter().rposition(|w| w == "in" || w == "into")?;
        let named: Vec<&str> = words[opens + 1..=at]
            .iter()
            .copied()
            .filter(|w| !matches!(w.to_lowercase().as_str(), "the" | "a" | "an" | "my" | "old"))
            .collect();
        if at - opens > 4 || at + 1 != words.len() {
            return None;
        }
        return Some(if named.len() > 1 {
            parted(opens, Some(&named.join(" ")), at + 1, None)
        } else {
            parted(opens, None, at + 1, Some(BagDoubt::NoLabel))
        });
    }
    // "4 bolts from 3": out of that bag, as likely as not.
    let from = word == "from" || word == "of" && at > 0 && small[at - 1] == "out";
    if from && at + 2 == words.len() && at > 0 && next.is_some_and(|next| is_short_label(next)) {
        let start = if word == "of" { at - 1 } else { at };
        let doubt = BagDoubt::Slip(words[at].to_owned());
        return Some(parted(
            start,
            Some(bare(words[at + 1])),
            at + 2,
            Some(doubt),
        ));
    }
    // "2 screws b6", "1 clamp bolt, b. 10"
    let glued = word.strip_prefix('b').filter(|label| {
        !label.is_empty() && label.len() <= 3 && label.bytes().all(|b| b.is_ascii_digit())
    });
    if let Some(label) = glued.filter(|_| at + 1 == words.len()) {
        let doubt = BagDoubt::Slip("b".to_owned());
        return Some(parted(at, Some(label), at + 1, Some(doubt)));
    }
    // "baf 12", "b. 12", "in 12" at the end
    let last = at + 2 == words.len() && at > 0;
    let figures = next.is_some_and(|next| bare(next).bytes().all(|b| b.is_ascii_digit()));
    let short = figures && (word == "b" || matches!(word, "in" | "into"));
    if last && (one_slip(word, "bag") || short) && next.is_some_and(|next| is_short_label(next)) {
        let doubt = BagDoubt::Slip(words[at].to_owned());
        return Some(parted(at, Some(bare(words[at + 1])), at + 2, Some(doubt)));
    }
    None
}

/// Where the words end that say that there is no bag: "no bag yet", "not bagged",
/// "bag: none yet". "Bag no 12" and "bag no. 3" name one.
fn without_bag(words: &[&str], small: &[String], at: usize) -> Option<usize> {
    let later = |word: &String| matches!(word.as_str(), "yet" | "so" | "far" | "now" | "for");
    let denied = at > 0 && matches!(small[at - 1].as_str(), "no" | "not");
    let none = small
        .get(at + 1)
        .is_some_and(|word| matches!(word.as_str(), "none" | "yet"));
    if !is_bag(&small[at]) || !(denied || none) {
        return None;
    }
    let from = at + 1 + usize::from(none);
    let behind = small.get(from);
    // "no bag 12" is a slip for "bag no 12".
    if denied && words.get(from).is_some_and(|word| is_short_label(word)) {
        return None;
    }
    let mut end = from;
    while !words[end - 1].ends_with('.') && small.get(end).is_some_and(later) {
        end += 1;
    }
    (none && behind.is_none() || denied || end > from).then_some(end)
}

/// Where the name of a container begins that stands alone in its phrase or behind
/// "in": "jam jar", "in the tobacco tin".
fn named_from(small: &[String], at: usize) -> usize {
    let leads = |word: &String| {
        matches!(
            word.as_str(),
            "in" | "into" | "the" | "a" | "an" | "my" | "old" | "all" | "both" | "->"
        )
    };
    let from = small[..at]
        .iter()
        .rposition(leads)
        .map_or(0, |lead| lead + 1);
    let opened = from == 0
        || small[..from]
            .iter()
            .any(|word| word == "in" || word == "into");
    let names = |word: &String| {
        word.chars().all(char::is_alphabetic)
            && !word.is_empty()
            && !is_kind(word)
            && !is_bag_kind(word)
            && !is_stop_word(word)
            && mark_word(word).is_none()
    };
    let named = opened && at - from <= 2 && small[from..at].iter().all(names);
    if named { from } else { at }
}

/// Parts the words at the places where a bag begins and ends.
type Parted<'a> = dyn Fn(usize, Option<&str>, usize, Option<BagDoubt>) -> BagPhrase + 'a;

fn bag_with_label(
    words: &[&str],
    small: &[String],
    at: usize,
    parted: &Parted<'_>,
) -> Option<BagPhrase> {
    const NAMED: [&str; 8] = [
        "marked", "labelled", "labeled", "called", "named", "says", "saying", "tagged",
    ];
    const NAMING: [&str; 20] = [
        "says", "saying", "tagged", "and", "n", "no", "nr", "number", "num", "marked", "labelled",
        "labeled", "called", "named", "is", "in", "as", "->", "#", "",
    ];
    let mut from = at + 1;
    while from < words.len() && NAMING.contains(&small[from].as_str()) {
        from += 1;
    }
    let end = words.len();
    let Some(first) = words.get(from) else {
        // "bagged" alone is a word about the pieces, and names no bag.
        return (small[at] != "bagged").then(|| parted(at, None, end, Some(BagDoubt::NoLabel)));
    };
    let said = at + 1 < from && NAMED.contains(&small[from - 1].as_str());
    if is_kind(&small[from]) && !said {
        return None;
    }
    const ELSEWHERE: [&str; 9] = [
        "same",
        "above",
        "before",
        "below",
        "unknown",
        "other",
        "another",
        "separate",
        "somewhere",
    ];
    if ELSEWHERE.contains(&small[from].as_str())
        || small[from] == "?"
        || is_stop_word(&small[from]) && !is_short_label(first)
    {
        return Some(parted(at, None, end, Some(BagDoubt::NoLabel)));
    }
    if is_short_label(first) {
        let said = words[at..].join(" ");
        let joined = words.get(from + 1).is_some_and(|word| {
            matches!(
                word.to_lowercase().as_str(),
                "or" | "and" | "&" | "+" | "/" | "to" | "-"
            )
        });
        let second = words.get(from + 2).is_some_and(|word| is_short_label(word));
        let counts = words.get(from + 3).is_some();
        let doubled = bare(first).contains('/') || first.ends_with('?');
        if joined && second && !counts || doubled {
            return Some(parted(at, None, end, Some(BagDoubt::Several(said))));
        }
        // "bag A 12"
        if from + 2 == end
            && bare(first).len() == 1
            && is_short_label(words[from + 1])
            && !bare(first).bytes().all(|b| b.is_ascii_digit())
        {
            let label = format!("{} {}", bare(first), bare(words[from + 1]));
            return Some(parted(at, Some(&label), end, None));
        }
        let held = small.get(from + 1).is_some_and(|word| {
            matches!(word.as_str(), "has" | "holds" | "contains" | "with" | "for")
        });
        let its = held
            && small
                .get(from + 2)
                .is_some_and(|word| matches!(word.as_str(), "its" | "the" | "all" | "my"));
        return Some(parted(
            at,
            Some(bare(first)),
            from + 1 + usize::from(held) + usize::from(its),
            None,
        ));
    }
    let counted = words[from..]
        .iter()
        .position(|word| word.starts_with(|c: char| c.is_ascii_digit()))
        .map_or(end, |more| from + more);
    let label = words[from..counted].join(" ");
    let label = label.trim_matches(|c: char| matches!(c, '"' | '\'' | ':' | '.'));
    Some(parted(at, Some(label), counted, None))
}

fn bare(word: &str) -> &str {
    let plain = |c: char| {
        matches!(
            c,
            '#' | '"' | '\'' | ':' | '.' | ',' | '=' | '(' | ')' | '-'
        )
    };
    let bare = word.trim_matches(plain);
    // "no.7", "nr7"
    ["no.", "nr.", "No.", "Nr.", "no", "nr"]
        .iter()
        .find_map(|mark| bare.strip_prefix(mark))
        .filter(|rest| rest.starts_with(|c: char| c.is_ascii_digit()))
        .unwrap_or(bare)
}

/// The words before a bag without those that only lead to it, and whether
/// they say that all pieces are in it.
fn without_joining(words: &[&str], small: &[String]) -> (String, bool) {
    const LEADING: [&str; 19] = [
        "in", "into", "to", "the", "a", "my", "go", "goes", "went", "put", "them", "are", "is",
        "stored", "->", "=>", "-", "=", "",
    ];
    const ALL: [&str; 5] = ["all", "both", "everything", "together", "these"];
    let mut end = words.len();
    let mut all = false;
    while end > 0 {
        let word = small[end - 1].as_str();
        if ALL.contains(&word) {
            all = true;
        } else if !LEADING.contains(&word) && !is_bag_kind(word) && word != "bagged" {
            break;
        }
        end -= 1;
    }
    (words[..end].join(" "), all)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(phrase: &str) -> Option<(String, String, String)> {
        bag_phrase(phrase).map(|found| {
            let label = match (&found.label, &found.doubt) {
                (Some(label), None) => label.written().to_owned(),
                (Some(label), Some(_)) => format!("{}?", label.written()),
                (None, _) => "?".to_owned(),
            };
            (found.before, label, found.after)
        })
    }

    #[test]
    fn no_bag_is_none_called_so() {
        for (phrase, before, after) in [
            ("no bag yet", "", ""),
            ("not bagged", "", ""),
            ("4 screws no bag", "4 screws", ""),
            ("3 clips not bagged so far", "3 clips", ""),
            (
                "no bag yet. Cracked at the mount",
                "",
                "Cracked at the mount",
            ),
        ] {
            let found = bag_phrase(phrase).expect(phrase);
            assert_eq!((found.label, found.doubt), (None, None), "{phrase}");
            assert_eq!(
                (found.before.as_str(), found.after.as_str()),
                (before, after)
            );
        }
        assert!(bag_phrase("no bag 12").is_some_and(|found| found.label.is_some()));
    }

    #[test]
    fn bags_in_any_wording() {
        for (phrase, before, label, after) in [
            ("bag 12", "", "12", ""),
            ("Bag No. 12", "", "12", ""),
            ("bag12", "", "12", ""),
            ("6 screws in bag #12", "6 screws", "12", ""),
            ("3 nuts -> bag 12", "3 nuts", "12", ""),
            ("bag: 7", "", "7", ""),
            ("baggie 4", "", "4", ""),
            ("zip bag B7", "", "B7", ""),
            ("8 screws in small ziplock bag no 5", "8 screws", "5", ""),
            ("bagged and labelled 5", "", "5", ""),
            ("bagged in 4", "", "4", ""),
            ("bagged as 4", "", "4", ""),
            ("all in bag 9", "", "9", ""),
            ("bag nr 9", "", "9", ""),
            ("bag tub 5", "", "tub 5", ""),
            ("bag coffee tin", "", "coffee tin", ""),
            ("bag \"hinge left\"", "", "hinge left", ""),
            ("bag marked front", "", "front", ""),
            ("bag 22 8 pcs", "", "22", "8 pcs"),
            ("bag 12 has 4 bolts", "", "12", "4 bolts"),
            ("5 clips tin 3", "5 clips", "tin 3", ""),
            ("clips in the tobacco tin", "clips", "tobacco tin", ""),
            ("coffee jar 2", "", "coffee jar 2", ""),
            ("6 nuts in the biscuit tin 4", "6 nuts", "biscuit tin 4", ""),
            ("jam jar", "", "jam jar", ""),
            ("small tin 3", "", "tin 3", ""),
            ("4 bolts baf 12", "4 bolts", "12?", ""),
            ("2 screws b6", "2 screws", "6?", ""),
            ("1 clamp bolt b. 10", "1 clamp bolt", "10?", ""),
            ("4 bolts in 12", "4 bolts", "12?", ""),
            ("bag 12 or 13", "", "?", ""),
            ("bags 12 and 13", "", "?", ""),
            ("bag 12/13", "", "?", ""),
            ("bag", "", "?", ""),
            ("same bag", "same", "?", ""),
            ("in a jar", "", "?", ""),
        ] {
            let expected = (before.to_owned(), label.to_owned(), after.to_owned());
            assert_eq!(read(phrase), Some(expected), "{phrase}");
        }
        for none in [
            "4 bag clips",
            "2 air-bag bolts",
            "bagged",
            "4 tin tacks",
            "box spanner",
            "2 nuts",
            "",
        ] {
            assert_eq!(read(none), None, "{none}");
        }
    }
}
