//! Which places of an entry only got another name between two versions of it.
//!
//! It compares what is said of them, and how alike the names are; whether two
//! names mean one part for good is for `also` to say.

use std::collections::{BTreeMap, BTreeSet};

use crate::vocabulary::name::Name;
use crate::vocabulary::words::one_slip;

/// A place that only one version speaks of.
#[derive(Clone, Copy, Debug)]
pub(super) struct OnlyThere<'e> {
    /// Where it stands among all places.
    pub(super) number: usize,
    pub(super) name: &'e Name,
    pub(super) at: &'e str,
    pub(super) facts: &'e [(String, String)],
}

/// More comparisons of two places than an entry of any sense needs.
const MOST_COMPARED: usize = 10_000;

/// Pairs of places, by their numbers: the older name's and the newer name's. Two
/// are one if what is said of them is the same, if half of it is, or if their
/// names are one slip apart.
pub(super) fn renames(old: &[OnlyThere<'_>], new: &[OnlyThere<'_>]) -> Vec<(usize, usize)> {
    let mut pairs = Vec::new();
    let mut left: BTreeSet<usize> = (0..old.len()).collect();
    let mut open: Vec<&OnlyThere<'_>> = Vec::new();
    // Most keep all that is said of them.
    let mut by_facts: BTreeMap<Vec<&(String, String)>, Vec<usize>> = BTreeMap::new();
    for (at, place) in old.iter().enumerate().rev() {
        by_facts.entry(sorted(place)).or_default().push(at);
    }
    for place in new {
        let same = by_facts
            .get_mut(&sorted(place))
            .filter(|_| says_something(place));
        match same.and_then(Vec::pop) {
            Some(at) => {
                left.remove(&at);
                pairs.push((old[at].number, place.number));
            }
            None => open.push(place),
        }
    }
    if open.len().saturating_mul(left.len()) > MOST_COMPARED {
        return pairs;
    }
    for place in open {
        let alike = left
            .iter()
            .copied()
            .map(|at| (likeness(&old[at], place), at))
            .filter(|(likeness, _)| *likeness > 0)
            .max_by_key(|(likeness, at)| (*likeness, std::cmp::Reverse(*at)));
        if let Some((_, at)) = alike {
            left.remove(&at);
            pairs.push((old[at].number, place.number));
        }
    }
    pairs
}

fn sorted<'e>(place: &OnlyThere<'e>) -> Vec<&'e (String, String)> {
    let mut facts: Vec<&(String, String)> = place.facts.iter().collect();
    facts.sort();
    facts
}

/// Whether more is said of a place than a status, which many have.
fn says_something(place: &OnlyThere<'_>) -> bool {
    let tells = |(key, value): &&(String, String)| key != "status" && !value.trim().is_empty();
    place.facts.iter().any(|fact| tells(&fact))
}

/// How much two places have in common, in hundredths of what the one says that
/// says more; 0 if they are two.
fn likeness(old: &OnlyThere<'_>, new: &OnlyThere<'_>) -> usize {
    let said = |place: &OnlyThere<'_>| {
        let facts = place
            .facts
            .iter()
            .filter(|(_, value)| !value.trim().is_empty());
        facts.cloned().collect::<BTreeSet<(String, String)>>()
    };
    let (before, after) = (said(old), said(new));
    let common = before.intersection(&after).count() * 100 / before.len().max(after.len()).max(1);
    let one_name = old.name == new.name || one_slip(old.name.key(), new.name.key());
    // The same name on the other side is another part, unless it says the same.
    let same_side = old.at == new.at;
    if one_name && same_side {
        100 + common
    } else if common >= 50 && says_something(old) && says_something(new) {
        common
    } else {
        0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    type RenameCase<'a> = (&'a str, &'a str, &'a [(&'a str, &'a str)]);

    /// A place with what is said of it.
    struct Owned {
        name: Name,
        at: String,
        facts: Vec<(String, String)>,
    }

    fn owned(side: &[RenameCase<'_>]) -> Vec<Owned> {
        let fact = |(key, value): &(&str, &str)| ((*key).to_owned(), (*value).to_owned());
        side.iter()
            .map(|(name, at, facts)| Owned {
                name: Name::new(name),
                at: (*at).to_owned(),
                facts: facts.iter().map(fact).collect(),
            })
            .collect()
    }

    fn only(side: &[Owned]) -> Vec<OnlyThere<'_>> {
        side.iter()
            .enumerate()
            .map(|(number, owned)| OnlyThere {
                number,
                name: &owned.name,
                at: &owned.at,
                facts: &owned.facts,
            })
            .collect()
    }

    fn paired(old: &[RenameCase<'_>], new: &[RenameCase<'_>]) -> Vec<(usize, usize)> {
        renames(&only(&owned(old)), &only(&owned(new)))
    }

    #[test]
    fn places_that_only_got_another_name() {
        let off = ("status", "removed");
        for (old, new, pairs) in [
            // The same is said under another name.
            (
                ("Link", "", &[off, ("bag", "3")][..]),
                ("Drag link", "", &[off, ("bag", "3")][..]),
                1,
            ),
            // A slip, and a fact with it.
            (
                ("Hron", "", &[off]),
                ("Horn", "", &[off, ("stored", "loft")]),
                1,
            ),
            (
                ("Hron", "", &[("bag", "1")]),
                ("Horn", "", &[("bag", "2")]),
                1,
            ),
            // Half of it.
            (
                ("Link", "", &[("bag", "3"), ("stored", "loft")]),
                ("Rod", "", &[("bag", "3"), off]),
                1,
            ),
            // It went to another side.
            (
                ("Hub", "left", &[("bag", "3")]),
                ("Hub", "right", &[("bag", "3")]),
                1,
            ),
            // Another part that also came off.
            (("Horn", "", &[off]), ("Lamp", "", &[off]), 0),
            (
                ("Horn", "", &[("bag", "1"), off]),
                ("Lamp", "", &[("bag", "2"), ("found", "bent"), off]),
                0,
            ),
            (
                ("Hub", "left", &[("bag", "3")]),
                ("Hub", "right", &[("bag", "4")]),
                0,
            ),
        ] {
            assert_eq!(paired(&[old], &[new]).len(), pairs, "{old:?} {new:?}");
        }
        // Two at once keep apart.
        let (a, b) = (&[("bag", "1")][..], &[("bag", "2")][..]);
        assert_eq!(
            paired(
                &[("Arm", "", a), ("Rod", "", b)],
                &[("Tie", "", b), ("Lever", "", a)]
            ),
            [(1, 0), (0, 1)]
        );
    }
}
