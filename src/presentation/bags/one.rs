//! One bag in full: its parts, its pieces as a table, what happened to it.

use unicode_width::UnicodeWidthStr;

use super::words::{mark_words, state_words};
use crate::presentation::text::{Text, TextStyle, plain};
use crate::reports::bags::{Bag, BagItem};

/// One bag in full.
pub(super) fn one(bag: &Bag, as_of: Option<&str>, width: usize) -> Text {
    let mut text = Text::new(width);
    let filling = if bag.filling > 1 {
        format!(", filling {}", bag.filling)
    } else {
        String::new()
    };
    text.wrapped(
        0,
        2,
        &[
            (TextStyle::Title, format!("Bag {}", bag.label)),
            (
                TextStyle::Faint,
                format!(" ({})", bag.vehicles.join(" and ")),
            ),
            (
                TextStyle::Standing,
                format!(": {}{filling}", state_words(bag)),
            ),
        ],
    );
    if let Some(as_of) = as_of {
        text.line(2, TextStyle::Note, as_of);
    }
    if bag.vehicles.len() > 1 {
        text.line(
            2,
            TextStyle::Warning,
            "it holds hardware of two vehicles; give one of them another bag",
        );
    }
    if let Some(shelf) = &bag.stored {
        text.line(2, TextStyle::Standing, shelf);
    }
    parts(&mut text, bag);
    table(&mut text, bag);
    happened(&mut text, bag);
    for earlier in bag.earlier.iter().rev() {
        text.gap();
        text.wrapped(
            0,
            2,
            &[
                (TextStyle::Title, format!("Filling {}", earlier.filling)),
                (TextStyle::Standing, format!(": {}", state_words(earlier))),
            ],
        );
        parts(&mut text, earlier);
        table(&mut text, earlier);
        happened(&mut text, earlier);
    }
    text
}

fn parts(text: &mut Text, bag: &Bag) {
    let column = text.names_column(bag.parts.iter().map(|part| part.label().width()), 40);
    for part in &bag.parts {
        let standing = match (&part.status, part.on_since) {
            (_, Some(day)) => format!("on again since {day}"),
            (Some(status), None) => status.clone(),
            (None, None) => "no record names it".to_owned(),
        };
        text.pair(
            2,
            column,
            (TextStyle::Part, part.label()),
            &[(TextStyle::Standing, standing)],
        );
    }
}

/// Columns of the four counts of a kind.
const COUNTS: usize = 31;

/// Room for a kind beside them, so that none of its words is broken.
const LONG_WORD: usize = 29;

/// In, used, left, short: a line for each kind.
fn table(text: &mut Text, bag: &Bag) {
    if bag.pieces.is_empty() {
        return;
    }
    text.gap();
    let cell = |count: u64| {
        let count = if count == 0 {
            "-".to_owned()
        } else {
            count.to_string()
        };
        format!(
            "{}{count}\u{a0}",
            "\u{a0}".repeat(6usize.saturating_sub(count.width()))
        )
    };
    let (known, new): (Vec<&BagItem>, Vec<&BagItem>) = bag
        .pieces
        .iter()
        .partition(|piece| piece.put_in > 0 || piece.short > 0);
    let is_wide = text.width() >= COUNTS + LONG_WORD;
    if !known.is_empty() && is_wide {
        text.row(&[(TextStyle::Faint, "      in   used   left  short".to_owned())]);
    }
    for piece in known {
        let counts = [piece.put_in, piece.used, piece.left, piece.short];
        let label = if piece.short > 0 {
            TextStyle::Warning
        } else {
            TextStyle::Plain
        };
        if is_wide {
            let counts: String = counts.into_iter().map(cell).collect();
            text.wrapped(
                2,
                COUNTS,
                &[(label, counts), plain(" "), plain(piece.words())],
            );
        } else {
            let words = ["in", "used", "left", "short"];
            let counts = counts.iter().zip(words);
            let counts: Vec<String> = counts
                .filter(|(count, word)| **count > 0 || *word != "short")
                .map(|(count, word)| format!("{count} {word}"))
                .collect();
            text.wrapped(
                2,
                4,
                &[
                    plain(format!("{}: ", piece.words())),
                    (label, counts.join(", ")),
                ],
            );
        }
    }
    let new: Vec<String> = new
        .iter()
        .map(|piece| {
            let marks: Vec<&str> = piece.marks.iter().map(|mark| mark_words(*mark)).collect();
            format!("{} {} ({})", piece.new, piece.words(), marks.join(", "))
        })
        .collect();
    if !new.is_empty() {
        text.wrapped(
            2,
            4,
            &[
                (TextStyle::Faint, "not in the bag: ".into()),
                plain(new.join("; ")),
            ],
        );
    }
}

fn happened(text: &mut Text, bag: &Bag) {
    text.gap();
    for happened in &bag.entries {
        text.wrapped(
            2,
            4,
            &[
                (TextStyle::Title, happened.date.to_string()),
                plain(format!(" {} ", happened.what)),
                (
                    TextStyle::Faint,
                    format!("({}:{})", happened.entry, happened.line),
                ),
            ],
        );
    }
}
