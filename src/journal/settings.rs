//! `journal.toml`: name, currency, systems, author, pace of speech.
//!
//! Every setting has a default; a wrong one is a problem, never a refusal.

use crate::problem::{Problem, Spot};
use crate::vocabulary::frame_rate::FrameRate;
use crate::vocabulary::money::Currency;
use crate::vocabulary::paper::Paper;

/// What a new journal's `journal.toml` says: each setting with its default and
/// what it is for.
pub const TEMPLATE: &str = r#"# What this journal is called, on pages and in drafts.
name = "My journal"

# Amounts without a currency count in this one (three letters, ISO 4217).
currency = "EUR"

# The systems of a vehicle, in the order in which they go back.
systems = [
    "frame",
    "rear suspension",
    "front suspension",
    "steering",
    "brakes",
    "engine",
    "transmission",
    "fuel",
    "cooling",
    "exhaust",
    "electrics",
    "body",
    "cargo body",
    "glass",
    "trim",
    "wheels",
]

# Who keeps the texts, if git's own settings do not say: "Name <mail address>".
author = ""

# How many words you say in a minute, for drafts of episodes.
speaking_pace = 150

# Frames a second of your camera, for edit lists: 24, 25, 30, 48, 50, 60, or
# "23.976", "29.97", "59.94".
frame_rate = 25

# Whether photos/ goes into the history as well. It grows large.
keep_photos = false

# Labels for bags, in millimetres: one label, and the sheet it is on. May be
# added: margin = "7x15", gap = "2.5x0"; or tape = "24" instead of sheets.
labels = { size = "70x37", sheet = "210x297" }

# Where a browser finds the pages of `matchmark book`, if you put them somewhere:
# "https://example.org/van/". Then the code on a label leads to its bag's page.
book = ""
"#;

/// A journal's settings.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Settings {
    /// What the journal is called.
    pub name: String,
    /// What amounts without a currency count in.
    pub currency: Currency,
    /// The systems in the order in which they go back.
    pub systems: Vec<String>,
    /// Who keeps the texts, if git does not say: name and mail address.
    pub author: Option<(String, String)>,
    /// Words said in a minute; 150 is common practice, no source.
    pub speaking_pace: u32,
    /// Frames a second, for edit lists.
    pub frame_rate: FrameRate,
    /// Whether photos go into the history.
    pub keep_photos: bool,
    /// On what labels for bags are printed.
    pub labels: Paper,
    /// Where a browser finds the pages of the book, with a slash at its end.
    pub book: Option<String>,
}

impl Default for Settings {
    fn default() -> Settings {
        // The template is the one place where the defaults stand.
        Settings::read(TEMPLATE).0
    }
}

/// The file's name, for problems.
const FILE: &str = "journal.toml";

impl Settings {
    /// Reads `journal.toml`.
    #[must_use]
    pub fn read(text: &str) -> (Settings, Vec<Problem>) {
        let mut problems = Vec::new();
        let mut settings = Settings {
            name: "My journal".to_owned(),
            currency: Currency::EUR,
            systems: Vec::new(),
            author: None,
            speaking_pace: 150,
            frame_rate: FrameRate::USUAL,
            keep_photos: false,
            labels: Paper::default(),
            book: None,
        };
        let table = match text.parse::<toml::Table>() {
            Ok(table) => table,
            Err(error) => {
                let at = error.span().map_or(0, |span| span.start);
                let line = 1 + text
                    .get(..at)
                    .map_or(0, |before| before.matches('\n').count());
                problems.push(
                    Problem::error(
                        spot(u32::try_from(line).unwrap_or(0)),
                        format!("the settings cannot be read: {}", error.message()),
                    )
                    .hint("until it is mended, all settings have their defaults"),
                );
                toml::Table::new()
            }
        };
        for (key, value) in &table {
            let line = line_of(text, key);
            settings.take(key, value, line, &mut problems);
        }
        if settings.systems.is_empty() && text != TEMPLATE {
            settings.systems = Settings::default().systems;
        }
        (settings, problems)
    }

    fn take(&mut self, key: &str, value: &toml::Value, line: u32, problems: &mut Vec<Problem>) {
        let mut wrong = |message: String, hint: &str| {
            problems.push(Problem::error(spot(line), message).hint(hint));
        };
        match (key, value) {
            ("name", toml::Value::String(name)) => self.name.clone_from(name),
            ("currency", toml::Value::String(code)) => match Currency::from_code(code) {
                Some(currency) => self.currency = currency,
                None => wrong(
                    format!("`{code}` is no currency"),
                    "write a code of three letters: EUR, GBP, USD",
                ),
            },
            ("systems", toml::Value::Array(list)) => {
                let names: Option<Vec<String>> = list
                    .iter()
                    .map(|name| name.as_str().map(str::to_owned))
                    .collect();
                match names {
                    Some(names) => self.systems = names,
                    None => wrong(
                        "`systems` must be a list of names".to_owned(),
                        "write each name in quotes",
                    ),
                }
            }
            ("author", toml::Value::String(author)) if author.trim().is_empty() => {}
            ("author", toml::Value::String(author)) => match read_author(author) {
                Some(author) => self.author = Some(author),
                None => wrong(
                    format!("`{author}` is no name with a mail address"),
                    "write it as \"Name <name@example.org>\"",
                ),
            },
            ("keep_photos", toml::Value::Boolean(keep)) => self.keep_photos = *keep,
            ("labels", toml::Value::Table(sizes)) => {
                for (key, value) in sizes {
                    // A single length may be a bare number.
                    let text = value.as_str().map(str::to_owned);
                    let whole = value.as_integer().map(|number| number.to_string());
                    let part = value.as_float().map(|number| number.to_string());
                    let value = text.or(whole).or(part).unwrap_or_default();
                    if let Err(hint) = self.labels.set(key, &value) {
                        wrong(format!("`{value}` is no `{key}` of labels"), hint);
                    }
                }
                if let Some(refusal) = self.labels.refusal() {
                    wrong(refusal, "labels have their usual sizes until it is mended");
                    self.labels = Paper::default();
                }
            }
            ("book", toml::Value::String(address)) if address.trim().is_empty() => {}
            ("book", toml::Value::String(address)) => match read_address(address) {
                Some(address) => self.book = Some(address),
                None => wrong(
                    format!("`{address}` is no address of pages"),
                    "write it as a browser shows it: \"https://example.org/van/\"",
                ),
            },
            ("speaking_pace", toml::Value::Integer(pace)) => match u32::try_from(*pace) {
                Ok(pace @ 40..=400) => self.speaking_pace = pace,
                Ok(_) | Err(_) => wrong(
                    format!("nobody says {pace} words in a minute"),
                    "write a number from 40 to 400; many people say about 150",
                ),
            },
            (
                "frame_rate",
                toml::Value::Integer(_) | toml::Value::Float(_) | toml::Value::String(_),
            ) => {
                let text = value.as_str().map(str::to_owned);
                let whole = value.as_integer().map(|number| number.to_string());
                let part = value.as_float().map(|number| number.to_string());
                let text = text.or(whole).or(part).unwrap_or_default();
                match FrameRate::read(&text) {
                    Some(rate) => self.frame_rate = rate,
                    None => wrong(
                        format!("edit lists do not know {text} frames a second"),
                        "write 24, 25, 30, 48, 50, 60, \"23.976\", \"29.97\" or \"59.94\"",
                    ),
                }
            }
            ("name" | "currency" | "systems" | "author" | "speaking_pace" | "frame_rate" | "keep_photos" | "labels" | "book", _) => {
                wrong(
                    format!("`{key}` has a value of the wrong kind"),
                    "`docs/entry-format.md` shows each setting",
                )
            }
            (_, _) => problems.push(
                Problem::warning(spot(line), format!("`{key}` is no setting")).hint(
                    "the settings are: name, currency, systems, author, speaking_pace, frame_rate, keep_photos, labels, book",
                ),
            ),
        }
    }
}

/// A text as TOML reads it back.
#[must_use]
pub fn toml_text(text: &str) -> String {
    let mut quoted = String::from("\"");
    for c in text.chars() {
        match c {
            '"' | '\\' => {
                quoted.push('\\');
                quoted.push(c);
            }
            c if c.is_control() => quoted.push_str(&format!("\\u{:04X}", u32::from(c))),
            c => quoted.push(c),
        }
    }
    quoted.push('"');
    quoted
}

/// "Name <mail address>" in its two parts; `None` for anything else.
#[must_use]
pub fn read_author(text: &str) -> Option<(String, String)> {
    let (name, rest) = text.split_once('<')?;
    let mail = rest.trim_end().strip_suffix('>')?.trim();
    let name = name.trim();
    (!name.is_empty() && !mail.is_empty()).then(|| (name.to_owned(), mail.to_owned()))
}

/// The address of a folder of pages, with a slash at its end; `None` for anything that a
/// phone could not open.
fn read_address(text: &str) -> Option<String> {
    let text = text.trim().trim_end_matches("index.html");
    let rest = text
        .strip_prefix("https://")
        .or(text.strip_prefix("http://"))?;
    let is_plain = |c: char| c.is_ascii_graphic() && !"\"<>\\^`{|}?#".contains(c);
    let slash = if text.ends_with('/') { "" } else { "/" };
    (!rest.is_empty() && text.chars().all(is_plain)).then(|| format!("{text}{slash}"))
}

fn spot(line: u32) -> Spot {
    Spot {
        file: FILE.to_owned(),
        line,
        column: 1,
        width: 1,
    }
}

/// The line on which a key stands.
fn line_of(text: &str, key: &str) -> u32 {
    let index = text.lines().position(|line| {
        line.trim_start()
            .strip_prefix(key)
            .is_some_and(|rest| rest.trim_start().starts_with('='))
    });
    index.map_or(0, |index| u32::try_from(index + 1).unwrap_or(0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_new_journal_has_the_defaults() {
        let (settings, problems) = Settings::read(TEMPLATE);
        assert!(problems.is_empty());
        assert_eq!(settings, Settings::default());
        assert_eq!(settings.systems.len(), 16);
        assert_eq!(Settings::read("").0, Settings::default());
    }

    #[test]
    fn a_wrong_setting_is_a_problem_with_its_line() {
        let (settings, problems) = Settings::read("name = \"A\"\ncurrency = \"XYZ\"\ncolour = 3\n");
        assert_eq!(settings.name, "A");
        let lines: Vec<u32> = problems.iter().map(|problem| problem.spot.line).collect();
        assert_eq!(lines.len(), 2);
        assert!(lines.contains(&2) && lines.contains(&3));
        let (settings, problems) = Settings::read("labels = { size = \"50x25\", gap = \"two\" }\n");
        assert_eq!(settings.labels.label.width, 500);
        assert_eq!(problems.len(), 1);
        for (text, address) in [
            ("https://example.org/van", Some("https://example.org/van/")),
            (
                "http://192.168.1.20:8626/x/index.html",
                Some("http://192.168.1.20:8626/x/"),
            ),
            ("", None),
        ] {
            let (settings, problems) = Settings::read(&format!("book = \"{text}\"\n"));
            assert_eq!(
                (settings.book.as_deref(), problems.len()),
                (address, 0),
                "{text}"
            );
        }
        for text in [
            "example.org/van",
            "javascript:alert(1)",
            "https://",
            "https://a b/",
            "https://a/?x",
        ] {
            let (settings, problems) = Settings::read(&format!("book = \"{text}\"\n"));
            assert_eq!((settings.book, problems.len()), (None, 1), "{text}");
        }
        let (settings, problems) = Settings::read("name = \n");
        assert_eq!(problems.len(), 1);
        assert_eq!(settings.systems, Settings::default().systems);
    }
}
