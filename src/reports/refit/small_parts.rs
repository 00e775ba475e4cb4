//! Small parts that no record describes, in the step in which they go on.
//!
//! Which records name them is found in `known_order`.

use std::collections::{BTreeMap, HashMap};

use super::known_order::Implied;
use super::places::RefitPlaces;
use crate::vocabulary::name::singular;
use crate::vocabulary::words::words;

/// Pieces of which every part has its own, however often the word is said (common
/// practice, no source).
const OWN_PIECES: [&str; 9] = [
    "bolt", "nut", "screw", "stud", "washer", "pin", "clip", "circlip", "rivet",
];

/// The small parts of each step, by its place, in the order in which they go on: those
/// before it as they were said, those after it in the reverse of how they came off. One
/// that several records name goes on once: before the first of their steps, or after
/// the last.
#[must_use]
pub fn small_parts<'l>(
    places: &RefitPlaces<'l>,
    implied: &HashMap<usize, Vec<Implied<'l>>>,
    step_of: &[Option<usize>],
) -> HashMap<usize, Vec<Implied<'l>>> {
    // What has no step comes after all that have one.
    let step = |place: usize| step_of[place].unwrap_or(usize::MAX);
    let mut by_name: BTreeMap<(String, String), Vec<(usize, Implied<'l>)>> = BTreeMap::new();
    let mut found: Vec<(usize, Implied<'l>)> = Vec::new();
    for (place, list) in implied {
        for (number, small) in list.iter().enumerate() {
            let last = words(small.part.name.written()).last().unwrap_or_default();
            let mut name = small.part.name.key().to_owned();
            if OWN_PIECES.contains(&singular(&last)) {
                name = format!("{name} of {place}, {number}");
            }
            let at = small.part.at.with_corner_of(&places.states[*place].at);
            let named = by_name.entry((name, at.to_string())).or_default();
            named.push((*place, *small));
        }
    }
    for named in by_name.into_values() {
        let then = named.iter().filter(|(_, small)| !small.before);
        let then = then.max_by_key(|(place, small)| (step(*place), *place, small.spot));
        let first = named.iter().filter(|(_, small)| small.before);
        let first = first.min_by_key(|(place, small)| (step(*place), *place, small.spot));
        found.extend(then.or(first));
    }
    let mut small_parts: HashMap<usize, Vec<Implied<'l>>> = HashMap::new();
    for (place, small) in found {
        small_parts.entry(place).or_default().push(small);
    }
    for (place, list) in &mut small_parts {
        let said = |small: &Implied<'l>| {
            let mut all = implied[place].iter();
            all.position(|other| other == small)
        };
        list.sort_by_key(|small| (small.spot, said(small)));
        let (first, mut then): (Vec<_>, Vec<_>) = list.iter().partition(|small| small.before);
        then.reverse();
        *list = first.into_iter().chain(then).collect();
    }
    small_parts
}
