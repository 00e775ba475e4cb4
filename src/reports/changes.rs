//! How a record changed between two versions of an entry, fact by fact.

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
    for subject in subjects(&old, &new) {
        let facts_in = |side: &[Told]| {
            side.iter()
                .filter(|told| told.is(&subject))
                .flat_map(|told| told.facts.clone())
                .collect::<Vec<_>>()
        };
        compare(
            (Some(subject.0.written()), &subject.1),
            &facts_in(&old),
            &facts_in(&new),
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

impl Told {
    fn is(&self, subject: &(Name, String)) -> bool {
        self.name == subject.0 && self.at == subject.1
    }
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

/// Every part that either side speaks of, in the order of the text.
fn subjects(old: &[Told], new: &[Told]) -> Vec<(Name, String)> {
    let mut subjects: Vec<(Name, String)> = Vec::new();
    for told in new.iter().chain(old) {
        let subject = (told.name.clone(), told.at.clone());
        if !subjects.contains(&subject) {
            subjects.push(subject);
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
    let mut keys: Vec<&String> = Vec::new();
    for (key, _) in old.iter().chain(new) {
        if !keys.contains(&key) {
            keys.push(key);
        }
    }
    for key in keys {
        let only = |these: &[(String, String)], others: &[(String, String)]| {
            let mut left: Vec<&String> = others
                .iter()
                .filter(|(other, _)| other == key)
                .map(|(_, value)| value)
                .collect();
            let mut kept = Vec::new();
            for (_, value) in these.iter().filter(|(other, _)| other == key) {
                match left.iter().position(|other| *other == value) {
                    Some(at) => {
                        left.remove(at);
                    }
                    None => kept.push(value.clone()),
                }
            }
            kept
        };
        let gone = only(old, new);
        let came = only(new, old);
        for index in 0..gone.len().max(came.len()) {
            all.push(FactChange {
                part: part.map(str::to_owned),
                at: at.to_owned(),
                key: key.clone(),
                before: gone.get(index).cloned(),
                after: came.get(index).cloned(),
            });
        }
    }
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
}
