//! Rows that were not adopted, beside their table: as they stand in it, with the
//! reasons in a file of their own, so that the rows can be repaired and adopted.

use std::path::{Path, PathBuf};

use super::super::arguments::Decimal;
use super::super::failure::Failure;
use super::AdoptPlan;
use super::chosen::{named_columns, order_word};
use crate::import::amounts::DecimalMark;
use crate::import::columns::ColumnContent;
use crate::journal::{JournalError, read_if_there, write_new};

/// Where rows were put that were not adopted.
pub(super) struct LeftOver {
    /// The rows.
    pub(super) table: PathBuf,
    /// The reasons.
    pub(super) reasons: PathBuf,
    /// What adopts them, once they are repaired.
    pub(super) again: String,
}

/// Writes the rows and the reasons; `None` where there are no such rows. The
/// same rows as an earlier run left are not written twice.
pub(super) fn write(file: &Path, plan: &AdoptPlan<'_>) -> Result<Option<LeftOver>, Failure> {
    if plan.unread.is_empty() {
        return Ok(None);
    }
    let rows: Vec<usize> = plan.unread.iter().map(|row| row.number - 1).collect();
    let bytes = plan.table.only(&rows);
    let reasons: String = plan
        .unread
        .iter()
        .map(|row| format!("row {}, line {}: {}\n", row.number, row.line, row.why))
        .collect();
    let stem = file.file_stem().unwrap_or_default().to_string_lossy();
    let stem = stem.split("-not-adopted").next().unwrap_or_default();
    for number in 1..1000 {
        let name = match number {
            1 => format!("{stem}-not-adopted"),
            number => format!("{stem}-not-adopted-{number}"),
        };
        let table = file.with_file_name(format!("{name}.csv"));
        let beside = file.with_file_name(format!("{name}.txt"));
        if table == file {
            continue;
        }
        let is_same = read_if_there(&table)?.is_some_and(|there| there == bytes);
        match (is_same, write_new(&table, &bytes)) {
            (true, _) | (false, Ok(())) => {}
            (false, Err(JournalError::Exists(_))) => continue,
            (false, Err(error)) => return Err(error.into()),
        }
        match write_new(&beside, reasons.as_bytes()) {
            Ok(()) | Err(JournalError::Exists(_)) => {}
            Err(error) => return Err(error.into()),
        }
        let again = again(plan, &table);
        return Ok(Some(LeftOver {
            table,
            reasons: beside,
            again,
        }));
    }
    Err(Failure::misuse(
        "there are too many lists of rows that were not adopted",
        "delete the old ones beside the table",
    ))
}

/// The command that adopts a table in which this one's columns are read the same.
fn again(plan: &AdoptPlan<'_>, table: &Path) -> String {
    let verb = plan.verb;
    let mut words = vec![
        "matchmark adopt".to_owned(),
        in_quotes(&table.display().to_string()),
    ];
    let mut add = |option: &str, value: Option<&str>| {
        if let Some(value) = value {
            words.push(format!("--{option} {}", in_quotes(value)));
        }
    };
    for (content, named) in named_columns(verb) {
        add(content.word(), named.as_deref());
    }
    for (option, names) in [("text", &verb.text), ("also", &verb.also)] {
        names.iter().for_each(|name| add(option, Some(name)));
    }
    // "Yesterday" would be another day by the time the rows are repaired.
    let day = plan.columns.day.map(|day| day.to_string());
    add("day", day.as_deref());
    add("all-vehicle", verb.all_vehicle.as_deref());
    add("currency", verb.currency.as_deref());
    if plan.columns.of(ColumnContent::Date).is_some() {
        add("date-order", Some(order_word(plan.columns.order)));
    }
    if plan
        .columns
        .of(ColumnContent::Cost)
        .or(plan.columns.of(ColumnContent::Hours))
        .is_some()
    {
        let decimal = verb
            .decimal
            .or((plan.columns.cost_mark == plan.columns.hours_mark
                || plan.columns.of(ColumnContent::Hours).is_none())
            .then_some(match plan.columns.cost_mark {
                DecimalMark::Point => Decimal::Point,
                DecimalMark::Comma => Decimal::Comma,
            }));
        add(
            "decimal",
            decimal.map(|decimal| match decimal {
                Decimal::Point => "point",
                Decimal::Comma => "comma",
            }),
        );
    }
    if verb.entry_per_row {
        words.push("--entry-per-row".to_owned());
    }
    words.join(" ")
}

/// A word as a shell takes it.
pub(super) fn in_quotes(word: &str) -> String {
    let plain = !word.is_empty()
        && word
            .chars()
            .all(|c| c.is_alphanumeric() || matches!(c, '-' | '_' | '.' | '/'));
    if plain {
        return word.to_owned();
    }
    format!("'{}'", word.replace('\'', "'\\''"))
}
