//! How the records changed, commit by commit, for a terminal.

use super::export::{Document, Exporter};
use super::terminal::Terminal;
use super::text::{Text, TextStyle, brief, counted, plain};
use crate::reports::changes::FactChange;
use crate::reports::commit_message::change_words;

/// One change of one text.
#[derive(Clone, Debug)]
pub struct ChangeView {
    /// The commit, shortened.
    pub commit: String,
    /// When it was made: RFC 3339 with its offset.
    pub date: String,
    /// Who made it.
    pub author: String,
    /// The text.
    pub entry: String,
    /// `written`, `changed`, `removed` or `renamed`.
    pub kind: &'static str,
    /// The facts that changed; for a new entry, what it says.
    pub facts: Vec<FactChange>,
    /// The difference of the texts, if it was asked for.
    pub difference: Option<String>,
}

/// The most facts shown of one change.
const MOST_FACTS: usize = 12;

impl Exporter<[ChangeView]> for Terminal {
    fn export(&self, changes: &[ChangeView]) -> Document {
        self.document(&render(changes, self.width))
    }
}

/// The changes, newest first.
fn render(changes: &[ChangeView], width: usize) -> Text {
    let mut text = Text::new(width);
    if changes.is_empty() {
        text.line(0, TextStyle::Plain, "no change matches");
        return text;
    }
    for change in changes {
        let day = change.date.get(..10).unwrap_or(&change.date);
        text.wrapped(
            0,
            2,
            &[
                (TextStyle::Title, day.to_owned()),
                plain(format!(" {} {}", change.entry, change.kind)),
                (
                    TextStyle::Faint,
                    format!(" ({} by {})", change.commit, change.author),
                ),
            ],
        );
        if let Some(difference) = &change.difference {
            for line in difference.lines() {
                let label = match line.chars().next() {
                    Some('+') => TextStyle::Standing,
                    Some('-') => TextStyle::Warning,
                    _ => TextStyle::Faint,
                };
                text.wrapped(2, 4, &[(label, indented(line))]);
            }
        } else if change.kind == "written" {
            summary_of_new(&mut text, change);
        } else {
            for fact in change.facts.iter().take(MOST_FACTS) {
                text.wrapped(2, 4, &[plain(fact_words(fact))]);
            }
            let more = change.facts.len().saturating_sub(MOST_FACTS);
            if more > 0 {
                text.line(2, TextStyle::Faint, &format!("and {more} more"));
            }
        }
        text.gap();
    }
    text.line(
        0,
        TextStyle::Faint,
        &counted(changes.len(), "change", "changes"),
    );
    text
}

/// A line of a text with its own indentation kept.
fn indented(line: &str) -> String {
    let (sign, rest) = line.split_at(line.chars().next().map_or(0, char::len_utf8));
    let bare = rest.trim_start_matches(' ');
    let indent = "\u{a0}".repeat(rest.len() - bare.len());
    format!("{sign}{indent}{bare}")
}

/// A new entry in one line: the parts it speaks of.
fn summary_of_new(text: &mut Text, change: &ChangeView) {
    let mut parts: Vec<String> = Vec::new();
    for fact in &change.facts {
        if let Some(part) = &fact.part {
            let label = if fact.at.is_empty() {
                brief(part)
            } else {
                format!("{}, {}", brief(part), fact.at)
            };
            if !parts.contains(&label) {
                parts.push(label);
            }
        }
    }
    let shown = parts.len().min(6);
    let mut line = parts[..shown].join("; ");
    if parts.len() > shown {
        line.push_str(&format!("; {} more", parts.len() - shown));
    }
    if !line.is_empty() {
        text.line(2, TextStyle::Plain, &line);
    }
}

/// A change of a fact; of prose only that it changed.
fn fact_words(fact: &FactChange) -> String {
    if fact.key != "text" {
        return change_words(fact);
    }
    let mut words = String::new();
    if let Some(part) = &fact.part {
        words.push_str(part);
        words.push_str(": ");
    }
    words.push_str("text changed");
    words
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_change_of_prose_is_not_repeated() {
        let fact = FactChange {
            part: Some("Horn".into()),
            at: String::new(),
            key: "text".into(),
            before: Some("a long story".into()),
            after: Some("a longer story".into()),
        };
        assert_eq!(fact_words(&fact), "Horn: text changed");
    }
}
