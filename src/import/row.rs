//! A row of a table as a section of an entry.
//!
//! Words of the table are quoted, so that no sign in them means anything to
//! Markdown or to the entry format, and the text comes back byte for byte.

use jiff::civil::Date;

use crate::entry::new_entry;
use crate::vocabulary::hours::Minutes;
use crate::vocabulary::money::Money;

/// A row that can be adopted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ImportRow {
    /// Its number in the table, the first below the header being 1.
    pub number: usize,
    /// The day.
    pub date: Date,
    /// The vehicle.
    pub vehicle: String,
    /// The text, as it stands in the table; may be empty where there is a part.
    pub text: String,
    /// The part's name.
    pub part: Option<String>,
    /// What is said about the part: key and words.
    pub facts: Vec<(&'static str, String)>,
    /// What it cost.
    pub cost: Option<Money>,
    /// The time it took, and how the table writes it.
    pub hours: Option<(Minutes, String)>,
    /// Other columns: name and words.
    pub lines: Vec<(String, String)>,
}

impl ImportRow {
    /// The row as a section: its part with the facts, or its number; then the
    /// text quoted; then the other columns, quoted as well.
    #[must_use]
    pub fn section(&self) -> String {
        let mut blocks = match &self.part {
            Some(part) => vec![format!("## {}\n", in_one_line(part)), self.fact_list()],
            None => vec![format!("## Row {}\n", self.number)],
        };
        if !self.text.is_empty() {
            blocks.push(quoted(&self.text));
        }
        let mut lines = self.lines.clone();
        if let Some((_, written)) = self.hours.as_ref().filter(|_| self.part.is_none()) {
            lines.push(("Hours".to_owned(), written.clone()));
        }
        let lines: Vec<String> = lines
            .iter()
            .map(|(name, words)| format!("{}: {words}", in_one_line(name)))
            .collect();
        if !lines.is_empty() {
            blocks.push(quoted(&lines.join("\n")));
        }
        blocks.join("\n")
    }

    /// The facts of the row's part. One without any has its day: without a fact
    /// the heading would not be a part's.
    fn fact_list(&self) -> String {
        let mut facts = self.facts.clone();
        if let Some((_, written)) = &self.hours {
            facts.push(("hours", written.clone()));
        }
        if let Some(cost) = self.cost.filter(|cost| cost.minor != 0) {
            facts.push(("cost", amount(cost)));
        }
        if facts.is_empty() {
            facts.push(("date", self.date.to_string()));
        }
        facts
            .iter()
            .map(|(key, words)| format!("- {key}: {}\n", in_one_line(words)))
            .collect()
    }

    /// The cost as a value of the front matter, where no part has it.
    #[must_use]
    pub fn cost_of_entry(&self) -> Option<String> {
        let cost = self
            .cost
            .filter(|cost| cost.minor != 0 && self.part.is_none())?;
        Some(format!("{} row {}", amount(cost), self.number))
    }
}

fn amount(money: Money) -> String {
    format!("{} {}", money.currency.code(), money.amount())
}

fn in_one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A text as a quotation of Markdown, line by line.
#[must_use]
pub fn quoted(text: &str) -> String {
    let mut out = String::new();
    for line in text.split('\n') {
        out.push_str("> ");
        out.push_str(line);
        out.push('\n');
    }
    out
}

/// The entry of a day and vehicle.
#[must_use]
pub fn entry(day: Date, vehicle: &str, rows: &[&ImportRow], table_name: &str) -> String {
    let date = day.to_string();
    let hours = rows
        .iter()
        .filter_map(|row| Some(row.hours.as_ref()?.0))
        .fold(Minutes(0), Minutes::plus);
    let hours_text = hours.to_string();
    let mut fields = vec![("date", date.as_str()), ("vehicle", vehicle)];
    if hours.0 > 0 {
        fields.push(("hours", &hours_text));
    }
    let mut text = new_entry(&fields, "", "");
    let costs: Vec<String> = rows.iter().filter_map(|row| row.cost_of_entry()).collect();
    if !costs.is_empty() {
        let list: String = costs.iter().map(|cost| format!("  - {cost}\n")).collect();
        text.truncate(text.len() - "---\n".len());
        text.push_str(&format!("cost:\n{list}---\n"));
    }
    text.push_str(&format!("\n# Adopted from {}\n", in_one_line(table_name)));
    for row in rows {
        text.push('\n');
        text.push_str(&row.section());
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_of_a_table_come_back_byte_for_byte() {
        for text in [
            "# - removed: horn",
            "a\n\n  ```\n> b ",
            "<!-- x",
            "plain",
            "a\r\nb",
            "---",
        ] {
            let row = ImportRow {
                number: 7,
                date: jiff::civil::date(2026, 1, 1),
                vehicle: "a".into(),
                text: text.into(),
                part: None,
                facts: Vec::new(),
                cost: None,
                hours: None,
                lines: vec![("Type".into(), text.into())],
            };
            let entry = entry(row.date, "a", &[&row], "t.csv");
            let quotes: Vec<String> = entry
                .split("\n\n")
                .filter(|block| block.starts_with("> "))
                .map(|block| {
                    let lines = block.split('\n').filter_map(|line| line.strip_prefix("> "));
                    lines.collect::<Vec<_>>().join("\n")
                })
                .collect();
            assert_eq!(
                quotes,
                [text.to_owned(), format!("Type: {text}")],
                "{entry}"
            );
        }
    }
}
