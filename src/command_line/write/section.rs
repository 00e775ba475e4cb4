//! The section that options describe.

use super::super::Reply;
use super::super::arguments::{Output, WordsForm, WriteArgs};
use super::super::destination::{DocumentSummary, deliver, terminal};
use super::super::failure::Failure;
use super::super::world::World;
use crate::entry::Key;
use crate::presentation::export::Exporter;
use crate::presentation::json::Json;
use crate::presentation::json::writing::KnownKeys;
use crate::presentation::text::{Text, TextStyle};

/// All keys a fact may have, the twelve that are taught first.
pub(super) fn keys(output: &Output<WordsForm>, world: &World) -> Result<Reply, Failure> {
    let taught = Key::taught();
    let others = Key::ALL.iter().filter(|key| !taught.contains(key));
    let known = KnownKeys {
        others: others.map(|key| key.word()).collect(),
        taught: taught.iter().map(|key| key.word()).collect(),
    };
    let document = match output.form() {
        WordsForm::Text => {
            let terminal = terminal(output, world);
            let mut text = Text::new(terminal.width);
            for line in [
                format!("first of all: {}", known.taught.join(", ")),
                format!("all others: {}", known.others.join(", ")),
                "docs/entry-format.md explains each".to_owned(),
            ] {
                text.line(0, TextStyle::Plain, &line);
            }
            terminal.document(&text)
        }
        WordsForm::Json => Json.export(&known),
    };
    deliver(document, output, DocumentSummary::default(), world)
}

/// The facts among the options, in the order in which one would write them.
pub(super) fn facts(verb: &WriteArgs) -> Vec<(&str, String)> {
    let mut facts: Vec<(&str, String)> = Vec::new();
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
        ("tool", &verb.tool),
    ] {
        facts.extend(values.iter().map(|value| (key, value.clone())));
    }
    for fact in &verb.fact {
        // Without a colon it is no fact, which the entry's problems will say.
        let (key, value) = fact.split_once(':').unwrap_or((fact, ""));
        facts.push((key.trim(), value.trim().to_owned()));
    }
    for (_, value) in &mut facts {
        *value = in_one_line(value);
    }
    facts
}

/// A section about a part: facts of options, further lines of facts, prose.
/// Without a fact the heading would be prose and the part unknown, so the first
/// words are then what was found.
pub(super) fn of_part(
    part: &str,
    facts: &[(&str, String)],
    replacement: &str,
    lines: &str,
    prose: &str,
) -> String {
    let mut section = format!("## {}\n\n", in_one_line(part));
    for (key, value) in facts {
        section.push_str(&format!("- {key}: {value}\n"));
    }
    section.push_str(replacement);
    section.push_str(lines);
    let mut prose = prose.trim();
    if facts.is_empty() && replacement.is_empty() && lines.is_empty() {
        let (first, rest) = prose.split_once("\n\n").unwrap_or((prose, ""));
        section.push_str(&format!("- found: {}\n", in_one_line(first)));
        prose = rest.trim();
    }
    if !prose.is_empty() {
        section.push_str(&format!("\n{prose}\n"));
    }
    section
}

/// A section with the values of its facts corrected; facts whose key it has are
/// taken out of `facts`.
pub(super) fn corrected(section: &str, facts: &mut Vec<(&str, String)>) -> String {
    let mut out = String::new();
    for line in section.split_inclusive('\n') {
        let key = line
            .strip_prefix("- ")
            .and_then(|line| line.split_once(':'));
        let at = key.and_then(|(key, _)| facts.iter().position(|(own, _)| *own == key));
        match at {
            Some(at) => {
                let (key, value) = facts.remove(at);
                out.push_str(&format!("- {key}: {value}\n"));
            }
            None => out.push_str(line),
        }
    }
    out
}

/// What is added to an entry: prose under its title, sections at its end.
#[derive(Default)]
pub(super) struct Addition {
    pub(super) prose: String,
    pub(super) sections: String,
}

impl Addition {
    /// Markdown as it came from somewhere: what stands before the first `##`
    /// is prose of the entry.
    pub(super) fn of_markdown(text: &str) -> Addition {
        let start = if text.starts_with("## ") {
            0
        } else {
            text.find("\n## ").map_or(text.len(), |at| at + 1)
        };
        let (prose, sections) = text.split_at(start);
        Addition {
            prose: prose.to_owned(),
            sections: sections.to_owned(),
        }
    }

    pub(super) fn is_empty(&self) -> bool {
        self.prose.trim().is_empty() && self.sections.trim().is_empty()
    }

    /// All of it as one text, below these lines.
    pub(super) fn text(&self, above: &[String]) -> String {
        let blocks = [above.join("\n"), self.prose.clone(), self.sections.clone()];
        let blocks: Vec<&str> = blocks
            .iter()
            .map(|block| block.trim_matches(['\n', '\r']))
            .filter(|block| !block.trim().is_empty())
            .collect();
        blocks.join("\n\n")
    }
}

/// `replaced by` with its details nested.
pub(super) fn replacement(verb: &WriteArgs) -> String {
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
pub(super) fn title_of(verb: &WriteArgs) -> Option<String> {
    let part = in_one_line(verb.part.as_deref()?);
    Some(match &verb.status {
        Some(status) => format!("{part}: {}", in_one_line(status)),
        None => part,
    })
}

/// A text without line ends and doubled blanks.
pub(super) fn in_one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
