//! Cautions of the handbook, for a terminal: short, with what raised them and
//! their source.
//!
//! They are general; a part's own written cautions are shown by `part`.

use super::text::{Text, TextStyle, cut, plain};
use crate::reports::cautions::{Raised, SAFETY, once};

/// So much is left of the words that raised a caution, in columns.
const SHORTEST_WORD: usize = 8;

/// The cautions that new or changed records raise, each hazard once and in one line,
/// and who comes first; empty if they raise none.
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
    for raised in &raised {
        let caution = raised.caution();
        let file = raised.spot.file.rsplit('/').next().unwrap_or_default();
        let line = raised.spot.line;
        let place = match files {
            true => format!("{file}:{line}"),
            false => format!("line {line}"),
        };
        let name = format!("caution, {}", caution.name);
        let brief = format!(": {}", caution.brief);
        // The words that raised it are cut before the line is broken.
        let rest = 2 + name.len() + " (``, )".len() + place.len() + brief.len();
        let word = cut(&raised.word, width.saturating_sub(rest).max(SHORTEST_WORD));
        text.wrapped(
            2,
            4,
            &[
                (TextStyle::Caution, name),
                (TextStyle::Faint, format!(" (`{word}`, {place})")),
                plain(brief),
            ],
        );
    }
    text.line(2, TextStyle::Faint, &format!("General. {SAFETY}"));
    let more = "In full, with sources: `matchmark part PART`, or with --json.";
    text.line(2, TextStyle::Faint, more);
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
