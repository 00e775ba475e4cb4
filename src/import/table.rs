//! A table of notes (CSV): which column is what, and each row as a section of
//! an entry.
//!
//! A row either becomes a section or is listed with the reason why not. Its
//! text is quoted, so that no sign in it means anything to Markdown or to the
//! entry format, and comes back byte for byte.

use jiff::civil::Date;

use crate::entry::new_entry;
use crate::vocabulary::cost_reading::read_cost;
use crate::vocabulary::day::read_date;
use crate::vocabulary::money::{Currency, Money};
use crate::vocabulary::words::fold;

/// A table as read: header and rows of cells.
#[derive(Clone, Debug)]
pub struct Table {
    /// The names of the columns.
    pub header: Vec<String>,
    /// The rows; `Err` for one that is no text.
    pub rows: Vec<Result<Vec<String>, String>>,
}

impl Table {
    /// Reads CSV with a header line; comma, semicolon or tab, whichever the
    /// header has most of.
    ///
    /// # Errors
    /// When there is no header.
    pub fn read(bytes: &[u8]) -> Result<Table, String> {
        let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
        let first_line = bytes
            .split(|byte| *byte == b'\n')
            .next()
            .unwrap_or_default();
        let count = |sign: u8| first_line.iter().filter(|byte| **byte == sign).count();
        let delimiter = [b',', b';', b'\t']
            .into_iter()
            .max_by_key(|sign| (count(*sign), *sign == b','))
            .unwrap_or(b',');
        let mut reader = csv::ReaderBuilder::new()
            .flexible(true)
            .has_headers(false)
            .delimiter(delimiter)
            .from_reader(bytes);
        let mut rows = Vec::new();
        let mut record = csv::ByteRecord::new();
        loop {
            match reader.read_byte_record(&mut record) {
                Ok(false) => break,
                Ok(true) => rows.push(cells(&record)),
                Err(error) => rows.push(Err(error.to_string())),
            }
        }
        if rows.is_empty() {
            return Err("it is empty".to_owned());
        }
        let header = rows.remove(0)?;
        if header.iter().all(|name| name.trim().is_empty()) {
            return Err("its first line names no columns".to_owned());
        }
        Ok(Table { header, rows })
    }

    /// The column with this name, without regard to case.
    #[must_use]
    pub fn column(&self, name: &str) -> Option<usize> {
        self.header
            .iter()
            .position(|column| fold(column) == fold(name))
    }
}

fn cells(record: &csv::ByteRecord) -> Result<Vec<String>, String> {
    record
        .iter()
        .map(|cell| {
            String::from_utf8(cell.to_vec()).map_err(|_| "it holds bytes that are not UTF-8".into())
        })
        .collect()
}

/// The order of the numbers in a date.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Order {
    /// 2026-03-14
    YearMonthDay,
    /// 14.3.2026
    DayMonthYear,
    /// 3/14/2026
    MonthDayYear,
}

impl Order {
    /// The order in words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Order::YearMonthDay => "year, month, day",
            Order::DayMonthYear => "day, month, year",
            Order::MonthDayYear => "month, day, year",
        }
    }
}

/// Which column is what.
#[derive(Clone, Debug)]
pub struct Columns {
    /// The day.
    pub date: Option<usize>,
    /// How the days are written.
    pub order: Order,
    /// The text; several are put below each other.
    pub text: Vec<usize>,
    /// The vehicle.
    pub vehicle: Option<usize>,
    /// The vehicle of all rows, if no column says it.
    pub all_vehicle: Option<String>,
    /// Money.
    pub cost: Option<usize>,
    /// What money counts in.
    pub currency: Currency,
    /// How its decimals are marked.
    pub marks: Marks,
    /// The part's name.
    pub part: Option<usize>,
    /// Columns kept as lines of their own.
    pub also: Vec<usize>,
}

impl Columns {
    /// Guesses from the names in the header (common practice, no source).
    #[must_use]
    pub fn guess(header: &[String], currency: Currency) -> Columns {
        let mut free: Vec<usize> = (0..header.len()).collect();
        let mut take = |words: &[&str]| -> Option<usize> {
            let found = words
                .iter()
                .find_map(|word| free.iter().copied().find(|at| names(&header[*at], word)))?;
            free.retain(|at| *at != found);
            Some(found)
        };
        let date = take(&["date", "day", "when"]);
        let cost = take(&["cost", "amount", "price", "total", "paid", "spent"]);
        let vehicle = take(&["vehicle", "asset", "machine", "equipment", "car", "bike"]);
        let part = take(&["part", "component"]);
        let text = take(&[
            "text",
            "description",
            "notes",
            "note",
            "work",
            "remarks",
            "comment",
            "what",
        ]);
        Columns {
            date,
            order: Order::YearMonthDay,
            text: text.into_iter().collect(),
            vehicle,
            all_vehicle: None,
            cost,
            currency,
            marks: Marks::Point,
            part,
            also: Vec::new(),
        }
    }

    /// The columns that have no use yet.
    #[must_use]
    pub fn others(&self, count: usize) -> Vec<usize> {
        let used = [self.date, self.vehicle, self.cost, self.part];
        (0..count)
            .filter(|at| !used.contains(&Some(*at)) && !self.text.contains(at))
            .collect()
    }
}

/// Whether a column's name holds a word: as a word of its own, or at its end
/// ("StartDate", "ShortText").
fn names(column: &str, word: &str) -> bool {
    let folded = fold(column);
    folded
        .split(|c: char| !c.is_alphanumeric())
        .any(|own| own == word)
        || folded.ends_with(word)
}

/// What parts the decimals of an amount.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Marks {
    /// 1,234.50
    Point,
    /// 1.234,50
    Comma,
}

impl Marks {
    /// An amount with a decimal point and without groups.
    fn plain(self, written: &str) -> String {
        match self {
            Marks::Point => written.to_owned(),
            Marks::Comma => written.replace('.', "").replace(',', "."),
        }
    }
}

/// How the decimals of a column are marked: by a comma if some cell ends in a
/// comma with one or two digits and none in a point with them.
#[must_use]
pub fn decimal_marks(table: &Table, column: Option<usize>) -> Marks {
    let ends_in = |mark: char| {
        table.rows.iter().flatten().any(|row| {
            let cell = column.and_then(|at| row.get(at));
            let digits: Option<&str> = cell.and_then(|cell| {
                let amount = cell.trim_end_matches(|c: char| !c.is_ascii_digit());
                Some(amount.rsplit_once(mark)?.1)
            });
            digits.is_some_and(|digits| {
                (1..=2).contains(&digits.len()) && digits.bytes().all(|b| b.is_ascii_digit())
            })
        })
    };
    if ends_in(',') && !ends_in('.') {
        Marks::Comma
    } else {
        Marks::Point
    }
}

/// How the days of a column are written; `None` if that could be two ways.
#[must_use]
pub fn date_order(table: &Table, column: Option<usize>) -> Option<Order> {
    let column = column?;
    let mut order = None;
    let mut shortish = false;
    for row in table.rows.iter().flatten() {
        let Some(cell) = row.get(column) else {
            continue;
        };
        let Some([first, second, _]) = numbers(cell) else {
            continue;
        };
        if first > 31 {
            return Some(Order::YearMonthDay);
        }
        shortish = true;
        if first > 12 {
            order = Some(Order::DayMonthYear);
        } else if second > 12 {
            order = Some(Order::MonthDayYear);
        }
    }
    match order {
        Some(order) => Some(order),
        None if shortish => None,
        None => Some(Order::YearMonthDay),
    }
}

/// The three numbers a date begins with; a time behind them is left out.
fn numbers(text: &str) -> Option<[u32; 3]> {
    let day = text.trim().split([' ', 'T']).next()?;
    let mut parts = day.split(['-', '/', '.']);
    let mut next = || -> Option<u32> {
        let part = parts.next()?;
        (part.len() <= 4 && part.bytes().all(|byte| byte.is_ascii_digit()))
            .then(|| part.parse().ok())
            .flatten()
    };
    let numbers = [next()?, next()?, next()?];
    parts.next().is_none().then_some(numbers)
}

/// The day in a cell.
fn day(text: &str, order: Order) -> Option<Date> {
    let [first, second, third] = numbers(text)?;
    let (year, month, day) = match order {
        Order::YearMonthDay => (first, second, third),
        Order::DayMonthYear => (third, second, first),
        Order::MonthDayYear => (third, first, second),
    };
    if year < 1000 {
        return None;
    }
    read_date(&format!("{year:04}-{month:02}-{day:02}"))
}

/// A row that can be adopted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    /// Its number in the table, the first below the header being 1.
    pub number: usize,
    /// The day.
    pub date: Date,
    /// The vehicle.
    pub vehicle: String,
    /// The text, as it stands in the table.
    pub text: String,
    /// The part's name.
    pub part: Option<String>,
    /// What it cost.
    pub cost: Option<Money>,
    /// Other columns: name and words.
    pub also: Vec<(String, String)>,
}

/// A row that cannot be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unread {
    /// Its number in the table.
    pub number: usize,
    /// Why.
    pub why: String,
    /// Its cells, as far as they could be read.
    pub cells: Vec<String>,
}

/// All rows, each in one of the two lists.
#[must_use]
pub fn rows(table: &Table, columns: &Columns) -> (Vec<Row>, Vec<Unread>) {
    let mut rows = Vec::new();
    let mut unread = Vec::new();
    for (index, cells) in table.rows.iter().enumerate() {
        let number = index + 1;
        match cells {
            Ok(cells) => match row(number, cells, table, columns) {
                Ok(row) => rows.push(row),
                Err(why) => unread.push(Unread {
                    number,
                    why,
                    cells: cells.clone(),
                }),
            },
            Err(why) => unread.push(Unread {
                number,
                why: why.clone(),
                cells: Vec::new(),
            }),
        }
    }
    (rows, unread)
}

fn row(number: usize, cells: &[String], table: &Table, columns: &Columns) -> Result<Row, String> {
    if cells.len() != table.header.len() {
        return Err(format!(
            "it has {} cells, the header {}",
            cells.len(),
            table.header.len()
        ));
    }
    let cell = |at: Option<usize>| at.and_then(|at| cells.get(at)).map(String::as_str);
    let written = cell(columns.date).unwrap_or_default();
    let date = day(written, columns.order)
        .ok_or_else(|| format!("`{written}` is no day ({})", columns.order.words()))?;
    let vehicle = match (&columns.all_vehicle, cell(columns.vehicle)) {
        (Some(name), _) => name.clone(),
        (None, Some(name)) if !name.trim().is_empty() => name.trim().to_owned(),
        (None, _) => return Err("it names no vehicle".to_owned()),
    };
    let texts: Vec<&str> = columns
        .text
        .iter()
        .filter_map(|at| cells.get(*at))
        .map(String::as_str)
        .filter(|text| !text.is_empty())
        .collect();
    if texts.iter().all(|text| text.trim().is_empty()) {
        return Err("it has no text".to_owned());
    }
    let text = texts.join("\n");
    // A mark that ends a line for Markdown would leave the quotation.
    if text.contains('\r') && text.replace("\r\n", "").contains('\r') {
        return Err("its text holds a lone carriage return".to_owned());
    }
    let cost = match cell(columns.cost)
        .map(str::trim)
        .filter(|text| !text.is_empty())
    {
        None => None,
        Some(written) => {
            let plain = columns.marks.plain(written);
            let read = read_cost(&plain, columns.currency)
                .map_err(|error| format!("the money cannot be read: {error}"))?;
            if !read.cost.text.is_empty() || !read.doubts.is_empty() {
                return Err(format!("`{written}` is no plain amount of money"));
            }
            Some(read.cost.money)
        }
    };
    Ok(Row {
        number,
        date,
        vehicle,
        text,
        part: cell(columns.part)
            .map(str::trim)
            .filter(|part| !part.is_empty())
            .map(str::to_owned),
        cost,
        also: columns
            .also
            .iter()
            .filter_map(|at| Some((table.header.get(*at)?.clone(), cells.get(*at)?.clone())))
            .filter(|(_, words)| !words.trim().is_empty())
            .collect(),
    })
}

impl Row {
    /// The row as a section: its number, or its part with the cost as a fact,
    /// then the text quoted, then the other columns.
    #[must_use]
    pub fn section(&self) -> String {
        let mut section = String::new();
        match &self.part {
            Some(part) => {
                section.push_str(&format!("## {}\n\n", in_one_line(part)));
                match self.cost.filter(|cost| cost.minor != 0) {
                    Some(cost) => section.push_str(&format!("- cost: {}\n", amount(cost))),
                    None => section.push_str(&format!("- done: row {}\n", self.number)),
                }
                section.push('\n');
            }
            None => section.push_str(&format!("## Row {}\n\n", self.number)),
        }
        section.push_str(&quoted(&self.text));
        for (name, words) in &self.also {
            section.push_str(&format!(
                "\n{}: {}\n",
                in_one_line(name),
                in_one_line(words)
            ));
        }
        section
    }

    /// The cost as a value of the front matter, where no part has it.
    fn cost_of_entry(&self) -> Option<String> {
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

/// The text in a quotation made by [`quoted`].
#[must_use]
pub fn unquoted(section: &str) -> String {
    let lines: Vec<&str> = section
        .split('\n')
        .filter_map(|line| line.strip_prefix("> "))
        .collect();
    lines.join("\n")
}

/// The entry of a day and vehicle.
#[must_use]
pub fn entry(day: Date, vehicle: &str, rows: &[&Row], table_name: &str) -> String {
    let date = day.to_string();
    let mut text = new_entry(&[("date", &date), ("vehicle", vehicle)], "", "");
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

    fn table(text: &str) -> (Table, Columns) {
        let table = Table::read(text.as_bytes()).expect("a table");
        let mut columns = Columns::guess(&table.header, Currency::EUR);
        columns.also = columns.others(table.header.len());
        columns.order = date_order(&table, columns.date).expect("an order");
        (table, columns)
    }

    #[test]
    fn columns_are_guessed_from_their_names() {
        let (table, columns) =
            table("BscStartDate,Asset,OriginalShorttext,PMType,Cost\n2004-07-01,A,x,P,1\n");
        let name = |at: Option<usize>| at.map(|at| table.header[at].as_str());
        assert_eq!(name(columns.date), Some("BscStartDate"));
        assert_eq!(name(columns.vehicle), Some("Asset"));
        assert_eq!(name(columns.cost), Some("Cost"));
        assert_eq!(table.header[columns.text[0]], "OriginalShorttext");
        assert_eq!(columns.also, [3]);
    }

    #[test]
    fn days_are_read_in_their_order() {
        for (cells, order) in [
            ("14/3/2026\n", Some(Order::DayMonthYear)),
            ("3/14/2026\n", Some(Order::MonthDayYear)),
            ("3/4/2026\n", None),
            ("2026-03-04 00:00\n", Some(Order::YearMonthDay)),
        ] {
            let table = Table::read(format!("date\n{cells}").as_bytes()).expect("a table");
            assert_eq!(date_order(&table, Some(0)), order, "{cells}");
        }
        assert_eq!(
            day("14.3.2026", Order::DayMonthYear),
            Some(jiff::civil::date(2026, 3, 14))
        );
        assert_eq!(day("31/2/2026", Order::DayMonthYear), None);
    }

    #[test]
    fn decimals_are_marked_as_the_column_marks_them() {
        for (cells, marks) in [
            ("\"1.234,50\"\n\"12,5\"\n", Marks::Comma),
            ("\"1,234.50\"\n12\n", Marks::Point),
            ("\"1,234\"\n", Marks::Point),
            ("\"12,50\"\n12.50\n", Marks::Point),
            ("\"€ 96,00\"\n", Marks::Comma),
        ] {
            let table = Table::read(format!("cost\n{cells}").as_bytes()).expect("a table");
            assert_eq!(decimal_marks(&table, Some(0)), marks, "{cells}");
        }
        assert_eq!(Marks::Comma.plain("-1.234,50"), "-1234.50");
    }

    #[test]
    fn every_row_is_adopted_or_listed() {
        let (table, columns) = table(
            "date,vehicle,text,cost\n2026-01-01,a,fine,1.50\nsoon,a,x,1\n2026-01-01,,x,1\n2026-01-01,a,,1\n2026-01-01,a,x,1.2.3\n2026-01-01,a\n",
        );
        let (rows, unread) = rows(&table, &columns);
        assert_eq!(rows.len(), 1);
        let numbers: Vec<usize> = unread.iter().map(|row| row.number).collect();
        assert_eq!(numbers, [2, 3, 4, 5, 6]);
        assert!(unread.iter().all(|row| !row.why.is_empty()));
    }

    #[test]
    fn texts_come_back_byte_for_byte() {
        for text in [
            "# - removed: horn",
            "a\n\n  ```\n> b ",
            "<!-- x",
            "plain",
            "a\r\nb",
            "---",
        ] {
            let row = Row {
                number: 7,
                date: jiff::civil::date(2026, 1, 1),
                vehicle: "a".into(),
                text: text.into(),
                part: None,
                cost: None,
                also: vec![("Type".into(), "PM01".into())],
            };
            let entry = entry(row.date, "a", &[&row], "t.csv");
            assert_eq!(unquoted(&entry), text, "{entry}");
        }
    }
}
