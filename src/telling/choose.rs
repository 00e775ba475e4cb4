//! Which moments an episode tells.
//!
//! Moments are taken in the order of their worth until the draft is as long as
//! was asked, so that telling one thing only ever makes room for the next in
//! line. What it costs to say them is asked of `compose`.

use std::collections::BTreeSet;

use super::material::Material;
use super::moments::{Moment, Voice};
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

/// A moment with those before it without which it makes no sense, and with the
/// beginning of the story it is from.
#[must_use]
pub fn with_what_it_leans_on(material: &Material, moment: usize) -> Vec<usize> {
    back_from(material, moment, &|moment| moment.leans || moment.goes_on)
}

/// A moment with those before it without which it makes no sense: for where a
/// glimpse of a story is wanted, not the story.
#[must_use]
pub fn glimpse(material: &Material, moment: usize) -> Vec<usize> {
    back_from(material, moment, &|moment| moment.leans)
}

fn back_from(
    material: &Material,
    moment: usize,
    wants_more: &dyn Fn(&Moment) -> bool,
) -> Vec<usize> {
    let mut needed = vec![moment];
    let mut at = moment;
    while wants_more(&material.moments[at]) && at > 0 {
        at -= 1;
        if material.moments[at].source != material.moments[moment].source {
            break;
        }
        needed.push(at);
    }
    needed.reverse();
    needed
}

/// The first moments in `order`, with what they lean on, that together make a
/// draft of at most `target` words; then those next in line that still fit. `words` says how long a draft of some moments is.
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
    let mut chosen = first(fits);
    // What did not fit as a whole is passed over; what is next in line and
    // shorter may take the room that is left.
    for moment in order.iter().skip(fits).take(MOST_TRIES) {
        let mut more = chosen.clone();
        more.extend(with_what_it_leans_on(material, *moment));
        if words(&more) <= target {
            chosen = more;
        }
    }
    chosen
}

/// So many moments behind the first that does not fit are tried.
const MOST_TRIES: usize = 60;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::telling::moments::Sentence;

    fn material(lengths: &[usize]) -> Material {
        Material {
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
            ..Material::default()
        }
    }

    fn prop_within(material: &Material, chosen: &BTreeSet<usize>, target: usize) {
        let words: usize = chosen
            .iter()
            .map(|index| material.moments[*index].words())
            .sum();
        assert!(words <= target, "{words} of {target}");
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
            let all = choose(&material, &order, target, &mut |chosen| words(chosen));
            prop_within(&material, &all, target);
            // Everything in line before the first thing that found no room.
            let full = order.iter().position(|moment| !all.contains(moment));
            let before: BTreeSet<usize> = order[..full.unwrap_or(order.len())].iter().copied().collect();
            let rest: Vec<usize> =
                order.iter().copied().filter(|index| index / 2 != told).collect();
            let after = choose(&material, &rest, target, &mut |chosen| words(chosen));
            let kept: BTreeSet<usize> =
                before.into_iter().filter(|index| index / 2 != told).collect();
            proptest::prop_assert!(kept.is_subset(&after), "{:?} {:?}", kept, after);
        }
    }
}
