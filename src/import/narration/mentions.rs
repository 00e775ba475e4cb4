//! What a narration names: parts and hardware in a stream of words, with the words
//! around the name that belong to it.
//!
//! Whether anything happened to them is not known here.

use std::ops::Range;

use super::lexicon::{KnownThing, Lexicon, Thing};
use super::speech::{Spoken, Stop};
use super::unlisted::{UNLISTED, is_told_off};
use super::which_one::which_one;
use crate::vocabulary::name::singular;
use crate::vocabulary::position::Side;
use crate::vocabulary::spoken_number::spoken_number;

/// A part or a piece of hardware that was named.
#[derive(Clone, Debug)]
pub struct Mention {
    /// The words of the name, with adjectives before it.
    pub words: Range<usize>,
    /// The name, small.
    pub name: String,
    /// What it names.
    pub known: KnownThing,
    /// The sides that were said with it.
    pub sides: Vec<Side>,
    /// Said as the driver's or the passenger's.
    pub of_driver: Option<bool>,
    /// How many, if a number stands before it.
    pub count: Option<u32>,
    /// Whether "the", "that", "your" stands before it.
    pub is_definite: bool,
    /// Whether it is said to be a new one.
    pub is_new: bool,
    /// Whether it is what something lies on, hangs from, or is like.
    pub is_beside: bool,
}

impl Mention {
    /// Whether it can come off as a part.
    #[must_use]
    pub fn is_part(&self) -> bool {
        match self.known.thing {
            Thing::Part | Thing::Head | Thing::Pin => true,
            Thing::Fastener => false,
        }
    }

    /// Whether it is hardware that is counted.
    #[must_use]
    pub fn is_hardware(&self) -> bool {
        match self.known.thing {
            Thing::Pin | Thing::Fastener => true,
            Thing::Part | Thing::Head => false,
        }
    }

    /// Whether an article, a number or the like stands before it.
    fn is_determined(&self, keys: &[&str]) -> bool {
        let before = self.words.start.checked_sub(1).map_or("", |at| keys[at]);
        let earlier = self.words.start.checked_sub(2).map_or("", |at| keys[at]);
        ARTICLES.contains(&earlier) && before.len() > 3
            || self.count.is_some()
            || self.is_definite
            || ARTICLES.contains(&before)
            || matches!(before, "of" | "no")
    }

    /// Whether it is said of more than one.
    #[must_use]
    pub fn is_several(&self) -> bool {
        singular(&self.name) != self.name || self.count.is_some_and(|count| count > 1)
    }
}

/// What kind of thing a name is of, however many: "hose" of "top hoses".
pub(super) fn last_word(name: &str) -> &str {
    singular(name.rsplit(' ').next().unwrap_or_default())
}

/// Words that stand between a number or an article and a name.
pub(super) const ADJECTIVES: [&str; 46] = [
    "little",
    "big",
    "small",
    "long",
    "longer",
    "short",
    "old",
    "wee",
    "tiny",
    "large",
    "other",
    "same",
    "whole",
    "main",
    "rusty",
    "original",
    "single",
    "proper",
    "nice",
    "good",
    "bad",
    "first",
    "second",
    "third",
    "fourth",
    "last",
    "next",
    "brass",
    "steel",
    "rubber",
    "plastic",
    "copper",
    "aluminium",
    "aluminum",
    "chrome",
    "head",
    "pan",
    "hex",
    "cross",
    "slotted",
    "headed",
    "of",
    "stubborn",
    "bottom",
    "top",
    "more",
];

/// What stands in a name before its head, and means where it sits: kept in the name.
pub(super) const KEPT_PLACES: [(&str, Side); 8] = [
    ("upper", Side::Upper),
    ("top", Side::Upper),
    ("lower", Side::Lower),
    ("bottom", Side::Lower),
    ("inner", Side::Inner),
    ("inside", Side::Inner),
    ("outer", Side::Outer),
    ("outside", Side::Outer),
];

/// What says on which corner it is.
const CORNERS: [(&str, Side); 6] = [
    ("left", Side::Left),
    ("right", Side::Right),
    ("front", Side::Front),
    ("rear", Side::Rear),
    ("back", Side::Rear),
    ("hand", Side::Centre),
];

/// After these a thing is what something else lies on, hangs from, or is like.
const BESIDE: [&str; 38] = [
    "on",
    "in",
    "at",
    "from",
    "behind",
    "under",
    "underneath",
    "into",
    "onto",
    "against",
    "by",
    "over",
    "around",
    "round",
    "through",
    "inside",
    "beside",
    "near",
    "between",
    "of",
    "to",
    "with",
    "like",
    "above",
    "below",
    "past",
    "for",
    "along",
    "across",
    "off",
    "towards",
    "next",
    "than",
    "without",
    "about",
    "beneath",
    "mind",
    "watch",
];

/// A name before one of these is a tool's.
const TOOLS: [&str; 30] = [
    "wrench",
    "spanner",
    "driver",
    "screwdriver",
    "socket",
    "hammer",
    "mallet",
    "puller",
    "spoon",
    "tester",
    "tool",
    "drill",
    "grinder",
    "saw",
    "jack",
    "stands",
    "compressor",
    "extractor",
    "splitter",
    "pliers",
    "cutter",
    "cutters",
    "press",
    "drift",
    "chisel",
    "iron",
    "reamer",
    "can",
    "vice",
    "gun",
];

const ARTICLES: [&str; 16] = [
    "the", "that", "this", "your", "my", "its", "these", "those", "our", "his", "her", "their",
    "a", "an", "some", "another",
];

/// All that is named in a stream of words, in its order.
#[must_use]
pub fn mentions(words: &[Spoken], lexicon: &Lexicon) -> Vec<Mention> {
    let mut found: Vec<Mention> = Vec::new();
    let keys: Vec<&str> = words.iter().map(|word| word.key.as_str()).collect();
    let mut at = 0;
    while at < words.len() {
        let most = run_length(words, at, 4);
        let unknown = || {
            is_told_off(words, &keys, at, found.last()).then(|| (1, keys[at].to_owned(), UNLISTED))
        };
        let one = || which_one(words, &keys, at, &found);
        let Some((count, name, known)) = lexicon
            .longest(&keys[at..at + most])
            .or_else(unknown)
            .or_else(one)
        else {
            at += 1;
            continue;
        };
        let alone = count == 1;
        let (count, name, known) =
            with_head_behind(words, &keys, at, (count, name, known), lexicon);
        // "a flare nut wrench", "the brake spoon"
        let behind = at + count;
        if words[behind - 1].stop == Stop::None
            && keys.get(behind).is_some_and(|key| TOOLS.contains(key))
        {
            at = behind + 1;
            continue;
        }
        if alone && (is_no_noun(&keys, at, known) || is_verb(&keys, words, at)) {
            at += 1;
            continue;
        }
        let from = found.last().map_or(0, |last| last.words.end);
        let is_pin = matches!(name.as_str(), "pin" | "pins");
        let mut mention =
            with_words_before(words, &keys, from, at..at + count, name, known, lexicon);
        // A pin is hardware, a centre pin is a part.
        if is_pin && mention.name.contains(' ') {
            mention.known.thing = Thing::Head;
        }
        at += count;
        let is_bare = mention.words.len() == 1 && !mention.is_determined(&keys);
        if alone
            && is_bare
            && !known.in_journal
            && (lexicon.is_other(keys[at - 1])
                || is_also_verb(keys[at - 1]) && !is_said_of(&keys, at))
        {
            continue;
        }
        found.push(mention);
    }
    found
}

/// "half shaft seal": a part before a head or a fastener is a piece of its name.
fn with_head_behind(
    words: &[Spoken],
    keys: &[&str],
    at: usize,
    (count, name, known): (usize, String, KnownThing),
    lexicon: &Lexicon,
) -> (usize, String, KnownThing) {
    let next = at + count;
    let head = keys.get(next).filter(|key| {
        words[next - 1].stop == Stop::None
            && (known.thing == Thing::Part || known.thing == Thing::Head && !is_also_verb(keys[at]))
            && !matches!(
                **key,
                "tap"
                    | "pull"
                    | "catch"
                    | "slide"
                    | "slides"
                    | "stop"
                    | "drain"
                    | "strip"
                    | "lock"
                    | "hook"
                    | "support"
                    | "trap"
                    | "lead"
                    | "stay"
                    | "stays"
                    | "handle"
                    | "pulls"
                    | "drops"
                    | "half"
            )
    });
    let found = head.and_then(|key| lexicon.longest(&[key]));
    match (head, found) {
        (Some(key), Some((_, _, of_head)))
            if (of_head.thing != Thing::Part || of_head.system.is_empty())
                && singular(&name) == name =>
        {
            (
                count + 1,
                format!("{name} {key}"),
                KnownThing {
                    system: known.system,
                    ..of_head
                },
            )
        }
        (_, _) => (count, name, known),
    }
}

/// How many words from here on stand together.
fn run_length(words: &[Spoken], at: usize, most: usize) -> usize {
    let mut length = 1;
    while length < most
        && at + length < words.len()
        && words[at + length - 1].stop == Stop::None
        // "'s" ends a name.
        && !words[at + length].key.starts_with('\'')
    {
        length += 1;
    }
    length
}

/// Whether a word alone is a verb, going by what stands before it: "to lift", "you
/// pull", "I'll strip".
fn is_verb(keys: &[&str], words: &[Spoken], at: usize) -> bool {
    // What stands before a stop does not count.
    let before = |back: usize| match at.checked_sub(back) {
        Some(at) if words[at].stop == Stop::None => keys[at],
        Some(_) | None => "",
    };
    let after = keys.get(at + 1).copied().unwrap_or_default();
    let is_subject = matches!(
        before(1),
        "i" | "you"
            | "we"
            | "they"
            | "to"
            | "not"
            | "'ll"
            | "will"
            | "can"
            | "could"
            | "should"
            | "would"
            | "just"
            | "'d"
            | "let"
            | "cannot"
            | "gently"
            | "then"
    );
    if is_also_verb(keys[at])
        && keys[at].ends_with('s')
        && matches!(
            before(1),
            "that" | "which" | "it" | "there" | "this" | "he" | "she"
        )
    {
        return true;
    }
    let takes_object = matches!(
        after,
        "it" | "them" | "the" | "that" | "this" | "those" | "these" | "your" | "my" | "him"
    );
    (is_subject && before(1) != "then" && !matches!(before(2), "the" | "a"))
        && (before(1) != "to" || takes_object || matches!(after, "off" | "out" | "up" | "down"))
        || (before(1) == "to" && takes_object)
        || (takes_object && matches!(before(1), "" | "and" | "then" | "so" | "or"))
            && is_also_verb(keys[at])
}

/// Whether something is said of what stands before this word.
fn is_said_of(keys: &[&str], behind: usize) -> bool {
    matches!(
        keys.get(behind),
        Some(
            &("'s"
                | "is"
                | "off"
                | "out"
                | "was"
                | "are"
                | "came"
                | "comes"
                | "undone"
                | "unhitched"
                | "unhooked"
                | "unplugged"
                | "disconnected"
                | "hanging"
                | "loose"),
        )
    )
}

/// Names that are verbs as often.
fn is_also_verb(word: &str) -> bool {
    matches!(
        singular(word),
        "tap"
            | "pull"
            | "catch"
            | "slide"
            | "stop"
            | "drain"
            | "spring"
            | "strip"
            | "clip"
            | "plug"
            | "clamp"
            | "lock"
            | "hook"
            | "support"
            | "guard"
            | "screen"
            | "switch"
            | "float"
            | "gauge"
            | "light"
            | "brush"
            | "pan"
            | "fan"
            | "wire"
            | "track"
            | "trap"
            | "pump"
            | "lead"
            | "boot"
            | "trim"
            | "fork"
            | "mirror"
            | "pickup"
            | "handle"
            | "pivot"
            | "weight"
            | "key"
            | "pin"
            | "spoke"
            | "rack"
            | "stay"
            | "screw"
            | "bolt"
            | "felt"
    )
}

/// Whether a word alone is none of the things it could name.
fn is_no_noun(keys: &[&str], at: usize, known: KnownThing) -> bool {
    let before = at.checked_sub(1).map_or("", |at| keys[at]);
    let after = keys.get(at + 1).copied().unwrap_or_default();
    if known.thing == Thing::Head && matches!(keys[at], "half" | "ball" | "eye" | "leg" | "foot") {
        return true;
    }
    // "The left one slides off."
    if matches!(
        after,
        "off" | "out" | "up" | "down" | "away" | "right" | "straight" | "in"
    ) && matches!(
        before,
        "one" | "it" | "that" | "this" | "he" | "she" | "just" | "then" | "which"
    ) && keys[at].ends_with('s')
    {
        return true;
    }
    match keys[at] {
        "lead" | "leads" => matches!(before, "to" | "would" | "will"),
        "stay" | "stays" => matches!(
            after,
            "put" | "where" | "there" | "on" | "in" | "here" | "as"
        ),
        "seat" => after == "of",
        "points" | "point" => {
            matches!(before, "this" | "some" | "that" | "at" | "a" | "no" | "the")
                && keys[at] == "point"
        }
        "tank" | "light" | "pan" | "float" => before == "a" && after == "of",
        "wing" | "boot" => after == "it",
        "earth" => {
            matches!(before, "on" | "planet" | "the")
                && !matches!(after, "lead" | "strap" | "wire" | "cable")
        }
        "can" => true,
        "tap" | "taps" => matches!(
            after,
            "from" | "on" | "with" | "round" | "around" | "in" | "at" | "all"
        ),
        _ => false,
    }
}

fn with_words_before(
    words: &[Spoken],
    keys: &[&str],
    from: usize,
    own: Range<usize>,
    name: String,
    known: KnownThing,
    lexicon: &Lexicon,
) -> Mention {
    let mut mention = Mention {
        words: own.clone(),
        name,
        known,
        sides: Vec::new(),
        of_driver: None,
        count: None,
        is_definite: false,
        is_new: false,
        is_beside: false,
    };
    let mut start = own.start;
    let mut named = 1;
    while start > from && words[start - 1].stop == Stop::None {
        let key = keys[start - 1];
        if let Some((_, side)) = KEPT_PLACES.iter().find(|(word, _)| *word == key) {
            mention.name = format!("{key} {}", mention.name);
            mention.sides.push(*side);
        } else if let Some((_, side)) = CORNERS.iter().find(|(word, _)| *word == key) {
            if !is_side(keys, words, start - 1) {
                break;
            }
            if *side != Side::Centre {
                mention.sides.push(*side);
            }
        } else if matches!(key, "driver" | "drivers" | "passenger" | "passengers") {
            mention.of_driver = Some(key.starts_with('d'));
        } else if is_of_side(keys, start - 1) {
            // "driver's side": said already by what stands before.
        } else if matches!(key, "new" | "replacement") {
            mention.is_new = true;
        } else if named < 3
            && known.thing != Thing::Part
            && key.len() > 2
            && lexicon.is_piece(key)
            && !ADJECTIVES.contains(&key)
            && !is_function_word(key)
        {
            mention.name = format!("{} {}", singular(key), mention.name);
            named += 1;
        } else if !ADJECTIVES.contains(&key) {
            // "this wooden lid": one word that no name is made of, behind an article.
            let article = start.checked_sub(2).map_or("", |at| keys[at]);
            let is_adjective = named == 1
                && known.thing == Thing::Head
                && key.len() > 3
                && start >= from + 2
                && words[start - 2].stop == Stop::None
                && ARTICLES.contains(&article)
                && !is_function_word(key)
                && !says_how_it_is(key)
                && number(key, None).is_none();
            if !is_adjective {
                break;
            }
            mention.name = format!("{key} {}", mention.name);
            named += 1;
        }
        start -= 1;
    }
    mention.words.start = start.max(from);
    let before = &keys[from..start];
    read_what_stands_before(words, from, before, &mut mention);
    read_sides_behind(words, keys, own.end, &mut mention);
    mention
}

/// "'s" and "side" behind whose side it is.
fn is_of_side(keys: &[&str], at: usize) -> bool {
    let Some(before) = at.checked_sub(1).map(|before| keys[before]) else {
        return false;
    };
    let of_whom = matches!(before, "driver" | "drivers" | "passenger");
    match keys[at] {
        "'s" => of_whom,
        "side" => of_whom || matches!(before, "'s" | "left" | "right"),
        _ => false,
    }
}

/// "left" and "right" where they mean a side and nothing else.
fn is_side(keys: &[&str], words: &[Spoken], at: usize) -> bool {
    if !matches!(keys[at], "right" | "left") {
        return true;
    }
    let Some(before) = at.checked_sub(1) else {
        return false;
    };
    let next = keys.get(at + 1).copied().unwrap_or_default();
    matches!(next, "front" | "rear" | "hand" | "back" | "side")
        || words[before].stop != Stop::None
        || words[before].stop == Stop::None
            && (ARTICLES.contains(&keys[before])
                || matches!(
                    keys[before],
                    "on" | "and"
                        | "of"
                        | "front"
                        | "rear"
                        | "back"
                        | "upper"
                        | "lower"
                        | "other"
                        | "for"
                        | "from"
                        | "to"
                ))
}

/// "cracked", "wrong": said of a thing, and no part of its name.
fn says_how_it_is(key: &str) -> bool {
    key.ends_with("ed")
        || key.ends_with("ing")
        || key.ends_with("ly")
        || matches!(
            key,
            "wrong"
                | "decent"
                | "better"
                | "replacement"
                | "bent"
                | "torn"
                | "stuck"
                | "dirty"
                | "rotten"
                | "broken"
                | "loose"
                | "worn"
                | "next"
                | "whole"
                | "bloody"
                | "actual"
                | "entire"
                | "only"
                | "very"
        )
}

pub(super) fn is_function_word(key: &str) -> bool {
    ARTICLES.contains(&key)
        || BESIDE.contains(&key)
        || matches!(
            key,
            "and"
                | "or"
                | "is"
                | "was"
                | "are"
                | "were"
                | "it"
                | "so"
                | "then"
                | "but"
                | "out"
                | "up"
                | "down"
                | "no"
                | "not"
                | "get"
                | "got"
                | "have"
                | "has"
                | "had"
                | "one"
                | "two"
                | "three"
                | "four"
                | "five"
                | "six"
                | "which"
                | "that"
                | "what"
                | "when"
                | "there"
                | "here"
                | "take"
                | "pull"
                | "lift"
                | "undo"
                | "unscrew"
                | "unbolt"
                | "drop"
                | "let"
                | "need"
                | "all"
                | "both"
                | "each"
                | "back"
                | "start"
        )
}

/// The article, the number and the preposition before a name.
fn read_what_stands_before(words: &[Spoken], from: usize, before: &[&str], mention: &mut Mention) {
    let joined = |back: usize| words[from + before.len() - back].stop == Stop::None;
    let mut back = 1;
    while back <= 3 && back <= before.len() && joined(back) {
        let key = before[before.len() - back];
        if ARTICLES.contains(&key) {
            mention.is_definite |= !matches!(key, "a" | "an" | "some" | "another");
            if matches!(key, "a" | "an" | "another") && mention.count.is_none() {
                mention.count = Some(1);
            }
        } else if let Some(count) =
            number(key, before.len().checked_sub(back + 1).map(|at| before[at]))
        {
            mention.count = Some(count);
        } else if matches!(key, "new") {
            mention.is_new = true;
        } else {
            mention.is_beside = BESIDE.contains(&key)
                // "take off the lid", "with the lid off" are of the lid.
                && !(key == "off" && back <= 2)
                && key != "with";
            break;
        }
        back += 1;
    }
}

/// A count in one word, or in two.
fn number(key: &str, before: Option<&str>) -> Option<u32> {
    match key {
        "both" | "couple" | "pair" => return Some(2),
        "dozen" => {
            return Some(if before == Some("half") { 6 } else { 12 });
        }
        _ => {}
    }
    if let Ok(count) = key.parse::<u32>() {
        return (count < 100).then_some(count);
    }
    spoken_number(&[key]).map(|(count, _)| count)
}

/// "fender, left front".
fn read_sides_behind(words: &[Spoken], keys: &[&str], end: usize, mention: &mut Mention) {
    if mention.sides.iter().any(|side| side.is_corner()) {
        return;
    }
    let mut at = end;
    let comma = words
        .get(end.wrapping_sub(1))
        .is_some_and(|word| word.stop == Stop::Comma);
    if matches!(keys.get(at), Some(&"on"))
        && matches!(keys.get(at + 1), Some(&("the" | "this" | "that")))
    {
        at += 2;
    } else if !comma {
        return;
    }
    let begun = at;
    while let Some(key) = keys.get(at) {
        let Some((_, side)) = CORNERS.iter().find(|(word, _)| word == key) else {
            break;
        };
        mention.sides.push(*side);
        at += 1;
        if words[at - 1].stop != Stop::None {
            break;
        }
    }
    // "the hood, right in front": no side.
    let closes = at == keys.len()
        || words[at - 1].stop != Stop::None
        || matches!(
            keys[at],
            "side" | "hand" | "one" | "and" | "is" | "'s" | "so" | "it" | "that" | "which" | "has"
        );
    if at > begun && !closes {
        mention.sides.retain(|side| !side.is_corner());
    }
    mention.sides.retain(|side| *side != Side::Centre);
}

#[cfg(test)]
mod tests {
    use super::super::cues::Cue;
    use super::super::speech;
    use super::*;

    fn named(text: &str) -> Vec<String> {
        let cue = Cue {
            start: 0,
            end: 0,
            text: text.to_owned(),
        };
        let words = speech::words(&[cue]);
        let lexicon = Lexicon::new(&[]);
        let show = |mention: Mention| {
            let sides: Vec<&str> = mention.sides.iter().map(|side| side.word()).collect();
            let count = mention
                .count
                .map_or(String::new(), |count| format!("{count} "));
            format!("{count}{} {}", mention.name, sides.join(" "))
                .trim()
                .to_owned()
        };
        mentions(&words, &lexicon).into_iter().map(show).collect()
    }

    #[test]
    fn what_is_named() {
        for (text, expected) in [
            (
                "the left front wheel cylinder",
                &["wheel cylinder front left"][..],
            ),
            (
                "four little screws and the float bowl's off",
                &["4 screws", "float bowl"][..],
            ),
            ("the fender, left front.", &["fender left front"][..]),
            ("you pull it and screw it back", &[][..]),
            ("the lower ball joint", &["lower ball joint lower"][..]),
            ("the seat bolts", &["seat bolts"][..]),
        ] {
            assert_eq!(named(text), expected, "{text}");
        }
    }
}
