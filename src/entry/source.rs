//! Where a byte of a text stands for a person: line and column.

use std::ops::Range;

use crate::problem::Spot;

/// The beginnings of a text's lines. A line ends with LF, CRLF or a lone CR.
#[derive(Clone, Debug)]
pub struct Lines<'a> {
    text: &'a str,
    starts: Vec<usize>,
    /// How many characters stand before every [`STEP`]th byte, so that many
    /// places on one very long line are found without counting it each time.
    counted: Vec<u32>,
}

/// Bytes from one count of characters to the next.
const STEP: usize = 64;

impl<'a> Lines<'a> {
    /// Finds the lines of `text`.
    #[must_use]
    pub fn new(text: &'a str) -> Lines<'a> {
        let bytes = text.as_bytes();
        let mut starts = vec![0];
        for (at, byte) in bytes.iter().enumerate() {
            let ends = match byte {
                b'\n' => true,
                b'\r' => bytes.get(at + 1) != Some(&b'\n'),
                _ => false,
            };
            if ends {
                starts.push(at + 1);
            }
        }
        let mut counted = vec![0];
        let mut characters = 0_u32;
        for chunk in bytes.chunks(STEP) {
            characters = characters.saturating_add(begun(chunk));
            counted.push(characters);
        }
        Lines {
            text,
            starts,
            counted,
        }
    }

    /// The whole text.
    #[must_use]
    pub fn text(&self) -> &'a str {
        self.text
    }

    /// How many lines there are; an empty text has one.
    #[must_use]
    pub fn count(&self) -> usize {
        self.starts.len()
    }

    /// The bytes of line `index` (from 0), its line end included.
    #[must_use]
    pub fn range(&self, index: usize) -> Range<usize> {
        let start = self.starts.get(index).copied().unwrap_or(self.text.len());
        let end = self
            .starts
            .get(index + 1)
            .copied()
            .unwrap_or(self.text.len());
        start..end
    }

    /// Line `index` (from 0) without its line end.
    #[must_use]
    pub fn line(&self, index: usize) -> &'a str {
        self.text[self.range(index)].trim_end_matches(['\n', '\r'])
    }

    /// The index of the line that holds this byte.
    #[must_use]
    pub fn index_of(&self, byte: usize) -> usize {
        self.starts.partition_point(|start| *start <= byte) - 1
    }

    /// The number (from 1) of the line that holds this byte.
    #[must_use]
    pub fn number_of(&self, byte: usize) -> u32 {
        u32::try_from(self.index_of(byte) + 1).unwrap_or(u32::MAX)
    }

    /// Where these bytes stand; what goes beyond the first line is cut, and
    /// its end is no character of it.
    #[must_use]
    pub fn spot(&self, bytes: Range<usize>) -> Spot {
        let index = self.index_of(bytes.start);
        let line = self.range(index).start;
        let line_end = line + self.line(index).len();
        let start = bytes.start.min(line_end);
        let end = bytes.end.clamp(start, line_end);
        Spot {
            file: String::new(),
            line: self.number_of(bytes.start),
            column: self.characters(line..start) + 1,
            width: self.characters(start..end).max(1),
        }
    }

    /// How many characters begin in these bytes.
    fn characters(&self, bytes: Range<usize>) -> u32 {
        let before = |byte: usize| {
            let step = byte / STEP;
            let rest = &self.text.as_bytes()[step * STEP..byte];
            self.counted[step].saturating_add(begun(rest))
        };
        before(bytes.end) - before(bytes.start)
    }
}

/// How many characters begin in a stretch of UTF-8.
fn begun(bytes: &[u8]) -> u32 {
    let begins = bytes.iter().filter(|byte| **byte & 0xc0 != 0x80);
    u32::try_from(begins.count()).unwrap_or(u32::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_line_end_counts_once() {
        let lines = Lines::new("a\nb\r\nc\rd");
        assert_eq!(lines.count(), 4);
        assert_eq!(lines.line(1), "b");
        assert_eq!(lines.number_of(7), 4);
    }

    #[test]
    fn columns_count_characters() {
        let lines = Lines::new("x\nKühler: alt\n");
        let start = "x\nKühler: ".len();
        let spot = lines.spot(start..start + 3);
        assert_eq!((spot.line, spot.column, spot.width), (2, 9, 3));
    }

    #[test]
    fn columns_far_out_count_characters() {
        let text = format!("x\n{}!", "ü".repeat(1_000));
        let spot = Lines::new(&text).spot(text.len() - 1..text.len());
        assert_eq!((spot.line, spot.column, spot.width), (2, 1_001, 1));
    }

    #[test]
    fn a_line_end_is_behind_the_last_character() {
        let text = "ab\r\ncd";
        let spot = Lines::new(text).spot(3..4);
        assert_eq!((spot.line, spot.column, spot.width), (1, 3, 1));
    }
}
