//! Terminal text made of labelled pieces, wrapped to a width.
//!
//! What comes from entries passes through [`shown`] first: a terminal must
//! never obey a text.

use std::fmt::Write;

use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

pub use super::terminal_style::TextStyle;
use super::terminal_style::style;
pub use crate::vocabulary::spoken::counted;
pub use crate::vocabulary::words::shown;

/// Text for a terminal.
#[derive(Clone, Debug, Default)]
pub struct Text {
    pieces: Vec<(TextStyle, String)>,
    width: usize,
}

/// A labelled piece.
pub type StyledText = (TextStyle, String);

impl Text {
    /// Empty text for a terminal of `width` columns.
    #[must_use]
    pub fn new(width: usize) -> Text {
        Text {
            pieces: Vec::new(),
            width: width.max(20),
        }
    }

    /// How many columns there are.
    #[must_use]
    pub fn width(&self) -> usize {
        self.width
    }

    /// Ends a line without anything on it.
    pub fn gap(&mut self) {
        self.pieces.push((TextStyle::Plain, "\n".to_owned()));
    }

    /// A line of one piece, wrapped, every line indented by `indent`.
    pub fn line(&mut self, indent: usize, label: TextStyle, text: &str) {
        self.wrapped(indent, indent, &[(label, text.to_owned())]);
    }

    /// A line of several pieces, wrapped at blanks: the first line indented by
    /// `first`, the others by `rest`; by less where a long word needs the room. A
    /// word is parted only where no line could hold it, and then after a sign that
    /// parts its pieces, as in a path.
    pub fn wrapped(&mut self, first: usize, rest: usize, pieces: &[StyledText]) {
        let rest = rest.min(self.width.saturating_sub(LEAST));
        let mut column = first;
        let mut fresh = true;
        self.raw(TextStyle::Plain, &" ".repeat(first));
        for word in words(pieces) {
            let width = word.width();
            let space = usize::from(!fresh && word.after_blank);
            if !fresh && column + space + width > self.width {
                let indent = match self.width.checked_sub(width) {
                    Some(room) => rest.min(room),
                    None => rest,
                };
                self.raw(TextStyle::Plain, "\n");
                self.raw(TextStyle::Plain, &" ".repeat(indent));
                column = indent;
            } else if space == 1 {
                self.raw(word.label(), " ");
                column += 1;
            }
            if column + width <= self.width {
                for (label, text) in &word.pieces {
                    self.raw(*label, &text.replace('\u{a0}', " "));
                }
                column += width;
            } else {
                column = self.parted(&word, column, rest);
            }
            fresh = false;
        }
        self.raw(TextStyle::Plain, "\n");
    }

    /// Writes a word that no line holds, on as many lines as it needs; the column
    /// after it.
    fn parted(&mut self, word: &WordRun, mut column: usize, rest: usize) -> usize {
        for (label, text) in &word.pieces {
            for part in parts(text, self.width - rest) {
                if column > rest && column + part.width() > self.width {
                    self.raw(TextStyle::Plain, "\n");
                    self.raw(TextStyle::Plain, &" ".repeat(rest));
                    column = rest;
                }
                self.raw(*label, &part.replace('\u{a0}', " "));
                column += part.width();
            }
        }
        column
    }

    /// A name in a column of this width with words beside it; a name that is wider
    /// stands on a line of its own, with the words below. Both are indented.
    pub fn pair(&mut self, indent: usize, column: usize, name: StyledText, words: &[StyledText]) {
        let (label, name) = (name.0, shown(&name.1));
        if name.width() > column {
            self.wrapped(indent, indent + 2, &[(label, name)]);
            self.wrapped(indent + 2, indent + 4, words);
            return;
        }
        let fill = "\u{a0}".repeat(column - name.width());
        let name = name.replace(' ', "\u{a0}");
        let mut pieces = vec![(label, name), plain(format!("{fill}\u{a0}\u{a0}"))];
        pieces.extend_from_slice(words);
        self.wrapped(indent, indent + column + 2, &pieces);
    }

    /// The width of a column that holds names of these widths, for [`Text::pair`]:
    /// the widest of those that leave room beside them, at most `most`. On a narrow
    /// terminal there is none.
    #[must_use]
    pub fn names_column(&self, names: impl Iterator<Item = usize>, most: usize) -> usize {
        if self.width < NARROW {
            return 0;
        }
        let most = most.min(self.width * 11 / 20);
        names.filter(|name| *name <= most).max().unwrap_or(0)
    }

    /// A line of columns that is not wrapped but cut to the width.
    pub fn row(&mut self, pieces: &[StyledText]) {
        let mut left = self.width;
        for (label, text) in pieces {
            let text = cut(&shown(text), left);
            left = left.saturating_sub(text.width());
            self.raw(*label, &text);
        }
        while let Some((_, last)) = self.pieces.last_mut() {
            if last.trim_end_matches(' ').len() == last.len() {
                break;
            }
            last.truncate(last.trim_end_matches(' ').len());
            if !last.is_empty() {
                break;
            }
            self.pieces.pop();
        }
        self.raw(TextStyle::Plain, "\n");
    }

    fn raw(&mut self, label: TextStyle, text: &str) {
        match self.pieces.last_mut() {
            Some((last, words)) if *last == label => words.push_str(text),
            Some(_) | None => self.pieces.push((label, text.to_owned())),
        }
    }

    /// The text as it is sent to a terminal, with colours or without.
    #[must_use]
    pub fn render(&self, colours: bool) -> String {
        let mut out = String::new();
        for (label, text) in &self.pieces {
            let style = style(*label);
            let lines_only = text.trim_matches(['\n', ' ']).is_empty();
            if colours && *label != TextStyle::Plain && !lines_only {
                let _ = write!(out, "{style}{text}{style:#}");
            } else {
                out.push_str(text);
            }
        }
        out
    }
}

/// A wrapped line has room for as many columns at least.
const LEAST: usize = 24;

/// A terminal with fewer columns has no room for two columns of text.
const NARROW: usize = 60;

/// Pieces that stand together without a blank.
struct WordRun {
    pieces: Vec<StyledText>,
    after_blank: bool,
}

impl WordRun {
    fn width(&self) -> usize {
        self.pieces.iter().map(|(_, text)| text.width()).sum()
    }

    fn label(&self) -> TextStyle {
        self.pieces
            .first()
            .map_or(TextStyle::Plain, |piece| piece.0)
    }
}

/// The words of a line, across its pieces.
fn words(pieces: &[StyledText]) -> Vec<WordRun> {
    let mut words: Vec<WordRun> = Vec::new();
    let mut after_blank = false;
    for (label, text) in pieces {
        let text = shown(text);
        for (at, word) in text.split(breaks).enumerate() {
            after_blank |= at > 0;
            if word.is_empty() {
                continue;
            }
            let piece = (*label, word.to_owned());
            match words.last_mut() {
                Some(last) if !after_blank => last.pieces.push(piece),
                Some(_) | None => words.push(WordRun {
                    pieces: vec![piece],
                    after_blank,
                }),
            }
            after_blank = false;
        }
    }
    words
}

/// A long word in parts that end with a sign, each of at most `width` columns.
fn parts(word: &str, width: usize) -> Vec<String> {
    let mut parts: Vec<String> = vec![String::new()];
    let mut used = 0;
    for c in word.chars() {
        let own = c.width().unwrap_or(0);
        let after_sign = parts
            .last()
            .is_some_and(|part| part.ends_with(['/', '-', '_', ':', '.', ',', ';', '=', '\u{a0}']));
        if (after_sign && c.is_alphanumeric()) || used + own > width {
            parts.push(String::new());
            used = 0;
        }
        if let Some(part) = parts.last_mut() {
            part.push(c);
        }
        used += own;
    }
    parts
}

/// A finished text with every line that is wider than a terminal wrapped, its
/// indentation kept.
#[must_use]
pub fn fitted(text: &str, width: usize) -> String {
    let mut out = String::with_capacity(text.len());
    for line in text.lines() {
        if line.width() <= width {
            out.push_str(line);
            out.push('\n');
            continue;
        }
        let bare = line.trim_start_matches(' ');
        let indent = line.len() - bare.len();
        let mut wrapped = Text::new(width);
        wrapped.line(indent, TextStyle::Plain, bare);
        out.push_str(&wrapped.render(false));
    }
    out
}

/// White space at which a line may end; a no-break space holds together.
fn breaks(c: char) -> bool {
    c.is_whitespace() && c != '\u{a0}'
}

/// A piece without a meaning of its own.
#[must_use]
pub fn plain(text: impl Into<String>) -> StyledText {
    (TextStyle::Plain, text.into())
}

/// At most `width` columns of a text, with a sign where it was cut.
#[must_use]
pub fn cut(text: &str, width: usize) -> String {
    if text.width() <= width {
        return text.to_owned();
    }
    let mut kept = String::new();
    let mut used = 1;
    for c in text.chars() {
        used += c.width().unwrap_or(0);
        if used > width {
            break;
        }
        kept.push(c);
    }
    kept.push('…');
    kept
}

/// A name or a title as far as it helps to know which one is meant: nobody reads
/// one that is as long as a story.
#[must_use]
pub fn brief(text: &str) -> String {
    cut(&shown(text), 120)
}

/// A text filled up with blanks to `width` columns, or cut to it.
#[must_use]
pub fn column(text: &str, width: usize) -> String {
    let text = cut(&shown(text), width);
    let fill = width.saturating_sub(text.width());
    format!("{text}{}", " ".repeat(fill))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_wrapped_at_blanks() {
        let mut text = Text::new(40);
        let numbers = "one two three four five six seven eight ";
        let nine = (TextStyle::Match, "nine ten".into());
        text.wrapped(0, 4, &[plain(numbers), nine]);
        assert_eq!(
            text.render(false),
            "one two three four five six seven eight\n    nine ten\n"
        );
    }

    #[test]
    fn pieces_without_a_blank_between_them_stay_together() {
        let mut text = Text::new(20);
        text.wrapped(
            0,
            0,
            &[plain("a "), (TextStyle::Match, "nut".into()), plain("s, b")],
        );
        assert_eq!(text.render(false), "a nuts, b\n");
        assert!(text.render(true).contains("\u{1b}["));
    }

    #[test]
    fn a_word_is_parted_only_where_no_line_holds_it() {
        let lines = |width: usize, indent: usize, words: &str| {
            let mut text = Text::new(width);
            text.wrapped(0, indent, &[plain(words)]);
            text.render(false)
        };
        // It fits where the indentation is given up.
        assert_eq!(
            lines(28, 20, "a countersunk-screwdriver-tip"),
            "a\n countersunk-screwdriver-tip\n"
        );
        assert_eq!(
            lines(24, 2, "entries/2026/2026-03-14-the-tank.md:12"),
            "entries/2026/2026-03-14-\nthe-tank.md:12\n"
        );
        assert_eq!(lines(20, 0, &"x".repeat(45)).lines().count(), 3);
    }

    #[test]
    fn pieces_that_belong_together_are_measured_together() {
        let mut text = Text::new(20);
        let pieces = [plain("one two three "), plain("fo"), plain("ur, five")];
        text.wrapped(0, 0, &pieces);
        assert_eq!(text.render(false), "one two three four,\nfive\n");
    }

    #[test]
    fn a_name_wider_than_its_column_stands_alone() {
        let mut text = Text::new(40);
        for name in ["hub", "brake drum, left front"] {
            text.pair(2, 6, (TextStyle::Part, name.into()), &[plain("on rack 2")]);
        }
        assert_eq!(
            text.render(false),
            "  hub     on rack 2\n  brake drum, left front\n    on rack 2\n"
        );
    }

    #[test]
    fn a_terminal_never_obeys_a_text() {
        assert_eq!(shown("a\u{1b}[2Jb\u{7}\u{202e}c\u{9b}d\r\ne"), "a[2Jbcd e");
        let mut text = Text::new(40);
        text.line(0, TextStyle::Plain, "x\u{1b}]0;y\u{7}z");
        assert_eq!(text.render(true), "x]0;yz\n");
    }

    #[test]
    fn cutting_keeps_to_the_width() {
        assert_eq!(cut("wheel cylinder", 8), "wheel c…");
        assert_eq!(column("nut", 5), "nut  ");
        assert!(cut("日本日本", 5).width() <= 5);
    }
}
