//! Which label is shown how on a terminal with colours.

use anstyle::{AnsiColor, Effects, Style};

use super::text::TextStyle;

/// The style of a label. Without colours nothing may be lost: the words say it
/// all.
#[must_use]
pub fn style(label: TextStyle) -> Style {
    let coloured = |colour: AnsiColor| Style::new().fg_color(Some(colour.into()));
    match label {
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
