//! Tables as CSV (RFC 4180): quoted where needed, lines ended by CRLF. No cell is a
//! formula to a spreadsheet.

pub mod replaced;
pub mod shots;
pub mod tally;

use super::text::shown;
use crate::vocabulary::spreadsheet_cell::marked;

/// The form for a spreadsheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Csv;

/// A table with its header.
#[must_use]
pub fn table(header: &[&str], rows: &[Vec<String>]) -> String {
    let mut writer = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer(Vec::new());
    // Writing into memory fails only for rows of unequal length, and every row
    // here is made beside the header.
    let written = writer.write_record(header).is_ok()
        && rows.iter().all(|row| {
            writer
                .write_record(row.iter().map(|cell| marked(&shown(cell)).into_owned()))
                .is_ok()
        });
    debug_assert!(written, "a row of another length than the header");
    let bytes = writer.into_inner().unwrap_or_default();
    String::from_utf8(bytes).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_cell_is_a_formula() {
        let rows = [vec!["=1+1".to_owned(), "-15.00".to_owned()]];
        assert_eq!(table(&["a", "b"], &rows), "a,b\r\n'=1+1,-15.00\r\n");
    }
}
