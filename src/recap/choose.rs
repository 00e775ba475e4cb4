//! Which moments a draft tells, so that it has the length that was asked for.
//!
//! What the person marked or ticked comes first, each moment with those it needs;
//! then what promises most for its length. How promising a moment is, `ranking`
//! says.

use std::collections::BTreeSet;

use super::compose::{ComposeContext, compose};
use super::moments::{SHORT, Voice};

/// The moments that fit in a draft of `target` words, in the order in which they are
/// told; those that were `ticked`, or where the program proposes, of all.
#[must_use]
pub fn fit(base: &ComposeContext<'_>, target: usize, ticked: Option<&[usize]>) -> Vec<usize> {
    let choice = Choice {
        base,
        ticked,
        most: target + target / TOLERANCE,
    };
    let mut fitted = Fitted {
        told: BTreeSet::new(),
        in_order: Vec::new(),
        length: compose(base, &[]).words(),
        misses: 0,
    };
    if let Some(ticked) = ticked {
        let is_ticked: BTreeSet<usize> = ticked.iter().copied().collect();
        let mut order = ticked.to_vec();
        order.sort_by_key(|moment| base.ranking.rank[*moment]);
        for moment in order {
            let mut group = choice.with_needs(moment);
            group.retain(|one| is_ticked.contains(one));
            choice.add(&mut fitted, &group, 0);
        }
        return fitted.in_order;
    }
    let (marked, others): (Vec<_>, Vec<_>) = choice
        .groups()
        .into_iter()
        .partition(|group| base.moment(group[0]).worth);
    for group in marked {
        choice.add(&mut fitted, &group, 0);
    }
    choice.add_all(&mut fitted, &others, target / LESSONS);
    choice.add_lessons(&mut fitted);
    choice.add_all(&mut fitted, &others, 0);
    fitted.in_order
}

/// What there is to choose from.
struct Choice<'c> {
    base: &'c ComposeContext<'c>,
    /// The moments that were ticked, in their order.
    ticked: Option<&'c [usize]>,
    /// The greatest length, in words.
    most: usize,
}

/// Moments that fit.
struct Fitted {
    told: BTreeSet<usize>,
    /// The same in the order in which they are told.
    in_order: Vec<usize>,
    /// How long their draft is.
    length: usize,
    /// How many drafts since the last that fitted were too long.
    misses: usize,
}

impl Choice<'_> {
    /// Adds as many groups as leave this many words of room.
    fn add_all(&self, fitted: &mut Fitted, groups: &[Vec<usize>], room: usize) {
        fitted.misses = 0;
        let mut is_full = false;
        for group in groups {
            // Facts and scraps are told for themselves only when all other prose is.
            if fitted.misses == TRIES || is_full && !self.stands_alone(group[0]) {
                break;
            }
            is_full |= !self.add(fitted, group, room);
        }
    }

    /// Adds a group if the draft with it leaves this many words of room. Whether it is in.
    fn add(&self, fitted: &mut Fitted, group: &[usize], room: usize) -> bool {
        let fresh = group.iter().filter(|one| !fitted.told.contains(one));
        let fresh: Vec<usize> = fresh.map(|one| self.base.moment(*one).words).collect();
        // A draft is made only of what may have room by its own words.
        if fresh.is_empty() || fitted.length + fresh.iter().sum::<usize>() + room > self.most {
            return fresh.is_empty();
        }
        let mut told = fitted.told.clone();
        told.extend(group);
        let in_order: Vec<usize> = match self.ticked {
            None => told.iter().copied().collect(),
            Some(ticked) => {
                let ticked = ticked.iter().filter(|one| told.contains(one));
                ticked.copied().collect()
            }
        };
        let length = compose(self.base, &in_order).words();
        let fits = length + room <= self.most;
        if fits {
            *fitted = Fitted {
                told,
                in_order,
                length,
                misses: 0,
            };
        } else {
            fitted.misses += 1;
        }
        fits
    }

    fn is_prose(&self, moment: usize) -> bool {
        self.base.moment(moment).voice == Voice::Prose
    }

    fn stands_alone(&self, moment: usize) -> bool {
        self.is_prose(moment) && self.base.moment(moment).words >= SHORT
    }

    /// The moments that can be proposed, each with those it needs, the most promising
    /// for its length first.
    fn groups(&self) -> Vec<Vec<usize>> {
        let sum = &self.base.ranking.sum;
        let order = || self.base.ranking.order.iter().copied();
        let prose = order().filter(|moment| self.is_prose(*moment));
        let least = prose.map(|moment| sum[moment]).fold(f64::MAX, f64::min);
        let last = self.latest();
        let groups = order().filter(|moment| !self.waits(*moment)).map(|moment| {
            let worth = self.base.moment(moment).worth;
            let group = self.with_needs(moment);
            let words: usize = group.iter().map(|one| self.base.moment(*one).words).sum();
            let promise = group.iter().map(|one| (sum[*one] - least).max(0.0));
            let density = promise.sum::<f64>() / (words.max(1) as f64 * group.len() as f64).sqrt();
            let class = (worth, Some(moment) == last, self.stands_alone(moment));
            (class, density, group)
        });
        let mut groups: Vec<_> = groups.collect();
        groups.sort_by(|a, b| b.0.cmp(&a.0).then(b.1.total_cmp(&a.1)));
        groups.into_iter().map(|(_, _, group)| group).collect()
    }

    /// Whether somebody must agree first, or its own words hold it back, and the person
    /// has not chosen the moment.
    fn waits(&self, moment: usize) -> bool {
        let own = self.base.moment(moment);
        let is_asked = || self.base.material.source(moment).asks().next().is_some();
        !own.worth && (own.held_back || is_asked())
    }

    /// The highest moment of the latest evening: how the work stands.
    fn latest(&self) -> Option<usize> {
        let order = self.base.ranking.order.iter().copied();
        let prose = order.filter(|moment| self.is_prose(*moment) && !self.waits(*moment));
        prose.rev().max_by_key(|moment| {
            let source = self.base.material.source(*moment);
            (source.when.date, &source.when.entry)
        })
    }

    /// A moment and all that it needs, as far as it may be told.
    fn with_needs(&self, moment: usize) -> Vec<usize> {
        let mut group = vec![moment];
        let mut next = 0;
        while let Some(one) = group.get(next).copied() {
            next += 1;
            for need in &self.base.needs[one] {
                let is_free = self.ticked.is_some() || !self.waits(*need);
                if is_free && !group.contains(need) && group.len() < MOST {
                    group.push(*need);
                }
            }
        }
        group
    }

    /// Adds lessons of what is told.
    fn add_lessons(&self, fitted: &mut Fitted) {
        let lessons = self.base.ranking.order.iter().copied();
        let lessons = lessons.filter(|one| self.base.moment(*one).voice == Voice::Lesson);
        let sources = fitted.told.iter().map(|one| self.base.moment(*one).source);
        let sources: BTreeSet<usize> = sources.collect();
        let is_told = |one: &usize| sources.contains(&self.base.moment(*one).source);
        for lesson in lessons.filter(|one| !self.waits(*one)) {
            if is_told(&lesson) && self.base.needs[lesson].iter().all(is_told) {
                self.add(fitted, &[lesson], 0);
            }
        }
    }
}

/// Tolerance of a draft's length: one part in this many.
const TOLERANCE: usize = 40;

/// Share of a draft reserved for lessons: one part in this many.
const LESSONS: usize = 16;

/// More moments than this never need each other.
const MOST: usize = 12;

/// Moments that are tried once there is hardly any room.
const TRIES: usize = 12;
