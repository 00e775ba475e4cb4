//! The section that options describe.

use super::super::arguments::Write;
use super::super::failure::Failure;
use crate::entry::{Key, Telling};

/// All keys a fact may have, the twelve that are taught first.
pub(super) fn keys() -> String {
    let taught: Vec<&str> = Key::TAUGHT.iter().map(|key| key.word()).collect();
    let others: Vec<&str> = Key::ALL
        .iter()
        .filter(|key| !Key::TAUGHT.contains(key))
        .map(|key| key.word())
        .collect();
    format!(
        "first of all: {}\nfor who looks for it: {}\ndocs/entry-format.md explains each\n",
        taught.join(", "),
        others.join(", ")
    )
}

/// Whether any option says something about a part.
pub(super) fn has_options(verb: &Write) -> bool {
    verb.part.is_some() || !facts(verb).is_empty()
}

/// The facts among the options, in the order in which one would write them.
fn facts(verb: &Write) -> Vec<(&'static str, String)> {
    let mut facts = Vec::new();
    let mut one = |key: &'static str, value: &Option<String>| {
        facts.extend(value.iter().map(|value| (key, value.clone())));
    };
    one("status", &verb.status);
    one("system", &verb.system);
    one("at", &verb.at);
    for (key, values) in [("after", &verb.after), ("hardware", &verb.hardware)] {
        facts.extend(values.iter().map(|value| (key, value.clone())));
    }
    let mut one = |key: &'static str, value: &Option<String>| {
        facts.extend(value.iter().map(|value| (key, value.clone())));
    };
    one("bag", &verb.bag);
    one("stored", &verb.stored);
    one("found", &verb.found);
    one("hours", &verb.hours);
    for (key, values) in [("needs", &verb.needs), ("done", &verb.done)] {
        facts.extend(values.iter().map(|value| (key, value.clone())));
    }
    if verb.part.is_some() {
        facts.extend(verb.tell.iter().map(|value| ("tell", value.clone())));
    }
    for (key, values) in [
        ("ask", &verb.ask),
        ("cost", &verb.cost),
        ("lesson", &verb.lesson),
        ("caution", &verb.caution),
        ("", &verb.fact),
    ] {
        facts.extend(values.iter().map(|value| (key, value.clone())));
    }
    facts
}

/// What to add: a section about a part, or prose of the entry.
pub(super) fn section(verb: &Write) -> Result<Addition, Failure> {
    let facts = facts(verb);
    let prose = verb.text.join(" ");
    let Some(part) = verb.part.as_deref().map(in_one_line) else {
        if facts.is_empty() && verb.replaced_by.is_none() {
            return marked(verb, prose).map(Addition::Prose);
        }
        return Err(Failure::misuse(
            "these facts belong to a part, and none is named",
            "add `--part \"brake drum, left front\"`",
        ));
    };
    if part.is_empty() {
        return Err(Failure::misuse(
            "the part has no name",
            "write it behind --part",
        ));
    }
    let mut section = format!("## {part}\n\n");
    for (key, value) in &facts {
        let value = in_one_line(value);
        if key.is_empty() {
            section.push_str(&format!("- {value}\n"));
        } else {
            section.push_str(&format!("- {key}: {value}\n"));
        }
    }
    section.push_str(&replacement(verb));
    if facts.is_empty() && verb.replaced_by.is_none() {
        // Without a fact the heading would be prose and the part unknown.
        section.push_str(&format!("- found: {}\n", in_one_line(&prose)));
    } else if !prose.is_empty() {
        section.push_str(&format!("\n{prose}\n"));
    }
    Ok(Addition::Section(section))
}

/// Prose with the mark that was asked for, each paragraph of it.
fn marked(verb: &Write, prose: String) -> Result<String, Failure> {
    let Some(tell) = &verb.tell else {
        return Ok(prose);
    };
    let mark = Telling::read(tell).ok_or_else(|| {
        Failure::misuse(
            format!("`{tell}` does not say whether it is to be told"),
            "write --tell yes or --tell no",
        )
    })?;
    let paragraphs = prose
        .split("\n\n")
        .map(|one| format!("{}{}", mark.prefix(), one.trim_start()));
    Ok(paragraphs.collect::<Vec<_>>().join("\n\n"))
}

/// What is added to an entry.
pub(super) enum Addition {
    /// Sections, at its end.
    Section(String),
    /// Prose, under its title.
    Prose(String),
    /// Prose under its title, then sections at its end.
    Both(String, String),
}

impl Addition {
    /// Markdown as it came from somewhere: what stands before the first `##`
    /// is prose of the entry.
    pub(super) fn of_markdown(text: &str) -> Addition {
        let start = if text.starts_with("## ") {
            Some(0)
        } else {
            text.find("\n## ").map(|at| at + 1)
        };
        match start {
            None => Addition::Prose(text.to_owned()),
            Some(at) if text[..at].trim().is_empty() => Addition::Section(text[at..].to_owned()),
            Some(at) => Addition::Both(text[..at].to_owned(), text[at..].to_owned()),
        }
    }

    /// All of it as one text.
    pub(super) fn text(&self) -> String {
        match self {
            Addition::Section(text) | Addition::Prose(text) => text.clone(),
            Addition::Both(prose, sections) => format!("{}\n\n{sections}", prose.trim_end()),
        }
    }
}

/// `replaced by` with its details nested.
fn replacement(verb: &Write) -> String {
    let Some(unit) = &verb.replaced_by else {
        return String::new();
    };
    let mut lines = format!("- replaced by: {}\n", in_one_line(unit));
    for (key, value) in [
        ("kind", &verb.kind),
        ("number", &verb.number),
        ("from", &verb.from),
        ("old", &verb.old),
    ] {
        if let Some(value) = value {
            lines.push_str(&format!("  - {key}: {}\n", in_one_line(value)));
        }
    }
    lines
}

/// The title of an entry that begins with these options: the part, and what
/// happened to it.
pub(super) fn title_of(verb: &Write) -> Option<String> {
    let part = in_one_line(verb.part.as_deref()?);
    Some(match &verb.status {
        Some(status) => format!("{part}: {}", in_one_line(status)),
        None => part,
    })
}

fn in_one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
