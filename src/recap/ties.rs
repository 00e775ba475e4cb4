//! What belongs together, from typed facts: a question and its answer, a unit and its
//! successor, a need and what was done, a part off and on again, a piece short and
//! found, a lesson and the record it names.
//!
//! Words tie nothing; of a record, its highest moment stands for it.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use super::material::Material;
use super::moments::Voice;
use super::ranking::Ranking;
use crate::ledger::{Ledger, PlaceState};
use crate::problem::Spot;
use crate::vocabulary::status::Status;
use crate::vocabulary::words::{telling_stems, words};

/// For each moment, the moments it should not be told without, of those that may be told.
#[must_use]
pub fn ties(
    material: &Material<'_>,
    ledger: &Ledger,
    vehicle: &str,
    ranking: &Ranking,
) -> Vec<Vec<usize>> {
    let records = material.sources.iter().enumerate();
    let records = records.filter(|(_, source)| !source.is_session());
    let by_line =
        records.map(|(index, source)| ((source.when.entry.as_str(), source.when.line), index));
    let by_line: BTreeMap<(&str, u32), usize> = by_line.collect();
    // The record in which something stands.
    let at = |spot: &Spot| {
        let file = spot.file.as_str();
        let mut above = by_line.range((file, 0)..=(file, spot.line));
        above.next_back().map(|(_, source)| *source)
    };
    let mut others: Vec<BTreeSet<usize>> = vec![BTreeSet::new(); material.sources.len()];
    let places = ledger.places.values();
    for state in places.filter(|state| state.vehicle == vehicle) {
        for (one, other) in pairs(state, &at) {
            others[one].insert(other);
            others[other].insert(one);
        }
    }
    let stands = |voice| !matches!(voice, Voice::Lesson | Voice::Caution);
    let best = ranking.best(material, stands);
    let named = NamedSources::new(material);
    let needs = material.moments.iter().enumerate().map(|(index, moment)| {
        let mut own: BTreeSet<usize> = BTreeSet::new();
        own.extend(
            others[moment.source]
                .iter()
                .filter_map(|other| best[*other]),
        );
        if moment.voice == Voice::Lesson {
            // A lesson says nothing without what it was learned from.
            let learned = named.in_lesson(&moment.sentences[0].text, material, moment.source);
            let from = [Some(moment.source), learned].into_iter().flatten();
            own.extend(from.filter_map(|source| best[source]));
        }
        own.remove(&index);
        own.into_iter().collect()
    });
    needs.collect()
}

/// The records of one place that need each other.
fn pairs(state: &PlaceState, at: &dyn Fn(&Spot) -> Option<usize>) -> Vec<(usize, usize)> {
    let mut pairs = Vec::new();
    let mut tie = |one: Option<usize>, other: Option<usize>| {
        pairs.extend(one.zip(other).filter(|(one, other)| one != other));
    };
    let on = |date| {
        let mut moments = state.timeline.iter();
        let moment = moments.find(|moment| moment.when.date == date);
        moment.and_then(|moment| at(&moment.spot))
    };
    for question in &state.questions {
        if let Some((_, date)) = &question.answer {
            tie(at(&question.spot), on(*date));
        }
    }
    for need in &state.needs {
        if let Some(done) = &need.done {
            tie(at(&need.spot), at(&done.spot));
        }
    }
    for counted in state.counted.iter().filter(|counted| !counted.left) {
        if let Some(date) = counted.closed {
            tie(at(&counted.spot), on(date));
        }
    }
    let mut off: Option<usize> = None;
    let mut before: Option<(u32, usize)> = None;
    for moment in &state.timeline {
        let own = at(&moment.spot);
        if let Some((unit, last)) = before
            && unit != moment.unit
        {
            tie(Some(last), own);
        }
        let is = |some: &[Status]| moment.status.is_some_and(|own| some.contains(&own));
        if is(&[Status::Removed, Status::Apart, Status::Out]) {
            off = off.or(own);
        } else if is(&[Status::Fitted, Status::Loose]) {
            tie(off.take(), own);
        }
        before = own.map(|own| (moment.unit, own)).or(before);
    }
    pairs
}

/// The records by the first stem of their part's name, with all its stems.
struct NamedSources(HashMap<String, Vec<(Vec<String>, usize)>>);

impl NamedSources {
    fn new(material: &Material<'_>) -> NamedSources {
        let mut named: HashMap<String, Vec<(Vec<String>, usize)>> = HashMap::new();
        for (index, source) in material.sources.iter().enumerate() {
            let stems = telling_stems(source.name());
            if let Some(first) = stems.first().cloned() {
                named.entry(first).or_default().push((stems, index));
            }
        }
        NamedSources(named)
    }

    /// The latest record, up to that of the lesson, of another part that a lesson
    /// names: the part with the longest name.
    fn in_lesson(&self, lesson: &str, material: &Material<'_>, source: usize) -> Option<usize> {
        // A book in one fact is not searched for names.
        if words(lesson).count() > MOST_WORDS {
            return None;
        }
        let own = material.sources[source].name();
        let said: BTreeSet<String> = telling_stems(lesson).into_iter().collect();
        let found = said.iter().filter_map(|stem| {
            let named = self.0.get(stem)?;
            let before = named.partition_point(|(_, index)| *index < source);
            let mut latest = named[..before].iter().rev().take(MOST_RECORDS);
            latest.find(|(stems, index)| {
                material.sources[*index].name() != own && stems.iter().all(|one| said.contains(one))
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
