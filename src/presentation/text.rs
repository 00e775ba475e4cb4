//! Terminal text made of labelled pieces, wrapped to a width.
//!
//! What comes from entries passes through [`shown`] first: a terminal must
//! never obey a text.

use std::fmt::Write;

use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

use super::colours::style;
pub use crate::vocabulary::words::shown;

/// What a piece of text is; not how it looks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Label {
    /// Nothing special.
    Plain,
    /// A heading.
    Title,
    /// The name of a part.
    Part,
    /// Where a part stands now.
    Standing,
    /// Places in files, and what is said in passing.
    Faint,
    /// A word that was searched.
    Match,
    /// A caution: what can hurt someone.
    Caution,
    /// An error.
    Error,
    /// A warning.
    Warning,
    /// A note.
    Note,
}

/// Text for a terminal.
#[derive(Clone, Debug, Default)]
pub struct Text {
    pieces: Vec<(Label, String)>,
    width: usize,
}

/// A labelled piece.
pub type Piece = (Label, String);

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
        self.pieces.push((Label::Plain, "\n".to_owned()));
    }

    /// A line of one piece, wrapped, every line indented by `indent`.
    pub fn line(&mut self, indent: usize, label: Label, text: &str) {
        self.wrapped(indent, indent, &[(label, text.to_owned())]);
    }

    /// A line of several pieces, wrapped at blanks: the first line indented by
    /// `first`, the others by `rest`.
    pub fn wrapped(&mut self, first: usize, rest: usize, pieces: &[Piece]) {
        let mut column = first;
        let mut fresh = true;
        let mut blank = false;
        self.raw(Label::Plain, &" ".repeat(first));
        for (label, text) in pieces {
            let text = shown(text);
            let mut from = 0;
            while from < text.len() {
                let word_end = text[from..].find(breaks).map_or(text.len(), |at| from + at);
                let word = &text[from..word_end];
                if word.is_empty() {
                    blank = true;
                    from += text[from..].chars().next().map_or(1, char::len_utf8);
                    continue;
                }
                let width = word.width();
                let space = usize::from(blank && !fresh);
                if !fresh && blank && column + space + width > self.width {
                    self.raw(Label::Plain, "\n");
                    self.raw(Label::Plain, &" ".repeat(rest));
                    column = rest;
                } else if space == 1 {
                    self.raw(*label, " ");
                    column += 1;
                }
                self.raw(*label, &word.replace('\u{a0}', " "));
                column += width;
                fresh = false;
                blank = false;
                from = word_end;
            }
        }
        self.raw(Label::Plain, "\n");
    }

    /// A line of columns that is not wrapped but cut to the width.
    pub fn row(&mut self, pieces: &[Piece]) {
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
        self.raw(Label::Plain, "\n");
    }

    fn raw(&mut self, label: Label, text: &str) {
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
            if colours && *label != Label::Plain && !lines_only {
                let _ = write!(out, "{style}{text}{style:#}");
            } else {
                out.push_str(text);
            }
        }
        out
    }
}

/// White space at which a line may end; a no-break space holds together.
fn breaks(c: char) -> bool {
    c.is_whitespace() && c != '\u{a0}'
}

/// A piece without a meaning of its own.
#[must_use]
pub fn plain(text: impl Into<String>) -> Piece {
    (Label::Plain, text.into())
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

/// "1 part", "3 parts".
#[must_use]
pub fn counted(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_wrapped_at_blanks() {
        let mut text = Text::new(20);
        text.wrapped(
            0,
            4,
            &[
                plain("one two three "),
                (Label::Match, "four five six".into()),
            ],
        );
        assert_eq!(text.render(false), "one two three four\n    five six\n");
    }

    #[test]
    fn pieces_without_a_blank_between_them_stay_together() {
        let mut text = Text::new(20);
        text.wrapped(
            0,
            0,
            &[plain("a "), (Label::Match, "nut".into()), plain("s, b")],
        );
        assert_eq!(text.render(false), "a nuts, b\n");
        assert!(text.render(true).contains("\u{1b}["));
    }

    #[test]
    fn a_terminal_never_obeys_a_text() {
        assert_eq!(shown("a\u{1b}[2Jb\u{7}\u{202e}c\u{9b}d\r\ne"), "a[2Jbcd e");
        let mut text = Text::new(40);
        text.line(0, Label::Plain, "x\u{1b}]0;y\u{7}z");
        assert_eq!(text.render(true), "x]0;yz\n");
    }

    #[test]
    fn cutting_keeps_to_the_width() {
        assert_eq!(cut("wheel cylinder", 8), "wheel c…");
        assert_eq!(column("nut", 5), "nut  ");
        assert!(cut("日本日本", 5).width() <= 5);
    }
}
