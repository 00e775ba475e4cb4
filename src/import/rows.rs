//! The rows of a table as a person means them: each becomes a row to adopt, or
//! is told apart with the reason.
//!
//! Nothing is guessed in a cell: what has no one reading keeps its row back.

use super::amounts::{DecimalMark, is_none};
use super::columns::{ColumnContent, Columns};
use super::row::ImportRow;
use super::table::Table;
use crate::vocabulary::cost_reading::{CostDoubt, CostError, read_cost};
use crate::vocabulary::hours::Minutes;
use crate::vocabulary::hours_reading::{ReadHours, read_hours};
use crate::vocabulary::money::Money;
use crate::vocabulary::status::read_status;
use crate::vocabulary::words::fold;

/// All rows of a table, each in one place.
#[derive(Clone, Debug, Default)]
pub struct Rows {
    /// What can be adopted.
    pub rows: Vec<ImportRow>,
    /// What cannot.
    pub unread: Vec<UnreadRow>,
    /// How many rows hold no words at all.
    pub empty: usize,
    /// Cells that say nothing about a part though their column does: the
    /// column's name and the cell. They are kept as lines.
    pub unplaced: Vec<(String, String)>,
}

/// A row that cannot be adopted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UnreadRow {
    /// Its number in the table, the first below the header being 1.
    pub number: usize,
    /// The line of the file it begins in.
    pub line: usize,
    /// Why.
    pub why: String,
}

/// Reads all rows.
#[must_use]
pub fn read(table: &Table, columns: &Columns) -> Rows {
    let mut read = Rows::default();
    for (index, table_row) in table.rows.iter().enumerate() {
        if table_row.is_empty() {
            read.empty += 1;
            continue;
        }
        let number = index + 1;
        let row = table_row
            .cells
            .as_ref()
            .map_err(Clone::clone)
            .and_then(|cells| row(number, cells, table, columns));
        match row {
            Ok((row, unplaced)) => {
                read.rows.push(row);
                read.unplaced.extend(unplaced);
            }
            Err(why) => read.unread.push(UnreadRow {
                number,
                line: table_row.line,
                why,
            }),
        }
    }
    read
}

/// Names and words of cells.
type CellTexts = Vec<(String, String)>;

fn row(
    number: usize,
    cells: &[String],
    table: &Table,
    columns: &Columns,
) -> Result<(ImportRow, CellTexts), String> {
    let cell = |content: ColumnContent| {
        columns
            .of(content)
            .and_then(|at| cells.get(at))
            .map(|cell| cell.trim())
            .filter(|cell| !cell.is_empty())
    };
    let part = cell(ColumnContent::Part).map(str::to_owned);
    let text = text(cells, columns);
    if text.trim().is_empty() && part.is_none() {
        return Err("it has no text".to_owned());
    }
    // A mark that ends a line for Markdown would leave the quotation.
    if cells
        .iter()
        .any(|cell| cell.replace("\r\n", "").contains('\r'))
    {
        return Err("it holds a carriage return without a line feed".to_owned());
    }
    let date = match (cell(ColumnContent::Date), columns.day) {
        (Some(written), _) => columns
            .order
            .day(written)
            .ok_or_else(|| format!("`{written}` is no day ({})", columns.order.words()))?,
        (None, Some(day)) if !is_sum(&text) => day,
        (None, Some(_)) => return Err("it looks like the sum of other rows".to_owned()),
        (None, None) => return Err("it names no day".to_owned()),
    };
    let vehicle = columns
        .all_vehicle
        .as_deref()
        .or_else(|| cell(ColumnContent::Vehicle))
        .ok_or("it names no vehicle")?
        .to_owned();
    let cost = match cell(ColumnContent::Cost).filter(|cell| !is_none(cell)) {
        Some(written) => Some(money(written, columns)?),
        None => None,
    };
    let hours = match cell(ColumnContent::Hours).filter(|cell| !is_none(cell)) {
        Some(written) => Some(hours(written, columns.hours_mark)?).filter(|(own, _)| own.0 > 0),
        None => None,
    };
    let name = |at: usize| table.header.get(at).cloned().unwrap_or_default();
    let mut facts = Vec::new();
    let mut unplaced = CellTexts::new();
    let mut kept = columns.all(ColumnContent::Line);
    for content in ColumnContent::NAMED {
        let (Some(key), Some(at), Some(words)) =
            (content.fact_key(), columns.of(content), cell(content))
        else {
            continue;
        };
        if part.is_some() && says_something(content, words) {
            facts.extend(words.lines().map(|line| (key, line.trim().to_owned())));
            facts.retain(|(_, words)| !words.is_empty());
        } else {
            unplaced.push((name(at), words.to_owned()));
            kept.push(at);
        }
    }
    kept.sort_unstable();
    let lines = kept
        .into_iter()
        .filter_map(|at| Some((name(at), cells.get(at)?.clone())))
        .filter(|(_, words)| !words.trim().is_empty())
        .collect();
    let row = ImportRow {
        number,
        date,
        vehicle,
        text,
        part,
        facts,
        cost,
        hours,
        lines,
    };
    Ok((row, unplaced))
}

/// The columns of the text below each other.
fn text(cells: &[String], columns: &Columns) -> String {
    let texts: Vec<&str> = columns
        .all(ColumnContent::Text)
        .iter()
        .filter_map(|at| cells.get(*at))
        .map(String::as_str)
        .filter(|text| !text.is_empty())
        .collect();
    texts.join("\n")
}

/// Whether a row without a day is the last line of an account.
fn is_sum(text: &str) -> bool {
    let text = fold(text);
    let text = text.trim_end_matches([':', '=']).trim();
    [
        "total",
        "totals",
        "subtotal",
        "grand total",
        "sum",
        "balance",
    ]
    .contains(&text)
}

/// Whether a cell can be a fact: a status that is none, and a mere yes or no,
/// cannot.
fn says_something(content: ColumnContent, words: &str) -> bool {
    const YES_OR_NO: [&str; 12] = [
        "yes", "y", "x", "true", "no", "n", "none", "false", "n/a", "-", "\u{2013}", "nothing",
    ];
    if content == ColumnContent::Status {
        return read_status(words).is_some();
    }
    !YES_OR_NO.contains(&fold(words).as_str())
}

fn money(written: &str, columns: &Columns) -> Result<Money, String> {
    let plain = columns.cost_mark.plain(written).ok_or_else(|| {
        format!(
            "`{written}` is no amount of money with a {}",
            columns.cost_mark.words()
        )
    })?;
    let read = read_cost(&not_a_group(&plain), columns.currency).map_err(|error| {
        let error = if let CostError::TooFine(_, currency) = error {
            CostError::TooFine(plain, currency)
        } else {
            error
        };
        format!("the money cannot be read: {error}")
    })?;
    // Which currency a sign was taken for stands in the preview.
    let is_guess = |doubt: &CostDoubt| matches!(doubt, CostDoubt::GuessedCurrency(_));
    if !read.cost.text.is_empty() || !read.doubts.iter().all(is_guess) {
        return Err(format!("`{written}` is no plain amount of money"));
    }
    Ok(read.cost.money)
}

/// An amount with another number of decimals where it has three: its mark is known, and
/// three digits behind it would be taken for thousands.
fn not_a_group(plain: &str) -> String {
    let (number, words) = plain.split_once(' ').unwrap_or((plain, ""));
    match number.split_once('.') {
        Some((whole, decimals)) if decimals.len() == 3 => match decimals.strip_suffix('0') {
            Some(two) => format!("{whole}.{two} {words}"),
            None => format!("{number}0 {words}"),
        },
        Some(_) | None => plain.to_owned(),
    }
}

/// A column of figures has decimals: `1.30` is no hour and thirty minutes there.
fn hours_of_cell(plain: &str) -> Option<Minutes> {
    match read_hours(plain) {
        ReadHours::Exactly(minutes) => Some(minutes),
        ReadHours::Either(_, decimal) if !plain.contains(char::is_alphabetic) => Some(decimal),
        ReadHours::Either(..) | ReadHours::About(_) | ReadHours::Unread => None,
    }
}

/// The time in a cell, and how an entry writes it.
fn hours(written: &str, mark: DecimalMark) -> Result<(Minutes, String), String> {
    let plain = if written.contains(':') {
        Some(written.to_owned())
    } else {
        mark.plain(written)
    };
    plain
        .and_then(|plain| Some((hours_of_cell(&plain)?, plain)))
        .ok_or_else(|| format!("`{written}` is no time worked"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::vocabulary::money::Currency;

    fn read_text(text: &str) -> Rows {
        let table = Table::read(text.as_bytes()).expect("a table");
        read(&table, &Columns::guess(&table.header, Currency::EUR))
    }

    #[test]
    fn every_row_is_adopted_or_told_apart() {
        let rows = read_text(
            "date,vehicle,text,cost\n2026-01-01,a,fine,1.50\nsoon,a,x,1\n2026-01-01,,x,1\n2026-01-01,a,,1\n2026-01-01,a,x,1.2.3\n2026-01-01,a\n,,,\n2026-01-01,a,short\n,a,x\n2026-01-01,a,x,\"1,5\"\n2026-01-01,a,x,0.005\n",
        );
        assert_eq!((rows.rows.len(), rows.empty), (2, 1));
        let numbers: Vec<usize> = rows.unread.iter().map(|row| row.number).collect();
        assert_eq!(numbers, [2, 3, 4, 5, 6, 9, 10, 11]);
        assert!(rows.unread.iter().all(|row| !row.why.is_empty()));
    }

    #[test]
    fn a_part_gets_its_facts() {
        let rows = read_text(
            "date,vehicle,part,status,bag,shelf,needs,replaced by,hours,cost\n2026-01-01,a,Horn,removed,12,rack 2,\"clean\nbuy felt\",reproduction,1.5,12\n2026-01-01,a,Lamp,paid,,,no,yes,1:30,\n2026-01-01,a,Wing,,,,,,,\n",
        );
        assert_eq!(rows.unread, []);
        assert_eq!(
            rows.rows[0].section(),
            "## Horn\n\n- status: removed\n- bag: 12\n- stored: rack 2\n- needs: clean\n- needs: buy felt\n- replaced by: reproduction\n- hours: 1.5\n- cost: EUR 12.00\n"
        );
        assert_eq!(
            rows.rows[1].section(),
            "## Lamp\n\n- hours: 1:30\n\n> status: paid\n> needs: no\n> replaced by: yes\n"
        );
        assert_eq!(rows.rows[2].section(), "## Wing\n\n- date: 2026-01-01\n");
        assert_eq!(rows.unplaced.len(), 3);
    }

    #[test]
    fn a_sum_is_no_row_of_the_day_that_all_rows_get() {
        let table =
            Table::read(b"text,vehicle,cost\nnuts,a,1\nbolts,a,2\nTotal,a,3\n").expect("a table");
        let mut columns = Columns::guess(&table.header, Currency::EUR);
        columns.day = Some(jiff::civil::date(2026, 3, 14));
        let rows = read(&table, &columns);
        assert_eq!(rows.rows.len(), 2);
        assert!(rows.unread[0].why.contains("sum"));
    }
}
