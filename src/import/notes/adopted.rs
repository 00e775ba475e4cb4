//! A note as an entry: its words as they stand, quoted where they would mean records that
//! nobody meant; and whether an entry has a note already.
//!
//! It writes the text and looks at nothing in the journal.

use jiff::civil::Date;

use super::note::TextNote;
use crate::entry::{Context, Entry, new_entry, read};
use crate::import::row::quoted;
use crate::vocabulary::spoken::in_full;
use crate::vocabulary::words::shown;

/// A note as an entry.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AdoptedNote {
    /// The entry's text.
    pub text: String,
    /// Its title.
    pub title: String,
    /// How many records the words make, if they are meant.
    pub records: usize,
    /// Whether the words are quoted, so that they make none.
    pub is_quoted: bool,
}

/// With this the line begins that names the note. It is private: a file's name is nobody
/// else's business.
const FROM_NOTE: &str = "~ Adopted from the note ";

/// The line that names the note an entry came from.
#[must_use]
pub fn origin_line(file: &str) -> String {
    format!("{FROM_NOTE}{}", shown(file))
}

/// Makes the entry of a note. `has_records` says that its lists of facts are meant as
/// records.
#[must_use]
pub fn adopted(
    note: &TextNote,
    file: &str,
    vehicle: &str,
    has_records: bool,
    context: &Context,
) -> AdoptedNote {
    let date = note.date.to_string();
    let fields = [("date", date.as_str()), ("vehicle", vehicle)];
    let title = note
        .title
        .as_deref()
        .map_or_else(|| format!("Notes of {}", in_full(note.date)), shown);
    let title = title.trim_start_matches('#').trim().to_owned();
    let front = note.front.as_deref().map_or_else(String::new, |front| {
        let fence = if front.contains("```") {
            "~~~~~~"
        } else {
            "```"
        };
        format!("\n\n{fence}yaml\n{front}\n{fence}")
    });
    let with = |body: &str| {
        let below = format!("{body}{front}\n\n{}\n", origin_line(file));
        new_entry(&fields, &title, &below)
    };
    let text = with(&note.body);
    let (entry, _) = read(&text, context);
    let records = meant(&entry);
    if records == 0 || has_records {
        return AdoptedNote {
            text,
            title,
            records,
            is_quoted: false,
        };
    }
    AdoptedNote {
        text: with(quoted(&note.body).trim_end()),
        title,
        records,
        is_quoted: true,
    }
}

/// How many records and bags a text speaks of.
fn meant(entry: &Entry) -> usize {
    entry.records.len() + entry.bags.len()
}

/// The day and the vehicle of a text that is an entry already: its front matter names
/// both, the vehicle being one of the journal.
#[must_use]
pub fn as_entry(text: &str, context: &Context) -> Option<(Date, String)> {
    let (entry, _) = read(text, context);
    let vehicle = context.vehicle(entry.vehicle.as_deref()?)?;
    Some((entry.date?, vehicle.slug.clone()))
}

/// Whether an entry has the words of a note.
#[must_use]
pub fn has_words(entry: &str, note: &TextNote) -> bool {
    bare(entry).contains(&bare(&note.body))
}

/// Whether an entry says that it came from this note.
#[must_use]
pub fn names_note(entry: &str, file: &str) -> bool {
    let origin = origin_line(file);
    entry.lines().any(|line| line.trim_end() == origin)
}

/// The words of a text without quotation marks, empty lines and blanks at ends.
fn bare(text: &str) -> String {
    let lines = text
        .lines()
        .map(|line| line.trim_start_matches("> ").trim());
    lines
        .filter(|line| !line.is_empty() && *line != ">")
        .collect::<Vec<_>>()
        .join("\n")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::vocabulary::money::Currency;

    fn context() -> Context {
        Context {
            systems: vec!["fuel".to_owned()],
            vehicles: Vec::new(),
            currency: Currency::EUR,
        }
    }

    fn note(body: &str) -> TextNote {
        TextNote {
            date: jiff::civil::date(2026, 3, 14),
            title: None,
            body: body.to_owned(),
            front: None,
        }
    }

    #[test]
    fn only_what_is_meant_becomes_a_record() {
        let context = context();
        for (body, is_quoted) in [
            ("The tank is out.\n\n## Straps\n\nRusty.", false),
            ("```\n- removed: horn\n```", false),
            ("## Tank\n\n- stored: rack 2\n", true),
            ("- removed: horn; horn bracket\n", true),
            ("## Bag 12\n\n- holds: tank\n", true),
        ] {
            let made = adopted(&note(body), "a.md", "wren", false, &context);
            assert_eq!(made.text.contains("\n> "), is_quoted, "{}", made.text);
            assert_eq!(made.is_quoted, is_quoted);
            let (entry, _) = read(&made.text, &context);
            assert_eq!(meant(&entry), 0, "{}", made.text);
            assert!(has_words(&made.text, &note(body)), "{}", made.text);
            let asked = adopted(&note(body), "a.md", "wren", true, &context);
            assert!(!asked.text.contains("\n> ") && !asked.is_quoted);
            assert_eq!(asked.records > 0, is_quoted);
        }
    }

    #[test]
    fn a_note_is_known_again_by_its_words_or_its_name() {
        let made = adopted(
            &note("The tank.\n\nOut."),
            "a.md",
            "wren",
            false,
            &context(),
        );
        assert!(has_words(&made.text, &note("The tank.  \nOut.")));
        assert!(!has_words(&made.text, &note("Other words")));
        assert!(names_note(&made.text, "a.md") && !names_note(&made.text, "b.md"));
    }
}
