//! What each moment is worth: the rank of its sentences among all of the
//! vehicle's, and the signs of what an audience cares about.
//!
//! What has been told does not count here, so that the rest stays where it was
//! when one more thing is told.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;

use super::causes::Cause;
use super::evidence::{Named, is_about_order, promises, signs};
use super::material::{Material, Source};
use super::moments::{Moment, Voice};
use super::presumed::{Presumed, presumed};
use super::rank::text_rank;
use super::signs::{Lists, Sign};
use crate::vocabulary::words::telling_stems;

/// A moment's worth and where it comes from.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Worth {
    /// All points together.
    pub points: i32,
    /// The mean rank of its sentences, from 0 to 100.
    pub central: i32,
    /// What else speaks for it, or against.
    pub signs: Vec<Sign>,
}

impl Worth {
    /// Whether a story should rather begin behind this.
    #[must_use]
    pub fn is_poor_beginning(&self) -> bool {
        self.is_for_readers() || self.signs.contains(&Sign::Dangling)
    }

    /// Whether only who reads can do anything with this.
    #[must_use]
    pub fn is_for_readers(&self) -> bool {
        let poor = [Sign::Announces, Sign::PointsAtPage];
        self.signs.iter().any(|sign| poor.contains(sign))
    }

    /// The reasons in words: "central 83; find; company".
    #[must_use]
    pub fn why(&self) -> String {
        let mut words = vec![format!("central {} of 100", self.central)];
        words.extend(self.signs.iter().map(|sign| sign.word().to_owned()));
        words.join("; ")
    }
}

/// The worth of every moment, and what it takes for known.
#[must_use]
pub fn weigh(material: &Material, causes: &BTreeMap<usize, Cause>) -> (Vec<Worth>, Vec<Presumed>) {
    let sentences: Vec<Vec<String>> = material
        .moments
        .iter()
        .flat_map(|moment| &moment.sentences)
        .map(|sentence| telling_stems(&sentence.text))
        .collect();
    let central = percentiles(&text_rank(&sentences));
    let lists = Lists::new();
    let edges = Edges::of(material);
    let usual = usual_minutes(material);
    let answers = said_by(material, |moment, _| moment.voice == Voice::Answer);
    let orders = said_by(material, is_about_order);
    let mut said: BTreeMap<&[String], usize> = BTreeMap::new();
    let mut named = Named::default();
    let mut at = 0;
    let mut worths = Vec::with_capacity(material.moments.len());
    for (index, moment) in material.moments.iter().enumerate() {
        let own = at..at + moment.sentences.len();
        at = own.end;
        let source = &material.sources[moment.source];
        let ranks = &central[own.clone()];
        let count = i32::try_from(ranks.len()).unwrap_or(i32::MAX).max(1);
        let mean = ranks.iter().sum::<i32>() / count;
        let mut signs = signs(moment, &sentences[own.clone()], source, &lists);
        if edges.has(source) {
            signs.push(Sign::Edge);
        }
        let stems: BTreeSet<&str> = sentences[own.clone()]
            .iter()
            .flatten()
            .map(String::as_str)
            .collect();
        let tells = |of: &BTreeMap<&str, BTreeSet<String>>| {
            let theirs = of.get(source.when.entry.as_str());
            moment.voice == Voice::Prose
                && theirs.is_some_and(|theirs| {
                    let both = theirs.iter().filter(|stem| stems.contains(stem.as_str()));
                    both.count() >= IN_STORY
                })
        };
        if tells(&answers) {
            signs.push(Sign::Answered);
        }
        if signs.contains(&Sign::Setback) && tells(&orders) {
            signs.push(Sign::Order);
        }
        if usual > 0 && source.minutes.0 * 2 > usual * 3 {
            signs.push(Sign::LongSession);
        }
        if named.points_out(moment, &sentences[own.clone()], source) {
            signs.push(Sign::PointsBack);
        }
        let heard = sentences[own].iter().all(|stems| {
            let times = said.entry(stems.as_slice()).or_default();
            *times += 1;
            *times > 1
        });
        if heard {
            signs.push(Sign::Repeated);
        }
        if moment.voice == Voice::Lesson && !causes.contains_key(&index) {
            signs.push(Sign::Uncaused);
        }
        if promises(material, index) && !signs.contains(&Sign::Announces) {
            signs.push(Sign::Announces);
        }
        let points = mean + signs.iter().map(|sign| sign.points()).sum::<i32>();
        worths.push(Worth {
            points,
            central: mean,
            signs,
        });
    }
    summaries(material, &mut worths);
    let presumed = presumed(material, &worths);
    for (worth, presumed) in worths.iter_mut().zip(&presumed) {
        if !presumed.finds.is_empty() {
            worth.signs.push(Sign::Sequel);
            worth.points += Sign::Sequel.points();
        }
    }
    crowd(material, &mut worths);
    let lessons = (0..worths.len())
        .filter(|index| material.moments[*index].voice == Voice::Lesson)
        .collect();
    crowd_out(lessons, &mut worths, Sign::MoreAdvice);
    (worths, presumed)
}

/// Ranks as their share of all ranks that are lower, from 0 to 100.
fn percentiles(ranks: &[f64]) -> Vec<i32> {
    // Rounded, so that the last digit of a float decides nothing.
    let rounded: Vec<i64> = ranks
        .iter()
        .map(|rank| (rank * 1e5).round() as i64)
        .collect();
    let mut sorted = rounded.clone();
    sorted.sort_unstable();
    let last = sorted.len().saturating_sub(1).max(1);
    rounded
        .iter()
        .map(|rank| {
            let lower = sorted.partition_point(|other| other < rank);
            i32::try_from(lower * 100 / last).unwrap_or(100).min(100)
        })
        .collect()
}

/// Takes points from answers that a story of their entry tells as well.
fn summaries(material: &Material, worths: &mut [Worth]) {
    let entry = |index: usize| {
        let source = &material.sources[material.moments[index].source];
        source.when.entry.as_str()
    };
    let is_answer = |index: &usize| material.moments[*index].voice == Voice::Answer;
    let told: BTreeSet<&str> = (0..worths.len())
        .filter(|index| !is_answer(index) && worths[*index].signs.contains(&Sign::Answered))
        .map(entry)
        .collect();
    for index in (0..worths.len()).filter(is_answer) {
        if told.contains(entry(index)) {
            worths[index].signs.push(Sign::Repeated);
            worths[index].points += Sign::Repeated.points();
        }
    }
}

/// Of the words of an answer, or of a lesson, so many make a story of it.
const IN_STORY: usize = 3;

/// The words of those moments of each entry.
fn said_by(
    material: &Material,
    which: fn(&Moment, &Source) -> bool,
) -> BTreeMap<&str, BTreeSet<String>> {
    let mut found: BTreeMap<&str, BTreeSet<String>> = BTreeMap::new();
    for moment in &material.moments {
        let source = &material.sources[moment.source];
        if which(moment, source) {
            let texts = moment.sentences.iter();
            let stems = texts.flat_map(|one| telling_stems(&one.text));
            found
                .entry(source.when.entry.as_str())
                .or_default()
                .extend(stems);
        }
    }
    found
}

/// The first and the latest day of each system.
struct Edges<'m>(BTreeMap<&'m str, (Date, Date)>);

impl<'m> Edges<'m> {
    fn of(material: &'m Material) -> Edges<'m> {
        let mut days: BTreeMap<&str, (Date, Date)> = BTreeMap::new();
        for source in &material.sources {
            let Some(system) = &source.system else {
                continue;
            };
            let day = source.when.date;
            let edges = days.entry(system).or_insert((day, day));
            edges.0 = edges.0.min(day);
            edges.1 = edges.1.max(day);
        }
        Edges(days)
    }

    fn has(&self, source: &Source) -> bool {
        source
            .system
            .as_ref()
            .and_then(|system| self.0.get(system.as_str()))
            .is_some_and(|(first, last)| source.when.date == *first || source.when.date == *last)
    }
}

/// The hours of the session in the middle, when all stand in a row.
fn usual_minutes(material: &Material) -> u32 {
    let mut by_entry: BTreeMap<&str, u32> = BTreeMap::new();
    for source in &material.sources {
        by_entry.insert(&source.when.entry, source.minutes.0);
    }
    let mut minutes: Vec<u32> = by_entry
        .into_values()
        .filter(|minutes| *minutes > 0)
        .collect();
    minutes.sort_unstable();
    minutes.get(minutes.len() / 2).copied().unwrap_or(0)
}

/// Takes points from all but the strongest moments of an entry.
fn crowd(material: &Material, worths: &mut [Worth]) {
    let mut by_entry: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    for (index, moment) in material.moments.iter().enumerate() {
        let entry = material.sources[moment.source].when.entry.as_str();
        by_entry.entry(entry).or_default().push(index);
    }
    for indices in by_entry.into_values() {
        crowd_out(indices, worths, Sign::Crowd);
    }
}

/// Takes the points of a sign from all but the two strongest of these, from each
/// once more than from the one before it, up to ten times.
fn crowd_out(mut indices: Vec<usize>, worths: &mut [Worth], sign: Sign) {
    indices.sort_by_key(|index| (-worths[*index].points, *index));
    for (place, index) in indices.into_iter().enumerate().skip(2) {
        let times = i32::try_from(place - 1).unwrap_or(i32::MAX).min(10);
        worths[index].points += sign.points() * times;
        worths[index].signs.push(sign);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ranks_become_shares() {
        assert_eq!(
            percentiles(&[0.5, 2.0, 1.0, 1.0, 3.0]),
            [0, 75, 25, 25, 100]
        );
        assert_eq!(percentiles(&[1.0]), [0]);
    }
}
