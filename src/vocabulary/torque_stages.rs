//! What is tightened further behind the first figure of a torque: more stages, an
//! angle; and fasteners that are only tightened by hand.
//!
//! The figure itself is read in `torque`. No figure is offered here.

use super::fraction::Fraction;
use super::torque_unit::TorqueUnit;
use super::words::straighten;

/// The stages at the start of a text, each in the words in which it was written, and
/// what is left: `then 40 N·m + 90°, book 3` is `40 N·m`, `90°` and `book 3`.
#[must_use]
pub fn stages(text: &str) -> (Vec<String>, &str) {
    let mut found = Vec::new();
    let mut rest = text.trim();
    loop {
        let start = without_joiners(rest);
        match stage(start) {
            Some(end) => {
                found.push(start[..end].trim().to_owned());
                rest = start[end..].trim_start();
            }
            None => return (found, rest),
        }
    }
}

/// A fastener that is tightened by hand: the words for that, the stages behind them,
/// and the source. `None` for any other text.
#[must_use]
pub fn by_hand(text: &str) -> Option<(String, Vec<String>, String)> {
    let plain = straighten(text.trim());
    let start = without_joiners(&plain);
    let end = hand_tight(start)?;
    let (further, source) = stages(&start[end..]);
    let source = source.trim().trim_start_matches([',', ';', ' ']);
    Some((start[..end].trim().to_owned(), further, source.to_owned()))
}

/// The text without the number of a stage before it: `stage 1: 20 N·m`.
#[must_use]
pub fn without_stage_number(text: &str) -> &str {
    let lower = text.to_ascii_lowercase();
    let Some(word) = ["stage", "step", "pass"]
        .into_iter()
        .find(|word| lower.starts_with(word))
    else {
        return text;
    };
    let rest = text[word.len()..].trim_start();
    let number = rest.trim_start_matches(|c: char| c.is_ascii_digit());
    match number.strip_prefix([':', '.', ')', ',']) {
        Some(behind) if number.len() < rest.len() => behind.trim_start(),
        Some(_) | None => text,
    }
}

/// What joins two stages.
const JOINERS: [&str; 9] = [
    "followed by",
    "and then",
    "finally",
    "then",
    "plus",
    "and",
    "+",
    ",",
    ";",
];

/// What may stand before an angle.
const BEFORE_ANGLE: [&str; 7] = [
    "a further",
    "further",
    "another",
    "turn",
    "through",
    "angle",
    "a",
];

fn without_joiners(text: &str) -> &str {
    let mut rest = text.trim_start();
    while let Some(behind) = first_of(rest, &JOINERS) {
        rest = behind.trim_start();
    }
    without_stage_number(rest)
}

/// The text behind the first of these words that stands at its start.
fn first_of<'t>(text: &'t str, words: &[&str]) -> Option<&'t str> {
    words.iter().find_map(|word| {
        let start = text.get(..word.len())?;
        let rest = &text[word.len()..];
        let is_sign = !word.ends_with(char::is_alphabetic);
        let ends = is_sign || !rest.starts_with(char::is_alphanumeric);
        (start.eq_ignore_ascii_case(word) && ends).then_some(rest)
    })
}

/// Where a stage at the start of a text ends.
fn stage(text: &str) -> Option<usize> {
    hand_tight(text)
        .or_else(|| angle(text))
        .or_else(|| torque(text))
}

/// Tight by hand, in the words of the trade (common practice, no source).
fn hand_tight(text: &str) -> Option<usize> {
    const WORDS: [&str; 7] = [
        "hand tight",
        "hand-tight",
        "handtight",
        "finger tight",
        "finger-tight",
        "snug tight",
        "snug",
    ];
    first_of(text, &WORDS).map(|rest| text.len() - rest.len())
}

/// `90°`, `a further 90 degrees`, `1/4 turn`, `half a turn`, `two flats`.
fn angle(text: &str) -> Option<usize> {
    const TURNS: [&str; 5] = ["turns", "turn", "flats", "flat", "revolution"];
    const DEGREES: [&str; 4] = ["°", "degrees", "degree", "deg"];
    let bare = first_of(text, &BEFORE_ANGLE).map_or(text, str::trim_start);
    let (rest, figure) = match figure(bare) {
        Some(end) => (bare[end..].trim_start(), true),
        None => {
            let words = ["a quarter", "quarter", "half", "one", "two"];
            let rest = first_of(bare, &words)?.trim_start();
            (
                first_of(rest, &["of a", "a"]).map_or(rest, str::trim_start),
                false,
            )
        }
    };
    let degrees = figure.then(|| first_of(rest, &DEGREES)).flatten();
    let behind = degrees.or_else(|| {
        let behind = first_of(rest, &TURNS)?;
        // "3 turns of wire" is no angle.
        first_of(behind.trim_start(), &["of"])
            .is_none()
            .then_some(behind)
    })?;
    Some(text.len() - behind.len())
}

/// `40 N·m`, `40-45 lbf·ft`.
fn torque(text: &str) -> Option<usize> {
    let end = figure(text)?;
    let (_, rest) = TorqueUnit::at_start(text[end..].trim_start())?;
    Some(text.len() - rest.len())
}

/// Where a figure or a range at the start of a text ends.
fn figure(text: &str) -> Option<usize> {
    let (_, _, end) = Fraction::at(text, 0)?;
    let upper = text[end..].trim_start().strip_prefix('-').and_then(|rest| {
        let from = text.len() - rest.trim_start().len();
        Fraction::at(text, from)
    });
    Some(upper.map_or(end, |(_, _, end)| end))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stages_and_angles_as_manuals_print_them() {
        for (text, found, rest) in [
            ("+ 90°", "90°", ""),
            (
                "then 90 degrees, shop manual 3-12",
                "90 degrees",
                ", shop manual 3-12",
            ),
            (
                ", then 40 N·m, then a further 90°, book",
                "40 N·m|a further 90°",
                ", book",
            ),
            ("and 1/4 turn", "1/4 turn", ""),
            ("plus half a turn (book 3)", "half a turn", "(book 3)"),
            (
                "; stage 2: 40-45 Nm; stage 3: 60 deg",
                "40-45 Nm|60 deg",
                "",
            ),
            (", shop manual 3-12", "", ", shop manual 3-12"),
            (", 3 turns of wire", "", ", 3 turns of wire"),
            (", 3-12", "", ", 3-12"),
            (", andy's book", "", ", andy's book"),
            ("", "", ""),
        ] {
            let (stages, left) = stages(text);
            assert_eq!((stages.join("|").as_str(), left), (found, rest), "{text}");
        }
    }

    #[test]
    fn by_hand_is_a_way_to_tighten() {
        let said = |hand: &str, further: &[&str], source: &str| {
            let further = further.iter().map(|one| (*one).to_owned()).collect();
            Some((hand.to_owned(), further, source.to_owned()))
        };
        assert_eq!(by_hand("hand tight"), said("hand tight", &[], ""));
        assert_eq!(
            by_hand("Finger tight, then 3/4 turn, filter sheet"),
            said("Finger tight", &["3/4 turn"], "filter sheet")
        );
        for text in ["good and tight", "handle it", "90°", ""] {
            assert_eq!(by_hand(text), None, "{text}");
        }
    }

    #[test]
    fn any_text_can_be_looked_at() {
        proptest::proptest!(|(text in "[\\PC0-9a-z,.·°+ -]{0,30}")| {
            let _ = (stages(&text), by_hand(&text), without_stage_number(&text));
        });
    }
}
