//! Front matter of another kind at the top of a note: its day, its title, and whether it
//! says anything else.
//!
//! What else it says means nothing here: it is kept as it stands.

use crate::entry::FrontMatterFields;

/// Front matter, as far as a note needs it.
#[derive(Debug, Default)]
pub(super) struct NoteFront {
    /// The day, as it is written.
    pub(super) day: Option<String>,
    /// The title.
    pub(super) title: Option<String>,
    /// Its lines, if they say anything besides.
    pub(super) rest: Option<String>,
    /// Where the text below begins.
    pub(super) end: usize,
}

/// Keys under which the day stands, the best first.
const DAY_KEYS: [&str; 6] = [
    "date",
    "day",
    "created",
    "created_at",
    "date created",
    "created at",
];

impl NoteFront {
    /// Reads YAML between `---` lines, or TOML between `+++` lines; nothing where there is
    /// neither.
    pub(super) fn of(text: &str) -> NoteFront {
        let (inside, end) = match toml(text).or_else(|| yaml(text)) {
            Some(block) => block,
            None => return NoteFront::default(),
        };
        let fields = FrontMatterFields::read(text);
        let value = |key: &str| match fields.end {
            0 => toml_value(inside, key),
            _ => fields.get(key),
        };
        NoteFront {
            day: DAY_KEYS.iter().find_map(|key| value(key)),
            title: value("title").filter(|title| !title.trim().is_empty()),
            rest: (!inside.lines().all(is_used)).then(|| inside.trim_matches('\n').to_owned()),
            end,
        }
    }
}

/// Whether a line is empty, or says the day or the title.
fn is_used(line: &str) -> bool {
    let key = line.split([':', '=']).next().unwrap_or_default();
    let is_known = |known: &str| key.trim().eq_ignore_ascii_case(known);
    let is_key = !line.starts_with([' ', '\t']);
    line.trim().is_empty()
        || is_key && (is_known("title") || DAY_KEYS.iter().any(|key| is_known(key)))
}

/// The lines between `+++` lines, and where the text below begins.
fn toml(text: &str) -> Option<(&str, usize)> {
    let below = text.strip_prefix("+++\n")?;
    let close = below.find("\n+++")?;
    let after = text.len() - below.len() + close + 1;
    let end = text[after..]
        .find('\n')
        .map_or(text.len(), |line| after + line + 1);
    Some((&below[..close], end))
}

/// The lines between `---` lines, and where the text below begins. Two rules with prose
/// between them are no front matter.
fn yaml(text: &str) -> Option<(&str, usize)> {
    let below = text.strip_prefix("---\n")?;
    let close = match below.starts_with("---") {
        true => 0,
        false => below.find("\n---")? + 1,
    };
    let inside = &below[..close];
    let is_field = |line: &str| {
        line.split_once(':')
            .is_some_and(|(key, _)| (1..=3).contains(&key.split_whitespace().count()))
    };
    let is_front = inside.trim().is_empty() || inside.lines().any(is_field);
    let end = FrontMatterFields::read(text).end;
    (is_front && end > 0).then_some((inside, end))
}

/// The value behind a key in lines of `key = value`.
fn toml_value(text: &str, key: &str) -> Option<String> {
    text.lines().find_map(|line| {
        let (own, value) = line.split_once('=')?;
        let is_meant = own.trim().eq_ignore_ascii_case(key);
        is_meant.then(|| value.trim().trim_matches(['"', '\'']).to_owned())
    })
}
