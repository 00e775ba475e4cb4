//! The shot list: which clip shows what, for a terminal.

use super::marks::short_clock;
use crate::presentation::export::{Document, Exporter};
use crate::presentation::terminal::Terminal;
use crate::presentation::text::{Text, TextStyle, plain};
use crate::recap::Shot;

impl Exporter<[Shot]> for Terminal {
    fn export(&self, shots: &[Shot]) -> Document {
        self.document(&render(shots, self.width))
    }
}

/// The list for a person.
fn render(shots: &[Shot], width: usize) -> Text {
    let mut text = Text::new(width);
    for shot in shots {
        let span = match (shot.clip.from, shot.clip.until) {
            (None, None) => String::new(),
            (from, until) => format!(" {} to {}", time(from), or_end(until)),
        };
        text.wrapped(
            0,
            4,
            &[
                (TextStyle::Part, shot.clip.name.clone()),
                plain(format!("{span}  {}", shot.seen)),
                (
                    TextStyle::Faint,
                    format!("  ({}, for {})", shot.date, shot.chapter),
                ),
            ],
        );
    }
    text
}

pub(in crate::presentation) fn time(seconds: Option<u32>) -> String {
    seconds.map_or_else(String::new, |seconds| short_clock(seconds.into()))
}

fn or_end(seconds: Option<u32>) -> String {
    if seconds.is_some() {
        time(seconds)
    } else {
        "the end".to_owned()
    }
}
