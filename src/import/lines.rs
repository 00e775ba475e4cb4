//! Bytes of a table divided into rows, each with its place in the file (RFC 4180).
//!
//! Stricter than most readers about quotes: a cell whose quotes do not close
//! where the cell ends would swallow its neighbours, so its lines are set apart
//! with the reason. It knows nothing of what the cells mean.

use std::ops::Range;

/// A row of cells, or lines that are none.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct RawRow {
    /// The line of the file it begins in, from 1.
    pub(super) line: usize,
    /// Its bytes with the line end.
    pub(super) span: Range<usize>,
    /// Its cells without quotes, or why it has none.
    pub(super) cells: Result<Vec<Vec<u8>>, &'static str>,
}

/// Why lines have no cells.
pub(super) const UNCLOSED: &str = "a quote opens a cell and nothing closes it";
/// Why lines have no cells.
pub(super) const CLOSED_EARLY: &str = "a quote closes before its cell ends";

/// All rows; lines without any sign are none. Where quotes do not close, the
/// row's lines go on to the next line that reads by itself as a row of as many
/// cells as the first row has.
pub(super) fn rows(bytes: &[u8], delimiter: u8) -> Vec<RawRow> {
    let mut rows: Vec<RawRow> = Vec::new();
    let mut at = 0;
    let mut line = 1;
    while at < bytes.len() {
        let (end, cells) = row(bytes, at, delimiter);
        let width = rows
            .first()
            .and_then(|row| row.cells.as_ref().ok())
            .map(Vec::len);
        let end = match (&cells, width) {
            (Ok(_), _) => end,
            (Err(_), width) => resume(bytes, at, delimiter, width),
        };
        let is_empty = matches!(&cells, Ok(cells) if cells.len() == 1 && cells[0].is_empty());
        if !is_empty {
            rows.push(RawRow {
                line,
                span: at..end,
                cells,
            });
        }
        line += line_ends(&bytes[at..end]);
        at = end;
    }
    rows
}

/// Where reading goes on behind a row whose quotes do not close.
fn resume(bytes: &[u8], start: usize, delimiter: u8, width: Option<usize>) -> usize {
    let mut at = line_end(bytes, start);
    while at < bytes.len() {
        let (end, cells) = row(bytes, at, delimiter);
        let whole =
            end == line_end(bytes, at) && cells.is_ok_and(|cells| Some(cells.len()) == width);
        if whole {
            break;
        }
        at = line_end(bytes, at);
    }
    at
}

/// The row at `start`: where the next begins, and its cells.
fn row(bytes: &[u8], start: usize, delimiter: u8) -> (usize, Result<Vec<Vec<u8>>, &'static str>) {
    let mut cells = Vec::new();
    let mut at = start;
    loop {
        let mut cell = Vec::new();
        if bytes.get(at) == Some(&b'"') {
            at += 1;
            loop {
                match (bytes.get(at), bytes.get(at + 1)) {
                    (None, _) => return (at, Err(UNCLOSED)),
                    (Some(b'"'), Some(b'"')) => {
                        cell.push(b'"');
                        at += 2;
                    }
                    (Some(b'"'), _) => {
                        at += 1;
                        break;
                    }
                    (Some(byte), _) => {
                        cell.push(*byte);
                        at += 1;
                    }
                }
            }
            // Some programs leave blanks behind the quote.
            while bytes.get(at) == Some(&b' ') {
                at += 1;
            }
            let ends = bytes
                .get(at)
                .is_none_or(|byte| *byte == delimiter || matches!(byte, b'\r' | b'\n'));
            if !ends {
                return (at, Err(CLOSED_EARLY));
            }
        } else {
            let rest = &bytes[at..];
            let length = rest
                .iter()
                .position(|byte| *byte == delimiter || matches!(byte, b'\r' | b'\n'))
                .unwrap_or(rest.len());
            cell.extend_from_slice(&rest[..length]);
            at += length;
        }
        cells.push(cell);
        if bytes.get(at) == Some(&delimiter) {
            at += 1;
        } else {
            return (line_end(bytes, at), Ok(cells));
        }
    }
}

/// The start of the line behind the one that holds `at`.
fn line_end(bytes: &[u8], at: usize) -> usize {
    let rest = &bytes[at..];
    let Some(end) = rest.iter().position(|byte| matches!(byte, b'\r' | b'\n')) else {
        return bytes.len();
    };
    let both = rest[end] == b'\r' && rest.get(end + 1) == Some(&b'\n');
    at + end + if both { 2 } else { 1 }
}

fn line_ends(bytes: &[u8]) -> usize {
    let feeds = bytes.iter().filter(|byte| **byte == b'\n').count();
    let returns = bytes.iter().filter(|byte| **byte == b'\r').count();
    let both = bytes.windows(2).filter(|pair| *pair == b"\r\n").count();
    feeds + returns - both
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Cells joined by `|`, faults by their first words, rows by line ends.
    fn read(text: &str) -> Vec<String> {
        rows(text.as_bytes(), b',')
            .into_iter()
            .map(|row| match row.cells {
                Ok(cells) => cells
                    .iter()
                    .map(|cell| String::from_utf8_lossy(cell).into_owned())
                    .collect::<Vec<_>>()
                    .join("|"),
                Err(_) => format!("! {}", &text[row.span]),
            })
            .collect()
    }

    #[test]
    fn rows_and_quotes() {
        for (text, wanted) in [
            ("a,b\nc,d", vec!["a|b", "c|d"]),
            ("a,b\r\nc,\r\n", vec!["a|b", "c|"]),
            ("a,b\rc,d\r", vec!["a|b", "c|d"]),
            ("a,b\n\n\nc,d\n", vec!["a|b", "c|d"]),
            ("a,\"b\nb\"\nc,d\n", vec!["a|b\nb", "c|d"]),
            ("a,\"b \"\"b\"\"\"\n", vec!["a|b \"b\""]),
            ("a,\"b\" ,c\n", vec!["a|b|c"]),
            ("a,5\" bolt\n", vec!["a|5\" bolt"]),
            // The quote is never closed: the next whole row counts again.
            (
                "a,b\n1,\"x\n2,y\n3,z\n",
                vec!["a|b", "! 1,\"x\n", "2|y", "3|z"],
            ),
            // An inch mark: one row is set apart, not half the table.
            (
                "a,b\n1,\"5\" bolt\n2,\"y\"\n",
                vec!["a|b", "! 1,\"5\" bolt\n", "2|y"],
            ),
            (
                "a,b\n1,\"5\" bolt\nand,\"so\non\"\n2,y\n",
                vec!["a|b", "! 1,\"5\" bolt\nand,\"so\non\"\n", "2|y"],
            ),
            (
                "a,b\n1,\"5\" bolt\n2,y\n",
                vec!["a|b", "! 1,\"5\" bolt\n", "2|y"],
            ),
            // What follows the opened quote is no row of its own.
            (
                "a,b\n1,\"x\nand y\n2,z\n",
                vec!["a|b", "! 1,\"x\nand y\n", "2|z"],
            ),
        ] {
            assert_eq!(read(text), wanted, "{text:?}");
        }
    }

    #[test]
    fn rows_cover_the_file_but_for_empty_lines() {
        let text = "a,b\n1,\"x\n\"\n\n2,\"y\nz\n3,4";
        let rows = rows(text.as_bytes(), b',');
        let all: String = rows.iter().map(|row| &text[row.span.clone()]).collect();
        assert_eq!(all, text.replace("\n\n", "\n"));
        let lines: Vec<usize> = rows.iter().map(|row| row.line).collect();
        assert_eq!(lines, [1, 2, 5, 7]);
    }
}
