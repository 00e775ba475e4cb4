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
    pub material: &'c Material<'c>,
    /// What they promise.
    pub ranking: &'c Ranking,
    /// For each moment those it needs.
    pub needs: &'c [Vec<usize>],
    /// The moments that were ticked, in their order; `None` where the program
    /// proposes.
    pub ticked: Option<&'c [usize]>,
    /// The length wanted, in words.
    pub target: usize,
    /// How many words a draft of some moments has.
    pub length: &'c dyn Fn(&MomentSelection) -> usize,
}

/// A selection, and how long its draft is.
#[derive(Clone)]
struct Fitted {
    told: BTreeSet<usize>,
    selection: MomentSelection,
    length: usize,
    /// How many drafts since the last that fitted were too long.
    misses: usize,
}

impl Choice<'_> {
    /// The moments that fit.
    #[must_use]
    pub fn fit(&self) -> MomentSelection {
        let mut fitted = Fitted {
            told: BTreeSet::new(),
            selection: MomentSelection::default(),
            length: (self.length)(&MomentSelection::default()),
            misses: 0,
        };
        if let Some(ticked) = self.ticked {
            let is_ticked: BTreeSet<usize> = ticked.iter().copied().collect();
            let mut order = ticked.to_vec();
            order.sort_by_key(|moment| self.ranking.rank[*moment]);
            for moment in order {
                let mut group = self.with_needs(moment);
                group.retain(|one| is_ticked.contains(one));
                self.add(&mut fitted, &group, None, 0);
            }
            return fitted.selection;
        }
        let groups = self.groups().into_iter();
        let (marked, others): (Vec<_>, Vec<_>) =
            groups.partition(|group| self.moment(group[0]).worth);
        for group in marked {
            self.add(&mut fitted, &group, None, 0);
        }
        fitted.misses = 0;
        let mut is_full = false;
        for group in others {
            // Facts are told for themselves only when all prose is.
            if fitted.misses >= TRIES || is_full && !self.is_prose(group[0]) {
                break;
            }
            is_full |= !self.add(&mut fitted, &group, None, self.target / LESSONS);
        }
        self.add_lessons(&mut fitted);
        self.fill(fitted).selection
    }

    /// Adds a group, or the first sentences of a moment, if the draft with it leaves this
    /// many words of `room`. Whether it is in.
    fn add(
        &self,
        fitted: &mut Fitted,
        group: &[usize],
        cut: Option<(usize, usize)>,
        room: usize,
    ) -> bool {
        let most = self.target + self.target / TOLERANCE;
        let fresh = group.iter().filter(|one| !fitted.told.contains(one));
        let words: usize = fresh.map(|one| self.moment(*one).words).sum();
        // A draft is made only of what may have room by its own words.
        if cut.is_none() && fitted.length + words + room > most {
            return words == 0;
        }
        let mut told = fitted.told.clone();
        told.extend(group);
        let moments = match self.ticked {
            None => told.iter().copied().collect(),
            Some(ticked) => ticked
                .iter()
                .copied()
                .filter(|one| told.contains(one))
                .collect(),
        };
        let selection = MomentSelection { moments, cut };
        let length = (self.length)(&selection);
        let fits = length + room <= most;
        if fits {
            *fitted = Fitted {
                told,
                selection,
                length,
                misses: 0,
            };
        } else {
            fitted.misses += 1;
        }
        fits
    }

    fn moment(&self, moment: usize) -> &Moment {
        &self.material.moments[moment]
    }

    fn is_prose(&self, moment: usize) -> bool {
        self.moment(moment).voice == Voice::Prose
    }

    /// The moments that can be proposed, each with those it needs, the most promising
    /// for its length first.
    fn groups(&self) -> Vec<Vec<usize>> {
        let sum = &self.ranking.sum;
        let order = || self.ranking.order.iter().copied();
        let prose = order().filter(|moment| self.is_prose(*moment));
        let least = prose.map(|moment| sum[moment]).fold(f64::MAX, f64::min);
        let last = self.latest();
        let groups = order().filter(|moment| !self.waits(*moment)).map(|moment| {
            let worth = self.moment(moment).worth;
            let group = self.with_needs(moment);
            let words: usize = group.iter().map(|one| self.moment(*one).words).sum();
            let promise = group.iter().map(|one| (sum[*one] - least).max(0.0));
            let density = promise.sum::<f64>() / (words.max(1) as f64 * group.len() as f64).sqrt();
            let class = (worth, Some(moment) == last, worth || self.is_prose(moment));
            (class, density, group)
        });
        let mut groups: Vec<_> = groups.collect();
        groups.sort_by(|a, b| b.0.cmp(&a.0).then(b.1.total_cmp(&a.1)));
        groups.into_iter().map(|(_, _, group)| group).collect()
    }

    /// Whether somebody must agree first, or its own words hold it back, and the person
    /// has not chosen the moment.
    fn waits(&self, moment: usize) -> bool {
        let own = self.moment(moment);
        let is_asked = || self.material.source(moment).asks().next().is_some();
        !own.worth && (own.held_back || is_asked())
    }

    /// The highest moment of the latest evening: how the work stands.
    fn latest(&self) -> Option<usize> {
        let order = self.ranking.order.iter().copied();
        let prose = order.filter(|moment| self.is_prose(*moment) && !self.waits(*moment));
        prose.rev().max_by_key(|moment| {
            let source = self.material.source(*moment);
            (source.when.date, &source.when.entry)
        })
    }

    /// A moment and all that it needs, as far as it may be told.
    fn with_needs(&self, moment: usize) -> Vec<usize> {
        let mut group = vec![moment];
        let mut next = 0;
        while let Some(one) = group.get(next).copied() {
            next += 1;
            for need in &self.needs[one] {
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
        let lessons = self.ranking.order.iter().copied();
        let lessons = lessons.filter(|one| self.moment(*one).voice == Voice::Lesson);
        let sources = fitted.told.iter().map(|one| self.moment(*one).source);
        let sources: BTreeSet<usize> = sources.collect();
        let is_told = |one: &usize| sources.contains(&self.moment(*one).source);
        for lesson in lessons.filter(|one| !self.waits(*one)) {
            if is_told(&lesson) && self.needs[lesson].iter().all(is_told) {
                self.add(fitted, &[lesson], None, 0);
            }
        }
    }

    /// Adds the first sentences of the next moment that fills the length best.
    fn fill(&self, fitted: Fitted) -> Fitted {
        let order = self.ranking.order.iter().copied();
        let next = order.filter(|moment| {
            let needs = self.with_needs(*moment);
            let is_alone = || needs[1..].iter().all(|one| fitted.told.contains(one));
            let is_free = !fitted.told.contains(moment) && !self.waits(*moment);
            self.is_prose(*moment) && is_free && is_alone()
        });
        let mut best = fitted.clone();
        for moment in next.take(TRIES) {
            if best.length * 100 >= self.target * 95 {
                break;
            }
            let mut longer = fitted.clone();
            let sentences = self.moment(moment).sentences.len();
            let mut counts = (1..=sentences).map(|count| Some((moment, count)));
            while counts
                .next()
                .is_some_and(|cut| self.add(&mut longer, &[moment], cut, 0))
            {}
            if longer.length > best.length {
                best = longer;
            }
        }
        best
    }
}

/// Tolerance of a draft's length: one part in this many.
const TOLERANCE: usize = 20;

/// Share of a draft reserved for lessons: one part in this many.
const LESSONS: usize = 16;

/// More moments than this never need each other.
const MOST: usize = 12;

/// Moments that are tried once there is hardly any room.
const TRIES: usize = 12;
