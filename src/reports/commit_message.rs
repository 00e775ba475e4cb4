//! The message of a commit, composed from the facts it keeps.

use super::changes::{FactChange, RENAMED};
use crate::entry::{Entry, Fact, Record};
use crate::vocabulary::words::shown;

/// A text that is about to be kept.
#[derive(Clone, Debug)]
pub enum TextToKeep<'a> {
    /// A new entry.
    Written(&'a Entry),
    /// An entry whose facts changed.
    Changed(&'a Entry, &'a [FactChange]),
    /// An entry that is gone, by its path.
    Gone(&'a str),
    /// Another text, by its path.
    Other(&'a str),
}

/// The longest first line of a message.
const LONGEST: usize = 72;

/// "2026-03-14 fuel: tank removed; 2 more parts", and a line for each further
/// text below it.
#[must_use]
pub fn message(kept: &[TextToKeep<'_>]) -> String {
    let lines: Vec<String> = kept.iter().map(line).collect();
    match &lines[..] {
        [] => "Keep the journal".to_owned(),
        [one] => one.clone(),
        several => {
            let entries = kept
                .iter()
                .filter(|kept| matches!(kept, TextToKeep::Written(_) | TextToKeep::Changed(..)))
                .count();
            let first = match entries {
                0 | 1 => lines
                    .iter()
                    .zip(kept)
                    .find(|(_, kept)| {
                        matches!(kept, TextToKeep::Written(_) | TextToKeep::Changed(..))
                    })
                    .map_or_else(
                        || {
                            let are_gone =
                                kept.iter().all(|kept| matches!(kept, TextToKeep::Gone(_)));
                            let end = if are_gone { " deleted" } else { "" };
                            format!("{} texts{end}", several.len())
                        },
                        |(line, _)| line.clone(),
                    ),
                count => format!("{count} entries{}", days(kept)),
            };
            format!("{first}\n\n{}", several.join("\n"))
        }
    }
}

/// "2026-03-14 to 2026-03-16".
fn days(kept: &[TextToKeep<'_>]) -> String {
    let mut dates: Vec<_> = kept
        .iter()
        .filter_map(|kept| match kept {
            TextToKeep::Written(entry) | TextToKeep::Changed(entry, _) => entry.date,
            TextToKeep::Gone(_) | TextToKeep::Other(_) => None,
        })
        .collect();
    dates.sort();
    match (dates.first(), dates.last()) {
        (Some(first), Some(last)) if first == last => format!(", {first}"),
        (Some(first), Some(last)) => format!(", {first} to {last}"),
        (_, _) => String::new(),
    }
}

fn line(kept: &TextToKeep<'_>) -> String {
    let line = match kept {
        TextToKeep::Written(entry) => written(entry),
        TextToKeep::Changed(entry, changes) => changed(entry, changes),
        TextToKeep::Gone(path) => format!("{path} deleted"),
        TextToKeep::Other(path) => (*path).to_owned(),
    };
    shortened(&line)
}

fn written(entry: &Entry) -> String {
    let mut line = head(entry);
    let about: Vec<&Record> = entry.records.iter().collect();
    let Some(first) = about.first() else {
        let title = entry.title.as_deref().unwrap_or("an entry");
        return format!("{line}: {title}");
    };
    line.push_str(": ");
    line.push_str(&what_happened(first));
    if about.len() > 1 {
        let more = about.len() - 1;
        let parts = if more == 1 { "part" } else { "parts" };
        line.push_str(&format!("; {more} more {parts}"));
    }
    line
}

/// Day and system, or the day alone.
fn head(entry: &Entry) -> String {
    let date = entry
        .date
        .map_or_else(|| "undated".to_owned(), |date| date.to_string());
    let mut systems: Vec<&str> = entry
        .records
        .iter()
        .filter_map(|record| record.system.as_ref().map(|(system, _)| system.as_str()))
        .collect();
    systems.dedup();
    match systems[..] {
        [system] => format!("{date} {system}"),
        _ => date,
    }
}

/// "tank removed", "drum needs turning", "hinge replaced".
fn what_happened(record: &Record) -> String {
    let name = record.name.written().to_lowercase();
    let mut status = None;
    let mut replaced = false;
    let mut needs = None;
    for stated in &record.facts {
        if let Fact::Status(word) = &stated.fact {
            status = Some(word.word());
        } else if let Fact::Surface(surface) = &stated.fact {
            status = status.or(Some(surface.word()));
        } else if let Fact::Needs(need) = &stated.fact {
            needs = needs.or(Some(need.text.as_str()));
        }
        replaced |= matches!(stated.fact, Fact::ReplacedBy(_));
    }
    match (replaced, status, needs) {
        (true, _, _) => format!("{name} replaced"),
        (false, Some(status), _) => format!("{name} {status}"),
        (false, None, Some(needs)) => format!("{name} needs {needs}"),
        (false, None, None) => name,
    }
}

fn changed(entry: &Entry, changes: &[FactChange]) -> String {
    let head = entry
        .date
        .map_or_else(|| "undated".to_owned(), |date| date.to_string());
    let facts: Vec<&FactChange> = changes
        .iter()
        .filter(|change| change.key != "text")
        .collect();
    let renamed = facts.iter().find(|change| change.key == RENAMED);
    let Some(first) = renamed.or(facts.first()) else {
        return format!("{head}: text changed");
    };
    let more = match facts.len() - 1 {
        0 => String::new(),
        1 => "; 1 more change".to_owned(),
        more => format!("; {more} more changes"),
    };
    format!("{head}: {}{more}", change_words(first))
}

/// "fuel tank: bag 14 → 15".
#[must_use]
pub fn change_words(change: &FactChange) -> String {
    if let (RENAMED, Some(before), Some(after)) =
        (change.key.as_str(), &change.before, &change.after)
    {
        return format!("{before} renamed to {after}");
    }
    let mut words = String::new();
    if let Some(part) = &change.part {
        words.push_str(part);
        if !change.at.is_empty() {
            words.push_str(", ");
            words.push_str(&change.at);
        }
        words.push_str(": ");
    }
    words.push_str(&change.key);
    match (&change.before, &change.after) {
        (Some(before), Some(after)) => words.push_str(&format!(" {before} → {after}")),
        (None, Some(after)) => words.push_str(&format!(" {after} added")),
        (Some(before), None) => words.push_str(&format!(" {before} deleted")),
        (None, None) => {}
    }
    words
}

fn shortened(line: &str) -> String {
    // Other programs print a message as it is.
    let line = shown(line);
    let line = line.split_whitespace().collect::<Vec<_>>().join(" ");
    if line.chars().count() <= LONGEST {
        return line;
    }
    let kept: String = line.chars().take(LONGEST - 1).collect();
    let end = kept.rfind(' ').unwrap_or(kept.len());
    format!("{}…", &kept[..end])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::entry::{Context, read};
    use crate::vocabulary::money::Currency;

    #[test]
    fn a_message_says_what_happened() {
        let context = Context {
            systems: vec!["fuel".into()],
            vehicles: Vec::new(),
            currency: Currency::EUR,
        };
        let (entry, _) = read(
            "---\ndate: 2026-03-14\nvehicle: wren\nsystem: fuel\nstatus: removed\n---\n\n# Down\n\n## Tank\n\n- bag: 3\n\n## Neck\n\n- bag: 3\n\n## Lead\n\n- bag: 3\n",
            &context,
        );
        assert_eq!(
            message(&[TextToKeep::Written(&entry)]),
            "2026-03-14 fuel: tank removed; 2 more parts"
        );
        let change = FactChange {
            part: Some("Tank".into()),
            at: String::new(),
            key: "bag".into(),
            before: Some("14".into()),
            after: Some("15".into()),
        };
        assert_eq!(
            message(&[TextToKeep::Changed(&entry, std::slice::from_ref(&change))]),
            "2026-03-14: Tank: bag 14 → 15"
        );
        assert!(
            message(&[
                TextToKeep::Written(&entry),
                TextToKeep::Gone("entries/x.md")
            ])
            .contains("\n\n")
        );
    }
}
