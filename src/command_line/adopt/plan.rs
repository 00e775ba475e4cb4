//! What `adopt` says before and after: how the columns were understood, and
//! where every row of the table is.

use super::AdoptPlan;
use super::left_over::LeftOver;
use super::writing::WrittenCounts;
use crate::import::columns::ColumnContent;
use crate::journal::{entry_path, slug};
use crate::presentation::export::{Document, Exporter};
use crate::presentation::json::Json;
use crate::presentation::json::writing::AdoptedTable;
use crate::presentation::terminal::Terminal;
use crate::presentation::text::{Text, TextStyle, counted, plain};
use crate::vocabulary::money::sum_by_currency;

/// Most rows and cells that are shown of one kind before it is done.
const MOST_SHOWN: usize = 8;

/// What would be done, for a person to look at first.
pub(super) fn shown(plan: &AdoptPlan<'_>, terminal: Terminal) -> String {
    let mut text = Text::new(terminal.width);
    text.line(
        0,
        TextStyle::Title,
        &format!(
            "{}: {} ({})",
            plan.verb.source().display(),
            counted(plan.table.rows.len(), "row", "rows"),
            plan.table.encoding()
        ),
    );
    for (what, of) in column_lines(plan) {
        text.pair(2, 13, (TextStyle::Faint, what.to_owned()), &[plain(of)]);
    }
    if let Some(row) = plan.fresh.first() {
        let path = entry_path(row.date, 1, &slug(&row.vehicle));
        text.line(
            2,
            TextStyle::Faint,
            &format!("row {} becomes, in {path}:", row.number),
        );
        for line in row.section().lines() {
            text.wrapped(4, 6, &[plain(line)]);
        }
    }
    text.line(0, TextStyle::Plain, &counts(plan));
    if !plan.vehicles.is_empty() {
        let names: Vec<&str> = plan
            .vehicles
            .iter()
            .map(|(name, _)| name.as_str())
            .collect();
        text.line(
            2,
            TextStyle::Plain,
            &format!("new vehicles: {}", names.join(", ")),
        );
    }
    for (name, near) in &plan.near {
        text.line(
            2,
            TextStyle::Warning,
            &format!("`{name}` would be a new vehicle; is it `{near}`?"),
        );
    }
    if !plan.unplaced.is_empty() {
        let cells: Vec<String> = plan
            .unplaced
            .iter()
            .take(3)
            .map(|(column, cell)| format!("{column}: {cell}"))
            .collect();
        let kept = counted(plan.unplaced.len(), "cell says", "cells say");
        text.line(
            2,
            TextStyle::Warning,
            &format!(
                "{kept} nothing of a part and stay as lines: {}",
                cells.join("; ")
            ),
        );
    }
    for row in plan.unread.iter().take(MOST_SHOWN) {
        text.line(
            2,
            TextStyle::Warning,
            &format!("row {}, line {}: {}", row.number, row.line, row.why),
        );
    }
    if plan.unread.len() > MOST_SHOWN {
        let more = plan.unread.len() - MOST_SHOWN;
        text.line(2, TextStyle::Warning, &format!("and {more} more"));
    }
    text.render(terminal.colours)
}

/// Every use of a column with the column's name, and how its cells are read.
fn column_lines(plan: &AdoptPlan<'_>) -> Vec<(&'static str, String)> {
    let columns = &plan.columns;
    let names = |content: ColumnContent| {
        let names: Vec<&str> = columns
            .all(content)
            .into_iter()
            .filter_map(|at| plan.table.header.get(at))
            .map(String::as_str)
            .collect();
        (!names.is_empty()).then(|| names.join(", "))
    };
    let mut lines = Vec::new();
    for content in ColumnContent::NAMED
        .into_iter()
        .chain([ColumnContent::Line, ColumnContent::LeftOut])
    {
        let Some(mut of) = names(content) else {
            match (content, &columns.all_vehicle, columns.day) {
                (ColumnContent::Vehicle, Some(name), _) => {
                    lines.push((content.word(), format!("all rows are of {name}")));
                }
                (ColumnContent::Date, _, Some(day)) => {
                    lines.push((content.word(), format!("all rows are of {day}")));
                }
                (_, _, _) => {}
            }
            continue;
        };
        if content == ColumnContent::Date {
            of.push_str(&format!(" ({})", columns.order.words()));
            if let Some(day) = columns.day {
                of.push_str(&format!("; {day} where there is none"));
            }
        } else if content == ColumnContent::Cost {
            let mark = columns.cost_mark.words();
            of.push_str(&format!(" ({}, {mark})", columns.currency.code()));
        } else if content == ColumnContent::Hours {
            of.push_str(&format!(" ({})", columns.hours_mark.words()));
        }
        lines.push((content.word(), of));
    }
    lines
}

/// Where each row is, in one line.
fn counts(plan: &AdoptPlan<'_>) -> String {
    let mut words = vec![format!(
        "{} to be added",
        counted(plan.fresh.len(), "row", "rows")
    )];
    for (count, what) in [
        (plan.before, "in the journal already"),
        (plan.unread.len(), "that cannot be adopted"),
        (plan.empty, "empty"),
    ] {
        if count > 0 {
            words.push(format!("{count} {what}"));
        }
    }
    words.join(", ")
}

/// What was done, every row accounted for.
pub(super) fn summary(
    plan: &AdoptPlan<'_>,
    written: &WrittenCounts,
    left: Option<&LeftOver>,
    terminal: Terminal,
) -> String {
    let mut text = Text::new(terminal.width);
    text.gap();
    text.line(
        0,
        TextStyle::Title,
        &format!(
            "{} of {} adopted, in {} and {}",
            plan.fresh.len(),
            counted(plan.table.rows.len(), "row", "rows"),
            counted(written.entries, "entry", "entries"),
            counted(written.commits, "commit", "commits"),
        ),
    );
    if plan.before > 0 {
        let rows = counted(plan.before, "row was", "rows were");
        text.line(
            2,
            TextStyle::Plain,
            &format!("{rows} in the journal already"),
        );
    }
    for sum in sum_by_currency(plan.fresh.iter().filter_map(|row| row.cost)) {
        text.line(2, TextStyle::Plain, &format!("money: {sum}"));
    }
    if let Some(left) = left {
        let rows = counted(plan.unread.len(), "row was", "rows were");
        text.line(
            2,
            TextStyle::Warning,
            &format!(
                "{rows} not adopted; as in the table: {}; the reasons: {}",
                left.table.display(),
                left.reasons.display()
            ),
        );
        text.line(
            2,
            TextStyle::Plain,
            &format!("once repaired: {}", left.again),
        );
    }
    text.render(terminal.colours)
}

/// The same for another program: what would be done, or what was.
pub(super) fn as_json(
    plan: &AdoptPlan<'_>,
    written: Option<&WrittenCounts>,
    left: Option<&LeftOver>,
) -> Document {
    let not_adopted: Vec<(usize, String)> = plan
        .unread
        .iter()
        .map(|row| (row.number, row.why.to_string()))
        .collect();
    let vehicles: Vec<String> = plan.vehicles.iter().map(|(_, slug)| slug.clone()).collect();
    let listed = left.map(|left| left.table.display().to_string());
    Json.export(&AdoptedTable {
        is_written: written.is_some(),
        rows: plan.table.rows.len(),
        adopted: plan.fresh.len(),
        there_before: plan.before,
        entries: written.map_or(0, |written| written.entries),
        commits: written.map_or(0, |written| written.commits),
        vehicles: &vehicles,
        not_adopted: &not_adopted,
        listed_in: listed.as_deref(),
        money: &sum_by_currency(plan.fresh.iter().filter_map(|row| row.cost)),
    })
}
