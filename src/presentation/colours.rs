//! Which label is shown how on a terminal with colours.

use anstyle::{AnsiColor, Effects, Style};

use super::text::Label;

/// The style of a label. Without colours nothing may be lost: the words say it
/// all.
#[must_use]
pub fn style(label: Label) -> Style {
    let coloured = |colour: AnsiColor| Style::new().fg_color(Some(colour.into()));
    match label {
        Label::Plain => Style::new(),
        Label::Title => Style::new().effects(Effects::BOLD),
        Label::Part => coloured(AnsiColor::Cyan).effects(Effects::BOLD),
        Label::Standing => coloured(AnsiColor::Green),
        Label::Faint => Style::new().effects(Effects::DIMMED),
        Label::Match => coloured(AnsiColor::Yellow).effects(Effects::BOLD),
        Label::Error | Label::Caution => coloured(AnsiColor::Red).effects(Effects::BOLD),
        Label::Warning => coloured(AnsiColor::Yellow),
        Label::Note => coloured(AnsiColor::Blue),
    }
}
