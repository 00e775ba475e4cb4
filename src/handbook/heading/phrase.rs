//! The words of a heading, piece by piece, and which of them say a place.
//!
//! It decides by where a word stands; what the places mean together is for
//! `heading`.

use super::kept_names::kept;
use crate::vocabulary::position::{Driven, Side};
use crate::vocabulary::position_words::{PlaceTerm, confirming, read_term};
use crate::vocabulary::words::fold;

/// What a word is used for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum WordUse {
    /// It belongs to the name.
    Name,
    /// It belongs to the name although it could say a place.
    Kept,
    /// It says a place.
    Place(PlaceTerm),
    /// It only leads to a place: "on the".
    Filler,
}

/// A word, or the words of one term.
#[derive(Clone, Debug)]
pub(super) struct HeadingWord {
    /// As written.
    pub text: String,
    /// What for.
    pub used: WordUse,
    /// The word that was meant, if it was read with a slip.
    pub slip: Option<&'static str>,
    /// Whether it stands between words of the name, where it may be one.
    pub inside: bool,
    /// Whether it could say a place and was left to the name only by where it stands.
    pub left_over: bool,
    weak: bool,
}

/// Words between two commas, brackets or dashes.
#[derive(Clone, Debug)]
pub(super) struct HeadingPiece {
    /// What parts it from the piece before.
    pub before: String,
    /// Its words.
    pub words: Vec<HeadingWord>,
    /// Whether it is another piece than the first.
    pub is_own_piece: bool,
    /// Whether its first word could say a place.
    pub begins_with_place: bool,
}

impl HeadingPiece {
    /// Whether some of its words are a name.
    pub fn has_name(&self) -> bool {
        let is_name = |word: &HeadingWord| matches!(word.used, WordUse::Name | WordUse::Kept);
        self.words.iter().any(is_name)
    }

    /// The sides it says.
    pub fn sides(&self) -> Vec<Side> {
        let mut sides = Vec::new();
        for word in &self.words {
            if let WordUse::Place(PlaceTerm::Sides(own)) = &word.used {
                sides.extend(own);
            }
        }
        sides
    }

    /// Leaves all its words to the name.
    pub fn give_back(&mut self) {
        for word in &mut self.words {
            word.used = WordUse::Kept;
        }
    }

    /// Takes every word that could say a place for one.
    pub fn accept_weak(&mut self) {
        for word in &mut self.words {
            word.inside = false;
        }
    }
}

/// A word of the heading before anyone knows what it is for: as written, its
/// forms in small letters, and whether a stroke stood in it.
#[derive(Clone)]
struct RawWord<'t> {
    text: &'t str,
    small: Vec<String>,
    stroked: bool,
}

/// The pieces of a heading with the use of each word.
pub(super) fn phrases(text: &str, driven: Driven) -> Vec<HeadingPiece> {
    let pieces = pieces(text);
    let count = pieces.len();
    let terms_of = |(before, piece)| (before, terms(&raw_words(piece), driven));
    let pieces: Vec<(&str, Vec<HeadingWord>)> = pieces.into_iter().map(terms_of).collect();
    // Whether the piece behind each one says nothing but a place.
    let followed: Vec<bool> = pieces
        .iter()
        .skip(1)
        .map(|(_, words)| {
            let is_side = |word: &HeadingWord| {
                matches!(word.used, WordUse::Place(PlaceTerm::Sides(_))) && word.slip.is_none()
            };
            !words.is_empty() && words.iter().all(is_side)
        })
        .chain([false])
        .collect();
    let mut phrases: Vec<HeadingPiece> = Vec::new();
    for (at, (before, words)) in pieces.into_iter().enumerate() {
        let mut phrase = HeadingPiece {
            before: before.to_owned(),
            begins_with_place: words
                .first()
                .is_some_and(|word| matches!(word.used, WordUse::Place(_))),
            words,
            is_own_piece: at > 0,
        };
        settle(&mut phrase, at > 0 && count > 1, followed[at]);
        if !phrase.words.is_empty() {
            phrases.push(phrase);
        }
    }
    phrases
}

/// The text cut at commas, brackets, and dashes between blanks; each piece with
/// what stands before it.
fn pieces(text: &str) -> Vec<(&str, &str)> {
    let mut pieces = Vec::new();
    let mut start = 0;
    let mut mark = (0, 0);
    let mut at = 0;
    while let Some(c) = text[at..].chars().next() {
        let next = at + c.len_utf8();
        let rest = &text[next..];
        let blank_before = text[..at].ends_with(' ');
        let parts = match c {
            ',' | '(' | ')' | '[' | ']' | ';' | '—' => true,
            '-' | '–' | '/' | ':' => (blank_before || c == ':') && rest.starts_with(' '),
            _ => false,
        };
        if parts {
            pieces.push((&text[mark.0..mark.1], &text[start..at]));
            start = next + (rest.len() - rest.trim_start().len());
            let begin = text[..at].trim_end().len();
            mark = (begin, start);
            at = start;
        } else {
            at = next;
        }
    }
    pieces.push((&text[mark.0..mark.1], &text[start..]));
    pieces.retain(|(_, piece)| !piece.trim().is_empty());
    pieces
}

fn raw_words(piece: &str) -> Vec<RawWord<'_>> {
    let mut words = Vec::new();
    for written in piece.split_whitespace() {
        // "LH+RH" and "left/right" are three words.
        let joined = |c: char| c == '+' || c == '&';
        let mut from = 0;
        for (at, mark) in written.match_indices(joined) {
            words.extend(one_word(&written[from..at]));
            words.extend(one_word(mark));
            from = at + mark.len();
        }
        words.extend(one_word(&written[from..]));
    }
    words
}

/// One word with its small forms; with hyphens or strokes it is split where all
/// its pieces are words of position.
fn one_word(written: &str) -> Vec<RawWord<'_>> {
    if written.is_empty() {
        return Vec::new();
    }
    let small = fold(written);
    let bare = small.trim_matches(['.', '?', '!', '"', ':']);
    let compact: String = bare.chars().filter(|c| !matches!(c, '/' | '.')).collect();
    let stroked = bare.contains(['/', '.']);
    let is_term = |word: &str| read_term(&[word], &[false], Driven::Left).is_some();
    if stroked && let Some((one, other)) = bare.split_once('/') {
        // "LF/RF" are two places, "L/R" may be one.
        let corners = |word: &str| {
            matches!(
                word,
                "lf" | "rf" | "fl" | "fr" | "lr" | "rr" | "rl" | "lh" | "rh"
            )
        };
        let word = |word: &str| word.len() > 2 && is_term(word) || corners(word);
        if word(one)
            && word(other)
            && let Some(cut) = written.find('/')
        {
            return vec![
                raw(&written[..cut], one),
                raw("&", "&"),
                raw(&written[cut + 1..], other),
            ];
        }
    }
    // "L+R", "left&right"
    if let Some((one, other)) = bare.split_once(['+', '&'])
        && (is_term(one) && is_term(other))
        && let Some(cut) = written.find(['+', '&'])
    {
        return vec![
            raw(&written[..cut], one),
            raw("&", "&"),
            raw(&written[cut + 1..], other),
        ];
    }
    if let Some((one, other)) = bare.split_once('-')
        && (is_term(one) || one.len() == 1)
        && (is_term(other) || other == "hand" || other == "side" || other == "handed")
        && one != "r"
        && let Some(cut) = written.find('-')
    {
        return vec![raw(&written[..cut], one), raw(&written[cut + 1..], other)];
    }
    if let Some(cut) = glued_at(bare).filter(|_| small.len() == written.len() && bare == small) {
        let mut words = one_word(&written[..cut]);
        words.extend(one_word(&written[cut..]));
        return words;
    }
    let compact = match compact.replace('-', "") {
        // "L-F", "N-S-F".
        short if compact.len() > short.len() && short.len() <= 3 => short,
        _ => compact,
    };
    let small = compact.split('-').map(str::to_owned).collect();
    vec![RawWord {
        text: written,
        small,
        stroked,
    }]
}

/// Where a word ends with which another word of position is glued: "leftfront",
/// "offsiderear", "driverside".
fn glued_at(word: &str) -> Option<usize> {
    const FIRST: [&str; 17] = [
        "left",
        "right",
        "front",
        "rear",
        "upper",
        "lower",
        "inner",
        "outer",
        "nearside",
        "offside",
        "drivers",
        "driver",
        "passengers",
        "passenger",
        "lh",
        "rh",
        "kerb",
    ];
    const SECOND: [&str; 11] = [
        "left", "right", "front", "rear", "upper", "lower", "inner", "outer", "side", "handside",
        "back",
    ];
    const WHOLE: [&str; 2] = ["lhside", "rhside"];
    FIRST
        .iter()
        .find(|first| {
            word.strip_prefix(**first)
                .is_some_and(|rest| SECOND.contains(&rest))
        })
        .map(|first| first.len())
        .filter(|_| !WHOLE.contains(&word))
}

fn raw<'t>(text: &'t str, small: &str) -> RawWord<'t> {
    RawWord {
        text,
        small: vec![small.to_owned()],
        stroked: false,
    }
}

/// The words, single letters on both sides of "and" in full: "L + R" is left and right.
fn joined_letters<'t>(raw: &[RawWord<'t>]) -> Vec<RawWord<'t>> {
    let mut words = raw.to_vec();
    for at in 1..raw.len().saturating_sub(1) {
        let single = |at: usize| match raw[at].small.as_slice() {
            [one] => one.as_str(),
            _ => "",
        };
        let pair = match (single(at - 1), single(at), single(at + 1)) {
            ("l", "+" | "&" | "and", "r") => ["left", "right"],
            ("r", "+" | "&" | "and", "l") => ["right", "left"],
            ("f", "+" | "&" | "and", "r") => ["front", "rear"],
            _ => continue,
        };
        words[at - 1].small = vec![pair[0].to_owned()];
        words[at + 1].small = vec![pair[1].to_owned()];
    }
    words
}

/// Maximum number of words that are looked at together: no kept name and no term of
/// position is longer.
const LONGEST_PHRASE: usize = 12;

/// The words with the terms they could be.
fn terms(raw: &[RawWord<'_>], driven: Driven) -> Vec<HeadingWord> {
    let raw = &joined_letters(raw);
    let mut words: Vec<HeadingWord> = Vec::new();
    let mut at = 0;
    while at < raw.len() {
        let ahead = &raw[at..raw.len().min(at + LONGEST_PHRASE)];
        let small: Vec<&str> = ahead
            .iter()
            .flat_map(|word| word.small.iter().map(String::as_str))
            .collect();
        let stroked: Vec<bool> = ahead
            .iter()
            .flat_map(|word| word.small.iter().map(|_| word.stroked))
            .collect();
        // "Left rear window" is the window of a left rear door.
        let corner = matches!(small[0], "front" | "rear")
            && words.last().is_some_and(|last| says_lateral(&last.used));
        let kept = if corner {
            0
        } else {
            whole(&raw[at..], kept(&small))
        };
        if kept > 0 {
            for word in &raw[at..at + kept] {
                words.push(word_of(word.text, WordUse::Kept));
            }
            at += kept;
            continue;
        }
        let confirmed = whole(&raw[at..], confirming(&small));
        if confirmed > 0 {
            for word in &raw[at..at + confirmed] {
                words.push(word_of(word.text, WordUse::Filler));
            }
            at += confirmed;
            continue;
        }
        // "near-side", "co-driver's side": a term that covers written words whole.
        let read = read_term(&small, &stroked, driven).and_then(|read| {
            let written = match raw[at].small.len() {
                1 => read.words.min(raw.len() - at),
                _ => whole(&raw[at..], read.words),
            };
            (written > 0).then_some((read, written))
        });
        let Some((read, taken)) = read else {
            words.push(word_of(raw[at].text, WordUse::Name));
            at += 1;
            continue;
        };
        let text: Vec<&str> = raw[at..at + taken].iter().map(|word| word.text).collect();
        let mut word = word_of(&text.join(" "), WordUse::Place(read.term));
        word.slip = read.slip;
        word.weak = read.weak;
        words.push(word);
        at += taken;
    }
    words
}

/// Number of words that this number of their small forms covers, if they are
/// covered whole.
fn whole(raw: &[RawWord<'_>], forms: usize) -> usize {
    let mut covered = 0;
    for (at, word) in raw.iter().enumerate() {
        if covered == forms {
            return at;
        }
        covered += word.small.len();
    }
    if covered == forms { raw.len() } else { 0 }
}

fn word_of(text: &str, used: WordUse) -> HeadingWord {
    HeadingWord {
        text: text.to_owned(),
        used,
        slip: None,
        inside: false,
        left_over: false,
        weak: false,
    }
}

fn says_lateral(used: &WordUse) -> bool {
    match used {
        WordUse::Place(PlaceTerm::Sides(sides)) => {
            sides.contains(&Side::Left) || sides.contains(&Side::Right)
        }
        WordUse::Place(_) | WordUse::Name | WordUse::Kept | WordUse::Filler => false,
    }
}

/// Decides by where each word stands which of the possible places are meant.
fn settle(phrase: &mut HeadingPiece, is_own_piece: bool, followed: bool) {
    let words = &mut phrase.words;
    let is_place = |word: &HeadingWord| matches!(word.used, WordUse::Place(_));
    if words.iter().all(is_place) || (is_own_piece && corner_words(words)) {
        for word in words.iter_mut() {
            if !is_place(word) {
                word.used = WordUse::Filler;
            }
        }
        return;
    }
    let count = words.len();
    let beside = |words: &[HeadingWord], at: usize| {
        let other = |at: usize| {
            words.get(at).is_some_and(|word| {
                matches!(&word.used, WordUse::Place(term) if *term != PlaceTerm::And && *term != PlaceTerm::Or)
            })
        };
        (at > 0 && other(at - 1)) || other(at + 1)
    };
    let joined = |words: &[HeadingWord], at: usize| {
        let and = |at: usize| {
            words
                .get(at)
                .is_some_and(|word| word.used == WordUse::Place(PlaceTerm::And))
        };
        (at > 1 && and(at - 1) && is_place(&words[at - 2]))
            || (and(at + 1) && words.get(at + 2).is_some_and(is_place))
    };
    let mut given_back = Vec::new();
    for at in 0..count {
        let WordUse::Place(term) = &words[at].used else {
            continue;
        };
        let leading = words[..at].iter().all(is_place);
        let trailing = words[at + 1..].iter().all(is_place);
        let near = beside(words, at) || joined(words, at);
        let keeps = match term {
            PlaceTerm::And | PlaceTerm::Or => !near_both(words, at),
            PlaceTerm::Both | PlaceTerm::AllFour => false,
            PlaceTerm::Unsettled => false,
            PlaceTerm::Ambiguous(_) if words[at].weak => !near && !trailing,
            PlaceTerm::Ambiguous(_) => false,
            PlaceTerm::Sides(_) if words[at].weak => {
                // "Brake hose back, left": the next piece goes on with the place.
                let goes_on = trailing && followed && at > 0;
                !near && !goes_on && !weak_stands(&words[at], leading, trailing)
            }
            PlaceTerm::Sides(_) => false,
        };
        if keeps {
            given_back.push(at);
            continue;
        }
        let lateral = says_lateral(&words[at].used);
        let sides = matches!(term, PlaceTerm::Sides(_));
        let soft = words[at].weak && trailing && !near;
        words[at].inside = sides && !lateral && ((!leading && !trailing && !near) || soft);
    }
    let seat = |word: &HeadingWord| fold(&word.text).trim_end_matches('s') == "seat";
    for at in given_back {
        let sides = matches!(
            words[at].used,
            WordUse::Place(PlaceTerm::Sides(_) | PlaceTerm::Unsettled)
        );
        // "Driver's seat" is one seat by its name; "driver's seat runner" may be one of two.
        let one_seat = count == 2 && seat(&words[1]);
        // "Panel behind seat": the word leads to something else.
        let leads = matches!(
            fold(&words[at].text).as_str(),
            "above" | "below" | "behind" | "underneath"
        );
        words[at].left_over = sides && words[at].text.len() > 1 && !one_seat && !leads;
        words[at].used = WordUse::Kept;
    }
    fillers(words);
}

/// Whether a weak word says a place without another one beside it.
fn weak_stands(word: &HeadingWord, leading: bool, trailing: bool) -> bool {
    let small = fold(&word.text);
    match small.as_str() {
        "back" => leading,
        "top" | "bottom" => leading || trailing,
        "middle" => leading || trailing,
        "inside" | "outside" | "centre" | "center" => false,
        "above" | "below" | "behind" | "underneath" => false,
        // A single letter at the end: "Hub L".
        _ => trailing,
    }
}

/// Whether places stand on both sides of a word that joins them.
fn near_both(words: &[HeadingWord], at: usize) -> bool {
    let place = |at: usize| {
        words
            .get(at)
            .is_some_and(|word| matches!(word.used, WordUse::Place(_)))
    };
    at > 0 && place(at - 1) && place(at + 1)
}

/// "rear axle", "left front wheel": a piece that names only the corner.
fn corner_words(words: &[HeadingWord]) -> bool {
    let noun = |word: &HeadingWord| {
        matches!(
            fold(&word.text).as_str(),
            "axle" | "wheel" | "wheels" | "corner" | "corners" | "side" | "end" | "one" | "ones"
        )
    };
    let place = |word: &HeadingWord| matches!(word.used, WordUse::Place(_));
    // Behind the noun more of the place may follow: "rear axle right side", and before the
    // place its article: "the one above".
    let article = |word: &HeadingWord| fold(&word.text) == "the";
    words.iter().any(place)
        && words.iter().all(|word| {
            place(word)
                || word.used == WordUse::Filler
                || word.used == WordUse::Name && (noun(word) || article(word))
        })
}

/// Marks words that only lead to a place: "on the left".
fn fillers(words: &mut [HeadingWord]) {
    // "Mirror, left hand one": the word stands for the part.
    let count = words.len();
    if count > 2
        && matches!(fold(&words[count - 1].text).as_str(), "one" | "ones")
        && matches!(words[count - 2].used, WordUse::Place(_))
    {
        words[count - 1].used = WordUse::Filler;
    }
    // "Brake drum, all four wheels": said of the places. "Both rear wheels" are parts.
    if count > 2
        && matches!(fold(&words[count - 1].text).as_str(), "wheels" | "corners")
        && matches!(words[count - 2].used, WordUse::Place(_))
        && words[0].used == WordUse::Name
    {
        words[count - 1].used = WordUse::Filler;
    }
    // "The left front wheel": the article belongs to no name.
    if let [first, second, ..] = words
        && first.used == WordUse::Name
        && matches!(second.used, WordUse::Place(_))
        && matches!(fold(&first.text).as_str(), "the" | "a" | "my")
    {
        first.used = WordUse::Filler;
    }
    for at in (1..words.len()).rev() {
        let followed = matches!(words[at].used, WordUse::Place(_) | WordUse::Filler);
        let last_run = words[at..]
            .iter()
            .all(|word| matches!(word.used, WordUse::Place(_) | WordUse::Filler));
        let leads = matches!(
            fold(&words[at - 1].text).as_str(),
            "the" | "on" | "at" | "in"
        );
        if followed && last_run && leads && words[at - 1].used == WordUse::Name {
            words[at - 1].used = WordUse::Filler;
        }
    }
}
