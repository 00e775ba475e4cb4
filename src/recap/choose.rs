//! Which moments a draft tells, so that it has the length that was asked for.
//!
//! What the person marked or ticked comes first, each moment with those it needs;
//! then what promises most for its length. How promising a moment is, `ranking`
//! says.

use std::collections::BTreeSet;

use super::material::Material;
use super::moments::{Moment, Voice};
use super::ranking::Ranking;

/// What a draft tells.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct MomentSelection {
    /// The moments in the order in which they are told.
    pub moments: Vec<usize>,
    /// A moment told in part: its index and how many of its sentences are told.
    pub cut: Option<(usize, usize)>,
}

/// What there is to choose from.
pub struct Choice<'c> {
    /// All moments.
    pub material: &'c Material,
    /// What they promise.
    pub ranking: &'c Ranking,
    /// For each moment those it needs.
    pub needs: &'c [Vec<usize>],
    /// The words of the cautions that come with each source.
    pub cautions: &'c [usize],
    /// The moments that were ticked, in their order; `None` where the program
    /// proposes.
    pub ticked: Option<&'c [usize]>,
}

impl Choice<'_> {
    /// The moments for a draft of `target` words. `length` says how many words a
    /// draft of some moments has.
    #[must_use]
    pub fn fit(
        &self,
        target: usize,
        length: &dyn Fn(&MomentSelection) -> usize,
    ) -> MomentSelection {
        let groups = self.groups();
        let frame = length(&MomentSelection::default());
        let mut budget = target.saturating_sub(frame);
        let mut best = MomentSelection::default();
        let mut best_length = frame;
        // What joins the moments is only known when they are chosen.
        for _ in 0..ROUNDS {
            let chosen = self.in_order(self.greedy(&groups, budget));
            if !best.moments.is_empty() && chosen == best {
                break;
            }
            let is = length(&chosen);
            if is <= target + target / TOLERANCE && (best.moments.is_empty() || is > best_length) {
                best_length = is;
                best = chosen;
            }
            let off = is.abs_diff(target);
            if off * TOLERANCE <= target {
                break;
            }
            let corrected = if is > target {
                budget.saturating_sub(off)
            } else {
                budget + off
            };
            if corrected == budget {
                break;
            }
            budget = corrected;
        }
        if self.ticked.is_none() && best_length * 100 < target * 95 {
            self.fill(best, target, length)
        } else {
            best
        }
    }

    /// The moments that can be chosen, each with those it needs, the most promising
    /// for its length first.
    fn groups(&self) -> Vec<Vec<usize>> {
        if let Some(ticked) = self.ticked {
            let is_ticked: BTreeSet<usize> = ticked.iter().copied().collect();
            let mut order = ticked.to_vec();
            order.sort_by_key(|moment| self.ranking.rank[*moment]);
            let groups = order.into_iter().map(|moment| {
                let mut group = self.with_needs(moment);
                group.retain(|one| is_ticked.contains(one));
                group
            });
            return groups.collect();
        }
        let prose = |moment: &&usize| self.material.moments[**moment].voice == Voice::Prose;
        let least = self.ranking.order.iter().filter(prose);
        let least = least
            .map(|moment| self.ranking.sum[*moment])
            .fold(f64::MAX, f64::min);
        let last = self.latest();
        let mut found = Vec::new();
        for moment in &self.ranking.order {
            let own = &self.material.moments[*moment];
            if self.waits(*moment) {
                continue;
            }
            let group = self.with_needs(*moment);
            let words: usize = group
                .iter()
                .map(|one| self.material.moments[*one].words)
                .sum();
            let promise: f64 = group
                .iter()
                .map(|one| (self.ranking.sum[*one] - least).max(0.0))
                .sum();
            let density = promise / (words.max(1) as f64 * group.len() as f64).sqrt();
            let is_first = own.worth || Some(*moment) == last;
            // Facts are told for themselves only when all prose is.
            let is_prose = own.voice == Voice::Prose || own.worth;
            found.push(((own.worth, is_first, is_prose), density, group));
        }
        found.sort_by(|a: &((bool, bool, bool), f64, Vec<usize>), b| {
            b.0.cmp(&a.0).then(b.1.total_cmp(&a.1))
        });
        let groups = found.into_iter().map(|(_, _, group)| group);
        groups.collect()
    }

    /// Whether somebody must agree first, or its own words hold it back, and the person
    /// has not chosen the moment.
    fn waits(&self, moment: usize) -> bool {
        let own = &self.material.moments[moment];
        let source = &self.material.sources[own.source];
        !own.worth && (own.held_back || !source.asks.is_empty())
    }

    /// The highest moment of the latest evening: how the work stands.
    fn latest(&self) -> Option<usize> {
        let order = self.ranking.order.iter();
        let prose = order.filter(|moment| {
            self.material.moments[**moment].voice == Voice::Prose && !self.waits(**moment)
        });
        let entry = |moment: &usize| {
            let source = &self.material.sources[self.material.moments[*moment].source];
            (source.when.date, source.when.entry.as_str())
        };
        prose.copied().rev().max_by(|a, b| entry(a).cmp(&entry(b)))
    }

    /// A moment and all that it needs, as far as it may be told.
    fn with_needs(&self, moment: usize) -> Vec<usize> {
        let mut group = vec![moment];
        let mut next = 0;
        while let Some(one) = group.get(next).copied() {
            next += 1;
            for need in &self.needs[one] {
                let is_free = self.ticked.is_some() || !self.waits(*need);
                let may = self.ranking.rank[*need] > 0 && is_free;
                if may && !group.contains(need) && group.len() < MOST {
                    group.push(*need);
                }
            }
        }
        group
    }

    /// As many groups as have room, then lessons of what is told.
    fn greedy(&self, groups: &[Vec<usize>], budget: usize) -> BTreeSet<usize> {
        let mut basket = Basket {
            left: budget,
            ..Basket::default()
        };
        let mut is_full = false;
        let is_lesson = |own: &Moment| own.voice == Voice::Lesson && !own.worth;
        for group in groups {
            let own = &self.material.moments[group[0]];
            let is_chosen = self.ticked.is_some() || own.worth;
            if is_chosen {
                basket.take(self, group, 0);
            } else if own.voice == Voice::Prose || !is_full {
                is_full |= !basket.take(self, group, budget / LESSONS);
            }
        }
        let lessons =
            self.ranking.order.iter().filter(|moment| {
                self.ticked.is_none() && is_lesson(&self.material.moments[**moment])
            });
        for lesson in lessons.filter(|lesson| !self.waits(**lesson)) {
            let is_known = |one: &usize| {
                let source = self.material.moments[*one].source;
                self.ranking.rank[*one] == 0 || basket.sources.contains(&source)
            };
            if is_known(lesson) && self.needs[*lesson].iter().all(is_known) {
                basket.take(self, &[*lesson], 0);
            }
        }
        basket.chosen
    }

    /// In the order of the work, or as they were ticked.
    fn in_order(&self, chosen: BTreeSet<usize>) -> MomentSelection {
        let moments = match self.ticked {
            None => chosen.into_iter().collect(),
            Some(ticked) => {
                let told = ticked.iter().filter(|one| chosen.contains(one));
                told.copied().collect()
            }
        };
        MomentSelection { moments, cut: None }
    }

    /// Adds the first sentences of the next moments until the length is reached.
    fn fill(
        &self,
        chosen: MomentSelection,
        target: usize,
        length: &dyn Fn(&MomentSelection) -> usize,
    ) -> MomentSelection {
        let told: BTreeSet<usize> = chosen.moments.iter().copied().collect();
        let prose = self.ranking.order.iter().filter(|moment| {
            let own = &self.material.moments[**moment];
            own.voice == Voice::Prose
                && !told.contains(moment)
                && !self.waits(**moment)
                && self
                    .with_needs(**moment)
                    .iter()
                    .all(|one| one == *moment || told.contains(one))
        });
        let mut best = (length(&chosen), chosen.clone());
        for moment in prose.take(TRIES) {
            let sentences = self.material.moments[*moment].sentences.len();
            for count in 1..=sentences {
                let mut moments = told.clone();
                moments.insert(*moment);
                let longer = MomentSelection {
                    moments: moments.into_iter().collect(),
                    cut: (count < sentences).then_some((*moment, count)),
                };
                let is = length(&longer);
                if is > target + target / TOLERANCE {
                    break;
                }
                if is > best.0 {
                    best = (is, longer);
                }
            }
            if best.0 * 100 >= target * 95 {
                break;
            }
        }
        best.1
    }
}

/// What was chosen so far.
#[derive(Default)]
struct Basket {
    /// Words that have room.
    left: usize,
    chosen: BTreeSet<usize>,
    sources: BTreeSet<usize>,
}

impl Basket {
    /// Takes a group with the cautions that come with it, if more than `reserve` words
    /// have room besides. Whether it is in.
    fn take(&mut self, choice: &Choice<'_>, group: &[usize], reserve: usize) -> bool {
        let fresh = group.iter().filter(|one| !self.chosen.contains(one));
        let fresh: Vec<&Moment> = fresh.map(|one| &choice.material.moments[*one]).collect();
        let sources: BTreeSet<usize> = fresh.iter().map(|one| one.source).collect();
        let new = sources.difference(&self.sources);
        let words: usize = fresh.iter().map(|one| one.words).sum();
        let cost = words + new.map(|source| choice.cautions[*source]).sum::<usize>();
        let has_room = fresh.is_empty() || cost + reserve <= self.left;
        if has_room {
            self.left -= cost;
            self.chosen.extend(group);
            self.sources.extend(sources);
        }
        has_room
    }
}

/// Tolerance of a draft's length: one part in this many.
const TOLERANCE: usize = 20;

/// Maximum number of corrections of a choice by the length of its draft.
const ROUNDS: usize = 12;

/// Share of a draft reserved for lessons: one part in this many.
const LESSONS: usize = 16;

/// More moments than this never need each other.
const MOST: usize = 12;

/// Moments whose first sentences are tried to fill a gap.
const TRIES: usize = 12;
