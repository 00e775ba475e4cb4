//! The names of parts, bags and shelves that entries use, so that a new name can be
//! told from a known one.
//!
//! Which of two near names is a slip is for `check`.

use std::collections::BTreeMap;

use crate::entry::{Entry, Fact};
use crate::handbook::parts::mean_one_part;
use crate::ledger::{Aliases, when};
use crate::vocabulary::label::BagLabel;
use crate::vocabulary::name::Name;
use crate::vocabulary::words::{fold, one_slip};

/// A name that an entry uses for a part, a bag or a shelf.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct UsedName {
    /// Its kind, for a part its vehicle, and how it compares, parted by [`PART`].
    id: String,
    /// How many bytes of the id come before how it compares.
    group: usize,
    written: String,
}

/// How the ids of parts begin.
const PART_GROUP: &str = "part";

/// Parts the pieces of an id; never typed by anyone.
const PART: char = '\u{1f}';

impl UsedName {
    /// The name of a part of a vehicle; names joined by `also` are one.
    #[must_use]
    pub fn part(vehicle: &str, name: &Name, aliases: &Aliases) -> UsedName {
        let key = aliases.resolve(vehicle, name.key());
        UsedName::new(&format!("{PART_GROUP}{PART}{vehicle}"), key, name.written())
    }

    /// A bag.
    #[must_use]
    pub fn bag(bag: &BagLabel) -> UsedName {
        UsedName::new("bag", bag.key(), bag.written())
    }

    /// A shelf.
    #[must_use]
    pub fn shelf(shelf: &str) -> UsedName {
        UsedName::new("shelf", &fold(shelf), shelf)
    }

    fn new(group: &str, key: &str, written: &str) -> UsedName {
        UsedName {
            id: format!("{group}{PART}{key}"),
            group: group.len() + PART.len_utf8(),
            written: written.to_owned(),
        }
    }

    /// The names in an entry, each once, in an order of their own.
    #[must_use]
    pub fn all_in(entry: &Entry, aliases: &Aliases) -> Vec<UsedName> {
        let mut names = Vec::new();
        for record in &entry.records {
            let vehicle = record.vehicle.as_deref().unwrap_or_default();
            names.push(UsedName::part(vehicle, &record.name, aliases));
            for stated in &record.facts {
                names.extend(stated.fact.bag().map(UsedName::bag));
                if let Fact::Stored(shelf) = &stated.fact {
                    names.push(UsedName::shelf(shelf));
                }
            }
        }
        for bag in &entry.bags {
            names.push(UsedName::bag(&bag.label));
            names.extend(bag.stored.as_deref().map(UsedName::shelf));
        }
        names.sort();
        names.dedup();
        names
    }

    /// How the text forms of all names of its kind begin, of a part those of its vehicle.
    #[must_use]
    pub fn group(&self) -> &str {
        &self.id[..self.group]
    }

    /// How the text forms of this name begin, however it is written.
    #[must_use]
    pub fn same(&self) -> String {
        format!("{}{PART}", self.id)
    }

    /// The name as a text, to be kept in an index.
    #[must_use]
    pub fn to_text(&self) -> String {
        format!("{}{PART}{}", self.id, self.written)
    }
}

/// The names that earlier records use.
#[derive(Clone, Debug, Default)]
pub struct KnownNames {
    /// As written, by id.
    names: BTreeMap<String, String>,
    /// How often two names were compared.
    compared: usize,
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
                let names = UsedName::all_in(other, aliases);
                names.into_iter().for_each(|name| known.add(name));
            }
        }
        known
    }

    /// Adds a name.
    pub fn add(&mut self, name: UsedName) {
        self.names.entry(name.id).or_insert(name.written);
    }

    /// Adds a name in its text form.
    pub fn add_text(&mut self, text: &str) {
        if let Some((id, written)) = text.rsplit_once(PART) {
            let known = self.names.entry(id.to_owned());
            known.or_insert_with(|| written.to_owned());
        }
    }

    /// Whether a name is among these, or near one of its kind.
    pub fn novelty(&mut self, name: &UsedName) -> Novelty {
        if self.names.contains_key(&name.id) {
            return Novelty::Known;
        }
        self.compared += self.names.len();
        if self.compared > MOST_COMPARED {
            return Novelty::New;
        }
        let (group, key) = name.id.split_at(name.group);
        let of_group = self.names.range(group.to_owned()..);
        let of_group = of_group.map_while(|(id, written)| Some((id.strip_prefix(group)?, written)));
        let is_part = group.starts_with(PART_GROUP);
        nearest(key, is_part, of_group)
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

/// New, or near one of these. Names that differ in a figure are two: bag 12 is
/// no slip for bag 13. Of parts, another word for the same thing is near as well:
/// carb and carburettor.
fn nearest<'k>(
    key: &str,
    is_part: bool,
    known: impl Iterator<Item = (&'k str, &'k String)> + Clone,
) -> Novelty {
    let digits = |text: &str| -> String { text.chars().filter(char::is_ascii_digit).collect() };
    let own = digits(key);
    let is_slip = |other: &str| key.len() >= 4 && one_slip(key, other) && digits(other) == own;
    let slip = known.clone().find(|(other, _)| is_slip(other));
    let near = slip.or_else(|| {
        let mut known = known.clone();
        known.find(|(other, _)| is_part && mean_one_part(key, other))
    });
    match near {
        Some((_, written)) => Novelty::Near(written.clone()),
        None => Novelty::New,
    }
}
