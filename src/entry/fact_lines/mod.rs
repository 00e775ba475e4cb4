//! From a line as people type it to facts with keys: other words for a key,
//! other marks than a colon, several facts on a line, no key at all.
//!
//! It takes a line apart and nothing more; what a value means is decided in
//! `understand`. A line that is no fact comes back as none.

mod bag_and_shelf;
mod condition;
mod keyless;
mod paragraph;
mod segments;

pub(super) use bag_and_shelf::without_number_word;
use bag_and_shelf::{ends_with_place, only_bag};
use condition::{is_condition, orders_work};
use keyless::{counts_hardware, is_hardware, is_time, keyless_all, says_loose};
pub(super) use paragraph::{FactParagraph, of_paragraph};
use segments::{box_mark, is_bare_status, is_other_sentence, joined, offset, segments};

use super::item::Item;
use super::key::Key;
use super::key_words::{self, KeyWord};
use crate::vocabulary::status::{Status, StatusWord};
use crate::vocabulary::status_words::{StatusReading, read_bare, read_opening, read_said};
use crate::vocabulary::words::fold;

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
    /// Whether any other fact without a key can begin behind it: most keys take all that
    /// follows, and to look for facts in it takes a tenth of the time to read an entry.
    fn may_end(&self) -> bool {
        let ends = matches!(self.key, Key::Status | Key::Bag | Key::Stored | Key::Found);
        !self.keyed || ends
    }

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
            (Key::Found, Key::Needs) => next.is_said || !self.keyed,
            (Key::Found, Key::Found) => false,
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
    // "status - removed, stored - rack 2": keys with dashes all along.
    let dashed = text
        .split(',')
        .next()
        .and_then(|first| first.split_once(" - "))
        .is_some_and(|(key, _)| key_words::read(key).is_some());
    for segment in segments(text) {
        if let Some((word, piece)) = keyed(segment, pieces.is_empty() || dashed) {
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
        let may_end = pieces.last().is_none_or(FactPiece::may_end);
        let begins = may_end.then(|| keyless_all(segment)).flatten();
        let begins = begins.filter(|next| {
            pieces.last().is_none_or(|last| {
                said_again(last, next) || next.first().is_none_or(|next| last.ends_before(next))
            })
        });
        match (begins, pieces.last_mut()) {
            // "on. 5 nuts, not torqued yet": the nuts say how it is on.
            (Some(found), Some(last)) if last.key == Key::Status && says_loose(segment) => {
                last.value = joined(text, last.value, segment);
                pieces.extend(found.into_iter().filter(|piece| piece.key != Key::Status));
            }
            // "on, bolts hand tight only"
            (None, Some(last))
                if last.key == Key::Status
                    && says_loose(segment)
                    && is_loose(joined(text, last.value, segment)) =>
            {
                last.value = joined(text, last.value, segment);
            }
            (Some(found), Some(last)) if said_again(last, &found) => {
                last.value = if last.keyed {
                    last.value
                } else {
                    found[0].value
                };
            }
            (Some(found), _) => {
                let guessed = found.iter().filter(|piece| piece.is_guess);
                guesses.extend(guessed.map(|piece| (segment.to_owned(), piece.key)));
                pieces.extend(found);
            }
            // "fitted again, works!": what is told of a part that is on, away or gone says
            // nothing of how it was found.
            (None, Some(last))
                if is_short_bare_status(last)
                    && (is_told_of(last.value, joined(text, last.value, segment))
                        || read_said(segment) == read_said(last.value)) =>
            {
                last.value = joined(text, last.value, segment);
            }
            // "off, fingers worn": behind a status without a key stands how it was found.
            (None, Some(last))
                if is_short_bare_status(last)
                    && read_bare(joined(text, last.value, segment)) == StatusReading::Unread
                    && segment.contains(char::is_alphanumeric) =>
            {
                guesses.push((segment.to_owned(), Key::Found));
                pieces.push(FactPiece::of(Key::Found, segment));
            }
            // "off / bag 13 / corn crib floor": behind a bag a place in a few words.
            (None, Some(last)) if last.key == Key::Bag && ends_with_place(segment) => {
                pieces.push(FactPiece::of(Key::Stored, segment));
            }
            // "4 screws, no bag yet. Cracked at the mount.": another sentence.
            (None, Some(last))
                if last.key == Key::Hardware && !last.keyed && is_other_sentence(text, segment) =>
            {
                guesses.push((segment.to_owned(), Key::Found));
                pieces.push(FactPiece::of(Key::Found, segment));
            }
            // "on, bag 23, bushes are new": behind a bag with a number nothing is of its label.
            (None, Some(last))
                if last.key == Key::Bag
                    && !last.keyed
                    && last.value.ends_with(|c: char| c.is_ascii_digit())
                    && segment.contains(' ') =>
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
            (None, None) if counts_hardware(text) => {
                pieces.push(FactPiece::of(Key::Hardware, text));
                break;
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

/// Whether words say, and leave no doubt, that a part is on and not tight.
fn is_loose(text: &str) -> bool {
    read_said(text) == StatusReading::Clear(StatusWord::Standing(Status::Loose))
}

/// Whether a status stays the same with what is told behind it, and is none of a part that
/// lies there to be looked at.
fn is_told_of(status: &str, with_tale: &str) -> bool {
    let read = read_said(status);
    let looked_at = match &read {
        StatusReading::Clear(StatusWord::Standing(status)) => {
            matches!(
                status,
                Status::Removed | Status::Apart | Status::Undone | Status::Loose
            )
        }
        StatusReading::Clear(StatusWord::Surface(_) | StatusWord::Work(_))
        | StatusReading::Doubtful(_)
        | StatusReading::Unread => true,
    };
    !looked_at && read_said(with_tale) == read
}

/// Whether a piece only says again how the part stands: "can't find it, status missing".
fn said_again(last: &FactPiece<'_>, found: &[FactPiece<'_>]) -> bool {
    let [again] = found else {
        return false;
    };
    last.key == Key::Status
        && again.key == Key::Status
        && read_said(last.value) == read_said(again.value)
        && matches!(read_said(again.value), StatusReading::Clear(_))
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

/// Whether a line only describes, without a key: alone it is as likely told as stated.
#[must_use]
pub(super) fn only_describes(item: &Item) -> bool {
    let whole = item.whole();
    let (mark, text) = box_mark(&whole);
    mark.is_none()
        && segments(text).into_iter().all(|segment| {
            keyed(segment, true).is_none() && (is_condition(segment) || orders_work(segment))
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

/// Whether this says where a part stands, without a key. What has grown longer than
/// anyone says it is not read again with each piece that follows.
fn is_short_bare_status(piece: &FactPiece<'_>) -> bool {
    piece.key == Key::Status && !piece.keyed && piece.value.len() <= LONGEST_STATUS
}

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

#[cfg(test)]
mod tests;
