//! What a piece of terminal text is, and how it looks where there are colours.

use anstyle::{AnsiColor, Effects, Style};

/// What a piece of text is; not how it looks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TextStyle {
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

/// How a terminal with colours shows it. Without colours nothing may be lost: the words say it
/// all.
#[must_use]
pub fn style(kind: TextStyle) -> Style {
    let coloured = |colour: AnsiColor| Style::new().fg_color(Some(colour.into()));
    match kind {
        TextStyle::Plain => Style::new(),
        TextStyle::Title => Style::new().effects(Effects::BOLD),
        TextStyle::Part => coloured(AnsiColor::Cyan).effects(Effects::BOLD),
        TextStyle::Standing => coloured(AnsiColor::Green),
        TextStyle::Faint => Style::new().effects(Effects::DIMMED),
        TextStyle::Match => coloured(AnsiColor::Yellow).effects(Effects::BOLD),
        TextStyle::Error | TextStyle::Caution => coloured(AnsiColor::Red).effects(Effects::BOLD),
        TextStyle::Warning => coloured(AnsiColor::Yellow),
        TextStyle::Note => coloured(AnsiColor::Blue),
    }
}
