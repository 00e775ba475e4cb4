//! Names joined by `also`, per vehicle, collected before anything is folded.

use std::collections::{BTreeMap, HashMap};

use serde::{Deserialize, Serialize};

use super::place::PlaceKey;
use crate::entry::{Entry, Fact};
use crate::vocabulary::name::Name;
use crate::vocabulary::position::Position;

/// Which name stands for which. Both maps go by vehicle first, then by the key
/// of a name.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Aliases {
    /// The key of the name that stands for it.
    stands_for: BTreeMap<String, BTreeMap<String, String>>,
    /// Of a name that stands for others: these others as written.
    others: BTreeMap<String, BTreeMap<String, Vec<String>>>,
}

/// One `also`: two names of a part on a vehicle.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Join {
    /// The vehicle.
    pub vehicle: String,
    /// The name the record stands under.
    pub name: Name,
    /// The other name.
    pub other: Name,
}

impl Aliases {
    /// Collects what the records of these entries join.
    #[must_use]
    pub fn collect<'e>(entries: impl IntoIterator<Item = &'e Entry>) -> Aliases {
        let joins: Vec<Join> = entries.into_iter().flat_map(Aliases::joins).collect();
        Aliases::of(&joins)
    }

    /// What the records of one entry join.
    #[must_use]
    pub fn joins(entry: &Entry) -> Vec<Join> {
        let mut joins = Vec::new();
        for record in &entry.records {
            let Some(vehicle) = &record.vehicle else {
                continue;
            };
            for stated in &record.facts {
                if let Fact::Also(other) = &stated.fact {
                    joins.push(Join {
                        vehicle: vehicle.clone(),
                        name: record.name.clone(),
                        other: Name::new(other),
                    });
                }
            }
        }
        joins
    }

    /// The names joined by these; their order does not matter.
    #[must_use]
    pub fn of(joins: &[Join]) -> Aliases {
        let mut joins: Vec<&Join> = joins.iter().collect();
        joins.sort();
        let mut aliases = Aliases::default();
        for of_vehicle in joins.chunk_by(|one, next| one.vehicle == next.vehicle) {
            let vehicle = &of_vehicle[0].vehicle;
            let mut groups = Groups::default();
            for join in of_vehicle {
                groups.join(&join.name, &join.other);
            }
            let stands_for = aliases.stands_for.entry(vehicle.clone()).or_default();
            let others = aliases.others.entry(vehicle.clone()).or_default();
            for number in 0..groups.names.len() {
                let first = groups.first(number);
                if first != number {
                    let (name, kept) = (groups.names[number], groups.names[first].key());
                    stands_for.insert(name.key().to_owned(), kept.to_owned());
                    let names: &mut Vec<String> = others.entry(kept.to_owned()).or_default();
                    names.push(name.written().to_owned());
                }
            }
        }
        aliases
    }

    /// The key that stands for this one.
    #[must_use]
    pub fn resolve<'a>(&'a self, vehicle: &str, key: &'a str) -> &'a str {
        let of_vehicle = self.stands_for.get(vehicle);
        of_vehicle
            .and_then(|names| names.get(key))
            .map_or(key, String::as_str)
    }

    /// The other names of a part.
    #[must_use]
    pub fn others(&self, vehicle: &str, key: &str) -> &[String] {
        let of_vehicle = self.others.get(vehicle);
        of_vehicle
            .and_then(|names| names.get(key))
            .map_or(&[], Vec::as_slice)
    }
}

/// Names of one vehicle in groups that mean the same part: a disjoint-set forest
/// with path compression. The name under which a record joins others stands for
/// them.
#[derive(Default)]
struct Groups<'j> {
    /// Each name once, in the order in which they were met.
    names: Vec<&'j Name>,
    /// The number of each name, by its key.
    numbers: HashMap<&'j str, usize>,
    /// For each name the next one towards the name that stands for its group;
    /// itself at the end.
    towards: Vec<usize>,
}

impl<'j> Groups<'j> {
    fn join(&mut self, name: &'j Name, other: &'j Name) {
        let (name, other) = (self.number(name), self.number(other));
        let (kept, joined) = (self.first(name), self.first(other));
        self.towards[joined] = kept;
    }

    fn number(&mut self, name: &'j Name) -> usize {
        let next = self.names.len();
        let number = *self.numbers.entry(name.key()).or_insert(next);
        if number == next {
            self.names.push(name);
            self.towards.push(next);
        }
        number
    }

    /// The number of the name that stands for this one.
    fn first(&mut self, number: usize) -> usize {
        let mut first = number;
        while self.towards[first] != first {
            first = self.towards[first];
        }
        let mut below = number;
        while self.towards[below] != first {
            below = std::mem::replace(&mut self.towards[below], first);
        }
        first
    }
}

/// The key of a place, joined names resolved.
#[must_use]
pub fn key(vehicle: &str, name: &Name, at: &Position, aliases: &Aliases) -> PlaceKey {
    let mut key = PlaceKey::new(vehicle, name, at);
    key.name = aliases.resolve(vehicle, name.key()).to_owned();
    key
}

#[cfg(test)]
mod tests {
    use super::*;

    fn join(name: &str, other: &str) -> Join {
        Join {
            vehicle: "wren".to_owned(),
            name: Name::new(name),
            other: Name::new(other),
        }
    }

    #[test]
    fn a_name_joined_twice_brings_all_its_names_along() {
        let aliases = Aliases::of(&[
            join("bonnet stay", "prop"),
            join("stay", "prop"),
            join("stay", "rod"),
        ]);
        for name in ["bonnet stay", "prop", "rod", "stay"] {
            let key = Name::new(name).key().to_owned();
            assert_eq!(aliases.resolve("wren", &key), "stay", "{name}");
            assert_eq!(aliases.resolve("pavetta", &key), key);
        }
        assert_eq!(
            aliases.others("wren", "stay"),
            ["bonnet stay", "prop", "rod"]
        );
    }

    /// Every name of a chain is on the way to the same one after a few steps, and
    /// not after as many as the chain is long.
    #[test]
    fn chains_are_walked_once() {
        const LENGTH: usize = 20_000;
        for backwards in [false, true] {
            let numbered = |at: usize| {
                let at = if backwards { LENGTH - at } else { at };
                Name::new(&format!("name {at:05}"))
            };
            let names: Vec<Name> = (0..=LENGTH).map(numbered).collect();
            let mut groups = Groups::default();
            let mut steps = 0;
            for pair in names.windows(2) {
                for end in pair {
                    let mut at = groups.number(end);
                    while groups.towards[at] != at {
                        at = groups.towards[at];
                        steps += 1;
                    }
                }
                groups.join(&pair[0], &pair[1]);
            }
            assert!(steps <= 4 * LENGTH, "{steps} steps");
            assert!((0..=LENGTH).all(|number| groups.first(number) == groups.first(0)));
        }
    }
}
