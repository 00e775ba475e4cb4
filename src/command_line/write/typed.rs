//! What a person typed, all of it: options, words, what was piped in, a draft.
//!
//! It is gathered before anything can go wrong, so that all of it can be put
//! where it is safe. Where it goes is for `mod.rs` to say.

use std::path::PathBuf;

use super::super::arguments::WriteArgs;
use super::super::failure::Failure;
use super::super::world::World;
use super::section::{self, Addition, in_one_line};
use crate::entry::{Key, Telling, new_entry};
use crate::journal::read_if_there;
use crate::vocabulary::words::fold;

/// What was typed.
#[derive(Default)]
pub(super) struct TypedEntry {
    /// The day, as it was typed.
    pub(super) date: Option<String>,
    pub(super) vehicle: Option<String>,
    pub(super) title: Option<String>,
    /// Facts of the session: key and value.
    pub(super) session: Vec<(&'static str, String)>,
    /// Facts without a part, as lines.
    pub(super) homeless: Vec<String>,
    /// A whole entry with a front matter of its own.
    pub(super) whole: Option<String>,
    /// Sections and prose.
    pub(super) addition: Addition,
    /// The draft that it was taken from.
    pub(super) taken: Option<PathBuf>,
}

/// What an entry as a whole can say, and a draft says in its front matter.
const OF_SESSION: [Key; 10] = [
    Key::Hours,
    Key::Cost,
    Key::Lesson,
    Key::Caution,
    Key::Tool,
    Key::Photo,
    Key::Footage,
    Key::Helpers,
    Key::Tell,
    Key::Ask,
];

/// Why something typed could not be read, with the bytes of it.
pub(super) struct Unreadable {
    pub(super) failure: Failure,
    pub(super) bytes: Vec<u8>,
}

impl TypedEntry {
    /// Gathers it.
    ///
    /// # Errors
    /// When a draft or standard input cannot be read.
    pub(super) fn gather(verb: &WriteArgs, world: &World) -> Result<TypedEntry, Unreadable> {
        let nothing_lost = |failure| Unreadable {
            failure,
            bytes: Vec::new(),
        };
        let mut typed = TypedEntry::default();
        if let Some(file) = &verb.draft {
            let file = world.here.join(file);
            let bytes = read_if_there(&file)
                .map_err(|error| nothing_lost(error.into()))?
                .ok_or_else(|| {
                    nothing_lost(Failure::file(&file, std::io::ErrorKind::NotFound.into()))
                })?;
            typed.take_text(text(bytes, "the draft")?, true);
            typed.taken = Some(file);
        }
        let piped = world
            .piped()
            .map_err(|error| nothing_lost(Failure::file("standard input".as_ref(), error)))?;
        typed.take_text(text(piped, "what came")?, false);
        typed.take_options(verb);
        Ok(typed)
    }

    /// Whether nothing was typed that could be written.
    pub(super) fn is_empty(&self) -> bool {
        self.session.is_empty()
            && self.homeless.is_empty()
            && self.whole.is_none()
            && self.addition.is_empty()
    }

    /// Takes up a text: a draft's front matter is what was typed about the
    /// session; with more in it, and from elsewhere, it is a whole entry.
    fn take_text(&mut self, text: String, is_draft: bool) {
        let text = text.trim_start_matches('\u{feff}').to_owned();
        if text.trim().is_empty() {
            return;
        }
        let front = text.starts_with("---").then(|| session_of(&text)).flatten();
        let body = match front {
            Some((fields, body)) if is_draft => {
                for (key, value) in fields {
                    if key == Key::Date {
                        self.date = Some(value);
                    } else if key == Key::Vehicle {
                        self.vehicle = Some(value);
                    } else if key == Key::Title {
                        self.title = Some(value);
                    } else {
                        self.session.push((key.word(), value));
                    }
                }
                body.to_owned()
            }
            Some(_) | None if text.starts_with("---") && self.whole.is_none() => {
                self.whole = Some(text);
                return;
            }
            Some(_) | None => text,
        };
        let (title, body) = title_and_rest(&body);
        if self.title.is_none() {
            self.title = title;
        } else if let Some(title) = title {
            self.addition.prose = below(&self.addition.prose, &title);
        }
        let addition = Addition::of_markdown(body);
        self.addition.prose = below(&self.addition.prose, &addition.prose);
        self.addition.sections = below(&self.addition.sections, &addition.sections);
    }

    fn take_options(&mut self, verb: &WriteArgs) {
        for (place, said) in [
            (&mut self.date, &verb.date),
            (&mut self.vehicle, &verb.vehicle),
            (&mut self.title, &verb.title),
        ] {
            if said.is_some() {
                place.clone_from(said);
            }
        }
        let words: Vec<&str> = verb.text.iter().map(String::as_str).collect();
        let words: Vec<&str> = match words[..] {
            // The usual sign for standard input.
            ["-"] => Vec::new(),
            _ => words,
        };
        let words = words.join(" ");
        let mut facts = section::facts(verb);
        if self.taken.is_some() && self.is_about_one(verb.part.as_deref()) {
            // What a draft says of its part is corrected, not said twice.
            let corrected = section::corrected(&self.addition.sections, &mut facts);
            self.addition.sections = corrected;
            if facts.is_empty() {
                self.addition.prose = below(&words, &self.addition.prose);
                return;
            }
        }
        if let Some(part) = &verb.part {
            let (lines, prose) = leading_facts(&self.addition.prose);
            let prose = below(&words, prose);
            let section =
                section::of_part(part, &facts, &section::replacement(verb), lines, &prose);
            self.addition.prose = String::new();
            self.addition.sections = below(&section, &self.addition.sections);
            return;
        }
        self.addition.prose = marked(verb, below(&words, &self.addition.prose));
        for (key, value) in facts {
            let known = Key::read(key).filter(|key| OF_SESSION.contains(key));
            match known {
                // One number for the session: what is said now goes first.
                Some(Key::Hours) => {
                    self.session.retain(|(own, _)| *own != "hours");
                    self.session.push(("hours", value));
                }
                Some(known) => self.session.push((known.word(), value)),
                None => self.homeless.push(format!("- {key}: {value}")),
            }
        }
        let replacement = section::replacement(verb);
        self.homeless.extend(replacement.lines().map(str::to_owned));
    }

    /// Whether there is one section, about this part if one is named.
    fn is_about_one(&self, part: Option<&str>) -> bool {
        let sections = &self.addition.sections;
        let heading = sections
            .strip_prefix("## ")
            .and_then(|text| text.lines().next());
        let is_it = |part: &str| heading.is_some_and(|own| fold(own) == fold(part));
        sections.matches("\n## ").count() == 0 && heading.is_some() && part.is_none_or(is_it)
    }

    /// All of it as one text that [`TypedEntry::take_text`] takes up again.
    pub(super) fn text(&self) -> String {
        let sections = self.addition.text(&self.homeless);
        if let Some(whole) = &self.whole {
            return match sections.is_empty() {
                true => whole.clone(),
                false => format!("{}\n\n{sections}", whole.trim_end()),
            };
        }
        let mut fields: Vec<(&str, &str)> = Vec::new();
        for (key, value) in [("date", &self.date), ("vehicle", &self.vehicle)] {
            fields.extend(value.iter().map(|value| (key, value.as_str())));
        }
        let session = self
            .session
            .iter()
            .map(|(key, value)| (*key, value.as_str()));
        fields.extend(session);
        let title = in_one_line(self.title.as_deref().unwrap_or_default());
        new_entry(&fields, &title, &sections)
    }
}

/// Bytes as text.
fn text(bytes: Vec<u8>, what: &str) -> Result<String, Unreadable> {
    String::from_utf8(bytes).map_err(|error| Unreadable {
        failure: Failure::misuse(
            format!("{what} is not UTF-8"),
            "save it as UTF-8 and run the command again",
        ),
        bytes: error.into_bytes(),
    })
}

/// Two texts, the second below the first.
fn below(first: &str, second: &str) -> String {
    match (first.trim().is_empty(), second.trim().is_empty()) {
        (true, _) => second.to_owned(),
        (false, true) => first.to_owned(),
        (false, false) => format!(
            "{}\n\n{}",
            first.trim_end(),
            second.trim_start_matches('\n')
        ),
    }
}

/// The title above a text, and what comes below it.
fn title_and_rest(text: &str) -> (Option<String>, &str) {
    let text = text.trim_start_matches(['\n', '\r']);
    let (first, rest) = text.split_once('\n').unwrap_or((text, ""));
    match first.strip_prefix("# ").map(str::trim) {
        Some(title) if !title.is_empty() => (Some(title.to_owned()), rest),
        Some(_) | None => (None, text),
    }
}

/// The facts that a text begins with, and what comes below them.
fn leading_facts(text: &str) -> (&str, &str) {
    let text = text.trim_start_matches(['\n', '\r']);
    let is_fact = |line: &str| {
        let key = line
            .strip_prefix("- ")
            .and_then(|line| line.split_once(':'));
        line.starts_with("  ") || key.is_some_and(|(key, _)| Key::read(key).is_some())
    };
    let end: usize = text
        .split_inclusive('\n')
        .take_while(|line| is_fact(line))
        .map(str::len)
        .sum();
    text.split_at(end)
}

/// The fields of a front matter that says nothing but what belongs to the
/// session, one a line, and what comes below it.
fn session_of(text: &str) -> Option<(Vec<(Key, String)>, &str)> {
    let inside = text
        .strip_prefix("---\n")
        .or_else(|| text.strip_prefix("---\r\n"))?;
    let mut fields = Vec::new();
    let mut at = 0;
    for line in inside.split_inclusive('\n') {
        at += line.len();
        let line = line.trim_end();
        if line == "---" {
            return Some((fields, &inside[at..]));
        }
        let (key, value) = line.split_once(':')?;
        let key = Key::read(key)?;
        let of_session =
            OF_SESSION.contains(&key) || matches!(key, Key::Date | Key::Vehicle | Key::Title);
        let value = value.trim();
        let value = match value
            .strip_prefix('"')
            .and_then(|own| own.strip_suffix('"'))
        {
            Some(inner) => inner.replace("\\\"", "\"").replace("\\\\", "\\"),
            None => value.to_owned(),
        };
        if !of_session || value.is_empty() || value.starts_with(['[', '{', '|', '>', '\'']) {
            return None;
        }
        fields.push((key, value));
    }
    None
}

/// Prose with the mark that was asked for, each paragraph of it.
fn marked(verb: &WriteArgs, prose: String) -> String {
    let mark = verb.tell.as_deref().and_then(Telling::read);
    let Some(mark) = mark.filter(|_| !prose.trim().is_empty()) else {
        return prose;
    };
    let paragraphs = prose
        .split("\n\n")
        .map(|one| format!("{}{}", mark.prefix(), one.trim_start()));
    paragraphs.collect::<Vec<_>>().join("\n\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn taken_up(text: &str) -> TypedEntry {
        let mut typed = TypedEntry::default();
        typed.take_text(text.to_owned(), true);
        typed
    }

    #[test]
    fn a_draft_is_taken_up_as_it_was_typed() {
        for draft in [
            "---\ndate: someday\nvehicle: wren\nhours: lots\ncost: \"-20 core\"\n---\n\n# Title\n\nProse.\n\n## Horn\n\n- found: bent\n",
            "---\nlesson: \"heat: \\\"first\\\"\"\n---\n\n- status: removed\n\nProse.\n",
            "---\ndate: 2026-03-14\n---\n",
            "---\nstatus: removed\n---\n\n## Horn\n\n- bag: 3\n",
        ] {
            assert_eq!(taken_up(draft).text(), draft);
        }
        assert!(taken_up("---\nstatus: removed\n---\n").whole.is_some());
    }

    #[test]
    fn facts_in_front_of_a_text_are_told_from_its_prose() {
        assert_eq!(
            leading_facts("- status: removed\n- cost: 3\n\nProse.\n"),
            ("- status: removed\n- cost: 3\n", "\nProse.\n")
        );
        assert_eq!(leading_facts("- milk: buy\n"), ("", "- milk: buy\n"));
    }
}
