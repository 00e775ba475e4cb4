//! A text cut into moments: a paragraph of prose, or a fact that is a sentence.
//!
//! `sentences` finds where a sentence ends; what each promises, in `ranking`; which are
//! told, in `choose`.

use crate::entry::{
    Entry, Fact, Key, Lines, Passage, Stated, Telling, paragraphs, sentences, spoken_words,
};

/// What a moment is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Voice {
    /// Prose.
    #[default]
    Prose,
    /// Something to find out.
    Question,
    /// Something found out.
    Answer,
    /// A condition as found.
    Found,
    /// What to do differently.
    Lesson,
    /// What can hurt someone.
    Caution,
}

/// One sentence, or one fact that is a sentence.
#[derive(Clone, Debug)]
pub struct Sentence {
    /// As the person wrote it, without Markdown's marks, in one line.
    pub text: String,
    /// Its line in the entry.
    pub line: u32,
}

/// A paragraph, a piece of a very long one, or a fact.
#[derive(Clone, Debug, Default)]
pub struct Moment {
    /// Where it comes from: an index into the sources of the material.
    pub source: usize,
    /// What it is.
    pub voice: Voice,
    /// Its sentences.
    pub sentences: Vec<Sentence>,
    /// How many words it takes to say.
    pub words: usize,
    /// Whether the person marked it as worth telling.
    pub worth: bool,
    /// Whether its own words say that it is not for the film.
    pub held_back: bool,
    /// Whether it begins what its source says in prose.
    pub opens: bool,
    /// Whether it goes on with the paragraph of the moment before.
    pub goes_on: bool,
    /// The short name under which an outline lists it.
    pub id: String,
}

impl Moment {
    /// All its words.
    #[must_use]
    pub fn text(&self) -> String {
        let sentences: Vec<&str> = self.sentences.iter().map(|one| one.text.as_str()).collect();
        sentences.join(" ")
    }
}

/// A paragraph of more words than one says in a minute is cut between sentences.
const LONG: usize = 150;

/// A paragraph of fewer words cannot stand alone.
pub(super) const SHORT: usize = 12;

/// The moments of one source: of its facts that are sentences, then of its
/// passages.
pub(super) fn moments<'e>(
    entry: &Entry,
    lines: &Lines<'_>,
    facts: impl Iterator<Item = &'e Stated>,
    passages: &[Passage],
) -> Vec<Moment> {
    let facts = facts.filter_map(|stated| {
        let (voice, text) = sentence_of(&stated.fact)?;
        let sentence = Sentence {
            text: in_one_line(text),
            line: stated.spot.line,
        };
        Some(Moment {
            voice,
            words: spoken_words(text),
            sentences: vec![sentence],
            ..Moment::default()
        })
    });
    let mut moments: Vec<Moment> = facts.collect();
    // What was found comes last: prose often speaks of it.
    moments.sort_by_key(|moment| moment.voice);
    let facts = moments.len();
    for own in passages {
        let before = moments.len();
        let range = own.prose.clamp(own.bytes.start, own.bytes.end)..own.bytes.end;
        for paragraph in paragraphs(&entry.text, range) {
            let said = sentences(&paragraph.text).into_iter();
            let said = said.filter(|(_, text)| !is_fact(text));
            let said = said.map(|(start, text)| Sentence {
                text: in_one_line(text),
                line: lines.number_of(paragraph.origin(start)),
            });
            let mut pieces = cut(said.collect());
            for piece in &mut pieces {
                piece.worth = paragraph.mark == Some(Telling::Worth);
            }
            // A paragraph of a few words is the end of the one above it, or the
            // beginning of the one below.
            if let (Some(last), Some(first)) = (moments[before..].last_mut(), pieces.first())
                && last.worth == first.worth
                && last.words.min(first.words) < SHORT
                && last.words + first.words <= LONG
            {
                let first = pieces.remove(0);
                last.words += first.words;
                last.sentences.extend(first.sentences);
            }
            moments.extend(pieces);
        }
    }
    if let Some(first) = moments.get_mut(facts) {
        first.opens = true;
    }
    moments
}

/// A paragraph, in pieces if it is long.
fn cut(said: Vec<Sentence>) -> Vec<Moment> {
    let counts: Vec<usize> = said.iter().map(|one| spoken_words(&one.text)).collect();
    let words: usize = counts.iter().sum();
    let enough = if words > LONG { LONG / 2 } else { words };
    let mut pieces: Vec<Moment> = Vec::new();
    for (sentence, count) in said.into_iter().zip(counts) {
        if pieces.last().is_none_or(|piece| piece.words >= enough) {
            pieces.push(Moment {
                goes_on: !pieces.is_empty(),
                ..Moment::default()
            });
        }
        if let Some(piece) = pieces.last_mut() {
            piece.words += count;
            piece.sentences.push(sentence);
        }
    }
    pieces
}

fn in_one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Whether this is a fact that stands where it counts for nothing: "needs: a lamp".
fn is_fact(text: &str) -> bool {
    let key = text.split_once(':').map_or("", |(key, _)| key.trim());
    key.starts_with(char::is_lowercase) && Key::read(key).is_some()
}

/// The words of a fact that is a sentence.
fn sentence_of(fact: &Fact) -> Option<(Voice, &str)> {
    if let Fact::Found(text) = fact {
        Some((Voice::Found, text))
    } else if let Fact::Question(text) = fact {
        Some((Voice::Question, text))
    } else if let Fact::Answer(text) = fact {
        Some((Voice::Answer, text))
    } else if let Fact::Lesson(text) = fact {
        Some((Voice::Lesson, text))
    } else if let Fact::Caution(text) = fact {
        Some((Voice::Caution, text))
    } else {
        None
    }
}
