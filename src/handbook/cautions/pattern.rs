//! Words of a text with their places, and patterns of words laid over them.
//!
//! What a pattern means is not known here.

use std::collections::{BTreeMap, HashMap};
use std::fmt;
use std::ops::Range;
use std::sync::OnceLock;

use crate::vocabulary::words::{fold, stem};

/// A word of a text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct TextWord {
    /// As folded.
    pub folded: String,
    /// Its stem.
    pub stem: String,
    /// Its bytes in the text.
    pub bytes: Range<usize>,
    /// Whether a comma or the like stands before it: no phrase goes across one.
    pub apart: bool,
}

impl TextWord {
    /// Takes its meaning away: no phrase is found with it, and none across it.
    pub(super) fn blank(&mut self) {
        self.folded.clear();
        self.stem.clear();
    }
}

/// The most words of a sentence that is joined to the next: "A/C. Not cold." is one
/// thought.
const SHORT_SENTENCE: usize = 4;

/// The sentences of a text, each as its words; short ones are joined to the next.
pub(super) fn sentences(text: &str) -> Vec<Vec<TextWord>> {
    let mut all: Vec<Vec<TextWord>> = Vec::new();
    let mut current: Vec<TextWord> = Vec::new();
    let mut start: Option<usize> = None;
    let mut apart = false;
    let mut chars = text.char_indices().peekable();
    while let Some((at, c)) = chars.next() {
        let next = chars.peek().map(|(_, next)| *next);
        let joins = c == '\'' || c == '\u{2019}';
        let inside = start.is_some() && joins && next.is_some_and(char::is_alphanumeric);
        // "'88" is a year.
        let cut_year = start.is_none() && joins && next.is_some_and(|next| next.is_ascii_digit());
        if c.is_alphanumeric() || inside || cut_year || is_mark(c) && start.is_some() {
            start.get_or_insert(at);
            continue;
        }
        if let Some(start) = start.take() {
            current.push(word(text, start..at, std::mem::take(&mut apart)));
        }
        apart |= matches!(c, ',' | ';' | ':' | '(' | ')' | '.' | '!' | '?');
        let ends = matches!(c, '.' | '!' | '?') && next.is_none_or(char::is_whitespace);
        let paragraph = c == '\n' && matches!(next, Some('\n' | '-' | '*'));
        if (ends || paragraph) && current.len() > SHORT_SENTENCE {
            all.push(std::mem::take(&mut current));
        }
    }
    if let Some(start) = start {
        current.push(word(text, start..text.len(), apart));
    }
    match all.last_mut() {
        // The rest of a text in short sentences belongs to what stands before.
        Some(last) if current.len() <= SHORT_SENTENCE => last.append(&mut current),
        Some(_) | None => all.push(current),
    }
    all
}

/// A mark that stands over the letter before it.
fn is_mark(c: char) -> bool {
    unicode_normalization::char::is_combining_mark(c)
}

fn word(text: &str, bytes: Range<usize>, apart: bool) -> TextWord {
    let folded = fold(&text[bytes.clone()]);
    // "the car's", "tig'd".
    let whole = ["'s", "'d"].iter().find_map(|end| folded.strip_suffix(end));
    let folded = whole.unwrap_or(&folded).to_owned();
    TextWord {
        stem: stem(&folded),
        folded,
        bytes,
        apart,
    }
}

/// One word of a phrase.
#[derive(Clone, Debug, PartialEq, Eq)]
struct PatternWord {
    /// The word.
    word: String,
    /// Its stem, which any form of it has; `None` if no other form will do.
    stem: Option<String>,
}

/// The stem of some words written as one; `None` where one of them is short or one form
/// alone, or where it would be the stem of another word ("sender ring" of "sender").
fn as_one(parts: &[&str]) -> Option<String> {
    let (_, first) = parts.split_last().filter(|_| may_be_one(parts))?;
    let stemmed = stem(&parts.concat());
    (stemmed.len() > first.concat().len()).then_some(stemmed)
}

/// Whether these are several words, none of them short or one form alone.
fn may_be_one(parts: &[&str]) -> bool {
    let is_whole = |part: &&str| part.len() > 2 && !part.starts_with('=');
    parts.len() > 1 && parts.iter().all(is_whole)
}

/// Words that stand side by side, or are written as one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct PatternPhrase {
    words: Vec<PatternWord>,
    /// The stem of all of them written as one: `trolleyjack`.
    as_one: Option<String>,
}

impl PatternPhrase {
    /// A phrase from its words; one written `=blew` means that form alone, `#year` any
    /// past year; `#end` as the last word asks for the end of a clause.
    pub(super) fn new(words: &str) -> PatternPhrase {
        let wanted = |word: &str| match word.strip_prefix('=') {
            Some(exact) => PatternWord {
                word: exact.to_owned(),
                stem: None,
            },
            None => PatternWord {
                word: word.to_owned(),
                stem: Some(stem(word)),
            },
        };
        let parts: Vec<&str> = words.split(' ').collect();
        PatternPhrase {
            words: parts.iter().copied().map(wanted).collect(),
            as_one: as_one(&parts),
        }
    }

    /// Its words if it stands at this place, one by one.
    fn at(&self, words: &[TextWord], at: usize) -> Option<Range<usize>> {
        let (first, rest) = self.words.split_first()?;
        let mut end = at + usize::from(first.is(words.get(at)?));
        if end == at {
            return None;
        }
        for wanted in rest {
            if wanted.word == CLAUSE_END {
                let ends = words.get(end).is_none_or(|word| word.apart);
                return ends.then_some(at..end);
            }
            let next = words.get(end).filter(|word| !word.apart)?;
            if !wanted.is(next) {
                return None;
            }
            end += 1;
        }
        Some(at..end)
    }
}

impl fmt::Display for PatternPhrase {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let words: Vec<&str> = self
            .words
            .iter()
            .map(|wanted| wanted.word.as_str())
            .collect();
        f.write_str(&words.join(" "))
    }
}

/// One of the lists in [`PhraseLists`].
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct PhraseList(usize);

/// Lists of phrases, all looked for at once: a text of any length is read once.
#[derive(Default)]
pub(super) struct PhraseLists {
    lists: usize,
    /// Each phrase once.
    phrases: Vec<ListedPhrase>,
    /// The number of a phrase by its words.
    by_words: HashMap<String, usize>,
    /// The stem of each first word, as most begin many phrases.
    first_stems: HashMap<String, String>,
    /// Those that begin with any form of a word.
    by_stem: HashMap<String, Vec<usize>>,
    /// Those that begin with one form alone.
    by_form: HashMap<String, Vec<usize>>,
    /// Those that may be written as one, by the letters that this begins with.
    as_one: HashMap<String, Vec<usize>>,
}

/// A phrase in the lists.
struct ListedPhrase {
    /// As it is written there.
    words: String,
    /// It is read when a text has its first word: most never are.
    read: OnceLock<PatternPhrase>,
    /// Its places in the lists.
    places: Vec<ListPlace>,
}

impl ListedPhrase {
    fn read(&self) -> &PatternPhrase {
        self.read.get_or_init(|| PatternPhrase::new(&self.words))
    }
}

/// The number of letters at the beginning of a word that stemming leaves.
const KEPT_LETTERS: usize = 4;

fn kept_letters(word: &str) -> String {
    word.chars().take(KEPT_LETTERS).collect()
}

/// A list, and how many phrases stand before this one there.
type ListPlace = (PhraseList, usize);

impl PhraseLists {
    /// Adds a list of phrases, as [`PatternPhrase::new`] reads them.
    pub(super) fn add(&mut self, phrases: &[&str]) -> PhraseList {
        let list = PhraseList(self.lists);
        self.lists += 1;
        for (place, words) in phrases.iter().enumerate() {
            let number = match self.by_words.get(*words) {
                Some(number) => *number,
                None => self.add_phrase(words),
            };
            self.phrases[number].places.push((list, place));
        }
        list
    }

    /// Adds a phrase that is not known yet.
    fn add_phrase(&mut self, words: &str) -> usize {
        let number = self.phrases.len();
        let parts: Vec<&str> = words.split(' ').collect();
        let by_first = match parts[0].strip_prefix('=') {
            Some(form) => self.by_form.entry(form.to_owned()),
            None => {
                let known = self.first_stems.entry(parts[0].to_owned());
                let stem = known.or_insert_with(|| stem(parts[0]));
                self.by_stem.entry(stem.clone())
            }
        };
        by_first.or_default().push(number);
        if may_be_one(&parts) {
            let begin = kept_letters(&parts.concat());
            self.as_one.entry(begin).or_default().push(number);
        }
        self.phrases.push(ListedPhrase {
            words: words.to_owned(),
            read: OnceLock::new(),
            places: Vec::new(),
        });
        self.by_words.insert(words.to_owned(), number);
        number
    }

    /// The phrases of each list among some words.
    pub(super) fn found(&self, words: &[TextWord]) -> PhrasesFound {
        let mut hits: Vec<(ListPlace, Range<usize>)> = Vec::new();
        for (at, word) in words.iter().enumerate() {
            let stem = self.by_stem.get(&word.stem).into_iter().flatten();
            let form = self.by_form.get(&word.folded).into_iter().flatten();
            let ranges = stem.chain(form).map(|number| {
                let phrase = &self.phrases[*number];
                (phrase, phrase.read().at(words, at))
            });
            let one = self.as_one.get(&kept_letters(&word.stem));
            let ones = one.into_iter().flatten().map(|number| {
                let phrase = &self.phrases[*number];
                let is_one = phrase.read().as_one.as_ref() == Some(&word.stem);
                (phrase, is_one.then_some(at..at + 1))
            });
            for (phrase, range) in ranges.chain(ones) {
                let Some(range) = range else { continue };
                let places = phrase.places.iter();
                hits.extend(places.map(|place| (*place, range.clone())));
            }
        }
        hits.sort_by_key(|(place, at)| (*place, at.start));
        let mut found = PhrasesFound::default();
        for ((list, _), at) in hits {
            found.0.entry(list).or_default().push(at);
        }
        found
    }

    /// The first phrase of a list.
    #[cfg(test)]
    pub(super) fn first(&self, list: PhraseList) -> Option<&PatternPhrase> {
        let mut all = self.phrases.iter();
        let first = all.find(|phrase| phrase.places.contains(&(list, 0)));
        first.map(ListedPhrase::read)
    }
}

/// Where the phrases of each list stand: the places of its first phrase before those
/// of the next.
#[derive(Default)]
pub(super) struct PhrasesFound(BTreeMap<PhraseList, Vec<Range<usize>>>);

impl PhrasesFound {
    /// The places of a list.
    pub(super) fn of(&self, list: PhraseList) -> &[Range<usize>] {
        self.0.get(&list).map_or(&[], Vec::as_slice)
    }

    /// Whether a phrase of this list stands there.
    pub(super) fn has(&self, list: PhraseList) -> bool {
        self.0.contains_key(&list)
    }
}

/// Ends a phrase that is only found before a comma or at the end of a sentence.
const CLAUSE_END: &str = "#end";

/// Stands in a phrase for any year that is long over.
const PAST_YEAR: &str = "#year";

/// Whether this is a year between 1900 and 2019, or a decade of them: "1960s", "'88".
fn is_past_year(word: &str) -> bool {
    let year = word.strip_suffix('s').unwrap_or(word);
    if let Some(cut) = year.strip_prefix('\'') {
        return cut.len() == 2 && cut.parse().is_ok_and(|cut: u8| !(20..30).contains(&cut));
    }
    let begins = ["19", "200", "201"]
        .iter()
        .any(|head| year.starts_with(head));
    begins && year.len() == 4 && year.bytes().all(|digit| digit.is_ascii_digit())
}

impl PatternWord {
    fn is(&self, word: &TextWord) -> bool {
        if self.word == PAST_YEAR {
            return is_past_year(&word.folded);
        }
        match &self.stem {
            Some(stem) => *stem == word.stem,
            None => self.word == word.folded,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Where these phrases stand among some words.
    fn places(phrases: &[&str], words: &[TextWord]) -> Vec<Range<usize>> {
        let mut lists = PhraseLists::default();
        lists.add(&["went"]);
        let own = lists.add(phrases);
        lists.found(words).of(own).to_vec()
    }

    #[test]
    fn words_keep_their_places() {
        let text = "Wörter’s éß a/c anew. Aircon. Not cold at all!";
        let found = sentences(text);
        let said: Vec<Vec<&str>> = found
            .iter()
            .map(|words| words.iter().map(|word| &text[word.bytes.clone()]).collect())
            .collect();
        assert_eq!(
            said,
            [
                vec!["Wörter’s", "éß", "a", "c", "anew"],
                vec!["Aircon", "Not", "cold", "at", "all"]
            ]
        );
    }

    #[test]
    fn a_short_sentence_is_one_thought_with_its_neighbour() {
        for (text, sizes) in [
            ("Pulled the old sender. Stank the whole place out.", vec![9]),
            ("It stank the place out. Pulled the sender.", vec![8]),
            (
                "It stank the place out. I pulled the old sender.",
                vec![5, 5],
            ),
        ] {
            let found: Vec<usize> = sentences(text).iter().map(Vec::len).collect();
            assert_eq!(found, sizes, "{text}");
        }
    }

    #[test]
    fn a_phrase_does_not_go_across_a_comma() {
        for (text, found) in [
            ("guard on stand to the side", true),
            ("guard on, stand to the side", false),
            ("guard (on) stand", false),
        ] {
            let words = sentences(text).remove(0);
            assert_eq!(!places(&["on stand"], &words).is_empty(), found, "{text}");
        }
    }

    #[test]
    fn a_phrase_can_ask_for_a_past_year_or_the_end_of_a_clause() {
        for (text, found) in [
            ("up in 1988 for good", true),
            ("up in the 1960s for good", true),
            ("up in 2026 for good", false),
            ("up in 19888 for good", false),
            ("up in '88 for good", true),
            ("up in ’88 for good", true),
            ("up in '26 for good", false),
            ("up in 88 for good", false),
            ("wheels on", true),
            ("wheels on, nuts done", true),
            ("wheels on the trailer", false),
        ] {
            let words = sentences(text).remove(0);
            let places = places(&["in #year", "in the #year", "on #end"], &words);
            assert_eq!(!places.is_empty(), found, "{text}");
        }
    }

    #[test]
    fn words_are_also_found_written_as_one_and_never_inside_another() {
        for (text, found) in [
            ("two trolley jacks", true),
            ("two trolleyjacks", true),
            ("trolley-jack", true),
            ("upon reflection", false),
            ("trolleyjackson", false),
            ("a sender", false),
        ] {
            let words = sentences(text).remove(0);
            let known = places(&["trolley jack", "up on", "sender ring"], &words);
            assert_eq!(!known.is_empty(), found, "{text}");
        }
    }

    #[test]
    fn a_phrase_is_found_in_any_form_of_its_words() {
        let words = sentences("both axle stands went under").remove(0);
        let found = places(&["axle stand"], &words);
        assert_eq!((found.len(), found.first()), (1, Some(&(1..3))));
        assert!(places(&["=axles stand"], &words).is_empty());
        let both = places(&["under", "=went", "stand"], &words);
        assert_eq!(both, [4..5, 3..4, 2..3]);
    }
}
