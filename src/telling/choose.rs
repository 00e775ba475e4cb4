//! Which moments an episode tells.
//!
//! Moments are taken in the order of their worth until the draft is as long as
//! was asked, so that telling one thing only ever makes room for the next in
//! line. What it costs to say them is asked of `compose`.

use std::collections::BTreeSet;

use super::material::{Material, Voice};
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

/// A moment with those before it without which it makes no sense.
#[must_use]
pub fn with_what_it_leans_on(material: &Material, moment: usize) -> Vec<usize> {
    let mut needed = vec![moment];
    let mut at = moment;
    while material.moments[at].leans && at > 0 {
        at -= 1;
        if material.moments[at].source != material.moments[moment].source {
            break;
        }
        needed.push(at);
    }
    needed.reverse();
    needed
}

/// The first moments in `order` that make a draft nearest to `target` words,
/// with what they lean on. `words` says how long a draft of some moments is.
pub fn choose(
    material: &Material,
    order: &[usize],
    target: usize,
    words: &mut dyn FnMut(&BTreeSet<usize>) -> usize,
) -> BTreeSet<usize> {
    let first = |count: usize| -> BTreeSet<usize> {
        order[..count]
            .iter()
            .flat_map(|moment| with_what_it_leans_on(material, *moment))
            .collect()
    };
    // More moments never make a shorter draft, so the place is found by halves.
    let (mut fits, mut over) = (0, order.len() + 1);
    while over - fits > 1 {
        let middle = (fits + over) / 2;
        if words(&first(middle)) <= target {
            fits = middle;
        } else {
            over = middle;
        }
    }
    let under = first(fits);
    if over > order.len() {
        return under;
    }
    let above = first(over);
    let short = target.saturating_sub(words(&under));
    let long = words(&above).saturating_sub(target);
    if long < short { above } else { under }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::telling::material::{Moment, Sentence};

    fn material(lengths: &[usize]) -> Material {
        Material {
            sources: Vec::new(),
            moments: lengths
                .iter()
                .enumerate()
                .map(|(index, words)| Moment {
                    source: index / 2,
                    voice: Voice::Prose,
                    sentences: vec![Sentence { text: "word ".repeat(*words), line: 1 }],
                    leans: index % 2 == 1,
                    fresh: true,
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
            let order: Vec<usize> = (0..lengths.len()).rev().collect();
            let words = |chosen: &BTreeSet<usize>| {
                chosen.iter().map(|index| material.moments[*index].words()).sum::<usize>()
            };
            let before = choose(&material, &order, target, &mut |chosen| words(chosen));
            let rest: Vec<usize> =
                order.iter().copied().filter(|index| index / 2 != told).collect();
            let after = choose(&material, &rest, target, &mut |chosen| words(chosen));
            let kept: BTreeSet<usize> =
                before.into_iter().filter(|index| index / 2 != told).collect();
            proptest::prop_assert!(kept.is_subset(&after), "{:?} {:?}", kept, after);
        }
    }
}
