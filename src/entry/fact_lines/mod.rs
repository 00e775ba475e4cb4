//! From a line as people type it to facts with keys: other words for a key,
//! other marks than a colon, several facts on a line, no key at all.
//!
//! It takes a line apart and nothing more; what a value means is decided in
//! `understand`. A line that is no fact comes back as none.

mod bag_and_shelf;
mod keyless;
mod segments;

use std::ops::Range;

use bag_and_shelf::only_bag;
pub(super) use bag_and_shelf::without_number_word;
use keyless::{is_hardware, is_time, keyless_all, says_loose};
use segments::{box_mark, is_bare_status, is_other_sentence, joined, offset, segments};

use super::item::Item;
use super::key::Key;
use super::key_words::{self, KeyWord};
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

/// What a paragraph without marks of a list says.
#[derive(Debug, Default)]
pub(super) struct FactParagraph {
    pub items: Vec<Item>,
    /// Where what stands behind the last fact begins.
    pub prose: usize,
    /// Lines before the last fact that are none.
    pub words: Vec<Range<usize>>,
}

/// So many lines of words before a fact, and it is a story.
const LONGEST_STORY: usize = 12;

/// From this length on a line may go on in the next one.
const WRAPPED: usize = 60;

/// Lines that stand without marks of a list, as far as they are facts, and under the
/// name of a known part as far as they begin with facts. There one that is none ends
/// nothing: what follows counts where all of it is a fact.
#[must_use]
pub(super) fn of_paragraph(text: &str, bytes: Range<usize>, of_part: bool) -> FactParagraph {
    let mut found = FactParagraph {
        prose: bytes.start,
        ..FactParagraph::default()
    };
    // Lines behind the last fact that are none.
    let mut open: Vec<Range<usize>> = Vec::new();
    let mut at = bytes.start;
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
        let goes_on = open
            .last()
            .is_some_and(|before| before.len() >= WRAPPED && item.key.is_none());
        let counts = match open.is_empty() {
            // Under a part's name a line that begins with a fact is meant as one.
            true => is_fact(&item) || of_part && begins_with_fact(&item),
            false => is_fact(&item) && !goes_on,
        };
        at += line.len();
        if counts {
            found.items.push(item);
            found.words.append(&mut open);
            found.prose = at;
            continue;
        }
        let goes_on = |item: &&mut Item| {
            item.key.as_deref().is_some_and(|key| {
                key_words::read(key).is_some_and(|word| !word.key.takes_several())
            }) && bare.starts_with(|c: char| c.is_lowercase())
        };
        if let Some(last) = found.items.last_mut().filter(goes_on)
            && open.is_empty()
        {
            last.value.push(' ');
            last.value.push_str(bare);
            found.prose = at;
        } else if of_part && open.len() < LONGEST_STORY {
            open.push(start..start + bare.len());
        } else {
            break;
        }
    }
    found
}

#[cfg(test)]
mod tests;
