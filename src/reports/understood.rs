//! What was understood of one entry, place by place, and what in it is new.
//!
//! Whether it makes sense is for `check`; how it is shown for `presentation`.

use std::collections::BTreeMap;

use crate::entry::{BagFilling, Entry, Fact};
use crate::ledger::{Aliases, PlaceRecord, shares, when};
use crate::vocabulary::label::Label;
use crate::vocabulary::name::Name;
use crate::vocabulary::words::{fold, one_slip};

/// What earlier records name, so that a new name can be told from a known one.
#[derive(Clone, Debug, Default)]
pub struct KnownNames {
    parts: BTreeMap<(String, String), String>,
    bags: BTreeMap<String, String>,
    shelves: BTreeMap<String, String>,
}

impl KnownNames {
    /// The names in the entries before `entry`, in the order of the work.
    #[must_use]
    pub fn before<'e>(
        entry: &Entry,
        entries: impl IntoIterator<Item = &'e Entry>,
        aliases: &Aliases,
    ) -> KnownNames {
        let now = when(entry, entry.date, 0);
        let mut known = KnownNames::default();
        for other in entries {
            let is_earlier = match (&now, when(other, other.date, 0)) {
                (Some(now), Some(then)) => then < *now,
                (None, _) | (_, None) => true,
            };
            if other.path != entry.path && is_earlier {
                known.add_entry(other, aliases);
            }
        }
        known
    }

    fn add_entry(&mut self, entry: &Entry, aliases: &Aliases) {
        for record in &entry.records {
            self.add_part(
                record.vehicle.as_deref().unwrap_or_default(),
                &record.name,
                aliases,
            );
            for stated in &record.facts {
                if let Some(bag) = stated.fact.bag() {
                    self.add_bag(bag);
                }
                if let Fact::Stored(shelf) = &stated.fact {
                    self.add_shelf(shelf);
                }
            }
        }
        for bag in &entry.bags {
            self.add_bag(&bag.label);
            if let Some(shelf) = &bag.stored {
                self.add_shelf(shelf);
            }
        }
    }

    /// Adds the name of a part of a vehicle.
    pub fn add_part(&mut self, vehicle: &str, name: &Name, aliases: &Aliases) {
        let key = aliases.resolve(vehicle, name.key()).to_owned();
        self.parts
            .entry((vehicle.to_owned(), key))
            .or_insert_with(|| name.written().to_owned());
    }

    /// Adds a bag.
    pub fn add_bag(&mut self, bag: &Label) {
        self.bags
            .entry(bag.key().to_owned())
            .or_insert_with(|| bag.written().to_owned());
    }

    /// Adds a shelf.
    pub fn add_shelf(&mut self, shelf: &str) {
        self.shelves
            .entry(fold(shelf))
            .or_insert_with(|| shelf.to_owned());
    }
}

/// Whether a name was used before.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Novelty {
    /// An earlier record names it.
    Known,
    /// No earlier record names it.
    New,
    /// No earlier record names it, but one names this, one slip away.
    Near(String),
}

/// What was understood of an entry.
#[derive(Clone, Debug)]
pub struct Understood<'e> {
    /// The entry.
    pub entry: &'e Entry,
    /// One for each place of each record, in the order of the text.
    pub records: Vec<UnderstoodRecord>,
    /// The sections about whole bags, with whether the bag is new.
    pub bags: Vec<(&'e BagFilling, Novelty)>,
}

/// What was understood about one place.
#[derive(Clone, Debug)]
pub struct UnderstoodRecord {
    /// The part, its position, and the facts, amounts shared among the places.
    pub record: PlaceRecord,
    /// Whether the part is new.
    pub part: Novelty,
    /// The bags that are not known yet, by their keys.
    pub new_bags: BTreeMap<String, Novelty>,
    /// The shelves that are not known yet, as written.
    pub new_shelves: BTreeMap<String, Novelty>,
}

/// What was understood of `entry`; `known` are the names before it.
#[must_use]
pub fn understood<'e>(
    entry: &'e Entry,
    mut known: KnownNames,
    aliases: &Aliases,
) -> Understood<'e> {
    let mut records = Vec::new();
    for record in &entry.records {
        let vehicle = record.vehicle.as_deref().unwrap_or_default();
        for own in shares(entry, record) {
            let part = part_novelty(&known, vehicle, &own.name, aliases);
            known.add_part(vehicle, &own.name, aliases);
            let mut new_bags = BTreeMap::new();
            let mut new_shelves = BTreeMap::new();
            for stated in &own.facts {
                if let Some(bag) = stated.fact.bag() {
                    let novelty = novelty(&known.bags, bag.key());
                    if novelty != Novelty::Known {
                        new_bags.insert(bag.key().to_owned(), novelty);
                    }
                    known.add_bag(bag);
                }
                if let Fact::Stored(shelf) = &stated.fact {
                    let novelty = novelty(&known.shelves, &fold(shelf));
                    if novelty != Novelty::Known {
                        new_shelves.insert(shelf.clone(), novelty);
                    }
                    known.add_shelf(shelf);
                }
            }
            records.push(UnderstoodRecord {
                record: own,
                part,
                new_bags,
                new_shelves,
            });
        }
    }
    let bags = entry
        .bags
        .iter()
        .map(|bag| (bag, novelty(&known.bags, bag.label.key())))
        .collect();
    Understood {
        entry,
        records,
        bags,
    }
}

fn part_novelty(known: &KnownNames, vehicle: &str, name: &Name, aliases: &Aliases) -> Novelty {
    let key = aliases.resolve(vehicle, name.key());
    let place = (vehicle.to_owned(), key.to_owned());
    if known.parts.contains_key(&place) {
        return Novelty::Known;
    }
    let of_vehicle = known.parts.iter().filter(|((of, _), _)| of == vehicle);
    nearest(key, of_vehicle.map(|((_, key), written)| (key, written)))
}

fn novelty(known: &BTreeMap<String, String>, key: &str) -> Novelty {
    match known.contains_key(key) {
        true => Novelty::Known,
        false => nearest(key, known.iter()),
    }
}

/// New, or near one of these. Names that differ in a figure are two: bag 12 is
/// no slip for bag 13.
fn nearest<'k>(key: &str, known: impl Iterator<Item = (&'k String, &'k String)>) -> Novelty {
    let digits = |text: &str| -> String { text.chars().filter(char::is_ascii_digit).collect() };
    let own = digits(key);
    let mut known =
        known.filter(|(other, _)| key.len() >= 4 && one_slip(key, other) && digits(other) == own);
    match known.next() {
        Some((_, written)) => Novelty::Near(written.clone()),
        None => Novelty::New,
    }
}
