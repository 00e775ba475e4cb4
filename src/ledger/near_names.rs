//! Which names are one slip apart, found without comparing each with each.
//!
//! Which of two such names is the slip is decided in `disagreements`.

use std::collections::HashMap;
use std::hash::{DefaultHasher, Hash, Hasher};

use crate::vocabulary::words::one_slip;

/// Names longer than this are sentences under the wrong marks: comparing them
/// letter by letter would take long and tell nobody anything.
const LONGEST_NAME: usize = 60;

/// The most names that are compared with another because they have one
/// shortened form in common. Where this many differ in the same letter, the
/// likeliest of them say enough.
const MOST_COMPARED: usize = 50;

/// The keys of names, the likeliest first, found by keys one slip from them: a
/// deletion-neighbourhood index. Two names one slip apart have a text in common
/// once a letter is left out of either.
pub(super) struct NearNames<'k> {
    keys: Vec<&'k str>,
    /// The hash of a shortened name → numbers of the names it may come from.
    by_shortened: HashMap<u64, Vec<usize>>,
}

impl<'k> NearNames<'k> {
    /// Indexes these keys, the likeliest first.
    pub fn new(keys: impl Iterator<Item = &'k str>) -> NearNames<'k> {
        let keys: Vec<&str> = keys.collect();
        let mut by_shortened: HashMap<u64, Vec<usize>> = HashMap::new();
        for (number, key) in keys.iter().enumerate() {
            for shortened in shortened(key) {
                by_shortened.entry(shortened).or_default().push(number);
            }
        }
        NearNames { keys, by_shortened }
    }

    /// The numbers of the names one slip from `key`; some may come twice.
    pub fn near(&self, key: &str) -> impl Iterator<Item = usize> {
        self.candidates(key)
            .filter(move |number| is_near(key, self.keys[*number]))
    }

    /// The name with this number.
    pub fn name(&self, number: usize) -> &'k str {
        self.keys[number]
    }

    /// The names that `key` is compared with.
    fn candidates(&self, key: &str) -> impl Iterator<Item = usize> {
        shortened(key)
            .into_iter()
            .filter_map(|shortened| self.by_shortened.get(&shortened))
            .flat_map(|numbers| numbers.iter().copied().take(MOST_COMPARED))
    }
}

/// The hashes of a name with each of its letters left out in turn, and of the
/// name itself.
fn shortened(key: &str) -> Vec<u64> {
    if key.len() > LONGEST_NAME {
        return Vec::new();
    }
    let hash = |before: &str, behind: &str| {
        let mut hasher = DefaultHasher::new();
        before
            .bytes()
            .chain(behind.bytes())
            .for_each(|byte| byte.hash(&mut hasher));
        hasher.finish()
    };
    let mut all = vec![hash(key, "")];
    for (at, c) in key.char_indices() {
        all.push(hash(&key[..at], &key[at + c.len_utf8()..]));
    }
    // Of a letter that is written twice it is the same which one goes.
    all.dedup();
    all
}

/// Whether two names are so close that one may be a slip: short names and
/// names that differ in a number are not.
fn is_near(one: &str, other: &str) -> bool {
    let letters = |key: &str| -> String { key.chars().filter(|c| !c.is_ascii_digit()).collect() };
    one.len() >= 5 && other.len() >= 4 && one_slip(one, other) && letters(one) != letters(other)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_one_slip_apart_find_each_other() {
        let names = NearNames::new(["spindlenut", "hornbracket", "valve1"].into_iter());
        let near = |key: &str| names.near(key).map(|number| names.name(number)).min();
        assert_eq!(near("spindelnut"), Some("spindlenut"));
        assert_eq!(near("spindlnut"), Some("spindlenut"));
        assert_eq!(near("hornbrackett"), Some("hornbracket"));
        for other in ["spindlenut", "spindlbolt", "valve2", "valve11"] {
            assert_eq!(near(other), None, "{other}");
        }
    }

    /// All names differ in one letter, so that each is near each.
    #[test]
    fn names_that_are_all_near_are_compared_with_few() {
        let compared = |count: u32| -> usize {
            let keys: Vec<String> = (0..count)
                .filter_map(|number| char::from_u32(0x4e00 + number))
                .map(|letter| format!("valve{letter}cap"))
                .collect();
            let names = NearNames::new(keys.iter().map(String::as_str));
            keys.iter().map(|key| names.candidates(key).count()).sum()
        };
        let (few, many) = (compared(500), compared(4_000));
        assert!(many <= 9 * few, "{few} comparisons, then {many}");
    }
}
