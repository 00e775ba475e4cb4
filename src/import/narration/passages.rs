//! The passages of a sheet, as a person walks them: words, and below each paragraph the
//! lines that were proposed from it.
//!
//! Where the cursor stands is in `sheet_walk`.

use super::sheet::SheetLine;
use super::sheet_text::SheetText;

/// What stands in a passage, from above.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PassageRow {
    /// Words: when they begin, and what was said.
    Words(Option<u32>, String),
    /// The number of a line with a box, from 0.
    Line(usize),
}

/// A passage: words, and the lines that were proposed from them.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SheetPassage {
    /// Words and lines by their times.
    pub rows: Vec<PassageRow>,
}

impl SheetPassage {
    /// When its first words begin.
    #[must_use]
    pub fn from(&self) -> Option<u32> {
        self.rows.iter().find_map(|row| match row {
            PassageRow::Words(from, _) => *from,
            PassageRow::Line(_) => None,
        })
    }

    /// What was said, from the paragraph of a line on, and then what was said before.
    #[must_use]
    pub fn words_from(&self, line: &SheetLine) -> String {
        let mut paragraphs: Vec<&str> = self.paragraphs().map(|(_, words)| words).collect();
        let own = self.paragraph_of(line).min(paragraphs.len());
        paragraphs.rotate_left(own);
        paragraphs.join(" ")
    }

    /// Its words: when each paragraph begins, and what was said.
    pub(super) fn paragraphs(&self) -> impl Iterator<Item = (Option<u32>, &str)> {
        self.rows.iter().filter_map(|row| match row {
            PassageRow::Words(from, said) => Some((*from, said.as_str())),
            PassageRow::Line(_) => None,
        })
    }

    /// The number of the paragraph in which a line was said, from 0.
    fn paragraph_of(&self, line: &SheetLine) -> usize {
        let has_begun =
            |from: Option<u32>| from.is_none_or(|from| line.at.is_none_or(|at| from <= at));
        let begun = self.paragraphs().filter(|(from, _)| has_begun(*from));
        begun.count().saturating_sub(1)
    }

    /// The numbers of its lines, from above.
    #[must_use]
    pub fn lines(&self) -> Vec<usize> {
        let line = |row: &PassageRow| match row {
            PassageRow::Line(at) => Some(*at),
            PassageRow::Words(..) => None,
        };
        self.rows.iter().filter_map(line).collect()
    }
}

/// When a line is, and its number.
type TimedLine = (Option<u32>, usize);

/// The passages of a sheet: words that follow upon lines begin the next one.
#[must_use]
pub fn passages(sheet: &SheetText) -> Vec<SheetPassage> {
    let mut passages: Vec<(Vec<PassageRow>, Vec<TimedLine>)> = Vec::new();
    for at in 0..sheet.len() {
        if let Some((from, words)) = sheet.words(at) {
            let begins = passages.last().is_none_or(|(_, lines)| !lines.is_empty());
            if begins {
                passages.push((Vec::new(), Vec::new()));
            }
            if let Some((rows, _)) = passages.last_mut() {
                // A line that an editor broke goes on.
                match (from, rows.last_mut()) {
                    (None, Some(PassageRow::Words(_, text))) => {
                        text.push(' ');
                        text.push_str(words);
                    }
                    (_, _) => rows.push(PassageRow::Words(from, words.to_owned())),
                }
            }
        } else if sheet.is_passage_head(at) {
            passages.push((Vec::new(), Vec::new()));
        } else if let Some(line) = sheet.line(at) {
            if passages.is_empty() {
                passages.push((Vec::new(), Vec::new()));
            }
            if let Some((_, lines)) = passages.last_mut() {
                lines.push((line.at, at));
            }
        }
    }
    passages.retain(|(rows, lines)| !rows.is_empty() || !lines.is_empty());
    passages
        .into_iter()
        .map(|(words, lines)| woven(words, lines))
        .collect()
}

/// Words with the lines below those they come from.
fn woven(words: Vec<PassageRow>, lines: Vec<TimedLine>) -> SheetPassage {
    let starts: Vec<Option<u32>> = words
        .iter()
        .map(|row| match row {
            PassageRow::Words(from, _) => *from,
            PassageRow::Line(_) => None,
        })
        .collect();
    // The paragraph that a line belongs to: the last that has begun by then.
    let paragraph = |at: Option<u32>| match at {
        Some(at) => starts
            .iter()
            .rposition(|from| from.is_some_and(|from| from <= at))
            .unwrap_or(0),
        None => starts.len().saturating_sub(1),
    };
    let mut below: Vec<Vec<PassageRow>> = vec![Vec::new(); words.len().max(1)];
    for (at, line) in lines {
        below[paragraph(at)].push(PassageRow::Line(line));
    }
    let mut words = words.into_iter();
    let rows = below
        .into_iter()
        .flat_map(|lines| words.next().into_iter().chain(lines))
        .collect();
    SheetPassage { rows }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_stand_below_the_words_they_come_from() {
        let sheet = SheetText::new(
            "# What was said\n# A 0:00:01-0:00:30\n> 0:00:01 one\n> goes on\n> 0:00:20 two\n\
             [x] removed: c\n[x] 0:00:05 removed: a\n[ ] 0:00:25 removed: b\n\
             # A 0:02:00-0:02:10\n> 0:02:00 three\n# A 0:04:00-0:04:10\n> 0:04:00 four\n[ ] 0:04:01 found: d\n",
        );
        let passages = passages(&sheet);
        let words = |from: u32, text: &str| PassageRow::Words(Some(from), text.to_owned());
        let rows: Vec<Vec<PassageRow>> = passages.into_iter().map(|passage| passage.rows).collect();
        let expected = [
            vec![
                words(1, "one goes on"),
                PassageRow::Line(6),
                words(20, "two"),
                PassageRow::Line(5),
                PassageRow::Line(7),
            ],
            vec![words(120, "three")],
            vec![words(240, "four"), PassageRow::Line(12)],
        ];
        assert_eq!(rows, expected);
    }

    #[test]
    fn lines_without_words_are_a_passage_too() {
        let sheet = SheetText::new("[x] removed: a\n[ ] removed: b\n");
        let rows = &passages(&sheet)[0].rows;
        assert_eq!(*rows, [PassageRow::Line(0), PassageRow::Line(1)]);
    }
}
