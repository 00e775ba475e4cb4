//! What a lesson was learned from: the setback that the same record tells.
//!
//! Who hears a lesson without it hears advice. Whether the lesson is told is
//! for `choose` to say.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::RangeInclusive;

use super::leaning::leans;
use super::material::Material;
use super::moments::{Moment, Voice};
use super::pointing::dangles;
use super::sentences::spoken_words;
use super::signs::Lists;
use crate::vocabulary::words::{telling_stems, words};

/// Where a lesson comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Cause {
    /// It says so itself.
    Itself,
    /// These sentences of a moment of its record say so.
    Told(usize, RangeInclusive<usize>),
}

/// A setback of more words is a story of its own.
const LONGEST: usize = 50;

/// Words that give a reason.
const REASONS: [&str; 7] = [
    "because",
    "else",
    "or",
    "otherwise",
    "since",
    "unless",
    "until",
];

/// Whether a lesson gives its own reason: "or the flat faces the wrong way",
/// "; the drain plug is as soft as cheese", "so that you know".
fn gives_reason(lesson: &str) -> bool {
    let words: Vec<String> = words(lesson).collect();
    let has = |word: &String| REASONS.contains(&word.as_str());
    let so_that = words
        .windows(2)
        .any(|pair| pair[0] == "so" && pair[1] == "that");
    lesson.contains(';') || so_that || words.iter().any(has)
}

/// The cause of each lesson that has one.
#[must_use]
pub fn causes(material: &Material) -> BTreeMap<usize, Cause> {
    let lists = Lists::new();
    let mut found = BTreeMap::new();
    let mut first = 0;
    while first < material.moments.len() {
        let source = material.moments[first].source;
        let same = |moment: &&Moment| moment.source == source;
        let count = material.moments[first..].iter().take_while(same).count();
        let own = first..first + count;
        let is_lesson = |at: &usize| material.moments[*at].voice == Voice::Lesson;
        if own.clone().any(|at| is_lesson(&at)) {
            let is_session = material.sources[source].is_session();
            let setbacks = setbacks(material, own.clone(), is_session, &lists);
            for lesson in own.clone().filter(is_lesson) {
                if let Some(cause) = cause(
                    &material.moments[lesson],
                    &material.sources[source].name,
                    &setbacks,
                    &lists,
                ) {
                    found.insert(lesson, cause);
                }
            }
        }
        first = own.end;
    }
    found
}

/// Sentences that can stand beside a lesson.
struct Setback {
    moment: usize,
    sentences: RangeInclusive<usize>,
    stems: BTreeSet<String>,
    words: usize,
}

fn setbacks(
    material: &Material,
    moments: std::ops::Range<usize>,
    is_session: bool,
    lists: &Lists,
) -> Vec<Setback> {
    let mut found = Vec::new();
    for index in moments {
        let moment = &material.moments[index];
        let tells = match moment.voice {
            Voice::Prose | Voice::Found => true,
            Voice::Done | Voice::Answer | Voice::Lesson | Voice::Caution => false,
        };
        if !tells {
            continue;
        }
        for last in 0..moment.sentences.len() {
            let stems = telling_stems(&moment.sentences[last].text);
            if !stems.iter().any(|stem| lists.setback.contains(stem)) {
                continue;
            }
            let mut from = last;
            while from > 0 && leans(&moment.sentences[from].text) {
                from -= 1;
            }
            // The lead of a lesson has named its part, and nobody else.
            let begins = moment.voice == Voice::Found
                || from > 0
                || !moment.leans && !dangles(&moment.sentences[0].text, !is_session);
            let own = &moment.sentences[from..=last];
            let words: usize = own.iter().map(|one| spoken_words(&one.text)).sum();
            if begins && words <= LONGEST {
                found.push(Setback {
                    moment: index,
                    sentences: from..=last,
                    stems: stems.into_iter().collect(),
                    words,
                });
            }
        }
    }
    found
}

/// The setback that shares most words with the lesson, the shortest of two; one
/// at least, besides the name of the part.
fn cause(lesson: &Moment, name: &str, setbacks: &[Setback], lists: &Lists) -> Option<Cause> {
    let said: Vec<String> = lesson
        .sentences
        .iter()
        .flat_map(|one| telling_stems(&one.text))
        .collect();
    let texts = lesson.sentences.iter();
    if said.iter().any(|stem| lists.setback.contains(stem))
        || texts.map(|one| one.text.as_str()).any(gives_reason)
    {
        return Some(Cause::Itself);
    }
    let name = telling_stems(name);
    let shared = |one: &Setback| {
        let both = said.iter().filter(|stem| one.stems.contains(*stem));
        both.filter(|stem| !name.contains(stem)).count()
    };
    setbacks
        .iter()
        .filter(|one| shared(one) > 0)
        .min_by_key(|one| (std::cmp::Reverse(shared(one)), one.words, one.moment))
        .map(|one| Cause::Told(one.moment, one.sentences.clone()))
}
