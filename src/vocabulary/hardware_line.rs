//! A line of hardware as people type it: several kinds, a bag for all of
//! them, marks in words.
//!
//! Reads the words only; what is told to the person about a doubt is decided
//! where entries are read, and sizes stay text in each piece.

use super::bag_phrase::{BagDoubt, BagPhrase, bag_phrase};
use super::fastener::{Fastener, says_left_hand};
use super::hardware::{Hardware, PurchaseMark};
use super::hardware_words::{
    begins_note, is_bag, is_condition, is_container, is_kind, is_piece_word, is_plural, is_side,
    is_tool_size, mark_word, only_describes, singular,
};
use super::label::BagLabel;
use super::mark_phrase::{MarkPhrase, mark_phrase};
use super::phrases::{Phrase, PhraseJoin, phrases};
use super::piece_count::{Count, inner_count, leading_count, trailing_count};
use super::size::Size;
use super::size_text::plain_sizes;
use super::spoken_number::number_word;
use super::thread::Thread;
use super::words::straighten;

/// What a line of hardware says.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct HardwareLine {
    /// The pieces, kind by kind.
    pub pieces: Vec<Hardware>,
    /// What of it a careful reader could not know.
    pub doubts: Vec<HardwareDoubt>,
    /// The last bag that was said before pieces: it holds those that follow,
    /// on the next lines too.
    pub bag_before: Option<BagLabel>,
    /// The bag that is said of all pieces: "all in bag 9".
    pub bag_of_all: Option<BagLabel>,
}

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

/// Reads a line of hardware. Never fails: what is no piece, bag or mark stays
/// with its piece, as a note or in its kind.
#[must_use]
pub fn read_hardware(text: &str) -> HardwareLine {
    if text.len() > LONGEST_LINE {
        return too_long(text);
    }
    let plain = straighten(text.trim().trim_end_matches('.'))
        .replace('!', " ")
        .replace(['[', '{'], "(")
        .replace([']', '}'], ")");
    let plain = plain_sizes(&plain);
    let mut line = Reading::default();
    let phrases = phrases(&plain);
    for (place, phrase) in phrases.iter().enumerate() {
        line.phrase(phrase, phrases.get(place + 1));
        if let Some(sizes) = either_size(&phrase.text) {
            line.doubt(HardwareDoubt::LeftOver(sizes));
        }
    }
    line.finish(text)
}

/// Bytes of the longest line that is read kind by kind: far more than anyone
/// writes about the hardware of one part.
const LONGEST_LINE: usize = 500;

/// A line that is too long to be read: one piece of nobody knows what.
fn too_long(text: &str) -> HardwareLine {
    let beginning: String = text.chars().take(40).collect();
    HardwareLine {
        pieces: vec![Hardware {
            quantity: None,
            each: false,
            what: text.to_owned(),
            bag: None,
            marks: Vec::new(),
            note: None,
        }],
        doubts: vec![HardwareDoubt::LeftOver(format!("{beginning} ..."))],
        ..HardwareLine::default()
    }
}

/// The reading of one line, phrase by phrase.
#[derive(Default)]
struct Reading {
    line: HardwareLine,
    /// Pieces before this one are in a bag that was said behind them.
    bagged: usize,
    /// The bag that was said last.
    said_bag: bool,
    /// "2 sets", "2 each": so many of every kind that follows.
    of_every: Option<u32>,
    /// "none": there is no hardware, and that is no problem.
    none: bool,
}

impl Reading {
    fn doubt(&mut self, doubt: HardwareDoubt) {
        if !self.line.doubts.contains(&doubt) {
            self.line.doubts.push(doubt);
        }
    }

    fn phrase(&mut self, phrase: &Phrase, next: Option<&Phrase>) {
        let text = phrase.text.as_str();
        if self.none {
            return;
        }
        if let Some(found) = bag_phrase(text) {
            let before = Phrase {
                text: found.before.clone(),
                brackets: phrase.brackets.clone(),
                joined: phrase.joined,
            };
            if !found.before.is_empty() {
                self.words(&before, next);
            }
            let alone = found.before.is_empty();
            let after = found.after.clone();
            self.bag(text, found, alone);
            if alone {
                self.brackets(&phrase.brackets);
            }
            if after.starts_with("on ") || after.starts_with("in ") || after.starts_with("at ") {
                self.doubt(HardwareDoubt::LeftOver(after));
            } else if !after.is_empty() {
                let after = Phrase {
                    text: after,
                    brackets: Vec::new(),
                    joined: PhraseJoin::Comma,
                };
                self.words(&after, next);
            }
            return;
        }
        self.words(phrase, next);
    }

    /// A phrase without a bag.
    fn words(&mut self, phrase: &Phrase, next: Option<&Phrase>) {
        let text = phrase.text.trim();
        if text.is_empty() {
            return self.brackets(&phrase.brackets);
        }
        let words: Vec<&str> = text.split_whitespace().collect();
        let first = self.line.pieces.is_empty();
        // An item of its own that counts pieces of the one before it.
        if first
            && words.get(1).is_some_and(|word| *word == "of")
            && words
                .get(2)
                .is_some_and(|word| matches!(*word, "them" | "these" | "those"))
        {
            self.doubt(HardwareDoubt::OfThoseOrMore(text.to_owned()));
        }
        if first && says_none(&words) {
            self.none = true;
            return;
        }
        if text.eq_ignore_ascii_case("each") && !first {
            if let Some(last) = self.line.pieces.last_mut() {
                last.each = true;
            }
            return self.brackets(&phrase.brackets);
        }
        if let Some(mark) = mark_phrase(text).filter(|mark| self.is_about_known(mark)) {
            self.mark(&mark, text);
            return self.brackets(&phrase.brackets);
        }
        if !first && self.describes(text, &words, phrase.joined) {
            return self.brackets(&phrase.brackets);
        }
        self.pieces(text, &words, phrase, next);
        self.brackets(&phrase.brackets);
    }

    /// Whether a mark is said of pieces that were named before.
    fn is_about_known(&self, mark: &MarkPhrase) -> bool {
        let known = |kind: &String| {
            self.line
                .pieces
                .iter()
                .any(|piece| last_kind(piece) == *kind)
        };
        !self.line.pieces.is_empty() && mark.kind.as_ref().is_none_or(known)
    }

    /// A phrase behind the pieces that only says more about them.
    fn describes(&mut self, text: &str, words: &[&str], joined: PhraseJoin) -> bool {
        if let Some((size, rest)) = tool_size(words)
            && rest.is_empty()
        {
            self.note(&size);
            return true;
        }
        let (count, used) = leading_count(words);
        let read = Fastener::read(&words[used..].join(" "));
        let sized = read.size.is_some() || read.grade.is_some();
        if sized && read.kind.written().is_empty() {
            return self.further_size(text, joined);
        }
        let rest: Vec<String> = words[used..]
            .iter()
            .map(|word| word.to_lowercase())
            .collect();
        if let Count::Exactly(count) = count
            && rest.is_empty()
            && self.counts_last(count)
        {
            return true;
        }
        let of_them = rest
            .first()
            .is_some_and(|word| matches!(word.as_str(), "them" | "these" | "which" | "those"));
        if count != Count::Unsaid && of_them {
            self.note(text);
            return true;
        }
        if count != Count::Unsaid {
            let nothing_named = rest.is_empty()
                || rest
                    .iter()
                    .all(|word| only_describes(word) || is_side(word))
                || rest.first().is_some_and(|word| begins_note(word));
            if nothing_named {
                self.doubt(HardwareDoubt::OfThoseOrMore(text.to_owned()));
            }
            return nothing_named;
        }
        let named = words.iter().any(|word| is_kind(&word.to_lowercase()));
        let counted_behind = trailing_count(words).is_some();
        if (named && !rest.iter().any(|word| begins_note(word) && !is_kind(word))
            || joined == PhraseJoin::Plus)
            && !is_note(&rest)
            || counted_behind
        {
            return false;
        }
        if words.len() <= 2
            && !rest
                .iter()
                .any(|word| word.ends_with("able") || is_condition(word))
            && !words.iter().any(|word| begins_note(&word.to_lowercase()))
            && !rest.iter().any(|word| begins_note(word))
            && !rest
                .iter()
                .any(|word| word.bytes().any(|b| b.is_ascii_digit()))
        {
            // "zinc", "countersunk": materials and forms stay with the kind.
            if let Some(last) = self.line.pieces.last_mut() {
                last.what = format!("{}, {text}", last.what);
            }
        } else {
            self.note(text);
        }
        true
    }

    /// "bolts M8x25 - 6 pcs": the number of a piece that had none.
    fn counts_last(&mut self, count: u32) -> bool {
        let guess = |doubt: &HardwareDoubt| {
            matches!(
                doubt,
                HardwareDoubt::Uncounted(_) | HardwareDoubt::CountedAsOne(_)
            )
        };
        let uncounted = self.line.doubts.last().is_some_and(guess);
        if let Some(last) = self.line.pieces.last_mut()
            && uncounted
        {
            last.quantity = Some(count);
            self.line.doubts.pop();
        }
        uncounted
    }

    /// A size alone: of the last piece, or "2 M8 x 30" of a further one.
    fn further_size(&mut self, text: &str, joined: PhraseJoin) -> bool {
        let Some(last) = self.line.pieces.last_mut() else {
            return false;
        };
        let words: Vec<&str> = text.split_whitespace().collect();
        let (count, used) = leading_count(&words);
        let own = Fastener::read(&last.what);
        if let Count::Exactly(count) = count {
            let kind = own.kind.written().to_owned();
            let piece = Hardware {
                quantity: Some(count),
                what: format!("{kind} {}", words[used..].join(" ")),
                note: None,
                ..last.clone()
            };
            let piece = Hardware {
                bag: None,
                marks: Vec::new(),
                ..piece
            };
            self.line.pieces.push(piece);
            return true;
        }
        if own.size.is_none() || Fastener::read(text).size.is_none() {
            last.what = format!("{} {text}", last.what);
            return true;
        }
        if last.quantity == Some(2) && joined != PhraseJoin::Start {
            let kind = own.kind.written().to_owned();
            let mut other = last.clone();
            last.quantity = Some(1);
            other.quantity = Some(1);
            other.what = format!("{kind} {text}");
            self.line.pieces.push(other);
            return true;
        }
        self.doubt(HardwareDoubt::OfThoseOrMore(text.to_owned()));
        true
    }

    /// Pieces, kind by kind.
    fn pieces(&mut self, text: &str, words: &[&str], phrase: &Phrase, next: Option<&Phrase>) {
        // "spring x1 clip x2": each number belongs to the kind before it.
        if let Some(at) = counted_behind(words) {
            for part in [&words[..=at], &words[at + 1..]] {
                let part = Phrase {
                    text: part.join(" "),
                    brackets: Vec::new(),
                    joined: PhraseJoin::Comma,
                };
                self.words(&part, None);
            }
            return;
        }
        let (mut count, used) = leading_count(words);
        let mut rest: Vec<&str> = words[used..].to_vec();
        let mut each = false;
        if let Count::Exactly(sets) = count {
            rest = self.without_sets(rest, sets, next);
        }
        if count == Count::Unsaid {
            let in_brackets = phrase.brackets.iter().find_map(|inner| count_alone(inner));
            if let Some((number, left)) = trailing_count(&rest) {
                if let Some(doubt) = length_or_count(&rest, left) {
                    self.doubt(doubt);
                }
                count = Count::Exactly(number);
                rest.truncate(left);
            } else if let Some((number, at)) = inner_count(&rest) {
                count = Count::Exactly(number);
                rest.remove(at);
            } else if let Some(number) = in_brackets {
                count = Count::Exactly(number);
            }
        }
        if rest
            .last()
            .is_some_and(|word| word.eq_ignore_ascii_case("each"))
        {
            each = true;
            rest.pop();
        }
        while rest
            .last()
            .is_some_and(|word| matches!(*word, "-" | ":" | "=" | "->"))
        {
            rest.pop();
        }
        // "4 bolts one sheared", "4 bolts 2 nuts": a further phrase.
        let further = further_phrase(&rest).map(|at| rest.split_off(at).join(" "));
        let quantity = self.quantity(&count, text, &rest);
        let first_new = self.line.pieces.len();
        for kind in slashed(&rest) {
            let piece = self.piece(&kind, quantity, each);
            self.line.pieces.push(piece);
        }
        if let Some(next) = next {
            self.name_from(first_new, next);
        }
        if let Some(further) = further {
            let further = Phrase {
                text: further,
                brackets: Vec::new(),
                joined: PhraseJoin::Comma,
            };
            self.words(&further, None);
        }
    }

    /// "2 sets of bolt, nut and washer", "2 each bolt, nut": the words behind.
    fn without_sets<'a>(
        &mut self,
        words: Vec<&'a str>,
        sets: u32,
        next: Option<&Phrase>,
    ) -> Vec<&'a str> {
        let small = |at: usize| {
            words
                .get(at)
                .map(|word| word.to_lowercase())
                .unwrap_or_default()
        };
        if !matches!(small(0).as_str(), "set" | "sets" | "each") || words.len() < 2 {
            return words;
        }
        let several = next.is_some_and(|next| {
            bag_phrase(&next.text).is_none_or(|found| !found.before.is_empty())
        });
        if several {
            self.of_every = Some(sets);
        } else {
            self.doubt(HardwareDoubt::Vague(format!("{sets} {}", words[0])));
        }
        let of = usize::from(small(1) == "of");
        words[1 + of..].to_vec()
    }

    /// "2 long, 2 short bolts": the first are bolts too.
    fn name_from(&mut self, at: usize, next: &Phrase) {
        let piece = &mut self.line.pieces[at];
        let read = Fastener::read(&piece.what);
        let words: Vec<String> = read
            .kind
            .written()
            .split(' ')
            .map(str::to_lowercase)
            .collect();
        let nameless = words
            .iter()
            .all(|word| word.is_empty() || only_describes(word));
        if !nameless || piece.quantity.is_none() {
            return;
        }
        let bagless = bag_phrase(&next.text).map_or(next.text.clone(), |found| found.before);
        let words: Vec<&str> = bagless.split_whitespace().collect();
        let (count, _) = leading_count(&words);
        let kind = words
            .iter()
            .rev()
            .find(|word| is_kind(&word.to_lowercase()));
        if let (Count::Exactly(_), Some(kind)) = (count, kind) {
            piece.what = format!("{} {kind}", piece.what).trim().to_owned();
        }
    }

    /// The number of a count, and its doubt.
    fn quantity(&mut self, count: &Count, text: &str, rest: &[&str]) -> Option<u32> {
        let (doubt, quantity) = match count {
            Count::Exactly(count) => return Some(*count),
            Count::About(count, said) => (HardwareDoubt::About(said.clone()), Some(*count)),
            Count::Vague(said) => (HardwareDoubt::Vague(said.clone()), None),
            Count::Range(said) => (HardwareDoubt::Range(said.clone()), None),
            Count::Odd(said) => (HardwareDoubt::OddNumber(said.clone()), None),
            Count::Unsaid => {
                let small: Vec<String> = rest.iter().map(|word| word.to_lowercase()).collect();
                let kinds: Vec<&String> = small.iter().filter(|word| is_kind(word)).collect();
                let named = kinds.last().or(small.last().as_ref()).copied();
                let several = named.is_some_and(|word| is_plural(word));
                if self.of_every.is_some() && !several {
                    return self.of_every;
                }
                if small.first().is_some_and(|word| word == "same") && kinds.is_empty() {
                    (HardwareDoubt::NoPieces(text.to_owned()), None)
                } else if several {
                    (HardwareDoubt::Uncounted(text.to_owned()), None)
                } else if self.line.pieces.is_empty() {
                    (HardwareDoubt::CountedAsOne(text.to_owned()), Some(1))
                } else if self
                    .line
                    .pieces
                    .iter()
                    .all(|piece| piece.quantity == Some(1))
                {
                    return Some(1);
                } else {
                    (HardwareDoubt::Uncounted(text.to_owned()), None)
                }
            }
        };
        self.doubt(doubt);
        quantity
    }

    /// One kind from its words: what is told behind it becomes its note.
    fn piece(&mut self, words: &[&str], quantity: Option<u32>, each: bool) -> Hardware {
        let mut words: Vec<&str> = words.to_vec();
        let mut piece = Hardware {
            quantity,
            each,
            what: String::new(),
            bag: None,
            marks: Vec::new(),
            note: None,
        };
        let mut notes = Vec::new();
        if let Some((size, rest)) = tool_size(&words) {
            notes.push(size);
            words = rest;
        }
        if let Some(at) = note_start(&words) {
            let told = words.split_off(at).join(" ");
            let marked = told
                .split_whitespace()
                .next()
                .and_then(|word| mark_word(&word.to_lowercase()));
            match (mark_phrase(&told), marked) {
                (Some(phrase), _) if phrase.count.is_none() => {
                    add_mark(&mut piece.marks, phrase.mark)
                }
                (_, Some(mark)) => {
                    add_mark(&mut piece.marks, mark);
                    notes.push(told.clone());
                }
                (_, None) => notes.push(told.clone()),
            }
            // "2 bolts for the hinge M8 x 20"
            if Size::find(&words.join(" ")).is_none()
                && let Some(found) = Size::find(&told)
                && found.size.thread.is_some()
                && let Some(size) = told.get(found.span)
            {
                piece.what = size.to_owned();
            }
        }
        let small: Vec<String> = words.iter().map(|word| word.to_lowercase()).collect();
        let kept: Vec<&str> = (0..words.len())
            .filter(|at| match marks_here(&small, *at) {
                Some(mark) => {
                    add_mark(&mut piece.marks, mark);
                    false
                }
                None => true,
            })
            .map(|at| words[at])
            .collect();
        let mut kept = kept;
        // "4 bolts of | which 1 sheared", "4 bolts back | in their holes"
        while kept.len() > 1
            && kept.last().is_some_and(|word| {
                matches!(
                    *word,
                    "of" | "w" | "w/" | "with" | "back" | "left" | "are" | "is"
                )
            })
            && is_kind(&kept[kept.len() - 2].to_lowercase())
        {
            kept.pop();
        }
        let mut what = kept.join(" ");
        // "two little ones"
        if let (Some(last), Some(before)) = (kept.last(), self.line.pieces.last())
            && matches!(last.to_lowercase().as_str(), "ones" | "one")
        {
            let kind = last_kind(before);
            what = format!("{} {kind}", kept[..kept.len() - 1].join(" "))
                .trim()
                .to_owned();
        }
        piece.what = format!("{what} {}", piece.what)
            .trim()
            .trim_matches(',')
            .to_owned();
        piece.note = (!notes.is_empty()).then(|| notes.join(", "));
        piece
    }

    fn note(&mut self, text: &str) {
        if let Some(last) = self.line.pieces.last_mut() {
            last.note = Some(match &last.note {
                Some(note) => format!("{note}, {text}"),
                None => text.to_owned(),
            });
        }
    }

    /// What stands in brackets behind a phrase.
    fn brackets(&mut self, brackets: &[String]) {
        for inner in brackets {
            let words: Vec<&str> = inner.split_whitespace().collect();
            if count_alone(inner).is_some() {
                let counted = self.line.pieces.last().and_then(|piece| piece.quantity);
                if counted != count_alone(inner) {
                    self.doubt(HardwareDoubt::OfThoseOrMore(format!("({inner})")));
                }
            } else if counts_some_of(&words) {
                self.doubt(HardwareDoubt::OfThoseOrMore(format!("({inner})")));
            } else if let Some(found) = bag_phrase(inner).filter(|found| found.before.is_empty()) {
                let after = found.after.clone();
                self.bag(inner, found, false);
                if !after.is_empty() {
                    self.note(&after);
                }
            } else if let Some(mark) = mark_phrase(inner).filter(|mark| self.is_about_known(mark)) {
                self.mark(&mark, inner);
            } else if says_left_hand(inner)
                && let Some(last) = self.line.pieces.last_mut()
            {
                // Another thread is another piece, whatever else stands there.
                last.what = format!("{} ({inner})", last.what);
            } else if !self.sizes(inner) && !self.kinds_of_one(inner) && !self.explains(inner) {
                self.note(inner);
            }
        }
    }

    /// The kind in brackets behind a word that names none here: "4 mutter (nuts)".
    /// The word stays as a note.
    fn explains(&mut self, inner: &str) -> bool {
        let words: Vec<&str> = inner.split_whitespace().collect();
        let known = words
            .last()
            .is_some_and(|last| is_kind(&last.to_lowercase()));
        let named = words.len() <= 3
            && words
                .iter()
                .all(|word| word.chars().all(char::is_alphabetic));
        let Some(piece) = self.line.pieces.last_mut() else {
            return false;
        };
        let kind = piece.fastener().kind;
        let written = kind.written();
        let nameless = written
            .split(' ')
            .all(|word| !is_kind(&word.to_lowercase()) && word.chars().all(char::is_alphabetic));
        if !known || !named || !nameless || written.is_empty() || !piece.what.contains(written) {
            return false;
        }
        piece.what = piece.what.replacen(written, inner, 1);
        let written = written.to_owned();
        self.note(&written);
        true
    }

    /// Numbers of each form in brackets: "6 bolts (2 long, 4 short)".
    fn kinds_of_one(&mut self, inner: &str) -> bool {
        let parts: Vec<Vec<&str>> = inner
            .split([',', ';'])
            .flat_map(|part| part.split(" and "))
            .map(|part| part.split_whitespace().collect())
            .collect();
        let counts: Vec<(Count, usize)> = parts.iter().map(|words| leading_count(words)).collect();
        let numbers: Option<Vec<u32>> = counts
            .iter()
            .map(|(count, _)| match count {
                Count::Exactly(count) => Some(*count),
                Count::About(..)
                | Count::Vague(_)
                | Count::Range(_)
                | Count::Odd(_)
                | Count::Unsaid => None,
            })
            .collect();
        let (Some(numbers), Some(last)) = (
            numbers.filter(|all| all.len() > 1),
            self.line.pieces.last().cloned(),
        ) else {
            return false;
        };
        if Some(numbers.iter().sum()) != last.quantity {
            self.doubt(HardwareDoubt::OfThoseOrMore(format!("({inner})")));
            return false;
        }
        self.line.pieces.pop();
        for ((words, (_, used)), number) in parts.iter().zip(&counts).zip(numbers) {
            let form = words[*used..].join(" ");
            let first = form.split(' ').next().unwrap_or_default().to_lowercase();
            let mark = mark_word(&first);
            let form = if mark.is_some()
                || matches!(first.as_str(), "ok" | "good" | "fine" | "sound" | "of")
            {
                String::new()
            } else {
                form
            };
            let what = if is_kind(form.rsplit(' ').next().unwrap_or_default()) {
                form
            } else {
                format!("{form} {}", last.what)
            };
            self.line.pieces.push(Hardware {
                quantity: Some(number),
                what: what.trim().to_owned(),
                marks: mark.into_iter().chain(last.marks.iter().copied()).collect(),
                ..last.clone()
            });
        }
        true
    }

    /// Sizes in brackets: one for each piece, or one for all.
    fn sizes(&mut self, inner: &str) -> bool {
        let sizes: Vec<&str> = inner
            .split([',', ';'])
            .flat_map(|size| size.split(" and "))
            .map(str::trim)
            .collect();
        let is_size = |text: &&str| {
            let read = Fastener::read(text);
            read.kind.written().is_empty() && (read.size.is_some() || read.grade.is_some())
        };
        if !sizes.iter().all(is_size) {
            return false;
        }
        let Some(last) = self.line.pieces.last_mut() else {
            return false;
        };
        if Size::find(&last.what).is_some() {
            return false;
        }
        match sizes.as_slice() {
            [one] => last.what = format!("{} {one}", last.what),
            several => {
                let all = u32::try_from(several.len()).ok();
                if last.quantity != all {
                    self.doubt(HardwareDoubt::OfThoseOrMore(format!("({inner})")));
                    return false;
                }
                let Some(piece) = self.line.pieces.pop() else {
                    return false;
                };
                for size in several {
                    self.line.pieces.push(Hardware {
                        quantity: Some(1),
                        what: format!("{} {size}", piece.what),
                        ..piece.clone()
                    });
                }
            }
        }
        true
    }

    /// Marks pieces that were named before.
    fn mark(&mut self, mark: &MarkPhrase, text: &str) {
        let found = mark.kind.as_ref().and_then(|kind| {
            self.line
                .pieces
                .iter()
                .rposition(|piece| last_kind(piece) == *kind)
        });
        let at = found.unwrap_or(self.line.pieces.len().saturating_sub(1));
        if mark.unsure {
            self.doubt(HardwareDoubt::OfThoseOrMore(text.to_owned()));
        } else if found.is_none() && !mark.all && self.line.pieces.len() > 1 {
            self.doubt(HardwareDoubt::WhichOnes(text.to_owned()));
        }
        let Some(count) = mark.count else {
            let from = if mark.all && found.is_none() { 0 } else { at };
            for piece in &mut self.line.pieces[from..=at] {
                add_mark(&mut piece.marks, mark.mark);
            }
            return;
        };
        let piece = &mut self.line.pieces[at];
        match piece.quantity {
            Some(all) if count < all => {
                piece.quantity = Some(all - count);
                let mut marked = piece.clone();
                marked.quantity = Some(count);
                marked.bag = None;
                marked.note = None;
                marked.marks = vec![mark.mark];
                self.line.pieces.insert(at + 1, marked);
            }
            Some(all) if count == all => add_mark(&mut piece.marks, mark.mark),
            Some(_) | None => {
                add_mark(&mut piece.marks, mark.mark);
                self.doubt(HardwareDoubt::OfThoseOrMore(text.to_owned()));
            }
        }
    }

    /// The bag of the pieces named before it, or of those that follow.
    fn bag(&mut self, text: &str, found: BagPhrase, alone: bool) {
        let BagPhrase {
            label,
            doubt,
            for_all,
            ..
        } = found;
        match doubt {
            Some(BagDoubt::Several(said)) => self.doubt(HardwareDoubt::SeveralBags(said)),
            Some(BagDoubt::NoLabel) => self.doubt(HardwareDoubt::NoLabel),
            Some(BagDoubt::Slip(said)) => {
                let label = label.as_ref().map_or("", BagLabel::written).to_owned();
                self.doubt(HardwareDoubt::BagSlip(said, label));
            }
            None => {}
        }
        let Some(label) = label else {
            return;
        };
        let pieces = self.line.pieces.len();
        if for_all {
            self.line.bag_of_all = Some(label);
            return;
        }
        if pieces == 0 || alone && self.line.bag_before.is_some() {
            // "bag 4: 2 bolts, bag 5: 2 nuts": the next ones.
            self.fill_before();
            if self.bagged < pieces || pieces == 0 && self.line.bag_before.is_none() {
                self.bagged = pieces;
                self.line.bag_before = Some(label);
            } else {
                self.doubt(HardwareDoubt::SeveralBags(text.to_owned()));
            }
            return;
        }
        if self.said_bag && self.bagged == pieces {
            self.doubt(HardwareDoubt::SeveralBags(text.to_owned()));
            for piece in &mut self.line.pieces {
                piece.bag = Some(label.clone());
            }
            return;
        }
        let from = if self.line.bag_before.is_some() {
            pieces - 1
        } else {
            self.bagged
        };
        put(&mut self.line.pieces[from..], &label);
        if self.line.bag_before.is_none() {
            self.bagged = pieces;
            self.said_bag = true;
        }
    }

    /// Puts pieces without a bag into the one that was said before them.
    fn fill_before(&mut self) {
        if let Some(label) = &self.line.bag_before {
            put(&mut self.line.pieces, label);
        }
    }

    /// The line as it was read, with its bags in all pieces that have none.
    fn finish(mut self, text: &str) -> HardwareLine {
        self.fill_before();
        let last = self.line.bag_before.clone();
        if let Some(label) =
            last.filter(|_| self.bagged > 0 && self.bagged == self.line.pieces.len())
        {
            // "bag 4: 2 bolts, bag 5"
            self.doubt(HardwareDoubt::SeveralBags(format!(
                "bag {}",
                label.written()
            )));
        }
        if let Some(label) = &self.line.bag_of_all {
            put(&mut self.line.pieces, label);
        } else if self.said_bag {
            let bare = self
                .line
                .pieces
                .iter()
                .find(|piece| piece.bag.is_none() && piece.marks.is_empty());
            if let Some(what) = bare.map(|piece| piece.what.clone()) {
                self.doubt(HardwareDoubt::NoBagSaid(what));
            }
        }
        let several = self.line.pieces.len() > 1;
        for piece in self.line.pieces.clone() {
            // "1 bolt short": a short one, or one too few?
            let kind = piece.fastener().kind;
            if kind.written().to_lowercase().ends_with(" short") {
                self.doubt(HardwareDoubt::OfThoseOrMore(kind.written().to_owned()));
            }
            // "4 bolts, 8 washers all M8": the bolts too?
            let note = piece.note.as_deref().unwrap_or_default();
            if several && note.starts_with("all ") && Size::find(note).is_some() {
                self.doubt(HardwareDoubt::WhichOnes(note.to_owned()));
            }
            if let Some(left) = left_over(&piece) {
                self.doubt(HardwareDoubt::LeftOver(left));
            }
        }
        let unnamed = |doubt: &HardwareDoubt| matches!(doubt, HardwareDoubt::NoPieces(_));
        if self.line.doubts.iter().any(unnamed) {
            self.line.pieces.clear();
        } else if self.line.pieces.is_empty() && !self.none && self.line.doubts.is_empty() {
            self.doubt(HardwareDoubt::NoPieces(text.to_owned()));
        }
        self.line
    }
}

/// Puts pieces that have no bag into one; marked ones only where all are.
fn put(pieces: &mut [Hardware], label: &BagLabel) {
    let whole = pieces.iter().all(|piece| !piece.marks.is_empty());
    for piece in pieces {
        if piece.bag.is_none() && (piece.marks.is_empty() || whole) {
            piece.bag = Some(label.clone());
        }
    }
}

/// What of a piece should have been read and was not: a number before a
/// kind or at the end, signs that join, "each side".
fn left_over(piece: &Hardware) -> Option<String> {
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
        .any(|word| matches!(*word, "not" | "no" | "never"));
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
    odd.then(|| kind.to_owned())
}

fn add_mark(marks: &mut Vec<PurchaseMark>, mark: PurchaseMark) {
    if !marks.contains(&mark) {
        marks.push(mark);
    }
}

/// "none, it was only glued".
fn says_none(words: &[&str]) -> bool {
    let small: Vec<String> = words.iter().map(|word| word.to_lowercase()).collect();
    match small.first().map(|word| word.trim_matches(['.', ':', '-'])) {
        Some("none" | "nothing" | "nil" | "n/a") => true,
        Some("no") => small.get(1).is_some_and(|word| {
            matches!(
                word.as_str(),
                "hardware" | "fasteners" | "fixings" | "bolts" | "screws"
            )
        }),
        Some(_) | None => false,
    }
}

/// The last word of a piece's kind, for one.
fn last_kind(piece: &Hardware) -> String {
    let kind = Fastener::read(&piece.what).kind;
    let words: Vec<String> = kind
        .written()
        .to_lowercase()
        .split(' ')
        .map(singular)
        .collect();
    let named = words.iter().rev().find(|word| is_kind(word));
    named.or(words.last()).cloned().unwrap_or_default()
}

/// "4", "x4", "4 off", "4 pcs" and nothing more.
fn count_alone(text: &str) -> Option<u32> {
    let small = text.to_lowercase();
    let words: Vec<&str> = small.split_whitespace().collect();
    match leading_count(&words) {
        (Count::Exactly(count), used) if used == words.len() => Some(count),
        _ => None,
    }
}

/// "of 6", "1 short": a number that says something of pieces that were counted already.
fn counts_some_of(words: &[&str]) -> bool {
    let [first, second, rest @ ..] = words else {
        return false;
    };
    let of_all = first.eq_ignore_ascii_case("of") && second.parse::<u32>().is_ok();
    let too_few = rest.is_empty() && matches!(*second, "short" | "left" | "over" | "more");
    of_all || too_few && leading_count(words).0 != Count::Unsaid
}

/// "bolt M8 x30": thirty of them, or their length.
fn length_or_count(words: &[&str], left: usize) -> Option<HardwareDoubt> {
    let count: u32 = words.last()?.trim_start_matches(['x', 'X']).parse().ok()?;
    if !words[left].starts_with(['x', 'X']) {
        return None;
    }
    let before = words[..left].join(" ");
    let read = Size::find(&before).filter(|found| found.span.end == before.len())?;
    let long = words.iter().any(|word| {
        let word = word.to_lowercase();
        word.ends_with("nut") || word.ends_with("nuts") || word.contains("washer")
    });
    let metric = read.size.thread.is_some_and(Thread::is_metric);
    let likely = if metric { count > 5 } else { count <= 8 };
    (read.size.measures.is_empty() && read.size.thread.is_some() && !long && likely)
        .then(|| HardwareDoubt::LengthOrCount(words[left - 1..].join(" ")))
}

/// The measure of a tool among words, and the words without it: "10mm head",
/// "13mm spanner size", "torque to 45" is none.
fn tool_size<'a>(words: &[&'a str]) -> Option<(String, Vec<&'a str>)> {
    let small: Vec<String> = words.iter().map(|word| word.to_lowercase()).collect();
    let is_unit = |word: &str| matches!(word, "mm" | "in" | "inch" | "\"");
    let measure = |word: &str| {
        word.starts_with(|c: char| c.is_ascii_digit()) && !word.contains('-') && !word.contains('x')
    };
    for at in 0..words.len() {
        if !measure(&small[at]) {
            continue;
        }
        let unit = usize::from(small.get(at + 1).is_some_and(|word| is_unit(word)));
        let tool = at + 1 + unit;
        let said = small.get(tool).is_some_and(|word| is_tool_size(word));
        // "10mm socket head screw", "3/4 hex set screw": the piece, and its size.
        let forms = small.get(tool).is_some_and(|word| {
            matches!(
                word.as_str(),
                "hex" | "socket" | "allen" | "ring" | "key" | "torx"
            )
        });
        let behind = &small[(tool + 1).min(small.len())..];
        let named = behind.iter().any(|word| is_kind(word))
            || behind
                .first()
                .is_some_and(|word| matches!(word.as_str(), "head" | "cap"));
        if !said || forms && named {
            continue;
        }
        let mut end = tool + 1;
        while small.get(end).is_some_and(|word| {
            is_tool_size(word) || matches!(word.as_str(), "size" | "flats" | "the" | "sized")
        }) {
            end += 1;
        }
        let mut rest = words[..at].to_vec();
        rest.extend(&words[end..]);
        return Some((words[at..end].join(" "), rest));
    }
    // "spanner size 13", "takes a 13mm spanner" is found above.
    // "bolts key 17", "nuts SW 13": a key behind the kind is the spanner's size; a
    // woodruff key is a kind itself.
    let at = (0..small.len()).find(|at| match small[*at].as_str() {
        "spanner" | "wrench" | "socket" | "af" | "sw" => true,
        "key" => *at == 0 || is_kind(&small[*at - 1]) && small[*at - 1] != "woodruff",
        _ => false,
    })?;
    let end = small[at..].iter().position(|word| measure(word))? + at + 1;
    let between = &small[at + 1..end - 1];
    let joined = between
        .iter()
        .all(|word| matches!(word.as_str(), "size" | "is" | "=" | "no"));
    joined.then(|| {
        let mut rest = words[..at].to_vec();
        rest.extend(&words[end..]);
        (words[at..end].join(" "), rest)
    })
}

/// Two sizes of which one is meant: "M8 or 5/16".
fn either_size(text: &str) -> Option<String> {
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

/// Whether words behind a comma tell something instead of naming a piece.
fn is_note(small: &[String]) -> bool {
    small.first().is_some_and(|word| begins_note(word))
}

/// Where a note begins behind the kind.
fn note_start(words: &[&str]) -> Option<usize> {
    let small: Vec<String> = words.iter().map(|word| word.to_lowercase()).collect();
    let says_mark = small
        .iter()
        .any(|word| mark_word(word).is_some() || word == "reuse" || word == "use");
    let mut named = false;
    for at in 0..words.len() {
        let word = small[at].as_str();
        if named && at > 0 {
            let unit = word == "in"
                && small[at - 1].ends_with(|c: char| c.is_ascii_digit())
                && small.get(at + 1).is_none_or(|next| {
                    matches!(next.as_str(), "x" | "long" | "wide") || is_kind(next)
                });
            // "pin retaining clip" is one kind, "bolts holding the bracket" is told.
            let compound = word.ends_with("ing")
                && is_kind(&small[at - 1])
                && !is_plural(&small[at - 1])
                && small.get(at + 1).is_some_and(|next| is_kind(next));
            let broke = mark_word(word).is_some_and(|mark| mark != PurchaseMark::New);
            // "2 gaskets order new ones"
            // "clamp bolts cut w grinder": the bolts are the kind, and no part of the mark.
            let goes_on = is_kind(word) && is_kind(&small[at - 1]);
            if says_mark
                && !goes_on
                && words.len() - at <= 8
                && mark_phrase(&words[at..].join(" ")).is_some()
            {
                return Some(at);
            }
            if !unit
                && !compound
                && word != "of"
                && (begins_note(word) || broke)
                && !is_piece_word(word)
            {
                return Some(at);
            }
        }
        named = named || is_kind(word);
    }
    // A kind that nobody knows, and then where it was: "2 thingies from the dash".
    let place = |word: &String| matches!(word.as_str(), "from" | "behind" | "under" | "for" | "on");
    small.iter().position(place).filter(|at| !named && *at > 0)
}

/// Where a further phrase begins without a comma: "4 bolts 2 nuts".
fn further_phrase(words: &[&str]) -> Option<usize> {
    let small: Vec<String> = words.iter().map(|word| word.to_lowercase()).collect();
    let named = small.iter().position(|word| is_kind(word))?;
    (named + 1..words.len()).find(|at| {
        let number = number_word(&small[*at]).is_some()
            || small[*at].parse::<u32>().is_ok_and(|number| number < 1000);
        let spelled = number_word(&small[*at]).is_some();
        let measured = !spelled
            && small[*at - 1].ends_with(|c: char| c.is_ascii_digit() || matches!(c, 'x' | '.'))
            || matches!(
                small[*at - 1].as_str(),
                "grade" | "class" | "gr" | "no" | "size" | "type" | "#"
            );
        let next = small.get(*at + 1).is_some_and(|word| {
            is_kind(word)
                || only_describes(word)
                || mark_word(word).is_some()
                || word == "of"
                || word == "is"
        });
        let further = small.get(*at + 2).is_some_and(|word| is_kind(word))
            && small.get(*at + 1).is_some_and(|word| {
                word.chars().all(char::is_alphabetic) && !begins_note(word) && word != "x"
            });
        number && !measured && (next || further)
    })
}

/// Where the number of a first kind stands with another kind behind it, in "spring x1
/// clip x2".
fn counted_behind(words: &[&str]) -> Option<usize> {
    let times = |word: &str| {
        let small = word.to_lowercase();
        let digits = small.trim_start_matches('x').trim_end_matches('x');
        digits.len() + 1 == small.len() && digits.bytes().all(|b| b.is_ascii_digit())
    };
    let kind = |word: &&str| is_kind(&word.to_lowercase());
    (1..words.len().saturating_sub(1)).find(|at| {
        let behind = &words[at + 1..];
        times(words[*at])
            && !words[*at].eq_ignore_ascii_case("x")
            && kind(&words[at - 1])
            && behind.iter().any(kind)
            && behind.iter().any(|word| times(word))
    })
}

/// The mark that the word at this place gives its piece: "stripped nut",
/// "split pin new", but "new old stock", "cut washer".
fn marks_here(small: &[String], at: usize) -> Option<PurchaseMark> {
    let mark = mark_word(&small[at])?;
    let next = small.get(at + 1).map(String::as_str);
    let before_kind = matches!(
        small[at].as_str(),
        "new"
            | "broken"
            | "sheared"
            | "snapped"
            | "stripped"
            | "lost"
            | "missing"
            | "rounded"
            | "shorn"
    );
    let of_kind = matches!(
        next,
        Some("old" | "style" | "type" | "head" | "pattern" | "motion")
    );
    let last = next.is_none() && at > 0;
    (last || before_kind && !of_kind && next.is_some()).then_some(mark)
}

/// "bolt/nut/washer" as three kinds; sizes and "R/H" stay whole.
fn slashed<'a>(words: &[&'a str]) -> Vec<Vec<&'a str>> {
    let parts = |word: &'a str| -> Option<Vec<&'a str>> {
        let parts: Vec<&str> = word.split('/').collect();
        (parts.len() > 1 && parts.iter().all(|part| is_kind(&part.to_lowercase()))).then_some(parts)
    };
    let Some((at, kinds)) = words
        .iter()
        .enumerate()
        .find_map(|(at, word)| Some((at, parts(word)?)))
    else {
        return vec![words.to_vec()];
    };
    kinds
        .into_iter()
        .map(|kind| {
            let mut own = words.to_vec();
            own[at] = kind;
            own
        })
        .collect()
}

/// Whether a word names where hardware lies.
pub(super) fn holds_hardware(word: &str) -> bool {
    is_bag(word) || is_container(word) || word == "bags"
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The pieces of a line in one writing: count, kind, size, marks, bag.
    fn shown(line: &HardwareLine) -> String {
        let piece = |piece: &Hardware| {
            let read = piece.fastener();
            let mut words = vec![
                piece
                    .quantity
                    .map_or("?".to_owned(), |count| count.to_string()),
            ];
            words.push(read.to_string());
            words.extend(piece.marks.iter().map(|mark| format!("[{}]", mark.word())));
            words.extend(piece.bag.iter().map(|bag| format!("@{}", bag.written())));
            words.extend(piece.note.iter().map(|note| format!("({note})")));
            words.join(" ")
        };
        let pieces: Vec<String> = line.pieces.iter().map(piece).collect();
        pieces.join("; ")
    }

    #[test]
    fn lines_that_are_read_as_meant() {
        for (text, expected) in EXAMPLES {
            let line = read_hardware(text);
            assert_eq!(shown(&line), *expected, "{text}");
            assert_eq!(line.doubts, [], "{text}");
        }
    }

    #[test]
    fn lines_that_are_asked_about() {
        for text in ASKED {
            let line = read_hardware(text);
            assert_ne!(line.doubts, [], "{text}: {}", shown(&line));
        }
    }

    const EXAMPLES: &[(&str, &str)] = &[
        ("10mm head bolts x 5, bag 7", "5 bolt @7 (10mm head)"),
        ("8 x 13mm head bolts bag 3", "8 bolt @3 (13mm head)"),
        ("2 17mm spanner nuts, bag 4", "2 nut @4 (17mm spanner)"),
        ("2 split pins NEW!", "2 split pin [new]"),
        ("2 nylocks m8 (use new)", "2 nylock M8 [new]"),
        ("3 bolts 10mm spanner, no bag yet", "3 bolt (10mm spanner)"),
        ("4 nuts M8, not bagged", "4 nut M8"),
        ("4 clamp bolts cut w grinder", "4 clamp bolt [cut]"),
        ("2 link pins sawn off with hacksaw", "2 link pin [cut]"),
        ("qty 7 screws M5 20 long, bag 40", "7 screw M5 x 20 @40"),
        ("2 bolts M6 25mm long", "2 bolt M6 x 25"),
        ("bolts M12x60 qty two, bag nr 3", "2 bolt M12 x 60 @3"),
        (
            "2 bolts 3/8, one sheared, bag 13",
            "1 bolt 3/8 @13; 1 bolt 3/8 [sheared]",
        ),
        ("spring x1 clip x2 in bag 12", "1 spring @12; 2 clip @12"),
        (
            "six 5/16-18 bolts, gr 8, one sheared off in the frame. bag 14",
            "5 bolt 5/16-18 grade 8 @14; 1 bolt 5/16-18 grade 8 [sheared]",
        ),
        (
            "4 strap bolt 3/8-24 x 2-1/2 grade 5, bag 31",
            "4 strap bolt 3/8-24 x 2-1/2 grade 5 @31",
        ),
        ("2 felt pad, new", "2 felt pad [new]"),
        ("4 bolt M8x1,25 x 30, bag 3", "4 bolt M8 x 30 @3"),
        ("4x M8×1.25", "4 M8"),
        ("two nuts, bag coffee tin", "2 nut @coffee tin"),
        ("1 stud, sheared, cut", "1 stud [sheared] [cut]"),
        (
            "2 nut 1/2-13 (behind the bracket, rusty)",
            "2 nut 1/2-13 (behind the bracket, rusty)",
        ),
        (
            "3 screw 1/4-20 x 1/2 each, bag 11",
            "3 screw 1/4-20 x 1/2 @11",
        ),
        ("4 bolts (bag 12)", "4 bolt @12"),
        ("bag 12: 4 bolts, 4 washers", "4 bolt @12; 4 washer @12"),
        ("4 bolts (bag 12), 2 nuts (bag 13)", "4 bolt @12; 2 nut @13"),
        ("4 bolts bag 1, 2 nuts bag 2", "4 bolt @1; 2 nut @2"),
        ("Bolts: 4, nuts: 4 (bag 30)", "4 bolt @30; 4 nut @30"),
        (
            "4x bolt/nut/washer, bag 30",
            "4 bolt @30; 4 nut @30; 4 washer @30",
        ),
        (
            "one big bolt, two little ones, bag 6",
            "1 big bolt @6; 2 little bolt @6",
        ),
        (
            "2 long, 2 short bolts, bag 6",
            "2 long bolt @6; 2 short bolt @6",
        ),
        (
            "2 bolts M8 x 20, 2 M8 x 30, bag 6",
            "2 bolt M8 x 20 @6; 2 bolt M8 x 30 @6",
        ),
        (
            "2 bolts (3/8-16 x 1, 3/8-16 x 2)",
            "1 bolt 3/8-16 x 1; 1 bolt 3/8-16 x 2",
        ),
        ("bag 4: 2 bolts, bag 5: 2 nuts", "2 bolt @4; 2 nut @5"),
        ("bag 4: 2 bolts, 2 nuts (bag 5)", "2 bolt @4; 2 nut @5"),
        ("2 pins, 2 cotters - all in bag 9", "2 pin @9; 2 cotter @9"),
        ("none, it was only glued", ""),
        ("4 bolts, 10mm head, bag 3", "4 bolt @3 (10mm head)"),
        ("4 nuts 13mm spanner size", "4 nut (13mm spanner size)"),
        ("4 bolts, torque to 45, bag 6", "4 bolt @6 (torque to 45)"),
        ("2 ball bearings 6203 bag 8", "2 ball bearing 6203 @8"),
        (
            "4 bolts 3/8-16, one sheared",
            "3 bolt 3/8-16; 1 bolt 3/8-16 [sheared]",
        ),
        (
            "4 bolts (2 stripped), bag 3",
            "2 bolt @3; 2 bolt [stripped]",
        ),
        (
            "4 bolts and 4 nuts, one bolt sheared",
            "3 bolt; 1 bolt [sheared]; 4 nut",
        ),
        (
            "3 studs snapped off in the block",
            "3 stud [sheared] (snapped off in the block)",
        ),
        ("2 hose clamps (had to cut them)", "2 hose clamp [cut]"),
        (
            "2 bolts taped back to the bracket",
            "2 bolt (taped back to the bracket)",
        ),
        ("2 new copper washers", "2 copper washer [new]"),
        ("2 new old stock bolts", "2 new old stock bolt"),
        ("bolts M8x25 - 6 pcs - bag 12", "6 bolt M8 x 25 @12"),
        (
            "2 sets bolt+nut+washer, bag 8",
            "2 bolt @8; 2 nut @8; 2 washer @8",
        ),
        ("4 bolts [bag 8]", "4 bolt @8"),
        ("Bag 8 / 4 bolts / 4 nuts", "4 bolt @8; 4 nut @8"),
        ("4 bolts M8. 4 nuts M8. bag 8", "4 bolt M8 @8; 4 nut M8 @8"),
        ("screws: 8x no 8 x 3/4, bag 8", "8 screw #8 x 3/4 @8"),
        (
            "4 bolts M6 (1 snapped, 3 ok)",
            "1 bolt M6 [sheared]; 3 bolt M6",
        ),
        ("10 clips, all good", "10 clip (all good)"),
        (
            "bag A: 2 x 1/4 BSF x 3/4 hex set screws",
            "2 hex set screw 1/4 BSF x 3/4 @A",
        ),
        ("2 gaskets order new ones", "2 gasket [new]"),
        ("2 pin retaining clip, bag 3", "2 pin retaining clip @3"),
        ("2 bolts holding bracket", "2 bolt (holding bracket)"),
        ("4 bolts 2 nuts bag 3", "4 bolt @3; 2 nut @3"),
        ("6 hex bolts, zinc", "6 hex bolt zinc"),
        (
            "6 bolts (2 long, 4 short), bag 3",
            "2 long bolt @3; 4 short bolt @3",
        ),
        ("8 screws, 2 of them rusty", "8 screw (2 of them rusty)"),
        (
            "3 studs M10x1,25 one of them broken",
            "2 stud M10x1.25; 1 stud M10x1.25 [sheared]",
        ),
        ("4 M8 bolts 30mm long bag 2", "4 bolt M8 x 30 @2"),
        ("8 screws, bagged and labelled 5", "8 screw @5"),
        ("4 shims 0,15, bag 3", "4 shim 0.15 @3"),
        ("2 nuts key 19, bag 3", "2 nut @3 (key 19)"),
        ("2 nuts SW 19, bag 3", "2 nut @3 (SW 19)"),
        ("2 woodruff keys, bag 3", "2 woodruff key @3"),
        ("3 skruvar (screws) M6, bag 2", "3 screw M6 @2 (skruvar)"),
        ("2 nuts (brass), bag 2", "2 nut @2 (brass)"),
        (
            "2 pins 4 x 30,1 nut M6, bag 2",
            "2 pin 4 x 30 @2; 1 nut M6 @2",
        ),
        ("3 washers 5,3 x 10 x 1, bag 2", "3 washer 5.3 x 10 x 1 @2"),
        ("6 screws M5x12 A4, bag A2", "6 screw M5 x 12 class A4 @A2"),
        (
            "two gross of brass rivets, coffee jar 3",
            "288 brass rivet @coffee jar 3",
        ),
    ];

    const ASKED: &[&str] = &[
        "3 clevis pins, lost one in the grass",
        "1 bolt short, bag 3",
        "4 bolts (1 short)",
        "4 bolts, 8 washers all M8, bag 3",
        "3 screws bag 4 on shelf 2",
        "1 of them M10",
        "4 bolts in 12",
        "2 screws b6",
        "a handful of washers, bag 12",
        "2-3 shims",
        "1 (of 4) bolts",
        "M8 bolts bag 4",
        "4 bolts + washers bag 6",
        "l4 bolts",
        "4 bolts bag 12 or 13",
        "4 bolts bags 12 and 13",
        "same as other side, bag 13",
        "4 bolts M8, missing one",
        "3 bolts, 1 longer, bag 9",
        "4 bolts baf 12",
        "bag 4: 2 bolts, bag 5",
        "bag 4, bag 5: 2 bolts",
        "4 bolts, bag 3, 2 washers",
        "4 hex nut 1/2-13, bag 12, bag 13",
        "2 bolts, 2 nuts, new",
        "hex nut 1/2-13, bag 12",
        "bolt M8 x30",
        "8 screws (5)",
        "2 bolts for left, 2 for right, bag 2",
        "2 hinge pins left, 2 right, bag 2",
        "4 self locking nuts (always new!)",
        "10 clips, half of them broken",
        "2 bolts M8/25, bag 2",
        "2 clips each side, bag 8",
        "5 clips but only 4 in bag 8",
        "bolts 3/8 UNF x 4, bag 8",
        "4 bolts in bag with grille",
        "bag 8",
        "2 sets of points",
        "6 bolts (2 long, 3 short)",
        "4 bolts M6 or 1/4, bag 1",
        "3 hose clamps 16-27mm, bag 1",
        "2 studs, 8 or 9 mm",
        "",
    ];

    proptest::proptest! {
        #[test]
        fn any_line_can_be_read(text in "([a-z]{1,6}|bag|bolts|new|x|[0-9]{1,3}|M8|1/2|[\\PC]|[ ,:;()/&+#-]){0,14}") {
            let _ = read_hardware(&text);
            let _ = read_hardware(&text.replace(|c: char| c.is_whitespace(), ""));
        }
    }
}
