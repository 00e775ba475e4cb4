//! Names joined by `also`, per vehicle, collected before anything is folded.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::entry::{Entry, Fact};
use crate::vocabulary::name::Name;

/// Which name stands for which.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Aliases {
    /// (vehicle, key of a name) → key of the name that stands for it.
    stands_for: BTreeMap<(String, String), String>,
    /// (vehicle, key of the name that stands for others) → other names as
    /// written.
    others: BTreeMap<(String, String), Vec<String>>,
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
        for join in joins {
            aliases.join(&join.vehicle, &join.name, &join.other);
        }
        aliases
    }

    fn join(&mut self, vehicle: &str, name: &Name, other: &Name) {
        let kept = self.resolve(vehicle, name.key()).to_owned();
        let joined = self.resolve(vehicle, other.key()).to_owned();
        if kept == joined {
            return;
        }
        for ((of, _), stands) in &mut self.stands_for {
            if of == vehicle && *stands == joined {
                stands.clone_from(&kept);
            }
        }
        let vehicle = vehicle.to_owned();
        self.stands_for
            .insert((vehicle.clone(), joined.clone()), kept.clone());
        let moved = self
            .others
            .remove(&(vehicle.clone(), joined))
            .unwrap_or_default();
        let names = self.others.entry((vehicle, kept)).or_default();
        names.push(other.written().to_owned());
        names.extend(moved);
    }

    /// The key that stands for this one.
    #[must_use]
    pub fn resolve<'a>(&'a self, vehicle: &str, key: &'a str) -> &'a str {
        if self.stands_for.is_empty() {
            return key;
        }
        self.stands_for
            .get(&(vehicle.to_owned(), key.to_owned()))
            .map_or(key, String::as_str)
    }

    /// The other names of a part.
    #[must_use]
    pub fn others(&self, vehicle: &str, key: &str) -> &[String] {
        self.others
            .get(&(vehicle.to_owned(), key.to_owned()))
            .map_or(&[], Vec::as_slice)
    }
}
