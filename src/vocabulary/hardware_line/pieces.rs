//! The pieces of a phrase: their number and kind.
//!
//! Marks, brackets and bags are read beside it.

use super::bags_and_marks::add_mark;
use super::doubts::HardwareDoubt;
use super::several_counts::{counted_again, counted_behind, counted_mark, further_phrase};
use super::tool_size::tool_size;
use super::{Reading, count_alone, last_kind};
use crate::vocabulary::bag_phrase::bag_phrase;
use crate::vocabulary::fastener::Fastener;
use crate::vocabulary::hardware::{Hardware, PurchaseMark};
use crate::vocabulary::hardware_words::{
    begins_note, is_kind, is_piece_word, is_plural, mark_word, only_describes,
};
use crate::vocabulary::mark_phrase::mark_phrase;
use crate::vocabulary::phrases::{Phrase, PhraseJoin};
use crate::vocabulary::piece_count::{Count, inner_count, leading_count, trailing_count};
use crate::vocabulary::size::Size;
use crate::vocabulary::thread::Thread;

impl Reading {
    /// Pieces, kind by kind.
    pub(super) fn pieces(
        &mut self,
        text: &str,
        words: &[&str],
        phrase: &Phrase,
        next: Option<&Phrase>,
    ) {
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
        if let Some(at) = counted_again(words, used) {
            return self.two_forms(&words[..at], &words[at..]);
        }
        let mut rest: Vec<&str> = words[used..].to_vec();
        let mut each = false;
        // "2 ea: bolt, washer, nut": so many of every kind that follows.
        let each_of = words.get(1).is_some_and(|word| {
            matches!(word.to_lowercase().trim_matches(['.', ':']), "ea" | "each")
        });
        if let (Count::Exactly(count), true, Some(_)) = (&count, each_of && used == 2, next) {
            self.of_every = Some(*count);
        }
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
            } else if let Some((number, counted)) = inner_count(&rest) {
                count = Count::Exactly(number);
                rest.drain(counted);
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
        let shared = match (&count, phrase.joined) {
            (Count::Exactly(count), PhraseJoin::Plus) if used == 0 => Some(*count),
            _ => None,
        };
        // "4 bolts one sheared", "4 bolts 2 nuts": a further phrase.
        let further = further_phrase(&rest)
            .or_else(|| counted_mark(&rest))
            .map(|at| rest.split_off(at).join(" "));
        let quantity = self.quantity(&count, text, &rest);
        let first_new = self.line.pieces.len();
        for kind in slashed(&rest) {
            let piece = self.piece(&kind, quantity, each);
            self.line.pieces.push(piece);
        }
        if let Some(shared) = shared {
            self.share(first_new, shared);
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
    pub(super) fn without_sets<'a>(
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
    pub(super) fn name_from(&mut self, at: usize, next: &Phrase) {
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
    pub(super) fn quantity(&mut self, count: &Count, text: &str, rest: &[&str]) -> Option<u32> {
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
    pub(super) fn piece(&mut self, words: &[&str], quantity: Option<u32>, each: bool) -> Hardware {
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
        // "all 4 bolts ok", "nuts only": said of them, and no kind.
        while kept.len() > 1
            && kept.last().is_some_and(|word| {
                matches!(
                    word.to_lowercase().as_str(),
                    "ok" | "okay" | "good" | "fine" | "only" | "present"
                )
            })
        {
            notes.extend(kept.pop().map(str::to_owned));
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
}

/// "bolt M8 x30": thirty of them, or their length.
pub(super) fn length_or_count(words: &[&str], left: usize) -> Option<HardwareDoubt> {
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

/// Where a note begins behind the kind.
pub(super) fn note_start(words: &[&str]) -> Option<usize> {
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

/// The mark that the word at this place gives its piece: "stripped nut",
/// "split pin new", but "new old stock", "cut washer".
pub(super) fn marks_here(small: &[String], at: usize) -> Option<PurchaseMark> {
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
pub(super) fn slashed<'a>(words: &[&'a str]) -> Vec<Vec<&'a str>> {
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
