//! From a line as people type it to facts with keys: other words for a key,
//! other marks than a colon, several facts on a line, no key at all.
//!
//! It takes a line apart and nothing more; what a value means is decided in
//! `understand`. A line that is no fact comes back as none.

use std::ops::Range;

use super::item::Item;
use super::key::Key;
use super::key_words::{self, KeyWord};
use crate::vocabulary::hardware_words::mark_word;
use crate::vocabulary::hours_reading::{ReadHours, read_hours};
use crate::vocabulary::name::singular;
use crate::vocabulary::reference::without_note;
use crate::vocabulary::status_words::{StatusReading, read_bare, read_opening};
use crate::vocabulary::words::{fold, words};

/// A line of facts, taken apart.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct FactLine {
    /// The facts, each under the word of its key.
    pub items: Vec<Item>,
    /// Keys that were guessed: as written, and as read.
    pub guesses: Vec<(String, Key)>,
    /// Whether a status stands behind an empty box: still to come, or not ticked.
    pub unticked: bool,
}

/// One fact of a line.
struct FactPiece<'t> {
    key: Key,
    value: &'t str,
    /// A word that belongs before the value.
    before: Option<&'static str>,
    /// The hardware that stood in the place of the key: `screws: 4 x M5`.
    noun: Option<&'t str>,
    /// Whether the key was written.
    keyed: bool,
    /// Whether another key may have been meant.
    is_guess: bool,
    /// Whether the word for it stands before it: "needs a seal", and not "buy a seal".
    is_said: bool,
}

impl FactPiece<'_> {
    /// Whether a segment behind it can begin another fact without a key: other
    /// values go on.
    fn ends_before(&self, next: &FactPiece<'_>) -> bool {
        match (self.key, next.key) {
            // "on, hand tight only" is one status, "4 bolts, bag 3" one line.
            (Key::Status, Key::Status) | (Key::Hardware, Key::Bag) => false,
            (Key::Status | Key::Bag, _) => true,
            // "shelf 3, bag 12", "worn, needs a new bush"
            (Key::Stored, Key::Bag | Key::Needs) => true,
            (Key::Stored, Key::Status) => is_bare_status(next.value),
            (Key::Found, Key::Bag) => true,
            (Key::Found, Key::Needs) => next.is_said,
            (_, _) => !self.keyed,
        }
    }
}

/// Takes a line apart; `None` if no key and no keyless fact begins it.
#[must_use]
pub(super) fn read(item: &Item) -> Option<FactLine> {
    let whole = item.whole();
    let (mark, text) = box_mark(&whole);
    let mut guesses = Vec::new();
    let mut pieces: Vec<FactPiece<'_>> = Vec::new();
    for segment in segments(text) {
        if let Some((word, piece)) = keyed(segment, pieces.is_empty()) {
            // "2 nuts, bag: 7", "bolts: 4, nuts: 4" go on: the reader of hardware
            // puts the bag to its pieces.
            if let Some(last) = pieces.last_mut()
                && last.key == Key::Hardware
                && (piece.key == Key::Bag || piece.noun.is_some())
            {
                last.value = joined(text, last.value, segment);
                continue;
            }
            if word.is_guess {
                guesses.push((
                    segment[..segment.len() - piece.value.len()].to_owned(),
                    word.key,
                ));
            }
            pieces.push(piece);
            continue;
        }
        // "off, bag 2, 1.5 h": how long it took, of this part.
        if !pieces.is_empty() && is_time(segment) {
            pieces.push(FactPiece::of(Key::Hours, segment));
            continue;
        }
        let begins = keyless_all(segment).filter(|next| {
            pieces
                .last()
                .is_none_or(|last| next.first().is_none_or(|next| last.ends_before(next)))
        });
        match (begins, pieces.last_mut()) {
            // "on. 5 nuts, not torqued yet": the nuts say how it is on.
            (Some(found), Some(last)) if last.key == Key::Status && says_loose(segment) => {
                last.value = joined(text, last.value, segment);
                pieces.extend(found.into_iter().filter(|piece| piece.key != Key::Status));
            }
            (Some(found), _) => {
                let guessed = found.iter().filter(|piece| piece.is_guess);
                guesses.extend(guessed.map(|piece| (segment.to_owned(), piece.key)));
                pieces.extend(found);
            }
            // "off, fingers worn": behind a status without a key stands how it was found.
            (None, Some(last))
                if last.key == Key::Status
                    && !last.keyed
                    && read_bare(joined(text, last.value, segment)) == StatusReading::Unread
                    && segment.contains(char::is_alphanumeric) =>
            {
                guesses.push((segment.to_owned(), Key::Found));
                pieces.push(FactPiece::of(Key::Found, segment));
            }
            // "4 screws, no bag yet. Cracked at the mount.": another sentence.
            (None, Some(last))
                if last.key == Key::Hardware && !last.keyed && is_other_sentence(text, segment) =>
            {
                guesses.push((segment.to_owned(), Key::Found));
                pieces.push(FactPiece::of(Key::Found, segment));
            }
            // It goes on with what stands before it.
            (None, Some(last)) => last.value = joined(text, last.value, segment),
            // "Taken off with the grille."
            (None, None) if read_opening(segment) != StatusReading::Unread => {
                pieces.push(FactPiece::of(Key::Status, segment));
            }
            (None, None) if mark.is_some() => pieces.push(FactPiece::of(Key::Needs, segment)),
            (None, None) => return None,
        }
    }
    let bag = only_bag(&pieces);
    let unticked = mark == Some(false) && pieces.iter().any(|piece| piece.key == Key::Status);
    let mut items: Vec<Item> = pieces
        .into_iter()
        .map(|piece| {
            let loose = piece.key == Key::Hardware && !piece.keyed;
            let mut item = piece.item(text, item, mark);
            // "off, bag 14, 6 nuts": the nuts are in the one bag that is named.
            if let Some(bag) = bag.filter(|_| loose) {
                item.value = format!("{}, bag {bag}", item.value);
            }
            item
        })
        .collect();
    if let Some(last) = items.last_mut() {
        last.children.clone_from(&item.children);
    }
    (!items.is_empty()).then_some(FactLine {
        items,
        guesses,
        unticked,
    })
}

/// Whether a segment begins a sentence of its own that names no hardware and no bag.
fn is_other_sentence(text: &str, segment: &str) -> bool {
    let before = text[..offset(text, segment)].trim_end();
    let named = |word: &str| is_hardware(word) || is_bag_word(word);
    before.ends_with('.')
        && segment.starts_with(char::is_uppercase)
        && segment.split_whitespace().count() > 1
        && !segment.bytes().any(|byte| byte.is_ascii_digit())
        && !fold(segment).split(' ').any(named)
}

/// The bag that a line names once, where pieces without one stand behind it.
fn only_bag<'t>(pieces: &[FactPiece<'t>]) -> Option<&'t str> {
    let is_bag = |piece: &FactPiece<'_>| piece.key == Key::Bag;
    let at = pieces.iter().position(is_bag)?;
    let (behind, bag) = (&pieces[at + 1..], pieces[at].value);
    let named = behind.iter().any(|piece| {
        is_bag(piece) || piece.key == Key::Hardware && fold(piece.value).split(' ').any(is_bag_word)
    });
    (!named).then_some(bag)
}

fn is_bag_word(word: &str) -> bool {
    matches!(word, "bag" | "baggie" | "tin" | "jar" | "box")
}

/// Whether a line without a mark of a list is a fact: it begins with a key and
/// a colon, or nothing in it is anything else.
#[must_use]
pub(super) fn is_fact(item: &Item) -> bool {
    let whole = item.whole();
    let (mark, text) = box_mark(&whole);
    let mut last: Option<FactPiece<'_>> = None;
    segments(text).into_iter().all(|segment| {
        let piece = match keyed(segment, last.is_none()) {
            Some((_, piece)) => Some(piece),
            None if last.is_some() && is_time(segment) => Some(FactPiece::of(Key::Hours, segment)),
            None => keyless_all(segment).and_then(|mut found| found.pop()),
        };
        match (piece, &last) {
            (Some(piece), _) => {
                last = Some(piece);
                true
            }
            (None, Some(last)) => last.keyed && last.key != Key::Status,
            (None, None) => mark.is_some(),
        }
    })
}

/// Whether a line begins with a fact, whatever it goes on with: "off. 4 nuts bag 6, the
/// fifth wouldn't".
#[must_use]
pub(super) fn begins_with_fact(item: &Item) -> bool {
    let whole = item.whole();
    let (mark, text) = box_mark(&whole);
    let first = segments(text).first().copied().unwrap_or_default();
    mark.is_some()
        || keyed(first, true).is_some_and(|(word, _)| !word.is_guess)
        || keyless_all(first).is_some()
        || read_opening(first) != StatusReading::Unread
}

/// Whether an item says where the part stands, with a key or without.
#[must_use]
pub(super) fn says_status(item: &Item) -> bool {
    let is_status = |item: &Item| item.key.as_deref() == Some(Key::Status.word());
    let is_short = item.value.len() <= LONGEST_STATUS;
    is_short && read(item).is_some_and(|line| line.items.iter().any(is_status))
}

/// More bytes than a line has that says where a part stands.
const LONGEST_STATUS: usize = 500;

/// Whether a fact stands anywhere in a line.
#[must_use]
pub(super) fn holds_a_fact(text: &str) -> bool {
    let is_fact = |segment: &&str| keyed(segment, true).is_some() || keyless_all(segment).is_some();
    segments(text).iter().any(is_fact)
}

/// The text behind a box, and whether the box is ticked.
fn box_mark(text: &str) -> (Option<bool>, &str) {
    for (mark, ticked) in [
        ("[ ]", false),
        ("[]", false),
        ("[x]", true),
        ("[X]", true),
        ("☐", false),
        ("☑", true),
        ("☒", true),
        ("✓", true),
        ("✔", true),
    ] {
        if let Some(rest) = text.strip_prefix(mark) {
            return (Some(ticked), rest.trim_start());
        }
    }
    (None, text)
}

/// The pieces between commas, semicolons, full stops and strokes outside
/// brackets.
fn segments(text: &str) -> Vec<&str> {
    let mut segments = Vec::new();
    let mut start = 0;
    let mut depth = 0_usize;
    for (at, c) in text.char_indices() {
        if c.is_ascii_alphanumeric() || c == ' ' {
            continue;
        }
        let rest = &text[at + c.len_utf8()..];
        let blank = rest.starts_with(' ') || rest.is_empty();
        let around = blank && text[..at].ends_with(' ');
        match c {
            '(' => depth += 1,
            ')' => depth = depth.saturating_sub(1),
            ',' | '.' | ';' if depth == 0 && (blank || c == ';') => {
                segments.push(text[start..at].trim());
                start = at + c.len_utf8();
            }
            // "on - screws 2 - tight": behind a status a dash parts as a comma does.
            '-' | '–' | '—'
                if depth == 0
                    && around
                    && (start > 0 || is_bare_status(text[start..at].trim())) =>
            {
                segments.push(text[start..at].trim());
                start = at + c.len_utf8();
            }
            '/' | '|' if depth == 0 && around => {
                segments.push(text[start..at].trim());
                start = at + c.len_utf8();
            }
            _ => {}
        }
    }
    segments.push(text[start..].trim());
    let mut segments: Vec<&str> = segments.into_iter().flat_map(at_keys).collect();
    segments.retain(|segment| !segment.is_empty());
    // "Status. removed", "bag; 12": the mark stands where the colon belongs.
    if let [first, second, rest @ ..] = segments.as_slice()
        && let Some(behind) = text.get(first.len()..)
        && (behind.starts_with(". ") || behind.trim_start().starts_with(';'))
        && key_words::read(first).is_some()
        && (behind.starts_with(". ")
            || behind.trim_start().starts_with(';')
                && !matches!(read_bare(first), StatusReading::Clear(_))
                && keyed(second, false).is_none())
    {
        let whole = &text[..offset(text, second) + second.len()];
        let mut merged = vec![whole];
        merged.extend_from_slice(rest);
        return merged;
    }
    segments
}

/// "status: removed bag: 3" cut before each word that is a key with its colon; what is
/// told under a key may hold such words.
fn at_keys(segment: &str) -> Vec<&str> {
    let key = |word: &str| key_words::read(word).filter(|word| !word.is_guess);
    let first = segment.split_once(':').and_then(|(word, _)| key(word));
    let short = |key: Key| {
        matches!(
            key,
            Key::Status | Key::Bag | Key::Stored | Key::Hours | Key::Cost | Key::System
        )
    };
    if !first.is_some_and(|first| short(first.key)) {
        return vec![segment];
    }
    let mut pieces = Vec::new();
    let mut start = 0;
    let colon = segment.find(':').unwrap_or(segment.len());
    for (at, _) in segment.match_indices(' ').filter(|(at, _)| *at > colon) {
        let word = segment[at + 1..].split(' ').next().unwrap_or_default();
        let named = word.strip_suffix(':').and_then(key).is_some();
        if named && at > start {
            pieces.push(segment[start..at].trim());
            start = at + 1;
        }
    }
    pieces.push(segment[start..].trim());
    pieces
}

fn is_bare_status(text: &str) -> bool {
    key_words::read(text).is_none() && matches!(read_bare(text), StatusReading::Clear(_))
}

/// Where a slice of a text begins in it.
fn offset(text: &str, slice: &str) -> usize {
    slice.as_ptr() as usize - text.as_ptr() as usize
}

/// From the begin of one slice of a text to the end of a later one.
fn joined<'t>(text: &'t str, from: &str, until: &str) -> &'t str {
    &text[offset(text, from)..offset(text, until) + until.len()]
}

/// A key with its value: `bag: 12`, `**Bag:** 12`, `bag = 12`, `bag - 12`,
/// `Bag. 12`. Inside a line only a colon or `=` makes a key.
fn keyed(segment: &str, first: bool) -> Option<(KeyWord, FactPiece<'_>)> {
    let marks: &[&str] = match first {
        true => &[":", "：", "=", " - ", " – ", " — ", ". ", "->", "→", ";"],
        false => &[":", "：", "="],
    };
    marks.iter().find_map(|mark| {
        let (said, value) = segment.split_once(mark)?;
        let said = said.trim();
        let value = value.trim_start_matches(['*', '_', ' ']).trim();
        let mut piece = FactPiece::of(Key::Hardware, value);
        piece.keyed = true;
        let word = match *mark {
            ":" | "：" | "=" => key_words::read(said).or_else(|| key_words::near(said)),
            _ => key_words::read(said),
        };
        if let Some(word) = word {
            piece.key = word.key;
            piece.before = word.before.filter(|before| match word.key == Key::Stored {
                // "shelf: the upper one" is not "shelf the upper one".
                true => value.len() <= 4,
                false => !fold(value).starts_with(before),
            });
            return Some((word, piece));
        }
        let is_noun =
            said.split(' ').next_back().is_some_and(is_hardware) && said.split(' ').count() <= 3;
        piece.noun = Some(said);
        let word = KeyWord {
            key: Key::Hardware,
            before: None,
            is_guess: false,
        };
        (is_noun && matches!(*mark, ":" | "=")).then_some((word, piece))
    })
}

/// The facts without keys that a segment consists of: "removed and in bag 3".
fn keyless_all(segment: &str) -> Option<Vec<FactPiece<'_>>> {
    // "off (bag 3)"
    if let Some((bare, inner)) = segment
        .strip_suffix(')')
        .and_then(|open| open.split_once(" ("))
        && let (Some(mut all), Some(more)) = (keyless_all(bare), keyless_all(inner))
        && more.iter().all(|piece| piece.key != Key::Status)
    {
        all.extend(more);
        return Some(all);
    }
    if let Some(piece) = keyless(segment).filter(|piece| !segment.contains(" - ") || piece.is_said)
    {
        return Some(vec![piece]);
    }
    let count = segment.split_whitespace().count();
    if count > LONGEST_KEYLESS {
        return None;
    }
    // "off - bag 3 - loft"
    let dash = [" - ", " – ", " — "]
        .into_iter()
        .find(|dash| segment.contains(dash));
    let parted: Vec<&str> = dash.map_or(Vec::new(), |dash| segment.split(dash).collect());
    if parted.len() > 1 {
        let all: Option<Vec<Vec<FactPiece<'_>>>> =
            parted.iter().map(|piece| keyless_all(piece)).collect();
        if let Some(all) = all {
            return Some(all.into_iter().flatten().collect());
        }
    }
    (1..count).find_map(|at| {
        let cut = word_start(segment, at)?;
        let rest = segment[cut..]
            .trim_start_matches("and ")
            .trim_start_matches("& ")
            .trim_start_matches("w/ ")
            .trim_start_matches("with ");
        let first = keyless(segment[..cut].trim()).filter(|first| fold(first.value) != "in")?;
        let whole = matches!(first.key, Key::Status | Key::Bag | Key::Stored);
        let mut all = vec![first];
        all.extend(keyless_all(rest).filter(|_| whole)?);
        Some(all)
    })
}

/// More words than a run of facts without keys has; a sentence has more.
const LONGEST_KEYLESS: usize = 12;

/// A fact without a key: a status, a bag, a shelf, pieces, work.
fn keyless(segment: &str) -> Option<FactPiece<'_>> {
    let piece = |key: Key, value| Some(FactPiece::of(key, value));
    let folded = fold(segment);
    let all: Vec<&str> = folded.split(' ').collect();
    let [first, rest @ ..] = all.as_slice() else {
        return None;
    };
    if rest.is_empty()
        && *first != "loft"
        && key_words::read(first).is_some()
        && read_bare(segment) == StatusReading::Unread
    {
        return None;
    }
    if let Some(label) = bag(&all, segment) {
        return piece(Key::Bag, label);
    }
    if let Some(value) = work(segment) {
        let mut found = FactPiece::of(Key::Needs, value);
        found.is_said = first.starts_with("need") || *first == "wants";
        return Some(found);
    }
    if let ("status", Some(at)) = (*first, word_start(segment, 1)) {
        let value = &segment[at..];
        return match read_bare(value) {
            StatusReading::Unread => None,
            StatusReading::Clear(_) | StatusReading::Doubtful(_) => piece(Key::Status, value),
        };
    }
    if let ("stored" | "kept", Some(at)) = (*first, word_start(segment, 1)) {
        return piece(Key::Stored, &segment[at..]).filter(|_| all.len() <= 6);
    }
    if let ("found" | "condition", Some(at)) = (*first, word_start(segment, 1)) {
        return piece(Key::Found, &segment[at..]);
    }
    if let ("hardware", Some(at)) = (*first, word_start(segment, 1))
        && pieces_of_hardware(rest)
    {
        return piece(Key::Hardware, &segment[at..]);
    }
    if let ("torque", Some(at)) = (*first, word_start(segment, 1))
        && segment[at..].starts_with(|c: char| c.is_ascii_digit())
    {
        return piece(Key::Torque, &segment[at..]);
    }
    // "missing 1 screw": the screw is, and not the part.
    if mark_word(first).is_some() && pieces_of_hardware(rest) {
        return piece(Key::Hardware, segment);
    }
    if pieces_of_hardware(&all) {
        // "one screw short": of those that were there before.
        let short = all.last() == Some(&"short") && !all.contains(&"long");
        let mut found = FactPiece::of(Key::Hardware, segment);
        if short && let Some(at) = segment.to_lowercase().rfind("short") {
            found = FactPiece::of(Key::Short, segment[..at].trim());
            found.is_guess = true;
        }
        return Some(found);
    }
    if is_money(&all) {
        return piece(Key::Cost, segment);
    }
    // "removed (rusty)": what stands in brackets is the status's to ask about.
    let bare = without_note(segment);
    if bare.len() < segment.len()
        && let StatusReading::Clear(_) = read_bare(bare)
    {
        return piece(Key::Status, segment);
    }
    match read_bare(segment) {
        StatusReading::Clear(_) => return piece(Key::Status, segment),
        // "in the loft" alone is where it lies.
        StatusReading::Doubtful(_) if all.len() <= 6 && shelf(&all, segment).is_none() => {
            return piece(Key::Status, segment);
        }
        StatusReading::Doubtful(_) | StatusReading::Unread => {}
    }
    shelf(&all, segment).and_then(|value| piece(Key::Stored, value))
}

/// Whether a segment is a time worked, with its unit: "1.5 h", "45 min".
fn is_time(segment: &str) -> bool {
    const UNITS: [&str; 9] = [
        "h", "hr", "hrs", "hour", "hours", "min", "mins", "minute", "minutes",
    ];
    let unit = |word: &str| {
        UNITS.contains(&word.trim_start_matches(|c: char| c.is_ascii_digit() || ".,:/".contains(c)))
    };
    segment.starts_with(|c: char| c.is_ascii_digit())
        && fold(segment).split(' ').any(unit)
        && matches!(read_hours(segment), ReadHours::Exactly(_))
}

/// Whether pieces of hardware are said to be on and not tight.
fn says_loose(segment: &str) -> bool {
    let folded = fold(segment);
    [
        "not torqued",
        "not yet torqued",
        "not tight",
        "not tightened",
        "not yet tight",
        "hand tight",
        "finger tight",
        "loose",
    ]
    .iter()
    .any(|phrase| folded.contains(phrase))
}

/// An amount with the sign or the name of a currency: "seal £4", "11 quid of pipe".
fn is_money(all: &[&str]) -> bool {
    let figure = |word: &str| word.starts_with(|c: char| c.is_ascii_digit());
    all.len() <= 8
        && all.iter().enumerate().any(|(at, word)| {
            let sign = word.starts_with(['£', '€', '$']) || word.ends_with(['£', '€', '$']);
            let bare = word.trim_matches(['£', '€', '$', ',']);
            let named = matches!(
                *word,
                "euro" | "euros" | "eur" | "quid" | "pounds" | "gbp" | "usd" | "dollars" | "bucks"
            );
            sign && (figure(bare) || all.get(at + 1).is_some_and(|next| figure(next)))
                || named && at > 0 && figure(all[at - 1])
        })
}

/// "bag 12", "in bag no. 7", "into tin 4": the label.
fn bag<'t>(all: &[&str], segment: &'t str) -> Option<&'t str> {
    // "Bits in tin 3": nothing is counted, and the bag is said.
    let pieces = matches!(
        all[0],
        "bits" | "hardware" | "fixings" | "fasteners" | "everything" | "rest"
    );
    // "put in bag 3", "went in bag 3"
    let put = matches!(all[0], "put" | "went" | "goes" | "all" | "now");
    // "All nuts in bag 4"
    let all_of = all[0] == "all" && all.get(1).is_some_and(|word| is_hardware(word));
    let first = usize::from(pieces || put) + usize::from(all_of);
    let into = matches!(all.get(first), Some(&("in" | "into")));
    if (pieces || put) && !into && all[0] != "hardware" {
        return None;
    }
    let lead = first + usize::from(into);
    let noun = *all.get(lead)?;
    if !matches!(noun, "bag" | "bags" | "baggie" | "tin" | "jar")
        || all.len() > lead + 4
        || all.len() < lead + 2
    {
        return None;
    }
    // "bag 3 loft": the loft is no part of the label.
    let more = all.get(lead + 2..).unwrap_or_default();
    let numbered = all[lead + 1].bytes().all(|b| b.is_ascii_digit());
    if numbered
        && let Some(at) = word_start(segment, lead + 2)
        && shelf(more, &segment[at..]).is_some()
    {
        return None;
    }
    let from = word_start(
        segment,
        lead + usize::from(matches!(noun, "bag" | "bags" | "baggie")),
    )?;
    Some(without_number_word(&segment[from..]))
}

/// A label without the word for a number before its figures: "no. 7", "nr 12".
pub(super) fn without_number_word(label: &str) -> &str {
    let label = label.trim().trim_end_matches(['!', '.']);
    ["number", "no.", "nr.", "n°", "nº", "№", "no", "nr", "#"]
        .iter()
        .find_map(|word| {
            let (said, rest) = label.split_at_checked(word.len())?;
            let rest = rest.trim_start();
            let same = said.eq_ignore_ascii_case(word);
            (same && rest.starts_with(|c: char| c.is_ascii_digit())).then_some(rest)
        })
        .unwrap_or(label)
}

/// Where word `number` (from 0) of a text begins.
fn word_start(text: &str, number: usize) -> Option<usize> {
    text.split_whitespace()
        .nth(number)
        .map(|word| offset(text, word))
}

/// "needs a new bush", "buy a seal": the work.
fn work(segment: &str) -> Option<&str> {
    for start in [
        "needs ",
        "need ",
        "still needs ",
        "to do ",
        "todo ",
        "wants ",
        "has to be ",
        "must be ",
        "to be ",
    ] {
        if segment.len() > start.len()
            && segment.is_char_boundary(start.len())
            && segment[..start.len()].eq_ignore_ascii_case(start)
        {
            return Some(segment[start.len()..].trim());
        }
    }
    // "timing to do", "two new ones wanted"
    let folded = fold(segment);
    if [" to do", " wanted", " needed", " required"]
        .iter()
        .any(|end| folded.ends_with(end))
        && folded.split(' ').count() <= LONGEST_KEYLESS
    {
        return Some(segment);
    }
    [
        "buy ",
        "order ",
        "get a new ",
        "get new ",
        "get another ",
        "get one",
    ]
    .iter()
    .any(|start| {
        segment.is_char_boundary(start.len().min(segment.len()))
            && segment
                .get(..start.len())
                .is_some_and(|own| own.eq_ignore_ascii_case(start))
    })
    .then_some(segment)
}

/// Whether these words count pieces of hardware: "4 bolts in bag 3".
fn pieces_of_hardware(all: &[&str]) -> bool {
    const COUNTS: [&str; 12] = [
        "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
        "twelve",
    ];
    let is_count = |word: &str| {
        let digits = word.trim_start_matches('x').trim_end_matches('x');
        COUNTS.contains(&word) || !digits.is_empty() && digits.bytes().all(|b| b.is_ascii_digit())
    };
    let several = match all {
        ["half", "a", "dozen", ..] => true,
        ["a", group, ..] => matches!(*group, "dozen" | "pair" | "couple"),
        _ => false,
    };
    let counts = several || all.first().is_some_and(|first| is_count(first));
    // "hose clips two", "springs x2": the number behind the kind.
    let behind = all.iter().take(3).position(|word| is_hardware(word));
    let counted = behind
        .and_then(|at| all.get(at + 1))
        .is_some_and(|word| is_count(word));
    counts && all.iter().skip(1).any(|word| is_hardware(word)) || counted
}

/// Whether a word is a kind of hardware, one or several of it.
fn is_hardware(word: &str) -> bool {
    const NOUNS: [&str; 20] = [
        "bolt", "screw", "nut", "washer", "stud", "clip", "pin", "rivet", "setscrew", "capscrew",
        "circlip", "nail", "fastener", "grommet", "spacer", "u-bolt", "spring", "shim", "clamp",
        "dowel",
    ];
    let small = word.to_lowercase();
    let word = small.trim_matches(|c: char| !c.is_alphanumeric());
    NOUNS.contains(&singular(word))
}

/// "shelf 3", "on rack 2", "under the bench": where it lies.
fn shelf<'t>(all: &[&str], segment: &'t str) -> Option<&'t str> {
    // "put on rack 3", "it's under the bench", "lives in the loft"
    const LEADS: [&str; 24] = [
        "put", "placed", "stored", "lives", "living", "kept", "sits", "sitting", "lies", "lying",
        "now", "went", "goes", "it", "up", "wrapped", "away", "it's", "its", "is", "still",
        "stood", "leaning", "hung",
    ];
    const PLACES: [&str; 8] = [
        "on", "in", "at", "under", "behind", "against", "beside", "by",
    ];
    let leads = all.iter().take_while(|word| LEADS.contains(word)).count();
    if leads > 0 {
        let led = all.get(leads).is_some_and(|word| PLACES.contains(word));
        let from = word_start(segment, leads).filter(|_| led && leads <= 4)?;
        return shelf(&all[leads..], &segment[from..]);
    }
    const NOUNS: [&str; 27] = [
        "shelf",
        "shelves",
        "rack",
        "loft",
        "attic",
        "bench",
        "workbench",
        "drawer",
        "cupboard",
        "cabinet",
        "crate",
        "cellar",
        "basement",
        "garage",
        "shed",
        "barn",
        "pallet",
        "trolley",
        "locker",
        "hook",
        "store",
        "bay",
        "floor",
        "wall",
        "table",
        "rafters",
        "windowsill",
    ];
    if all.len() > 6
        || all
            .iter()
            .any(|word| matches!(*word, "bag" | "tin" | "jar"))
    {
        return None;
    }
    let noun = |word: &&str| NOUNS.contains(word);
    let first = all.first().is_some_and(noun);
    let led = matches!(
        all[0],
        "on" | "in"
            | "at"
            | "under"
            | "behind"
            | "against"
            | "beside"
            | "by"
            | "top"
            | "upper"
            | "lower"
            | "bottom"
    ) && all.iter().any(noun);
    // "back wall", "second shelf"
    let which = |word: &&str| {
        matches!(
            *word,
            "back"
                | "top"
                | "bottom"
                | "upper"
                | "lower"
                | "middle"
                | "left"
                | "right"
                | "far"
                | "front"
                | "first"
                | "second"
                | "third"
                | "other"
                | "same"
                | "end"
        )
    };
    let named = all.len() == 2 && which(&all[0]) && noun(&all[1]);
    if !(first || led || named) {
        return None;
    }
    let from = match all[0] {
        "on" | "in" | "at" if all.get(1) != Some(&"the") => word_start(segment, 1)?,
        _ => 0,
    };
    Some(segment[from..].trim())
}

impl<'t> FactPiece<'t> {
    fn of(key: Key, value: &'t str) -> FactPiece<'t> {
        FactPiece {
            key,
            value,
            before: None,
            noun: None,
            keyed: false,
            is_guess: false,
            is_said: false,
        }
    }

    /// The fact as an item; a ticked box makes work done.
    fn item(self, text: &str, of: &Item, ticked: Option<bool>) -> Item {
        let key = match (self.key, ticked) {
            (Key::Needs, Some(true)) => Key::Done,
            (key, _) => key,
        };
        let label = if self.key == Key::Bag {
            without_number_word(self.value)
        } else {
            self.value
        };
        let value = match (self.before, self.noun) {
            (Some(word), _) => format!("{word} {}", self.value),
            (None, Some(noun)) => counted(noun, self.value),
            (None, None) => label.to_owned(),
        };
        // Bytes of the line are bytes of the text where nothing was joined.
        let start = of
            .span
            .end
            .checked_sub(text.len() - offset(text, self.value));
        let span = match start {
            Some(start) if start >= of.span.start && !self.value.is_empty() => {
                start..start + self.value.len()
            }
            Some(_) | None => of.span.clone(),
        };
        Item {
            key: Some(key.word().to_owned()),
            value,
            span,
            children: Vec::new(),
        }
    }
}

/// "4 x M5, bag 2" under `screws` is "4 screws M5, bag 2".
fn counted(noun: &str, value: &str) -> String {
    let digits = value.bytes().take_while(u8::is_ascii_digit).count();
    let (count, rest) = value.split_at(digits);
    let rest = rest.trim_start();
    let rest = rest
        .strip_prefix("x ")
        .or(rest.strip_prefix("× "))
        .unwrap_or(rest);
    let names_it = rest.split(' ').any(is_hardware);
    let counts = !count.is_empty() && !rest.starts_with(['/', '-', '.']);
    match (names_it, counts) {
        (true, _) => value.to_owned(),
        (false, true) => format!("{count} {noun} {rest}").trim_end().to_owned(),
        (false, false) => format!("{noun} {value}"),
    }
}

/// A line without "a)" or "2)" before it.
fn without_number(line: &str) -> &str {
    match line.split_once(") ") {
        Some((number, rest)) if number.len() <= 2 && number.chars().all(char::is_alphanumeric) => {
            rest
        }
        Some(_) | None => line,
    }
}

/// Items of lines that stand without marks of a list, as far as they are facts, and
/// under the name of a known part as far as they begin with facts;
/// the second value says where the others begin.
#[must_use]
pub(super) fn of_paragraph(text: &str, bytes: Range<usize>, of_part: bool) -> (Vec<Item>, usize) {
    let mut items: Vec<Item> = Vec::new();
    let first = bytes.start;
    let mut at = first;
    for line in text[bytes].split_inclusive('\n') {
        let written = line.trim_end();
        // "> status: removed": someone marks lines so as others do with a dash.
        let bare = written.trim_start_matches([' ', '\t', '>']);
        let bare = bare
            .strip_prefix(['-', '*', '+', '•', '–', '—'])
            .unwrap_or(bare);
        let bare = without_number(bare.trim_start());
        let start = at + written.len() - bare.len();
        let item = Item::of_text(bare, start..start + bare.len());
        let is_empty = !bare.contains(char::is_alphanumeric) && words(bare).next().is_none();
        if bare.is_empty() || is_empty {
            break;
        }
        // "This one was a pig." before the first fact is told, and ends nothing.
        let sentence = bare.starts_with(char::is_uppercase) && bare.ends_with(['.', '!']);
        let told = of_part && items.is_empty() && at == first && sentence;
        if told && !begins_with_fact(&item) && !is_fact(&item) {
            at += line.len();
            continue;
        }
        // Under a part's name a line that begins with a fact is meant as one.
        if is_fact(&item) || of_part && begins_with_fact(&item) {
            items.push(item);
        } else {
            let goes_on = |item: &&mut Item| {
                item.key.as_deref().is_some_and(|key| {
                    key_words::read(key).is_some_and(|word| !word.key.takes_several())
                }) && bare.starts_with(|c: char| c.is_lowercase())
            };
            let Some(last) = items.last_mut().filter(goes_on) else {
                break;
            };
            last.value.push(' ');
            last.value.push_str(bare);
        }
        at += line.len();
    }
    (items, at)
}

#[cfg(test)]
mod tests;
