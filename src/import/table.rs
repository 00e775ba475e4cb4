//! A table as text (CSV): its header, and its rows as they stand in the file.
//!
//! What the cells mean is for `columns` and `rows`.

use std::ops::Range;

use super::encoding::EncodedText;
use super::lines::{RawRow, rows};
use crate::vocabulary::day_reading::{ReadDay, Toward, read_day};
use crate::vocabulary::spreadsheet_cell::unmarked;
use crate::vocabulary::words::fold;

/// A table as read.
#[derive(Clone, Debug)]
pub struct Table {
    /// The names of the columns.
    pub header: Vec<String>,
    /// What stands below the header.
    pub rows: Vec<TableRow>,
    stored: EncodedText,
    /// The bytes of the header, with a `sep=` line above it.
    head: Range<usize>,
}

/// A row of a table.
#[derive(Clone, Debug)]
pub struct TableRow {
    /// The line of the file it begins in, from 1.
    pub line: usize,
    /// As many cells as the header has, or why they cannot be read.
    pub cells: Result<Vec<String>, String>,
    span: Range<usize>,
}

impl Table {
    /// Reads a table with a header line. What parts its cells is the sign that a
    /// `sep=` line names, else comma, semicolon or tab, whichever the header has
    /// most of.
    ///
    /// # Errors
    /// When it is no text, or has no header.
    pub fn read(file: &[u8]) -> Result<Table, String> {
        let stored = EncodedText::read(file)?;
        let (named, above) = named_delimiter(&stored.bytes);
        let below = &stored.bytes[above..];
        let delimiter = named.unwrap_or_else(|| likely_delimiter(below));
        let mut raw = rows(below, delimiter).into_iter();
        let first = raw.next().ok_or("it is empty")?;
        let header = first.cells.clone()?;
        let header: Vec<String> = header
            .iter()
            .map(|cell| stored.text(cell))
            .collect::<Option<_>>()
            .ok_or("its first line holds bytes that are not UTF-8")?;
        if header.iter().all(|name| name.trim().is_empty()) {
            return Err("its first line names no columns".to_owned());
        }
        let lines_above = usize::from(above > 0);
        Ok(Table {
            rows: raw
                .map(|row| TableRow {
                    line: row.line + lines_above,
                    cells: cells(&row, &stored, header.len()),
                    span: row.span.start + above..row.span.end + above,
                })
                .collect(),
            header,
            head: 0..above + first.span.end,
            stored,
        })
    }

    /// The column with this name, without regard to case; else the one with this number,
    /// counted from 1.
    #[must_use]
    pub fn column(&self, name: &str) -> Option<usize> {
        let named = self
            .header
            .iter()
            .position(|column| fold(column) == fold(name));
        let number = || name.trim().parse::<usize>().ok()?.checked_sub(1);
        named.or_else(|| number().filter(|at| *at < self.header.len()))
    }

    /// A cell of the first line that is a day, which no column is called: the line is a
    /// row then, and names nothing.
    #[must_use]
    pub fn day_in_header(&self) -> Option<&str> {
        let is_day = |cell: &&String| {
            let marks = cell.chars().filter(|c| matches!(c, '-' | '/' | '.'));
            let digits = cell.bytes().filter(u8::is_ascii_digit).count();
            marks.count() == 2 && digits > 3 && says_day(cell)
        };
        self.header.iter().find(is_day).map(String::as_str)
    }

    /// A table of these rows alone, each byte as it stands in the file.
    #[must_use]
    pub fn only(&self, rows: &[usize]) -> Vec<u8> {
        let mut bytes = self.stored.mark();
        let pieces = std::iter::once(&self.head).chain(rows.iter().map(|at| &self.rows[*at].span));
        for span in pieces {
            let piece = &self.stored.bytes[span.clone()];
            bytes.extend(self.stored.as_in_file(piece));
            if !piece.ends_with(b"\n") && !piece.ends_with(b"\r") {
                bytes.extend(self.stored.as_in_file(b"\n"));
            }
        }
        bytes
    }

    /// How its characters are stored, for a person.
    #[must_use]
    pub const fn encoding(&self) -> &'static str {
        self.stored.name()
    }
}

/// Whether a cell can be read as a day, whatever it is counted from.
fn says_day(cell: &str) -> bool {
    let from = jiff::civil::date(2000, 1, 1);
    read_day(cell, from, Toward::Past) != ReadDay::Unread
}

impl TableRow {
    /// Whether it holds no words at all: spreadsheets leave such rows behind.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        matches!(&self.cells, Ok(cells) if cells.iter().all(|cell| cell.trim().is_empty()))
    }
}

/// A row's cells as text, without the mark that keeps a spreadsheet from running one.
/// Empty cells at the end may be missing.
fn cells(row: &RawRow, stored: &EncodedText, width: usize) -> Result<Vec<String>, String> {
    let mut cells: Vec<String> = row
        .cells
        .clone()?
        .iter()
        .map(|cell| Some(unmarked(&stored.text(cell)?).to_owned()))
        .collect::<Option<_>>()
        .ok_or("it holds bytes that are not UTF-8")?;
    let full = cells
        .iter()
        .rposition(|cell| !cell.trim().is_empty())
        .map_or(0, |last| last + 1);
    if full > width {
        return Err(format!("it has {full} cells, the header {width}"));
    }
    cells.resize(width, String::new());
    Ok(cells)
}

/// The sign named by a `sep=;` line, and where the table begins below it.
fn named_delimiter(bytes: &[u8]) -> (Option<u8>, usize) {
    let Some(rest) = bytes.strip_prefix(b"sep=") else {
        return (None, 0);
    };
    match rest {
        [sign, b'\r', b'\n', ..] => (Some(*sign), 7),
        [sign, b'\n' | b'\r', ..] => (Some(*sign), 6),
        _ => (None, 0),
    }
}

/// The sign that the header has most of, outside of quotes.
fn likely_delimiter(bytes: &[u8]) -> u8 {
    let mut quoted = false;
    let mut counts = [(b',', 0_usize), (b';', 0), (b'\t', 0)];
    for byte in bytes {
        match byte {
            b'"' => quoted = !quoted,
            b'\r' | b'\n' if !quoted => break,
            byte if !quoted => {
                for (sign, count) in &mut counts {
                    *count += usize::from(sign == byte);
                }
            }
            _ => {}
        }
    }
    counts
        .into_iter()
        .max_by_key(|(sign, count)| (*count, *sign == b','))
        .map_or(b',', |(sign, _)| sign)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Table {
        Table::read(text.as_bytes()).expect("a table")
    }

    #[test]
    fn the_delimiter_is_named_or_seen() {
        for text in [
            "day,text\n1,x\n",
            "day;text\n1;x\n",
            "day\ttext\n1\tx\n",
            "sep=;\nday;text\n1;x\n",
            "sep=|\r\nday|text\r\n1|x\r\n",
            "\"day\";\"text\"\n1;x\n",
        ] {
            let table = read(text);
            assert_eq!(table.header, ["day", "text"], "{text}");
            assert_eq!(
                table.rows[0].cells.as_deref(),
                Ok(&["1".into(), "x".into()][..])
            );
        }
        assert_eq!(read("\"a,b,c\";\"text\"\n1;x\n").header, ["a,b,c", "text"]);
    }

    #[test]
    fn columns_are_found_by_name_or_number_and_days_name_none() {
        let table = read("Day,Text,3\n1,x,y\n");
        assert_eq!(table.column("text"), Some(1));
        assert_eq!(table.column("2"), Some(1));
        assert_eq!((table.column("0"), table.column("4")), (None, None));
        assert_eq!(table.day_in_header(), None);
        for (row, day) in [
            ("2026-04-08,Valve,9\n", "2026-04-08"),
            ("Valve,14-Mar-26\n", "14-Mar-26"),
        ] {
            assert_eq!(read(row).day_in_header(), Some(day), "{row}");
        }
    }

    #[test]
    fn a_cell_marked_as_text_is_read_as_it_was() {
        let table = read("a,b,c\n'=1+1,'-x,'tis\n");
        assert_eq!(
            table.rows[0].cells.as_deref(),
            Ok(&["=1+1".into(), "-x".into(), "'tis".into()][..])
        );
    }

    #[test]
    fn short_rows_are_filled_up_and_long_ones_refused() {
        let table = read("a,b,c\n1\n1,2,3,,\n1,2,3,4\n,,\n");
        let wide = |at: usize| table.rows[at].cells.as_ref().map(Vec::len);
        assert_eq!((wide(0), wide(1)), (Ok(3), Ok(3)));
        assert_eq!(
            table.rows[2].cells,
            Err("it has 4 cells, the header 3".to_owned())
        );
        assert!(table.rows[3].is_empty());
    }

    #[test]
    fn rows_are_given_back_byte_for_byte() {
        let file = b"\xef\xbb\xbfsep=;\r\nday;text\r\n1;\"a\nb\"\r\n2;\xff\r\n3;\"c";
        let table = Table::read(file).expect("a table");
        assert_eq!(
            table.only(&[1, 2]),
            b"\xef\xbb\xbfsep=;\r\nday;text\r\n2;\xff\r\n3;\"c\n"
        );
        assert_eq!(table.rows[2].line, 6);
    }
}
