//! A cell of a table that a spreadsheet will open: one that it would run as a formula
//! is marked with an apostrophe, and the mark is taken away when it is read back.
//!
//! Does not quote or part cells; that is for the writer and the reader of tables.

use std::borrow::Cow;

/// Marks the cell as text.
const MARK: char = '\'';

/// The cell as it is written: with one [`MARK`] more if a spreadsheet would take it for
/// a formula, or if [`unmarked`] would take a mark from it. A plain number
/// (`-15.00`) stays one.
#[must_use]
pub fn marked(cell: &str) -> Cow<'_, str> {
    if is_formula(cell.trim_start_matches(MARK)) && !is_number(cell) {
        Cow::Owned(format!("{MARK}{cell}"))
    } else {
        Cow::Borrowed(cell)
    }
}

/// The cell as it was before [`marked`] wrote it.
#[must_use]
pub fn unmarked(cell: &str) -> &str {
    match cell.strip_prefix(MARK) {
        Some(rest) if is_formula(rest.trim_start_matches(MARK)) => rest,
        Some(_) | None => cell,
    }
}

/// Whether it begins, after white space, as formulas do. Some spreadsheets read
/// full-width signs too; a tab or a carriage return hides what follows.
fn is_formula(cell: &str) -> bool {
    cell.starts_with(['\t', '\r'])
        || cell
            .trim_start()
            .starts_with(['=', '+', '-', '@', '＝', '＋', '－', '＠'])
}

/// A sign, digits, and decimals after a point.
fn is_number(cell: &str) -> bool {
    let digits = |part: &str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
    let figure = cell.strip_prefix(['-', '+']).unwrap_or(cell);
    match figure.split_once('.') {
        Some((whole, decimals)) => digits(whole) && digits(decimals),
        None => digits(figure),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_spreadsheet_would_run_is_marked() {
        for (cell, written) in [
            ("=HYPERLINK(\"x\")", "'=HYPERLINK(\"x\")"),
            ("+1 bolt", "'+1 bolt"),
            ("-1-2", "'-1-2"),
            ("- spare", "'- spare"),
            ("@now", "'@now"),
            (" =1", "' =1"),
            ("\tx", "'\tx"),
            ("\rx", "'\rx"),
            ("＝1", "'＝1"),
            ("'=1", "''=1"),
            ("-", "'-"),
            ("-1.", "'-1."),
            // As they are.
            ("-15.00", "-15.00"),
            ("+3", "+3"),
            ("84.50", "84.50"),
            ("'tis worn", "'tis worn"),
            ("a=b", "a=b"),
            ("3-1/2", "3-1/2"),
            ("", ""),
        ] {
            assert_eq!(marked(cell), written, "{cell}");
        }
    }

    proptest::proptest! {
        #[test]
        fn every_cell_comes_back(cell in "[-'=+@ \t\r0-9.a]{0,6}") {
            let written = marked(&cell);
            proptest::prop_assert_eq!(unmarked(&written), &cell);
            let first = written.trim_start().chars().next();
            let bare = first.is_some_and(|c| "=+-@".contains(c));
            proptest::prop_assert!(!bare || is_number(&written));
        }
    }
}
