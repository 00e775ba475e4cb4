//! What a moment takes for known: a thing that was found on another day, a question
//! that was asked then.
//!
//! "The photo from the tin" says nothing to who has not heard of the tin. Only rich
//! finds count: what else is called by "the" is mostly a part, which everyone sees.

use std::collections::{BTreeMap, BTreeSet};

use super::material::Material;
use super::moments::{Moment, Voice};
use super::signs::Sign;
use super::weigh::Worth;
use crate::entry::Fact;
use crate::vocabulary::words::{fold, is_stop_word, stem, words};

/// Of each moment the earlier ones that it takes for known.
#[derive(Clone, Debug, Default)]
pub struct Presumed {
    /// The finds whose things it speaks of.
    pub finds: Vec<usize>,
    /// Where the question was asked that it answers.
    pub question: Option<usize>,
}

/// What each moment takes for known.
#[must_use]
pub fn presumed(material: &Material, worths: &[Worth]) -> Vec<Presumed> {
    let is_find = |index: usize| worths[index].signs.contains(&Sign::RichFind);
    let things = Things::of_sources(material);
    let finds = speaking_of(material, &things, &is_find);
    let questions = questions(material);
    let all = material.moments.iter().enumerate().zip(finds);
    all.map(|((index, moment), finds)| {
        let source = &material.sources[moment.source];
        let tells = is_find(index) || worths[index].signs.contains(&Sign::Answered);
        let is_answer = source.is_session() && tells;
        let question = questions.get(source.when.entry.as_str());
        Presumed {
            finds,
            question: question.copied().filter(|_| is_answer),
        }
    })
    .collect()
}

/// So few words are enough to say what somebody wondered about.
const WONDERED: usize = 60;

/// For each entry that answers a question, what was told where it was asked.
fn questions(material: &Material) -> BTreeMap<&str, usize> {
    let mut asked: BTreeMap<String, usize> = BTreeMap::new();
    let mut answered = BTreeMap::new();
    let mut moments = material.moments.iter().enumerate().peekable();
    for (index, source) in material.sources.iter().enumerate() {
        let mut told = None;
        while let Some((at, moment)) = moments.next_if(|(_, moment)| moment.source == index) {
            let is_short = moment.voice == Voice::Prose && moment.words() <= WONDERED;
            told = told.or(is_short.then_some(at));
        }
        let part = fold(&source.label);
        let has = |test: fn(&Fact) -> bool| source.facts.iter().any(test);
        if has(|fact| matches!(fact, Fact::Answer(_)))
            && let Some(question) = asked.get(&part)
        {
            answered
                .entry(source.when.entry.as_str())
                .or_insert(*question);
        }
        if let Some(told) = told.filter(|_| has(|fact| matches!(fact, Fact::Question(_)))) {
            asked.insert(part, told);
        }
    }
    answered
}

/// Of each moment the earlier finds whose things it speaks of: of each thing the first.
fn speaking_of(
    material: &Material,
    things: &BTreeMap<usize, Things>,
    is_find: &dyn Fn(usize) -> bool,
) -> Vec<Vec<usize>> {
    let mut speaking: BTreeMap<&str, usize> = BTreeMap::new();
    for word in things.values().flat_map(|own| own.times.keys()) {
        *speaking.entry(word).or_default() += 1;
    }
    let is_in = |most: usize| {
        let speaking = &speaking;
        move |thing: &&String| speaking.get(thing.as_str()).is_none_or(|all| *all <= most)
    };
    let special = RARE.max(things.len() / COMMON);
    // For each thing by whom it was found first; the moments are in the order of the work.
    let mut finds: BTreeMap<String, usize> = BTreeMap::new();
    let mut seen = None;
    for (index, moment) in material.moments.iter().enumerate() {
        if moment.voice == Voice::Prose && is_find(index) {
            let mut own = Things::default();
            own.add(moment);
            // What its source brings in, its first find has found.
            let is_first = seen.replace(moment.source) != Some(moment.source);
            let all = things.get(&moment.source).filter(|_| is_first);
            let all = all.into_iter().flat_map(Things::spoken_of);
            let rare = own.new.iter().filter(is_in(RARE));
            for thing in all.filter(is_in(special)).chain(rare) {
                finds.entry(thing.clone()).or_insert(index);
            }
        }
    }
    let when = |moment: &Moment| &material.sources[moment.source].when;
    let presumes = |moment: &Moment| {
        let mut known: Vec<usize> = Vec::new();
        let Some(own) = things.get(&moment.source) else {
            return known;
        };
        let mut named = Things::default();
        if moment.voice == Voice::Prose {
            named.add(moment);
        }
        for thing in named
            .definite
            .iter()
            .filter(|thing| !own.new.contains(*thing))
        {
            let Some(find) = finds.get(thing.as_str()) else {
                continue;
            };
            let found = when(&material.moments[*find]);
            let is_earlier = found < when(moment) && found.entry != when(moment).entry;
            if is_earlier && !known.contains(find) {
                known.push(*find);
            }
        }
        known
    };
    material.moments.iter().map(presumes).collect()
}

/// What a source speaks of.
#[derive(Default)]
struct Things {
    /// As something new: "a biscuit tin".
    new: BTreeSet<String>,
    /// As something known: "the tin".
    definite: BTreeSet<String>,
    /// How often each word comes.
    times: BTreeMap<String, usize>,
    /// How often two come one behind the other.
    pairs: BTreeMap<(String, String), usize>,
}

/// What so few sources speak of is known as soon as it is named once.
const RARE: usize = 4;

/// What one in so many sources speaks of is nothing special.
const COMMON: usize = 6;

/// So many words behind "a", the thing itself is among them.
const NAMED_WITHIN: usize = 2;

impl Things {
    fn of_sources(material: &Material) -> BTreeMap<usize, Things> {
        let mut said: BTreeMap<usize, Things> = BTreeMap::new();
        for moment in &material.moments {
            if moment.voice == Voice::Prose {
                said.entry(moment.source).or_default().add(moment);
            }
        }
        said
    }

    fn add(&mut self, moment: &Moment) {
        for sentence in &moment.sentences {
            let all: Vec<String> = words(&sentence.text).collect();
            let stems: Vec<String> = all.iter().map(|word| stem(word)).collect();
            for pair in stems.windows(2) {
                let pair = (pair[0].clone(), pair[1].clone());
                *self.pairs.entry(pair).or_default() += 1;
            }
            for (at, word) in all.iter().enumerate() {
                let behind = || {
                    let rest = all[at + 1..].iter().zip(&stems[at + 1..]);
                    let named = rest.take_while(|(word, _)| !is_stop_word(word));
                    named.map(|(_, stem)| stem.clone())
                };
                match word.as_str() {
                    "a" | "an" => self.new.extend(behind().take(NAMED_WITHIN)),
                    "the" => self.definite.extend(behind().take(1)),
                    _ => *self.times.entry(stems[at].clone()).or_default() += 1,
                }
            }
        }
    }

    /// What it brings in as new and speaks of again; of "an order book" the book.
    fn spoken_of(&self) -> impl Iterator<Item = &String> {
        let is_half = |thing: &String, times: usize| {
            let mut pairs = self
                .pairs
                .range((thing.clone(), String::new())..)
                .take_while(|((first, _), _)| first == thing);
            pairs.any(|((_, second), count)| *count == times && self.new.contains(second))
        };
        self.new.iter().filter(move |thing| {
            let times = self.times.get(*thing).copied().unwrap_or(0);
            times > 1 && !is_half(thing, times)
        })
    }
}
