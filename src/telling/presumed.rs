//! What a moment takes for known: a thing that was found on another day.
//!
//! "The photo from the tin" says nothing to who has not heard of the tin. Only rich
//! finds count: what else is called by "the" is mostly a part, which everyone sees.

use std::collections::{BTreeMap, BTreeSet};

use super::material::Material;
use super::moments::{Moment, Voice};
use super::signs::Sign;
use super::weigh::Worth;
use crate::vocabulary::words::{is_stop_word, stem, words};

/// Of each moment the find that it takes for known, if it does.
#[must_use]
pub fn presumed(material: &Material, worths: &[Worth]) -> Vec<Option<usize>> {
    let mut said: BTreeMap<usize, Things> = BTreeMap::new();
    for moment in &material.moments {
        if moment.voice == Voice::Prose {
            said.entry(moment.source).or_default().add(moment);
        }
    }
    let finds: Vec<(usize, BTreeSet<&str>)> = material
        .moments
        .iter()
        .enumerate()
        .filter(|(index, _)| worths[*index].signs.contains(&Sign::RichFind))
        .filter_map(|(index, moment)| Some((index, said.get(&moment.source)?.spoken_of())))
        .collect();
    let presumes = |moment: &Moment| {
        let own = said.get(&moment.source)?;
        let mut named = Things::default();
        named.add(moment);
        let is_earlier = |find: usize| {
            let other = &material.moments[find];
            moment.voice == Voice::Prose
                && material.sources[other.source].when < material.sources[moment.source].when
                && material.sources[other.source].when.entry
                    != material.sources[moment.source].when.entry
        };
        let known = |things: &BTreeSet<&str>| {
            let mut named = named.definite.iter();
            named.any(|thing| things.contains(thing.as_str()) && !own.new.contains(thing))
        };
        let mut finds = finds.iter();
        let find = finds.find(|(find, things)| is_earlier(*find) && known(things));
        find.map(|(find, _)| *find)
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
}

/// So many words behind "a", the thing itself is among them.
const NAMED_WITHIN: usize = 2;

impl Things {
    fn add(&mut self, moment: &Moment) {
        for sentence in &moment.sentences {
            let all: Vec<String> = words(&sentence.text).collect();
            for (at, word) in all.iter().enumerate() {
                let behind = || all[at + 1..].iter().take_while(|word| !is_stop_word(word));
                match word.as_str() {
                    "a" | "an" => {
                        let named = behind().take(NAMED_WITHIN);
                        self.new.extend(named.map(|word| stem(word)));
                    }
                    "the" => self
                        .definite
                        .extend(behind().take(1).map(|word| stem(word))),
                    _ => *self.times.entry(stem(word)).or_default() += 1,
                }
            }
        }
    }

    /// What it brings in as new and speaks of again.
    fn spoken_of(&self) -> BTreeSet<&str> {
        let new = self.new.iter().map(String::as_str);
        new.filter(|thing| self.times.get(*thing).is_some_and(|times| *times > 1))
            .collect()
    }
}
