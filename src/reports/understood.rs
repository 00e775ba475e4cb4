//! What was understood of one entry, place by place, and what in it is new.
//!
//! Whether it makes sense is for `check`; how it is shown for `presentation`.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use super::known_names::{KnownNames, Novelty, UsedName};
use crate::entry::{BagFilling, Entry, Fact, Key, Passage, Record, Stated};
use crate::ledger::{Aliases, PlaceRecord, shares};

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
    let lines: Vec<&str> = entry.text.lines().collect();
    for record in &entry.records {
        let vehicle = record.vehicle.as_deref().unwrap_or_default();
        for own in shares(entry, record) {
            let name = UsedName::part(vehicle, &own.name, aliases);
            let part = known.novelty(&name);
            known.add(name);
            let mut new_bags = BTreeMap::new();
            let mut new_shelves = BTreeMap::new();
            for stated in &own.facts {
                if let Some(bag) = stated.fact.bag() {
                    let name = UsedName::bag(bag);
                    let novelty = known.novelty(&name);
                    if novelty != Novelty::Known {
                        new_bags.insert(bag.key().to_owned(), novelty);
                    }
                    known.add(name);
                }
                if let Fact::Stored(shelf) = &stated.fact {
                    let name = UsedName::shelf(shelf);
                    let novelty = known.novelty(&name);
                    if novelty != Novelty::Known {
                        new_shelves.insert(shelf.clone(), novelty);
                    }
                    known.add(name);
                }
            }
            let keyed = own
                .facts
                .iter()
                .map(|stated| is_keyed(&lines, stated))
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
        .map(|bag| (bag, known.novelty(&UsedName::bag(&bag.label))))
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
fn is_keyed(lines: &[&str], stated: &Stated) -> bool {
    let number = usize::try_from(stated.spot.line).unwrap_or(usize::MAX);
    let line = lines.get(number.saturating_sub(1)).copied();
    let line = line.unwrap_or_default();
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
