//! How a record changed between two versions of an entry, fact by fact.

use std::collections::{HashMap, HashSet};

use crate::entry::{Entry, Record, Stated};
use crate::vocabulary::name::Name;

/// A fact that reads differently.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FactChange {
    /// The part; `None` for what belongs to the entry as a whole.
    pub part: Option<String>,
    /// Its position.
    pub at: String,
    /// The key; `text` for prose.
    pub key: String,
    /// What it said.
    pub before: Option<String>,
    /// What it says.
    pub after: Option<String>,
}

/// What differs between two versions of an entry; `None` where there is none.
/// Takes time in proportion to the facts of both, however many parts they speak of.
#[must_use]
pub fn changes(before: Option<&Entry>, after: Option<&Entry>) -> Vec<FactChange> {
    let mut all = Vec::new();
    compare(
        (None, ""),
        &before.map(entry_facts).unwrap_or_default(),
        &after.map(entry_facts).unwrap_or_default(),
        &mut all,
    );
    let old = before.map(records).unwrap_or_default();
    let new = after.map(records).unwrap_or_default();
    for subject in subjects(old, new) {
        compare(
            (Some(subject.name.written()), &subject.at),
            &subject.old,
            &subject.new,
            &mut all,
        );
    }
    all
}

/// A record's facts as key and words.
struct Told {
    name: Name,
    at: String,
    facts: Vec<(String, String)>,
}

fn records(entry: &Entry) -> Vec<Told> {
    let told = |record: &Record| {
        let mut facts: Vec<(String, String)> = record
            .facts
            .iter()
            .filter(|stated| !stated.inherited)
            .map(|stated| (stated.key.word().to_owned(), stated.written.clone()))
            .collect();
        if record.short.is_none() {
            facts.push((
                "text".to_owned(),
                entry.prose_text(&record.passage).to_owned(),
            ));
        } else if let Some((status, _)) = record.status() {
            // The words of a short form are the part's name; what they say is
            // the status.
            facts.retain(|(key, _)| key != "status");
            facts.push(("status".to_owned(), status.word().to_owned()));
        }
        let at: Vec<String> = record.at.iter().map(ToString::to_string).collect();
        Told {
            name: record.name.clone(),
            at: at.join("; "),
            facts,
        }
    };
    let bags = entry.bags.iter().map(|bag| Told {
        name: Name::new(&format!("bag {}", bag.label.written())),
        at: String::new(),
        facts: bag
            .holds
            .iter()
            .map(|(part, _)| ("holds".to_owned(), part.written()))
            .chain(bag.hardware.iter().map(|(hardware, _)| {
                (
                    "hardware".to_owned(),
                    format!("{} {}", hardware.count(), hardware.what),
                )
            }))
            .collect(),
    });
    entry.records.iter().map(told).chain(bags).collect()
}

/// Facts of the entry as a whole.
fn entry_facts(entry: &Entry) -> Vec<(String, String)> {
    let mut facts = Vec::new();
    let mut add = |key: &str, value: Option<String>| {
        if let Some(value) = value {
            facts.push((key.to_owned(), value));
        }
    };
    add("date", entry.date.map(|date| date.to_string()));
    add("vehicle", entry.vehicle.clone());
    add("title", entry.title.clone());
    for Stated { key, written, .. } in &entry.facts {
        add(key.word(), Some(written.clone()));
    }
    let prose: Vec<&str> = entry
        .prose
        .iter()
        .map(|passage| entry.prose_text(passage))
        .filter(|text| !text.is_empty())
        .collect();
    add(
        "text",
        Some(prose.join("\n\n")).filter(|text| !text.is_empty()),
    );
    facts
}

/// A place, and what each version says of it in all its records.
struct Subject {
    name: Name,
    at: String,
    old: Vec<(String, String)>,
    new: Vec<(String, String)>,
}

/// Every place that either version speaks of: those of the newer one in the order of its
/// text, then those that only the older one has.
fn subjects(old: Vec<Told>, new: Vec<Told>) -> Vec<Subject> {
    let mut subjects: Vec<Subject> = Vec::new();
    let mut known: HashMap<(String, String), usize> = HashMap::new();
    let sides = [(new, true), (old, false)];
    for (side, is_new) in sides {
        for Told { name, at, facts } in side {
            let key = (name.key().to_owned(), at.clone());
            let index = *known.entry(key).or_insert(subjects.len());
            if index == subjects.len() {
                subjects.push(Subject {
                    name,
                    at,
                    old: Vec::new(),
                    new: Vec::new(),
                });
            }
            let subject = &mut subjects[index];
            match is_new {
                true => subject.new.extend(facts),
                false => subject.old.extend(facts),
            }
        }
    }
    subjects
}

/// Pairs what was said under each key with what is said now.
fn compare(
    (part, at): (Option<&str>, &str),
    old: &[(String, String)],
    new: &[(String, String)],
    all: &mut Vec<FactChange>,
) {
    let (old_by_key, new_by_key) = (by_key(old), by_key(new));
    let mut told = HashSet::new();
    let keys = old.iter().chain(new).map(|(key, _)| key.as_str());
    for key in keys.filter(|key| told.insert(*key)) {
        let before = old_by_key.get(key).map_or(&[][..], Vec::as_slice);
        let after = new_by_key.get(key).map_or(&[][..], Vec::as_slice);
        let (gone, came) = (only_in(before, after), only_in(after, before));
        for index in 0..gone.len().max(came.len()) {
            let value = |side: &[&str]| side.get(index).map(|value| (*value).to_owned());
            all.push(FactChange {
                part: part.map(str::to_owned),
                at: at.to_owned(),
                key: key.to_owned(),
                before: value(&gone),
                after: value(&came),
            });
        }
    }
}

fn by_key(facts: &[(String, String)]) -> HashMap<&str, Vec<&str>> {
    let mut values: HashMap<&str, Vec<&str>> = HashMap::new();
    for (key, value) in facts {
        values.entry(key).or_default().push(value);
    }
    values
}

/// The values without those that the others have as well, each as often as it stands there.
fn only_in<'v>(values: &[&'v str], others: &[&str]) -> Vec<&'v str> {
    let mut left: HashMap<&str, usize> = HashMap::new();
    for other in others {
        *left.entry(other).or_default() += 1;
    }
    let is_extra = |value: &&str| match left.get_mut(*value) {
        Some(count) if *count > 0 => {
            *count -= 1;
            false
        }
        Some(_) | None => true,
    };
    values.iter().copied().filter(is_extra).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::entry::{Context, read};
    use crate::vocabulary::money::Currency;

    fn entry(text: &str) -> Entry {
        let context = Context {
            systems: Vec::new(),
            vehicles: Vec::new(),
            currency: Currency::EUR,
        };
        read(text, &context).0
    }

    #[test]
    fn a_corrected_bag_is_one_change() {
        let before = entry(
            "---\ndate: 2026-03-14\nvehicle: a\n---\n\n# T\n\n## Horn\n\n- bag: 14\n- stored: loft\n\nProse.\n",
        );
        let after = entry(
            "---\ndate: 2026-03-14\nvehicle: a\n---\n\n# T\n\n## Horn\n\n- bag: 15\n- stored: loft\n- found: fine\n\nProse.\n",
        );
        let changes = changes(Some(&before), Some(&after));
        assert_eq!(changes.len(), 2);
        assert_eq!(changes[0].part.as_deref(), Some("Horn"));
        assert_eq!(changes[0].before.as_deref(), Some("14"));
        assert_eq!(changes[0].after.as_deref(), Some("15"));
        assert_eq!(changes[1].key, "found");
        assert_eq!(changes[1].before, None);
    }

    #[test]
    fn a_fact_that_stands_there_twice_counts_twice() {
        let lessons = |lines: &[&str]| {
            let lines: String = lines
                .iter()
                .map(|line| format!("- lesson: {line}\n"))
                .collect();
            entry(&format!(
                "---\ndate: 2026-03-14\nvehicle: a\n---\n\n# T\n\n## Horn\n\n{lines}"
            ))
        };
        let before = lessons(&["a", "a", "b"]);
        let after = lessons(&["b", "a", "c"]);
        let changes = changes(Some(&before), Some(&after));
        assert_eq!(changes.len(), 1, "{changes:?}");
        assert_eq!(changes[0].before.as_deref(), Some("a"));
        assert_eq!(changes[0].after.as_deref(), Some("c"));
    }

    #[test]
    fn time_grows_with_the_parts_and_not_with_their_square() {
        let told = |parts: usize, shelf: &str| {
            let part = |number: usize| format!("## Part {number}\n\n- stored: {shelf}\n\n");
            let parts: String = (0..parts).map(part).collect();
            entry(&format!(
                "---\ndate: 2026-03-14\nvehicle: a\n---\n\n# T\n\n{parts}"
            ))
        };
        let shortest = |parts: usize| {
            let (before, after) = (told(parts, "loft"), told(parts, "rack"));
            let run = || {
                let start = std::time::Instant::now();
                assert_eq!(changes(Some(&before), Some(&after)).len(), parts);
                start.elapsed()
            };
            (0..5).map(|_| run()).min().unwrap_or_default()
        };
        let (few, many) = (shortest(250), shortest(4_000));
        // Sixteen times as many: 256 times the time where each is compared with each.
        assert!(many < few * 80, "{few:?}, {many:?}");
    }

    #[test]
    fn records_of_one_place_are_compared_together_and_places_apart() {
        let text = |first: &str, second: &str| {
            entry(&format!(
                "---\ndate: 2026-03-14\nvehicle: a\n---\n\n# T\n\n## Horn, left\n\n- bag: {first}\n\n## Horn, right\n\n- bag: 7\n\n## Horn, left\n\n- stored: {second}\n"
            ))
        };
        let changes = changes(Some(&text("1", "loft")), Some(&text("2", "rack")));
        let told: Vec<_> = changes
            .iter()
            .map(|change| {
                (
                    change.at.as_str(),
                    change.key.as_str(),
                    change.after.as_deref(),
                )
            })
            .collect();
        assert_eq!(
            told,
            [("left", "bag", Some("2")), ("left", "stored", Some("rack"))]
        );
    }
}
