//! What someone typed, as words and quoted phrases: those that a record must have,
//! and those that only make it better.
//!
//! Never fails: what is not a word is passed over, and a quotation mark without
//! its partner, or after a figure (inches), is none. What the words are looked
//! for as is decided in `terms`.

use super::terms::words_of_name;
use super::tokens::{Chunk, chunks};
use crate::handbook::shop_words::QuestionForm;
use crate::vocabulary::words::{fold, is_stop_word, straighten};

/// More words than this are not read: a pasted page is no question.
const MOST: usize = 64;
/// Nor is a question read further than this.
const LONGEST: usize = 4_000;

/// One thing asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum QueryTerm {
    Word(QueryWord),
    /// Literally these words in a row.
    Phrase {
        shown: String,
        words: Vec<String>,
    },
}

/// A word, a size, a part number.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct QueryWord {
    /// Folded.
    pub shown: String,
    pub pieces: Vec<String>,
    pub wholes: Vec<String>,
}

impl QueryWord {
    /// A word of letters only, as it stands in the dictionary.
    pub(super) fn plain(word: &str) -> Self {
        Self {
            shown: word.to_owned(),
            pieces: vec![word.to_owned()],
            wholes: Vec::new(),
        }
    }

    /// Whether a slip of the finger in it may be set right: not in a size or a
    /// part number, where another digit is another thing.
    pub(super) fn may_be_a_slip(&self) -> bool {
        self.pieces.len() == 1
            && self.shown.chars().count() > 2
            && self.shown.chars().all(char::is_alphabetic)
    }
}

/// A question, read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct ParsedQuery {
    /// What a record must have to be an answer to all of it.
    pub required: Vec<QueryTerm>,
    /// What counts in its favour besides.
    pub optional: Vec<QueryTerm>,
    /// How it is put.
    pub form: QuestionForm,
}

/// Reads a question. Words that only join others are left out unless there is
/// nothing else. In a whole sentence ("when did I take the wheel off") so are the
/// verbs it is put with, and words of place and direction ("off"), of degree and of
/// money are optional.
pub(super) fn parse(text: &str) -> ParsedQuery {
    let text: String = straighten(text).chars().take(LONGEST).collect();
    let mut asked = Vec::new();
    let mut rest = text.as_str();
    while let Some((before, quoted, after)) = next_quoted(rest) {
        read_words(before, &mut asked);
        let mut words = Vec::new();
        let shown = fold(quoted);
        chunks(&shown, |chunk| words.extend(piece_texts(&chunk)));
        if !words.is_empty() {
            asked.push(QueryTerm::Phrase { shown, words });
        }
        rest = after;
    }
    read_words(rest, &mut asked);
    asked.truncate(MOST);
    let is_sentence = is_sentence(&asked);
    let form = match is_sentence {
        true => QuestionForm::Sentence,
        false => QuestionForm::KeyWords,
    };
    let mut parsed = ParsedQuery {
        required: Vec::new(),
        optional: Vec::new(),
        form,
    };
    if is_sentence {
        join_particles(&mut asked);
    }
    // "Take off" is one thing that is done, whatever its words are alone.
    let mut named_until = 0;
    for (at, term) in asked.iter().enumerate() {
        if is_sentence && at >= named_until {
            let named = words_of_name(&asked[at..], form).filter(|count| *count > 1);
            named_until = named.map_or(named_until, |count| at + count);
        }
        let word = shown(term);
        let says_nothing = is_stop_word(word)
            || is_sentence && (contains(&LIGHT_WORDS, word) || is_asked_for(&asked, at));
        let is_beside = [&DIRECTIONS[..], &MONEY, &DEGREES]
            .iter()
            .any(|list| contains(list, word));
        if at < named_until {
            parsed.required.push(term.clone());
        } else if is_sentence && is_beside {
            parsed.optional.push(term.clone());
        } else if !says_nothing {
            parsed.required.push(term.clone());
        }
    }
    if parsed.required.is_empty() {
        parsed.optional.clear();
        parsed.required = asked;
    }
    parsed
}

/// Puts the particle of a verb beside it: "take the wheel off" is "take off the wheel".
fn join_particles(asked: &mut Vec<QueryTerm>) {
    let mut at = 0;
    while at < asked.len() {
        let after = at + 2..asked.len().min(at + 2 + FURTHEST_PARTICLE);
        let particle = after.filter(|&other| contains(&PARTICLES, shown(&asked[other])));
        let is_name = |other: &usize| {
            let both = [asked[at].clone(), asked[*other].clone()];
            words_of_name(&both, QuestionForm::Sentence) == Some(2)
        };
        if let Some(other) = particle.into_iter().find(is_name) {
            let particle = asked.remove(other);
            asked.insert(at + 1, particle);
        }
        at += 1;
    }
}

/// Whether a word only says what sort of answer is wanted, or what all of it is about:
/// "which machine pulled", "the engine of the machine".
fn is_asked_for(asked: &[QueryTerm], at: usize) -> bool {
    let beside = |at: Option<usize>| at.and_then(|at| asked.get(at)).map_or("", shown);
    let (before, after) = (beside(at.checked_sub(1)), beside(at.checked_add(1)));
    let ends = is_stop_word(after) || contains(&LIGHT_WORDS, after) || after.is_empty();
    contains(&ASKED_FOR, shown(&asked[at]))
        && (["what", "which"].contains(&before) || ["a", "our", "the"].contains(&before) && ends)
}

/// A word as it was typed, folded; nothing for a quotation.
fn shown(term: &QueryTerm) -> &str {
    match term {
        QueryTerm::Word(word) => &word.shown,
        QueryTerm::Phrase { .. } => "",
    }
}

/// Whether a text is put as a whole sentence and not as key words.
#[must_use]
pub fn is_question(text: &str) -> bool {
    parse(text).form == QuestionForm::Sentence
}

/// Whether the words are put as a question and not as key words.
fn is_sentence(asked: &[QueryTerm]) -> bool {
    match asked {
        [QueryTerm::Word(first), _, _, ..] => {
            let first = first.pieces.first().map_or("", String::as_str);
            contains(&OPENINGS, first)
        }
        _ => false,
    }
}

/// Whether a sorted list has a word.
fn contains(list: &[&str], word: &str) -> bool {
    list.binary_search(&word).is_ok()
}

/// With these a question begins: interrogatives and auxiliary verbs.
const OPENINGS: [&str; 36] = [
    "am", "are", "at", "can", "could", "did", "do", "does", "from", "had", "has", "have", "how",
    "in", "is", "may", "might", "must", "of", "on", "shall", "should", "to", "was", "were", "what",
    "when", "where", "which", "who", "whom", "whose", "why", "will", "with", "would",
];

/// Words that say nothing in a sentence: the pronouns, auxiliaries and quantities of
/// the English stop list of the Snowball project (BSD licence) that are not stop words
/// anyway, and the commonest verbs with little meaning of their own.
const LIGHT_WORDS: [&str; 107] = [
    "already",
    "am",
    "another",
    "anybody",
    "anyone",
    "anything",
    "anywhere",
    "because",
    "being",
    "both",
    "came",
    "come",
    "comes",
    "coming",
    "could",
    "doing",
    "done",
    "each",
    "else",
    "ever",
    "every",
    "everybody",
    "everyone",
    "everything",
    "few",
    "find",
    "gave",
    "gets",
    "getting",
    "give",
    "given",
    "gives",
    "go",
    "goes",
    "going",
    "gone",
    "got",
    "have",
    "having",
    "here",
    "hers",
    "herself",
    "him",
    "himself",
    "itself",
    "keep",
    "keeps",
    "kept",
    "knew",
    "know",
    "known",
    "let",
    "lets",
    "made",
    "make",
    "makes",
    "making",
    "many",
    "may",
    "might",
    "mine",
    "more",
    "most",
    "much",
    "must",
    "myself",
    "need",
    "nor",
    "now",
    "only",
    "other",
    "ought",
    "ours",
    "own",
    "people",
    "put",
    "puts",
    "putting",
    "same",
    "shall",
    "should",
    "somebody",
    "someone",
    "something",
    "sometime",
    "somewhere",
    "still",
    "such",
    "take",
    "taken",
    "takes",
    "taking",
    "these",
    "thing",
    "things",
    "those",
    "took",
    "until",
    "very",
    "want",
    "wanted",
    "went",
    "while",
    "whom",
    "whose",
    "would",
    "your",
];

/// Words of place and direction of the same list, and their like: what happened to a
/// part is often written without them.
const DIRECTIONS: [&str; 24] = [
    "above", "against", "along", "around", "away", "back", "below", "between", "down", "during",
    "further", "off", "once", "onto", "out", "over", "round", "through", "toward", "towards",
    "under", "upon", "within", "without",
];

/// Particles that change what a verb says.
const PARTICLES: [&str; 8] = ["apart", "away", "back", "down", "in", "off", "out", "up"];

/// The most words between a verb and its particle.
const FURTHEST_PARTICLE: usize = 5;

/// What a question may ask for by "which" or "what".
const ASKED_FOR: [&str; 16] = [
    "day",
    "days",
    "entry",
    "evening",
    "evenings",
    "job",
    "jobs",
    "machine",
    "machines",
    "occasion",
    "occasions",
    "record",
    "time",
    "times",
    "vehicle",
    "vehicles",
];

/// Words with which a sum is asked for.
const MONEY: [&str; 8] = [
    "cost", "costing", "costs", "paid", "pay", "price", "spend", "spent",
];

/// Words that say how much or how, of which a record may say nothing.
const DEGREES: [&str; 9] = [
    "big", "complete", "entire", "huge", "new", "nothing", "quite", "really", "whole",
];

/// The next quotation: it opens before a word and has an end.
fn next_quoted(text: &str) -> Option<(&str, &str, &str)> {
    let mut before = ' ';
    for (at, c) in text.char_indices() {
        if c == '"' && before.is_whitespace() {
            let (quoted, after) = text[at + 1..].split_once('"')?;
            return Some((&text[..at], quoted, after));
        }
        before = c;
    }
    None
}

fn read_words(text: &str, asked: &mut Vec<QueryTerm>) {
    let folded = fold(text);
    chunks(&folded, |chunk| {
        let (first, last) = (&chunk.pieces[0], &chunk.pieces[chunk.pieces.len() - 1]);
        asked.push(QueryTerm::Word(QueryWord {
            shown: folded[first.start..last.end].to_owned(),
            pieces: piece_texts(&chunk).collect(),
            wholes: chunk.wholes,
        }));
    });
}

fn piece_texts<'c>(chunk: &'c Chunk<'_>) -> impl Iterator<Item = String> + use<'c> {
    chunk.pieces.iter().map(|piece| piece.text.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn all_shown(terms: &[QueryTerm]) -> Vec<&str> {
        let shown = |term| match term {
            &QueryTerm::Word(QueryWord { ref shown, .. })
            | &QueryTerm::Phrase { ref shown, .. } => shown.as_str(),
        };
        terms.iter().map(shown).collect()
    }

    #[test]
    fn lists_are_sorted() {
        assert!(OPENINGS.is_sorted() && LIGHT_WORDS.is_sorted() && DIRECTIONS.is_sorted());
        assert!(PARTICLES.is_sorted() && ASKED_FOR.is_sorted());
        assert!(MONEY.is_sorted() && DEGREES.is_sorted());
    }

    #[test]
    fn a_sentence_requires_what_says_something() {
        for (text, required, optional) in [
            (
                "When did I lean the wheel against the wall?",
                vec!["lean", "wheel", "wall"],
                vec!["against"],
            ),
            ("take wheel off", vec!["take", "wheel", "off"], vec![]),
            ("where is it", vec!["where", "is", "it"], vec![]),
            (
                "When did we take off the hub?",
                vec!["take", "off", "hub"],
                vec![],
            ),
            (
                "When did we take the rear hub off?",
                vec!["take", "off", "rear", "hub"],
                vec![],
            ),
            (
                "Which machine had the whole engine replaced, and at what cost?",
                vec!["engine", "replaced"],
                vec!["whole", "cost"],
            ),
            (
                "Which machine screw holds the plate of the machine?",
                vec!["screw", "holds", "plate"],
                vec![],
            ),
            (
                "whole machine cost",
                vec!["whole", "machine", "cost"],
                vec![],
            ),
            (
                "how many \"spindle nuts\" did we put below",
                vec!["spindle nuts"],
                vec!["below"],
            ),
        ] {
            let parsed = parse(text);
            assert_eq!(all_shown(&parsed.required), required, "{text}");
            assert_eq!(all_shown(&parsed.optional), optional, "{text}");
        }
    }
}
