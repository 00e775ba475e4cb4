//! Cautions of the handbook, for a terminal: short, with what raised them and
//! their source.
//!
//! They are general; a part's own written cautions are shown by `part`.

use super::text::{Text, TextStyle, plain};
use crate::reports::cautions::{Raised, SAFETY, once};

/// The most cautions that are shown in full; who wrote so much at once has more
/// to read than this.
const MOST: usize = 6;

/// The cautions that new or changed records raise, each hazard once, and the
/// sentence about who comes first; empty if they raise none.
#[must_use]
pub fn arising(raised: &[Raised], width: usize, colours: bool) -> String {
    let raised = once(raised.to_vec());
    let Some(first) = raised.first() else {
        return String::new();
    };
    let files = raised
        .iter()
        .any(|other| other.spot.file != first.spot.file);
    let mut text = Text::new(width);
    let (shown, more) = raised.split_at(raised.len().min(MOST));
    general(&mut text, "caution", shown, &|raised| {
        let file = raised.spot.file.rsplit('/').next().unwrap_or_default();
        if files {
            format!("{file}:{}", raised.spot.line)
        } else {
            format!("line {}", raised.spot.line)
        }
    });
    if !more.is_empty() {
        let names: Vec<&str> = more.iter().map(|raised| raised.caution().name).collect();
        text.wrapped(
            2,
            4,
            &[
                (TextStyle::Caution, "and: ".into()),
                plain(names.join(", ")),
                plain(" (`matchmark part PART` says more)"),
            ],
        );
    }
    text.line(2, TextStyle::Faint, &format!("General. {SAFETY}"));
    text.render(colours)
}

/// One caution a line or two: what it is about, the words that raised it and
/// where they stand, what to do, the source.
pub(super) fn general(
    text: &mut Text,
    head: &str,
    raised: &[Raised],
    place: &dyn Fn(&Raised) -> String,
) {
    for raised in raised {
        let caution = raised.caution();
        let place = place(raised);
        let comma = if place.is_empty() { "" } else { ", " };
        text.wrapped(
            2,
            4,
            &[
                (TextStyle::Caution, format!("{head}, {}", caution.name)),
                (
                    TextStyle::Faint,
                    format!(" (`{}`{comma}{place})", raised.word),
                ),
                plain(format!(": {} ", caution.text)),
                (TextStyle::Faint, format!("[{}]", caution.source.words())),
            ],
        );
    }
}
