//! A text cut into moments: a few sentences that make sense on their own, or
//! only after the one before.
//!
//! Where a sentence ends is said in `sentences`; which of them are told, in
//! `choose`.

use super::leaning::{begin_alike, is_label, leans};
use super::sentences::{is_finished, sentences, spoken_words};
use crate::entry::{Entry, Fact, Key, Passage, Stated, paragraphs};

/// In whose words a moment is, and what it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Voice {
    /// Prose.
    Prose,
    /// A condition as found.
    Found,
    /// Work done.
    Done,
    /// Something found out.
    Answer,
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

/// A few sentences that stand together.
#[derive(Clone, Debug)]
pub struct Moment {
    /// Where it comes from: an index into the sources of the material.
    pub source: usize,
    /// Its kind.
    pub voice: Voice,
    /// The sentences.
    pub sentences: Vec<Sentence>,
    /// Whether it makes no sense without the moment before it.
    pub leans: bool,
    /// Whether it goes on with a story, which begins at its beginning.
    pub goes_on: bool,
    /// Whether it begins a paragraph.
    pub fresh: bool,
    /// Which passage of the texts it is from: they are counted through.
    pub passage: usize,
}

impl Moment {
    /// How many words it takes to say.
    #[must_use]
    pub fn words(&self) -> usize {
        words(&self.sentences)
    }
}

fn words(sentences: &[Sentence]) -> usize {
    sentences.iter().map(|one| spoken_words(&one.text)).sum()
}

/// Where the lines of a text end, counted once.
pub(super) struct Lines(Vec<usize>);

impl Lines {
    pub(super) fn of(text: &str) -> Lines {
        Lines(text.match_indices('\n').map(|(at, _)| at).collect())
    }

    /// The line in which a byte stands, from 1.
    fn line(&self, byte: usize) -> u32 {
        let before = self.0.partition_point(|end| *end < byte);
        u32::try_from(before + 1).unwrap_or(u32::MAX)
    }
}

/// A moment shorter than this many words takes the next sentence as well.
const ENOUGH: usize = 45;

/// A paragraph shorter than this is no moment of its own.
const ENDING: usize = 12;

/// A moment longer than this takes no further sentence.
const TOO_MUCH: usize = 100;

/// The moments of one source: of its facts that are sentences, then of its
/// passages. A session is what an entry tells apart from its parts.
pub(super) fn moments<'e>(
    entry: &Entry,
    lines: &Lines,
    facts: impl Iterator<Item = &'e Stated>,
    passages: &[Passage],
    is_session: bool,
) -> Vec<Moment> {
    let mut moments = of_facts(facts);
    for (passage, own) in passages.iter().enumerate() {
        let first = moments.len();
        let range = own.prose.clamp(own.bytes.start, own.bytes.end)..own.bytes.end;
        for paragraph in paragraphs(&entry.text, range) {
            let said = sentences(&paragraph.text)
                .into_iter()
                .filter(|(_, text)| !is_fact(text))
                .map(|(start, text)| Sentence {
                    text: text.split_whitespace().collect::<Vec<_>>().join(" "),
                    line: lines.line(paragraph.origin(start)),
                });
            add_paragraph(&mut moments, first, said.collect(), (passage, is_session));
        }
        let after_found = first
            .checked_sub(1)
            .is_some_and(|before| moments[before].voice == Voice::Found);
        if let Some(moment) = moments.get_mut(first).filter(|_| !after_found) {
            moment.leans = false;
        }
    }
    moments
}

/// The facts that are sentences. What was found comes last: prose often speaks
/// of it.
fn of_facts<'e>(facts: impl Iterator<Item = &'e Stated>) -> Vec<Moment> {
    let mut moments: Vec<Moment> = facts
        .filter_map(|stated| {
            let (voice, text) = sentence_of(&stated.fact)?;
            Some(Moment {
                source: 0,
                voice,
                sentences: vec![Sentence {
                    text: text.split_whitespace().collect::<Vec<_>>().join(" "),
                    line: stated.spot.line,
                }],
                leans: false,
                goes_on: false,
                fresh: true,
                passage: 0,
            })
        })
        .collect();
    moments.sort_by_key(|moment| moment.voice == Voice::Found);
    moments
}

/// Whether this is a fact that stands where it counts for nothing: "needs: a lamp".
fn is_fact(text: &str) -> bool {
    let key = text.split_once(':').map_or("", |(key, _)| key.trim());
    key.starts_with(char::is_lowercase) && Key::read(key).is_some()
}

/// Cuts a paragraph into moments; those of its passage begin at `first`.
fn add_paragraph(
    moments: &mut Vec<Moment>,
    first: usize,
    lines: Vec<Sentence>,
    (passage, is_session): (usize, bool),
) {
    if lines.iter().all(|line| is_label(&line.text)) {
        return;
    }
    let all = words(&lines);
    // A paragraph of a few words is the end of the one above it.
    let is_end =
        moments.len() > first && all < ENDING && lines.iter().all(|one| is_finished(&one.text));
    // A short paragraph is told whole or not at all.
    let enough = if all <= TOO_MUCH { TOO_MUCH } else { ENOUGH };
    let mut fresh = !is_end;
    // A record speaks of its part, wherever one comes in; what an entry tells
    // apart from its parts is a story, which begins at its beginning.
    let is_later = is_session && moments.len() > first;
    for sentence in lines {
        let goes_on = moments.last().filter(|_| !fresh).is_some_and(|last| {
            last.sentences
                .last()
                .is_some_and(|last| begin_alike(&last.text, &sentence.text))
        });
        let leans = goes_on || leans(&sentence.text);
        if let Some(last) = moments.last_mut().filter(|_| !fresh)
            && (leans || is_end || last.words() < enough)
            && last.words() < TOO_MUCH
        {
            last.sentences.push(sentence);
            continue;
        }
        moments.push(Moment {
            source: 0,
            voice: Voice::Prose,
            sentences: vec![sentence],
            // The middle of a paragraph wants its beginning.
            leans: leans || !fresh,
            goes_on: is_later,
            fresh,
            passage,
        });
        fresh = false;
    }
}

/// The words of a fact that is a sentence.
fn sentence_of(fact: &Fact) -> Option<(Voice, &str)> {
    if let Fact::Found(text) = fact {
        Some((Voice::Found, text))
    } else if let Fact::Done(text) = fact {
        Some((Voice::Done, text))
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
