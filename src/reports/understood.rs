//! What was understood of one entry, place by place, and what in it is new.
//!
//! Whether it makes sense is for `check`; how it is shown for `presentation`.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use serde::{Deserialize, Serialize};

use crate::entry::{BagFilling, Entry, Fact, Key, Passage, Record, Stated};
use crate::ledger::{Aliases, PlaceRecord, shares, when};
use crate::vocabulary::label::BagLabel;
use crate::vocabulary::name::Name;
use crate::vocabulary::words::{fold, one_slip};

/// What earlier records name, so that a new name can be told from a known one.
#[derive(Clone, Debug, Default)]
pub struct KnownNames {
    parts: BTreeMap<(String, String), String>,
    bags: BTreeMap<String, String>,
    shelves: BTreeMap<String, String>,
    /// How often two names were compared.
    compared: usize,
}

/// What one entry names.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct EntryNames {
    /// Parts, each with its vehicle.
    parts: Vec<(String, Name)>,
    bags: Vec<BagLabel>,
    shelves: Vec<String>,
}

impl EntryNames {
    /// The names in an entry.
    #[must_use]
    pub fn of(entry: &Entry) -> EntryNames {
        let mut names = EntryNames::default();
        for record in &entry.records {
            let vehicle = record.vehicle.clone().unwrap_or_default();
            names.parts.push((vehicle, record.name.clone()));
            for stated in &record.facts {
                names.bags.extend(stated.fact.bag().cloned());
                if let Fact::Stored(shelf) = &stated.fact {
                    names.shelves.push(shelf.clone());
                }
            }
        }
        for bag in &entry.bags {
            names.bags.push(bag.label.clone());
            names.shelves.extend(bag.stored.clone());
        }
        names
    }

    /// The names as bytes, to be kept in an index; none if there are none.
    #[must_use]
    pub fn to_bytes(&self) -> Vec<u8> {
        if self.parts.is_empty() && self.bags.is_empty() {
            return Vec::new();
        }
        // Writing plain values into memory cannot fail.
        postcard::to_stdvec(self).unwrap_or_default()
    }

    /// The names from such bytes; `None` for any others.
    #[must_use]
    pub fn from_bytes(bytes: &[u8]) -> Option<EntryNames> {
        postcard::from_bytes(bytes).ok()
    }
}

/// Names are compared this often, which takes a moment; where a whole journal is new at
/// once, the names behind that are new, and `check` says which are near.
const MOST_COMPARED: usize = 1_000_000;

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
                known.add(&EntryNames::of(other), aliases);
            }
        }
        known
    }

    /// Adds what an entry names.
    pub fn add(&mut self, names: &EntryNames, aliases: &Aliases) {
        for (vehicle, name) in &names.parts {
            self.add_part(vehicle, name, aliases);
        }
        names.bags.iter().for_each(|bag| self.add_bag(bag));
        names.shelves.iter().for_each(|shelf| self.add_shelf(shelf));
    }

    /// Adds the name of a part of a vehicle.
    pub fn add_part(&mut self, vehicle: &str, name: &Name, aliases: &Aliases) {
        let key = aliases.resolve(vehicle, name.key()).to_owned();
        self.parts
            .entry((vehicle.to_owned(), key))
            .or_insert_with(|| name.written().to_owned());
    }

    /// Adds a bag.
    pub fn add_bag(&mut self, bag: &BagLabel) {
        self.bags
            .entry(bag.key().to_owned())
            .or_insert_with(|| bag.written().to_owned());
    }

    fn part(&mut self, vehicle: &str, name: &Name, aliases: &Aliases) -> Novelty {
        let key = aliases.resolve(vehicle, name.key());
        let place = (vehicle.to_owned(), key.to_owned());
        if self.parts.contains_key(&place) {
            return Novelty::Known;
        }
        if !may_compare(&mut self.compared, self.parts.len()) {
            return Novelty::New;
        }
        let of_vehicle = self.parts.iter().filter(|((of, _), _)| of == vehicle);
        nearest(key, of_vehicle.map(|((_, key), written)| (key, written)))
    }

    fn bag(&mut self, bag: &BagLabel) -> Novelty {
        novelty(&self.bags, bag.key(), &mut self.compared)
    }

    fn shelf(&mut self, shelf: &str) -> Novelty {
        novelty(&self.shelves, &fold(shelf), &mut self.compared)
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
    /// What is said of the session as a whole.
    pub session: Vec<&'e Stated>,
    /// One for each place of each record, in the order of the text.
    pub records: Vec<UnderstoodRecord>,
    /// The sections about whole bags, with whether the bag is new.
    pub bags: Vec<(&'e BagFilling, Novelty)>,
    /// Sections in which no fact was read: prose, or facts that could not be parsed.
    pub prose: Vec<&'e Passage>,
}

/// Facts, each with whether it was inherited; their lines do not count.
type FactsSaid = Vec<(Fact, bool)>;

impl Understood<'_> {
    /// Leaves only what stands on these lines; where there are none, only the session
    /// was spoken of.
    pub fn retain_lines(&mut self, lines: &Range<u32>) {
        self.session
            .retain(|stated| lines.is_empty() || lines.contains(&stated.spot.line));
        self.records
            .retain(|one| lines.contains(&one.record.spot.line));
        self.bags.retain(|(bag, _)| lines.contains(&bag.spot.line));
        self.prose.retain(|passage| lines.contains(&passage.line));
    }

    /// Leaves only what an earlier text of the entry did not say.
    pub fn retain_new(&mut self, before: &Entry) {
        let words = |facts: &[Stated]| -> FactsSaid {
            let both = facts.iter().map(|one| (one.fact.clone(), one.inherited));
            both.collect()
        };
        let old: Vec<(String, String, FactsSaid)> = before
            .records
            .iter()
            .flat_map(|record| shares(before, record))
            .map(|one| {
                (
                    one.name.key().to_owned(),
                    one.at.to_string(),
                    words(&one.facts),
                )
            })
            .collect();
        // By name first: an entry may have thousands of records.
        let mut by_name: BTreeMap<(&str, &str), Vec<&FactsSaid>> = BTreeMap::new();
        for (name, at, facts) in &old {
            by_name.entry((name, at)).or_default().push(facts);
        }
        self.records.retain(|one| {
            let at = one.record.at.to_string();
            let place = (one.record.name.key(), at.as_str());
            let facts = words(&one.record.facts);
            let known = by_name.get(&place);
            !known.is_some_and(|known| known.iter().any(|old| **old == facts))
        });
        let same_day = before.date == self.entry.date && before.vehicle == self.entry.vehicle;
        self.session
            .retain(|stated| !same_day || !before.facts.iter().any(|old| old.fact == stated.fact));
        self.bags.retain(|(bag, _)| {
            !before.bags.iter().any(|old| {
                before.passage_text(&old.passage) == self.entry.passage_text(&bag.passage)
            })
        });
        let old: BTreeSet<&str> = before
            .prose
            .iter()
            .map(|passage| before.passage_text(passage))
            .collect();
        self.prose
            .retain(|passage| !old.contains(self.entry.passage_text(passage)));
    }

    /// How many lines tell of it, one for each record and bag.
    #[must_use]
    pub fn count(&self) -> usize {
        self.records.len() + self.bags.len()
    }
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
    /// Lines that stand as facts do and were read as none.
    pub words_only: Vec<String>,
    /// For each fact of the record whether its own key stands before it as typed.
    pub keyed: Vec<bool>,
}

/// What was understood of `entry`; `known` are the names before it, and those in it
/// afterwards.
#[must_use]
pub fn understood<'e>(
    entry: &'e Entry,
    known: &mut KnownNames,
    aliases: &Aliases,
) -> Understood<'e> {
    let mut records = Vec::new();
    for record in &entry.records {
        let vehicle = record.vehicle.as_deref().unwrap_or_default();
        for own in shares(entry, record) {
            let part = known.part(vehicle, &own.name, aliases);
            known.add_part(vehicle, &own.name, aliases);
            let mut new_bags = BTreeMap::new();
            let mut new_shelves = BTreeMap::new();
            for stated in &own.facts {
                if let Some(bag) = stated.fact.bag() {
                    let novelty = known.bag(bag);
                    if novelty != Novelty::Known {
                        new_bags.insert(bag.key().to_owned(), novelty);
                    }
                    known.add_bag(bag);
                }
                if let Fact::Stored(shelf) = &stated.fact {
                    let novelty = known.shelf(shelf);
                    if novelty != Novelty::Known {
                        new_shelves.insert(shelf.clone(), novelty);
                    }
                    known.add_shelf(shelf);
                }
            }
            let keyed = own
                .facts
                .iter()
                .map(|stated| is_keyed(entry, stated))
                .collect();
            records.push(UnderstoodRecord {
                keyed,
                record: own,
                part,
                new_bags,
                new_shelves,
                words_only: words_only(entry, record),
            });
        }
    }
    let bags = entry
        .bags
        .iter()
        .map(|bag| (bag, known.bag(&bag.label)))
        .collect();
    // Words below the entry's title are its story, unless they stand as a list.
    let is_list = |passage: &&Passage| {
        let mut lines = entry.passage_text(passage).lines();
        lines.any(|line| line.trim_start().starts_with(['-', '*', '+', '\u{2022}']))
    };
    let is_title = |passage: &&Passage| Some(&passage.title) == entry.title.as_ref();
    let headed =
        |passage: &&Passage| !passage.title.is_empty() && (!is_title(passage) || is_list(passage));
    Understood {
        entry,
        session: entry.facts.iter().collect(),
        records,
        bags,
        prose: entry.prose.iter().filter(headed).collect(),
    }
}

/// Whether the line on which a fact stands begins with its key and a colon; what was
/// taken from the front matter has its line there.
fn is_keyed(entry: &Entry, stated: &Stated) -> bool {
    let number = usize::try_from(stated.spot.line).unwrap_or(usize::MAX);
    let line = entry
        .text
        .lines()
        .nth(number.saturating_sub(1))
        .unwrap_or_default();
    let said = line.trim_start_matches([' ', '\t', '-', '*', '+', '\u{2022}']);
    let key = stated.key.word();
    said.get(..key.len())
        .is_some_and(|start| start.eq_ignore_ascii_case(key))
        && said[key.len()..].starts_with(':')
}

/// The list items of a section, and the lines right under its heading, on which no fact
/// stands. Nested items and wrapped lines belong to what is above them.
fn words_only(entry: &Entry, record: &Record) -> Vec<String> {
    if record.short.is_some() || record.passage.title.is_empty() {
        return Vec::new();
    }
    let is_read: BTreeSet<u32> = record.facts.iter().map(|one| one.spot.line).collect();
    let mut found = Vec::new();
    let mut is_first_block = true;
    let text = entry.passage_text(&record.passage);
    for (line, number) in text.lines().zip(record.passage.line..).skip(1) {
        is_first_block &= !line.trim().is_empty();
        let item = line.strip_prefix(['-', '*', '+', '\u{2022}']);
        let item = item.filter(|item| item.starts_with([' ', '\t']));
        // In a block of items other lines are wrapped ones.
        is_first_block &= item.is_none();
        let said = match item {
            Some(item) => item.trim(),
            None if is_first_block && !line.starts_with([' ', '\t']) => line.trim(),
            None => continue,
        };
        let has_key = said
            .split_once(':')
            .is_some_and(|(key, _)| Key::read(key).is_some());
        if !has_key && !is_read.contains(&number) {
            found.push(said.to_owned());
        }
    }
    found
}

fn novelty(known: &BTreeMap<String, String>, key: &str, compared: &mut usize) -> Novelty {
    if known.contains_key(key) {
        return Novelty::Known;
    }
    match may_compare(compared, known.len()) {
        true => nearest(key, known.iter()),
        false => Novelty::New,
    }
}

fn may_compare(compared: &mut usize, more: usize) -> bool {
    *compared += more;
    *compared <= MOST_COMPARED
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
