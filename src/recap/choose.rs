//! Which moments an episode tells.
//!
//! Moments are taken in the order of their worth until the draft is as long as
//! was asked, so that telling one thing only ever makes room for the next in
//! line. What it costs to say them is asked of `compose`.

use std::collections::BTreeSet;

use super::material::Material;
use super::moments::Voice;
use super::weigh::Worth;

/// The moments that may be told, the most worth first.
#[must_use]
pub fn in_order_of_worth(
    material: &Material,
    worths: &[Worth],
    may: &dyn Fn(usize) -> bool,
) -> Vec<usize> {
    let mut order: Vec<usize> = material
        .moments
        .iter()
        .enumerate()
        // Cautions come along with what they belong to.
        .filter(|(_, moment)| moment.voice != Voice::Caution && may(moment.source))
        .map(|(index, _)| index)
        .collect();
    order.sort_by_key(|index| (-worths[*index].points, *index));
    order
}

/// The moments that were taken.
#[derive(Clone)]
pub struct Taken {
    /// Their indices.
    pub moments: BTreeSet<usize>,
    /// For each moment, the first index from which it was taken.
    reach: Vec<usize>,
}

impl Taken {
    /// None yet, of so many.
    #[must_use]
    pub fn none(count: usize) -> Taken {
        Taken {
            moments: BTreeSet::new(),
            reach: vec![usize::MAX; count],
        }
    }

    /// Takes all from `start` to `end`, but for what is there already.
    fn take(&mut self, (start, end): (usize, usize)) {
        for index in (start..=end).rev() {
            if self.reach[index] <= start {
                break;
            }
            self.reach[index] = start;
            self.moments.insert(index);
        }
    }

    /// How many words it takes at least to say all from `start` to `end` as well.
    fn more(&self, material: &Material, (start, end): (usize, usize), most: usize) -> usize {
        let mut words = 0;
        for index in (start..=end).rev() {
            if self.reach[index] <= start || words > most {
                break;
            }
            if !self.moments.contains(&index) {
                words += material.moments[index].words();
            }
        }
        words
    }
}

/// With which stretches of moments one is told, each from its first to its last.
type Spans<'s> = dyn Fn(usize) -> Vec<(usize, usize)> + 's;

/// Takes the first moments in `order`, each with its spans, that together make
/// a draft of at most `target` words; then those next in line that still fit.
/// `words` says how long a draft of some moments is.
pub fn choose(
    material: &Material,
    (order, spans): (&[usize], &Spans<'_>),
    target: usize,
    mut taken: Taken,
    words: &dyn Fn(&BTreeSet<usize>) -> usize,
) -> Taken {
    let mut rest: Vec<usize> = order.to_vec();
    for _ in 0..MOST_TRIES {
        let first = |count: usize| {
            let mut more = taken.clone();
            for moment in &rest[..count] {
                for span in spans(*moment) {
                    more.take(span);
                }
            }
            more
        };
        let fits = most_that_fit(rest.len(), &|count| words(&first(count).moments) <= target);
        taken = first(fits);
        // What does not fit as a whole is passed over; what is next in line and
        // shorter may take the room that is left.
        let room = target.saturating_sub(words(&taken.moments));
        if room * FULL < target {
            break;
        }
        rest = rest
            .into_iter()
            .skip(fits + 1)
            .filter(|moment| {
                let spans = spans(*moment);
                let words = spans.iter().map(|span| taken.more(material, *span, room));
                words.sum::<usize>() <= room
            })
            .collect();
        if rest.is_empty() {
            break;
        }
    }
    taken
}

/// The largest count up to `all` that fits. More moments never make a shorter
/// draft, so steps are doubled first and the place is then found by halves.
fn most_that_fit(all: usize, fits: &dyn Fn(usize) -> bool) -> usize {
    let (mut known, mut step) = (0, 1);
    let mut over = all + 1;
    while known < all {
        let next = (known + step).min(all);
        if !fits(next) {
            over = next;
            break;
        }
        known = next;
        step *= 2;
    }
    while over - known > 1 {
        let middle = usize::midpoint(known, over);
        if middle <= all && fits(middle) {
            known = middle;
        } else {
            over = middle;
        }
    }
    known
}

/// A draft that lacks less than this share is not filled up with scraps.
const FULL: usize = 20;

/// So many moments that do not fit are passed over.
const MOST_TRIES: usize = 60;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ledger::When;
    use crate::recap::material::Source;
    use crate::recap::moments::{Moment, Sentence};
    use crate::recap::presumed::Presumed;
    use crate::recap::starts::Starts;
    use crate::vocabulary::hours::Minutes;

    fn source(number: usize) -> Source {
        Source {
            when: When {
                date: jiff::civil::date(2026, 3, 14),
                time: None,
                number: 0,
                entry: "entries/a.md".to_owned(),
                line: u32::try_from(number).expect("few"),
            },
            title: None,
            label: "Horn".to_owned(),
            record: Some(number),
            twin: None,
            name: "Horn".to_owned(),
            at: Vec::new(),
            system: None,
            facts: Vec::new(),
            minutes: Minutes::default(),
            helpers: Vec::new(),
        }
    }

    fn material(lengths: &[usize]) -> Material {
        Material {
            sources: (0..lengths.len()).map(source).collect(),
            moments: lengths
                .iter()
                .enumerate()
                .map(|(index, words)| Moment {
                    source: index / 2,
                    voice: Voice::Prose,
                    sentences: vec![Sentence {
                        text: "word ".repeat(*words),
                        line: 1,
                    }],
                    leans: index % 2 == 1,
                    goes_on: false,
                    fresh: true,
                    passage: index / 2,
                })
                .collect(),
        }
    }

    proptest::proptest! {
        #[test]
        fn telling_one_thing_only_makes_room_for_the_next(
            lengths in proptest::collection::vec(1_usize..40, 2..40),
            target in 20_usize..400,
            told in 0_usize..20,
        ) {
            let material = material(&lengths);
            let worths = vec![Worth::default(); lengths.len()];
            let presumed = vec![Presumed::default(); lengths.len()];
            let starts = Starts::of(&material, &worths, presumed).glimpse;
            let words = |chosen: &BTreeSet<usize>| {
                chosen.iter().map(|index| material.moments[*index].words()).sum::<usize>()
            };
            let chosen = |order: &[usize]| {
                let none = Taken::none(lengths.len());
                let span = |moment: usize| vec![(starts[moment], moment)];
                choose(&material, (order, &span), target, none, &words).moments
            };
            let order: Vec<usize> = (0..lengths.len()).rev().collect();
            let all = chosen(&order);
            proptest::prop_assert!(words(&all) <= target, "{} of {target}", words(&all));
            // Nothing that leans stands alone, and what is left does not fit.
            for moment in &order {
                let whole: BTreeSet<usize> = (starts[*moment]..=*moment).chain(all.iter().copied()).collect();
                proptest::prop_assert!(!all.contains(moment) || whole == all);
                let is_full = (target - words(&all)) * FULL < target;
                proptest::prop_assert!(whole == all || is_full || words(&whole) > target);
            }
            // Everything in line before the first thing that found no room.
            let full = order.iter().position(|moment| !all.contains(moment));
            let before = &order[..full.unwrap_or(order.len())];
            let rest: Vec<usize> =
                order.iter().copied().filter(|index| index / 2 != told).collect();
            let after = chosen(&rest);
            let kept: BTreeSet<usize> =
                before.iter().copied().filter(|index| index / 2 != told).collect();
            proptest::prop_assert!(kept.is_subset(&after), "{:?} {:?}", kept, after);
        }
    }
}
