//! What belongs together, from typed facts: a question and its answer, a unit and its
//! successor, a need and what was done, a part off and on again, a piece short and
//! found, a lesson and the record it names.
//!
//! Words tie nothing; of a record, its highest moment stands for it.

use std::collections::{BTreeMap, BTreeSet};

use super::material::Material;
use super::moments::Voice;
use super::ranking::Ranking;
use crate::ledger::{Ledger, PlaceState};
use crate::problem::Spot;
use crate::vocabulary::status::Status;
use crate::vocabulary::words::{telling_stems, words};

/// For each moment, the moments it should not be told without.
#[must_use]
pub fn ties(
    material: &Material,
    ledger: &Ledger,
    vehicle: &str,
    ranking: &Ranking,
) -> Vec<Vec<usize>> {
    let places = SourcesByLine::new(material);
    let mut pairs: BTreeSet<(usize, usize)> = BTreeSet::new();
    let of_vehicle = ledger
        .places
        .values()
        .filter(|state| state.vehicle == vehicle);
    for state in of_vehicle {
        of_place(state, &places, &mut pairs);
    }
    let mut others: Vec<BTreeSet<usize>> = vec![BTreeSet::new(); material.sources.len()];
    for (one, other) in pairs.into_iter().filter(|(one, other)| one != other) {
        others[one].insert(other);
        others[other].insert(one);
    }
    let best = representatives(material, ranking);
    let named = NameStems::new(material);
    let needs = material.moments.iter().enumerate().map(|(index, moment)| {
        let mut own: BTreeSet<usize> = BTreeSet::new();
        if moment.voice == Voice::Lesson {
            // A lesson says nothing without what it was learned from.
            own.extend(best[moment.source]);
            let learned = named.record(&moment.sentences[0].text, material, moment.source);
            own.extend(learned.and_then(|source| best[source]));
        }
        let others = others[moment.source].iter();
        own.extend(others.filter_map(|other| best[*other]));
        own.remove(&index);
        own.into_iter().collect()
    });
    needs.collect()
}

/// The sources by where they stand in the texts.
struct SourcesByLine<'m>(BTreeMap<&'m str, Vec<(u32, usize)>>);

impl<'m> SourcesByLine<'m> {
    fn new(material: &'m Material) -> SourcesByLine<'m> {
        let mut places: BTreeMap<&str, Vec<(u32, usize)>> = BTreeMap::new();
        for (index, source) in material.sources.iter().enumerate() {
            if !source.is_session() {
                let own = places.entry(&source.when.entry).or_default();
                own.push((source.when.line, index));
            }
        }
        for own in places.values_mut() {
            own.sort_unstable();
        }
        SourcesByLine(places)
    }

    /// The record in which something stands.
    fn at(&self, spot: &Spot) -> Option<usize> {
        let own = self.0.get(spot.file.as_str())?;
        let after = own.partition_point(|(line, _)| *line <= spot.line);
        own.get(after.checked_sub(1)?).map(|(_, source)| *source)
    }
}

/// The records of one place that need each other.
fn of_place(state: &PlaceState, places: &SourcesByLine<'_>, pairs: &mut BTreeSet<(usize, usize)>) {
    let mut tie = |one: Option<usize>, other: Option<usize>| pairs.extend(one.zip(other));
    let on = |date| {
        let moment = state
            .timeline
            .iter()
            .find(|moment| moment.when.date == date);
        moment.and_then(|moment| places.at(&moment.spot))
    };
    for question in &state.questions {
        if let Some((_, date)) = &question.answer {
            tie(places.at(&question.spot), on(*date));
        }
    }
    for need in &state.needs {
        if let Some(done) = &need.done {
            tie(places.at(&need.spot), places.at(&done.spot));
        }
    }
    for counted in state.counted.iter().filter(|counted| !counted.left) {
        if let Some(date) = counted.closed {
            tie(places.at(&counted.spot), on(date));
        }
    }
    let mut off: Option<usize> = None;
    let mut before: Option<(u32, usize)> = None;
    for moment in &state.timeline {
        let own = places.at(&moment.spot);
        if let Some((unit, last)) = before
            && unit != moment.unit
        {
            tie(Some(last), own);
        }
        match moment.status {
            Some(Status::Removed | Status::Apart | Status::Out) => off = off.or(own),
            Some(Status::Fitted | Status::Loose) => tie(off.take(), own),
            Some(
                Status::Undone
                | Status::Ready
                | Status::LeftOff
                | Status::Replaced
                | Status::Scrapped
                | Status::Sold
                | Status::Missing,
            )
            | None => {}
        }
        before = own.map(|own| (moment.unit, own)).or(before);
    }
}

/// For each source the moment that stands for it: its highest prose, else what it
/// asks, answers or found.
fn representatives(material: &Material, ranking: &Ranking) -> Vec<Option<usize>> {
    let mut best: Vec<Option<usize>> = vec![None; material.sources.len()];
    for (index, moment) in material.moments.iter().enumerate() {
        let is_fact = match moment.voice {
            Voice::Prose => false,
            Voice::Question | Voice::Answer | Voice::Found => true,
            Voice::Lesson | Voice::Caution => continue,
        };
        let key = |index: usize, is_fact: bool| (!is_fact, ranking.sum[index]);
        let own = &mut best[moment.source];
        let is_better = own.is_none_or(|own| {
            let other = key(own, material.moments[own].voice != Voice::Prose);
            let this = key(index, is_fact);
            this.0
                .cmp(&other.0)
                .then(this.1.total_cmp(&other.1))
                .is_gt()
        });
        if is_better {
            *own = Some(index);
        }
    }
    best
}

/// The records by the stems of their part's name.
struct NameStems {
    /// The last stem of a name, as it is written → stems of the whole name, source.
    by_stem: BTreeMap<String, Vec<(Vec<String>, usize)>>,
}

impl NameStems {
    fn new(material: &Material) -> NameStems {
        let mut by_stem: BTreeMap<String, Vec<(Vec<String>, usize)>> = BTreeMap::new();
        for (index, source) in material.sources.iter().enumerate() {
            let stems = telling_stems(&source.name);
            if let Some(first) = stems.first() {
                let own = by_stem.entry(first.clone()).or_default();
                own.push((stems, index));
            }
        }
        NameStems { by_stem }
    }

    /// The latest record, up to that of the lesson, of another part that a lesson
    /// names: the part with the longest name.
    fn record(&self, lesson: &str, material: &Material, source: usize) -> Option<usize> {
        // One sentence has few words; a book in one fact is not searched for names.
        let said: BTreeSet<String> = telling_stems(lesson).into_iter().collect();
        if words(lesson).count() > MOST_WORDS {
            return None;
        }
        let found = said.iter().filter_map(|stem| {
            let own = self.by_stem.get(stem)?;
            let before = own.partition_point(|(_, index)| *index < source);
            let mut before = own[..before].iter().rev().take(MOST_RECORDS);
            before.find(|(stems, index)| {
                stems.iter().all(|stem| said.contains(stem))
                    && material.sources[*index].name != material.sources[source].name
            })
        });
        let best = found.max_by_key(|(stems, index)| (stems.len(), *index));
        best.map(|(_, index)| *index)
    }
}

/// A lesson is a sentence or two.
const MOST_WORDS: usize = 200;

/// Records of one name to look through; the latest is meant.
const MOST_RECORDS: usize = 20;
