//! What a lesson was learned from: the setback that the same record tells, or its
//! entry apart from its parts.
//!
//! Who hears a lesson without it hears advice. Whether the lesson is told is
//! for `choose` to say.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::{Range, RangeInclusive};

use super::leaning::leans;
use super::material::Material;
use super::moments::{Moment, Voice};
use super::pointing::{dangles, stand_ins};
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

impl Cause {
    /// What can be quoted beside the lesson: who hears the middle of a paragraph asks
    /// of what it speaks.
    #[must_use]
    pub fn quoted(&self, material: &Material) -> Option<(usize, RangeInclusive<usize>)> {
        let Cause::Told(moment, sentences) = self else {
            return None;
        };
        let own = &material.moments[*moment];
        let begins = own.fresh && *sentences.start() == 0;
        begins.then(|| (*moment, sentences.clone()))
    }
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
    let moments = &material.moments;
    let spans: Vec<Range<usize>> = moments
        .chunk_by(|a, b| a.source == b.source)
        .scan(0, |at, own| {
            let first = *at;
            *at += own.len();
            Some(first..*at)
        })
        .collect();
    let mut stories: BTreeMap<&str, Vec<Setback>> = BTreeMap::new();
    for span in &spans {
        let source = &material.sources[moments[span.start].source];
        if source.is_session() {
            let setbacks = setbacks(material, span.clone(), true, &lists);
            stories.insert(&source.when.entry, setbacks);
        }
    }
    let mut found = BTreeMap::new();
    for span in spans {
        let source = &material.sources[moments[span.start].source];
        let is_lesson = |at: &usize| moments[*at].voice == Voice::Lesson;
        if !span.clone().any(|at| is_lesson(&at)) {
            continue;
        }
        let story = stories.get(source.when.entry.as_str());
        let story = story.map_or(&[][..], Vec::as_slice);
        let own = match source.is_session() {
            true => Vec::new(),
            false => setbacks(material, span.clone(), false, &lists),
        };
        for lesson in span.filter(is_lesson) {
            let near = if source.is_session() { 1 } else { IN_STORY };
            let told = Told::of(&moments[lesson], &source.name);
            let cause = match told.gives_reason(&lists) {
                true => Some(Cause::Itself),
                false => told.from(&own, 1).or_else(|| told.from(story, near)),
            };
            if let Some(cause) = cause {
                found.insert(lesson, cause);
            }
        }
    }
    found
}

/// What is told apart from the parts is about many things: so many words of a
/// lesson have to be in it.
const IN_STORY: usize = 2;

/// Sentences that can stand beside a lesson.
struct Setback {
    moment: usize,
    sentences: RangeInclusive<usize>,
    stems: BTreeSet<String>,
    words: usize,
    /// How often it says "it" or "they" instead of a name.
    unnamed: usize,
}

fn setbacks(
    material: &Material,
    moments: Range<usize>,
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
            let own_first = &moment.sentences[0];
            let stands =
                !(moment.leans && leans(&own_first.text) || dangles(&own_first.text, !is_session));
            let begins = moment.voice == Voice::Found || from > 0 || stands;
            let own = &moment.sentences[from..=last];
            let words: usize = own.iter().map(|one| spoken_words(&one.text)).sum();
            if begins && words <= LONGEST {
                found.push(Setback {
                    moment: index,
                    sentences: from..=last,
                    stems: stems.into_iter().collect(),
                    words,
                    unnamed: own.iter().map(|one| stand_ins(&one.text)).sum(),
                });
            }
        }
    }
    found
}

/// What a lesson says.
struct Told<'m> {
    lesson: &'m Moment,
    stems: Vec<String>,
    /// Of the part it is about.
    name: Vec<String>,
}

impl<'m> Told<'m> {
    fn of(lesson: &'m Moment, name: &str) -> Told<'m> {
        let sentences = lesson.sentences.iter();
        Told {
            stems: sentences.flat_map(|one| telling_stems(&one.text)).collect(),
            name: telling_stems(name),
            lesson,
        }
    }

    fn gives_reason(&self, lists: &Lists) -> bool {
        let mut texts = self.lesson.sentences.iter().map(|one| one.text.as_str());
        self.stems.iter().any(|stem| lists.setback.contains(stem)) || texts.any(gives_reason)
    }

    /// The setback that shares most words with it, less those by which it does not name
    /// its things, the shortest of two; `least` of them, besides the name of the part.
    fn from(&self, setbacks: &[Setback], least: usize) -> Option<Cause> {
        let shared = |one: &Setback| {
            let both = self.stems.iter().filter(|stem| one.stems.contains(*stem));
            both.filter(|stem| !self.name.contains(stem)).count()
        };
        setbacks
            .iter()
            .filter(|one| shared(one) >= least)
            .min_by_key(|one| {
                let clear = shared(one).saturating_sub(one.unnamed);
                (std::cmp::Reverse(clear), one.words, one.moment)
            })
            .map(|one| Cause::Told(one.moment, one.sentences.clone()))
    }
}
