//! Which column is what, and how its cells are read: as the options say, else as
//! the table shows it, else asked.

use super::super::arguments::{AdoptArgs, DateOrder, Decimal};
use super::super::failure::Failure;
use super::super::opened;
use super::super::world::World;
use crate::import::amounts::{DecimalMark, Unsure, decimal_mark};
use crate::import::columns::{ColumnContent, Columns};
use crate::import::days::{DayOrder, UnsureDays, day_order};
use crate::import::table::Table;
use crate::journal::Journal;
use crate::vocabulary::money::Currency;

/// Chooses the columns.
///
/// # Errors
/// When a column is missing, or could be read in two ways.
pub(super) fn columns(
    verb: &AdoptArgs,
    table: &Table,
    journal: &Journal,
    world: &World,
) -> Result<Columns, Failure> {
    let currency = match &verb.currency {
        Some(code) => Currency::from_code(code).ok_or_else(|| {
            Failure::misuse(
                format!("`{code}` is no currency"),
                "write its three letters",
            )
        })?,
        None => journal.settings().currency,
    };
    if let Some(day) = table.day_in_header() {
        return Err(Failure::misuse(
            format!("the first line of the table names no columns: `{day}` stands in it"),
            "put a line with their names above it: Date, Part, Cost",
        ));
    }
    let mut columns = Columns::guess(&table.header, currency);
    name(verb, table, &mut columns)?;
    columns.day = opened::maybe_day("--day", verb.day.as_ref(), world)?;
    if verb.all_vehicle.is_some() {
        columns.clear(ColumnContent::Vehicle);
        columns.all_vehicle.clone_from(&verb.all_vehicle);
    } else if columns.of(ColumnContent::Vehicle).is_none()
        && let [only] = journal.vehicles()
    {
        columns.all_vehicle = Some(only.slug.clone());
    }
    need(verb, table, &mut columns)?;
    columns.order = order(verb, table, &columns)?;
    columns.cost_mark = mark(verb, table, &columns, ColumnContent::Cost)?;
    columns.hours_mark = mark(verb, table, &columns, ColumnContent::Hours)?;
    Ok(columns)
}

/// Takes the columns that the options name.
fn name(verb: &AdoptArgs, table: &Table, columns: &mut Columns) -> Result<(), Failure> {
    let find = |name: &String| {
        table.column(name).ok_or_else(|| {
            Failure::misuse(
                format!("the table has no column `{name}`"),
                format!("its columns are: {}", table.header.join(", ")),
            )
        })
    };
    for (content, name) in named_columns(verb) {
        if let Some(name) = name {
            columns.set(content, find(name)?);
        }
    }
    if !verb.text.is_empty() {
        columns.clear(ColumnContent::Text);
        for name in &verb.text {
            columns.set(ColumnContent::Text, find(name)?);
        }
    }
    if !verb.also.is_empty() {
        for at in columns.all(ColumnContent::Line) {
            columns.set(ColumnContent::LeftOut, at);
        }
        for name in &verb.also {
            columns.set(ColumnContent::Line, find(name)?);
        }
    }
    Ok(())
}

/// Sees that a row can have all that an entry needs. Without a part, nothing can
/// be said about one: such columns become lines.
fn need(verb: &AdoptArgs, table: &Table, columns: &mut Columns) -> Result<(), Failure> {
    let has = |content: ColumnContent| columns.of(content).is_some();
    let missing = if !has(ColumnContent::Date) && columns.day.is_none() {
        Some(("date", "--date COLUMN, or say --day DAY for all rows"))
    } else if !has(ColumnContent::Text) && !has(ColumnContent::Part) {
        Some(("text", "--text COLUMN"))
    } else if !has(ColumnContent::Vehicle) && columns.all_vehicle.is_none() {
        Some(("vehicle", "--vehicle COLUMN, or say --all-vehicle NAME"))
    } else {
        None
    };
    if let Some((what, option)) = missing {
        return Err(Failure::misuse(
            format!("no column of the table looks like the {what}"),
            format!(
                "name it with {option}; the columns are: {}",
                table.header.join(", ")
            ),
        ));
    }
    if has(ColumnContent::Part) {
        return Ok(());
    }
    for (content, named) in [
        (ColumnContent::Status, &verb.status),
        (ColumnContent::Bag, &verb.bag),
        (ColumnContent::Shelf, &verb.shelf),
        (ColumnContent::Needs, &verb.needs),
        (ColumnContent::Replaced, &verb.replaced),
    ] {
        if named.is_some() {
            return Err(Failure::misuse(
                format!(
                    "--{} says something about a part, and no column has its name",
                    content.word()
                ),
                "name that column with --part COLUMN",
            ));
        }
        if let Some(at) = columns.of(content) {
            columns.set(
                if verb.also.is_empty() {
                    ColumnContent::Line
                } else {
                    ColumnContent::LeftOut
                },
                at,
            );
        }
    }
    Ok(())
}

/// The cells of a column.
fn cells(table: &Table, column: usize) -> impl Iterator<Item = &str> + Clone {
    table
        .rows
        .iter()
        .filter_map(move |row| row.cells.as_ref().ok()?.get(column).map(String::as_str))
}

/// The order of a day's numbers that the person said.
pub(super) fn order_said(said: DateOrder) -> DayOrder {
    match said {
        DateOrder::Ymd => DayOrder::YearMonthDay,
        DateOrder::Dmy => DayOrder::DayMonthYear,
        DateOrder::Mdy => DayOrder::MonthDayYear,
        DateOrder::Number => DayOrder::DayNumber,
        DateOrder::Number1904 => DayOrder::DayNumber1904,
    }
}

fn order(verb: &AdoptArgs, table: &Table, columns: &Columns) -> Result<DayOrder, Failure> {
    match (verb.date_order, columns.of(ColumnContent::Date)) {
        (Some(said), _) => Ok(order_said(said)),
        (None, None) => Ok(DayOrder::YearMonthDay),
        (None, Some(at)) => day_order(cells(table, at)).map_err(unsure_days),
    }
}

/// How `--date-order` names an order.
pub(super) const fn order_word(order: DayOrder) -> &'static str {
    match order {
        DayOrder::YearMonthDay => "ymd",
        DayOrder::DayMonthYear => "dmy",
        DayOrder::MonthDayYear => "mdy",
        DayOrder::DayNumber => "number",
        DayOrder::DayNumber1904 => "number1904",
    }
}

fn unsure_days(unsure: UnsureDays) -> Failure {
    match unsure {
        UnsureDays::Either { cell, days } => {
            let readings: Vec<String> = days.iter().map(|(_, day)| day.to_string()).collect();
            let options: Vec<String> = days
                .iter()
                .map(|(order, day)| format!("--date-order {} for {day}", order_word(*order)))
                .collect();
            Failure::misuse(
                format!("the day `{cell}` could be {}", readings.join(" or ")),
                format!("say which: {}", options.join(", ")),
            )
        }
        UnsureDays::Mixed(one, other) => Failure::misuse(
            format!("the days are written in two ways: `{one}` and `{other}`"),
            "say one with --date-order: rows written in the other are put aside, to be adopted by themselves",
        ),
    }
}

fn mark(
    verb: &AdoptArgs,
    table: &Table,
    columns: &Columns,
    content: ColumnContent,
) -> Result<DecimalMark, Failure> {
    match (verb.decimal, columns.of(content)) {
        (Some(Decimal::Point), _) | (None, None) => Ok(DecimalMark::Point),
        (Some(Decimal::Comma), _) => Ok(DecimalMark::Comma),
        (None, Some(at)) => {
            // `1:30` has no decimals.
            let amounts = cells(table, at).filter(|cell| !cell.contains(':'));
            decimal_mark(amounts).map_err(|unsure| unsure_mark(unsure, content))
        }
    }
}

fn unsure_mark(unsure: Unsure, content: ColumnContent) -> Failure {
    match unsure {
        Unsure::Either(cell) => {
            let read = |mark: DecimalMark| mark.plain(&cell).unwrap_or_default();
            let (point, comma) = (read(DecimalMark::Point), read(DecimalMark::Comma));
            Failure::misuse(
                format!(
                    "in the column of the {}, `{cell}` could be {point} or {comma}",
                    content.word()
                ),
                format!("say which: --decimal point for {point}, --decimal comma for {comma}"),
            )
        }
        Unsure::Mixed(one, other) => Failure::misuse(
            format!(
                "the column of the {} marks decimals in two ways: `{one}` and `{other}`",
                content.word()
            ),
            "say one with --decimal point or --decimal comma: rows with the other are put aside, to be adopted by themselves",
        ),
    }
}

/// The columns that were named, each for one kind of content.
pub(super) fn named_columns(verb: &AdoptArgs) -> [(ColumnContent, &Option<String>); 10] {
    [
        (ColumnContent::Date, &verb.date),
        (ColumnContent::Vehicle, &verb.vehicle),
        (ColumnContent::Cost, &verb.cost),
        (ColumnContent::Part, &verb.part),
        (ColumnContent::Status, &verb.status),
        (ColumnContent::Bag, &verb.bag),
        (ColumnContent::Shelf, &verb.shelf),
        (ColumnContent::Needs, &verb.needs),
        (ColumnContent::Replaced, &verb.replaced),
        (ColumnContent::Hours, &verb.hours),
    ]
}
