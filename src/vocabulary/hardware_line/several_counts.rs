//! Several counts in one phrase: "4 bolts 2 nuts", "2 long 3 short bolts", "spring x1 clip
//! x2", and one count for several kinds.
//!
//! A piece with its own count is read in `pieces`.

use super::Reading;
use super::doubts::HardwareDoubt;
use super::pieces::note_start;
use crate::vocabulary::hardware_words::{begins_note, is_kind, mark_word, only_describes};
use crate::vocabulary::mark_phrase::mark_phrase;
use crate::vocabulary::phrases::{Phrase, PhraseJoin};
use crate::vocabulary::size::Size;
use crate::vocabulary::spoken_number::number_word;

impl Reading {
    /// "2 long 3 short bolts M8": kind and size stand behind the last form.
    pub(super) fn two_forms(&mut self, first: &[&str], second: &[&str]) {
        let from = self.line.pieces.len();
        let phrase = |words: &[&str]| Phrase {
            text: words.join(" "),
            brackets: Vec::new(),
            joined: PhraseJoin::Comma,
        };
        let next = phrase(second);
        let kind = second.iter().find(|word| is_kind(&word.to_lowercase()));
        let first: Vec<&str> = first.iter().chain(kind).copied().collect();
        self.words(&phrase(&first), None);
        let last = self.line.pieces.len();
        self.words(&next, None);
        let size = self.line.pieces.get(last).and_then(|piece| {
            Size::find(&piece.what).and_then(|found| piece.what.get(found.span).map(str::to_owned))
        });
        if let (Some(size), Some(piece)) = (size, self.line.pieces.get_mut(from))
            && Size::find(&piece.what).is_none()
            && last == from + 1
        {
            piece.what = format!("{} {size}", piece.what);
        }
    }

    /// "nut & bolt x 6": the number behind the last of two counts the one before it too,
    /// and so does a size that only one of them has.
    pub(super) fn share(&mut self, at: usize, count: u32) {
        let guess = |doubt: &HardwareDoubt| {
            matches!(
                doubt,
                HardwareDoubt::Uncounted(_) | HardwareDoubt::CountedAsOne(_)
            )
        };
        let (Some(before), true) = (
            at.checked_sub(1),
            self.line.doubts.last().is_some_and(guess),
        ) else {
            return;
        };
        self.line.doubts.pop();
        let size =
            |what: &str| Size::find(what).and_then(|found| what.get(found.span).map(str::to_owned));
        let sizes = [before, at].map(|at| size(&self.line.pieces[at].what));
        self.line.pieces[before].quantity = Some(count);
        let (to, size) = match sizes {
            [Some(size), None] => (at, size),
            [None, Some(size)] => (before, size),
            [Some(_), Some(_)] | [None, None] => return,
        };
        let piece = &mut self.line.pieces[to];
        piece.what = format!("{} {size}", piece.what);
    }
}

/// Where words begin that mark some of the pieces, with their number: "bolts 1 head
/// rounded", "clips broke 2".
pub(super) fn counted_mark(words: &[&str]) -> Option<usize> {
    let at = note_start(words)?;
    let told = mark_phrase(&words[at..].join(" "))?;
    told.count.map(|_| at)
}

/// Where a second number stands behind a form without a kind: "2 long | 3 short bolts".
pub(super) fn counted_again(words: &[&str], used: usize) -> Option<usize> {
    const MEASURES: [&str; 13] = [
        "x", "mm", "cm", "in", "inch", "ba", "gauge", "tpi", "unf", "unc", "bsf", "bsw", "dia",
    ];
    const NUMBERED: [&str; 10] = [
        "grade", "class", "gr", "no", "size", "type", "series", "mk", "key", "of",
    ];
    if used == 0 {
        return None;
    }
    let small: Vec<String> = words.iter().map(|word| word.to_lowercase()).collect();
    let kind = (used..small.len()).find(|at| is_kind(&small[*at]))?;
    let at = (used + 1..kind).find(|at| {
        small[*at].parse::<u32>().is_ok_and(|count| count < 100)
            || number_word(&small[*at]).is_some()
    })?;
    let form = |words: &[String]| {
        let letters = |word: &String| word.chars().all(|c| c.is_alphabetic() || c == '-');
        words
            .iter()
            .all(|word| letters(word) && !MEASURES.contains(&word.as_str()))
    };
    let numbered = NUMBERED.contains(&small[at - 1].as_str());
    (at - used <= 3 && form(&small[used..at]) && form(&small[at + 1..=kind]) && !numbered)
        .then_some(at)
}

/// Where a further phrase begins without a comma: "4 bolts 2 nuts".
pub(super) fn further_phrase(words: &[&str]) -> Option<usize> {
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
pub(super) fn counted_behind(words: &[&str]) -> Option<usize> {
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
