//! How a record changed between two versions of an entry, fact by fact.

use std::collections::{HashMap, HashSet};

use super::renames::{OnlyThere, renames};
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
    let mut subjects = subjects(old, new);
    join_renamed(&mut subjects);
    for subject in subjects {
        let part = Some(subject.name.written().to_owned());
        if let Some(before) = subject.renamed_from {
            all.push(FactChange {
                part: part.clone(),
                at: subject.at.clone(),
                key: RENAMED.to_owned(),
                before: Some(before),
                after: Some(label(&subject.name, &subject.at)),
            });
        }
        compare(
            (part.as_deref(), &subject.at),
            &subject.old,
            &subject.new,
            &mut all,
        );
    }
    all
}

/// The key of a change that gave a part another name.
pub const RENAMED: &str = "renamed";

/// "Wheel cylinder, left front".
fn label(name: &Name, at: &str) -> String {
    match at.is_empty() {
        true => name.written().to_owned(),
        false => format!("{}, {at}", name.written()),
    }
}

/// Joins what was said under a part's older name to what is said under the newer
/// one.
fn join_renamed(subjects: &mut Vec<Subject>) {
    let only = |in_old: bool| {
        let numbered = subjects.iter().enumerate();
        numbered
            .filter(|(_, subject)| subject.is_in_old == in_old && subject.is_in_new != in_old)
            .map(|(number, subject)| OnlyThere {
                number,
                name: &subject.name,
                at: &subject.at,
                facts: if in_old { &subject.old } else { &subject.new },
            })
            .collect::<Vec<OnlyThere<'_>>>()
    };
    let pairs = renames(&only(true), &only(false));
    if pairs.is_empty() {
        return;
    }
    let mut joined = HashSet::new();
    for (old, new) in pairs {
        let before = label(&subjects[old].name, &subjects[old].at);
        subjects[new].old = std::mem::take(&mut subjects[old].old);
        subjects[new].renamed_from = Some(before);
        joined.insert(old);
    }
    let mut number = 0;
    subjects.retain(|_| {
        number += 1;
        !joined.contains(&(number - 1))
    });
}

/// A record's facts as key and words.
struct RecordFacts {
    name: Name,
    at: String,
    facts: Vec<(String, String)>,
}

fn records(entry: &Entry) -> Vec<RecordFacts> {
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
        RecordFacts {
            name: record.name.clone(),
            at: at.join("; "),
            facts,
        }
    };
    let bags = entry.bags.iter().map(|bag| RecordFacts {
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
    is_in_old: bool,
    is_in_new: bool,
    /// Its older name and position.
    renamed_from: Option<String>,
}

/// Every place that either version speaks of: those of the newer one in the order of its
/// text, then those that only the older one has.
fn subjects(old: Vec<RecordFacts>, new: Vec<RecordFacts>) -> Vec<Subject> {
    let mut subjects: Vec<Subject> = Vec::new();
    let mut known: HashMap<(String, String), usize> = HashMap::new();
    let sides = [(new, true), (old, false)];
    for (side, is_new) in sides {
        for RecordFacts { name, at, facts } in side {
            let key = (name.key().to_owned(), at.clone());
            let index = *known.entry(key).or_insert(subjects.len());
            if index == subjects.len() {
                subjects.push(Subject {
                    name,
                    at,
                    old: Vec::new(),
                    new: Vec::new(),
                    is_in_old: false,
                    is_in_new: false,
                    renamed_from: None,
                });
            }
            let subject = &mut subjects[index];
            match is_new {
                true => {
                    subject.is_in_new = true;
                    subject.new.extend(facts);
                }
                false => {
                    subject.is_in_old = true;
                    subject.old.extend(facts);
                }
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

    #[allow(clippy::disallowed_methods, reason = "a test may look at a clock")]
    #[test]
    fn time_grows_with_the_parts_and_not_with_their_square() {
        let told = |parts: usize, shelf: &str| {
            let part = |number: usize| format!("## Part {number}\n\n- stored: {shelf}\n\n");
            let parts: String = (0..parts).map(part).collect();
            entry(&format!(
                "---\ndate: 2026-03-14\nvehicle: a\n---\n\n# T\n\n{parts}"
            ))
        };
        let taken = |(before, after): &(Entry, Entry)| {
            let start = std::time::Instant::now();
            assert!(!changes(Some(before), Some(after)).is_empty());
            start.elapsed().as_secs_f64()
        };
        let sizes = [250, 4_000].map(|parts| (told(parts, "loft"), told(parts, "rack")));
        // Sixteen times as many: 256 times the time where each is compared with each. A busy
        // machine may make one pair of runs look so, and not seven.
        let ratios = (0..7).map(|_| taken(&sizes[1]) / taken(&sizes[0]));
        let least = ratios.fold(f64::INFINITY, f64::min);
        assert!(least < 80.0, "{least} times as long");
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
