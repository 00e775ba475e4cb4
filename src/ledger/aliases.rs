//! Names joined by `also`, per vehicle, collected before anything is folded.

use std::collections::BTreeMap;

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

impl Aliases {
    /// Collects what the records of these entries join.
    #[must_use]
    pub fn collect<'e>(entries: impl IntoIterator<Item = &'e Entry>) -> Aliases {
        let mut aliases = Aliases::default();
        for entry in entries {
            for record in &entry.records {
                let Some(vehicle) = &record.vehicle else {
                    continue;
                };
                for stated in &record.facts {
                    if let Fact::Also(other) = &stated.fact {
                        aliases.join(vehicle, &record.name, &Name::new(other));
                    }
                }
            }
        }
        aliases
    }

    fn join(&mut self, vehicle: &str, name: &Name, other: &Name) {
        let kept = self.resolve(vehicle, name.key()).to_owned();
        let joined = self.resolve(vehicle, other.key()).to_owned();
        if kept == joined {
            return;
        }
        for stands in self.stands_for.values_mut() {
            if *stands == joined {
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

    /// Text that changes exactly when the joined names do.
    #[must_use]
    pub fn fingerprint(&self) -> String {
        format!("{:?}", self.stands_for)
    }
}
