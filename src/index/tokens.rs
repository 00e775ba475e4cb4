//! What counts as one word of a text: sizes, part numbers and casting numbers
//! stay whole and can be found in pieces.
//!
//! Stemming is not done here, and nothing here knows the search engine: index,
//! questions and excerpts all cut their text with this one function, so that
//! they cannot disagree.

use std::borrow::Cow;

use crate::vocabulary::words::fold;

/// A run of characters without a gap in it, such as `hinge` or `7/16-20`.
pub(super) struct Chunk<'a> {
    /// The parts that take a place of their own in the text, at least one.
    pub pieces: Vec<TokenPiece<'a>>,
    /// Other ways to write the whole, standing where the first piece stands:
    /// as it is, and without its hyphens.
    pub wholes: Vec<String>,
}

/// One part of a chunk.
pub(super) struct TokenPiece<'a> {
    /// As it is compared: `.030` is `0.030`, `driver's` is `driver`.
    pub text: Cow<'a, str>,
    /// Where it begins in the folded text, in bytes.
    pub start: usize,
    /// Where it ends.
    pub end: usize,
}

/// A whole longer than this is not worth a place in the dictionary.
const LONGEST_WHOLE: usize = 48;
/// Nor is one of more pieces than this; it is a path or an address.
const MOST_PIECES: usize = 8;
/// A longer run of letters is no word; the engine refuses those over 64 KiB.
const LONGEST_PIECE: usize = 120;

/// Units that people write against the figure or apart from it.
const UNITS: [&str; 20] = [
    "ah", "amp", "bar", "bhp", "cc", "cm", "ft", "hp", "in", "kg", "km", "kw", "lb", "lbf", "ml",
    "mm", "nm", "ohm", "psi", "v",
];

/// Calls `each` with every form under which the words of a text can be found, unstemmed:
/// for a search that is done without this room.
pub fn word_forms(text: &str, mut each: impl FnMut(&str)) {
    chunks(&fold(text), |chunk| {
        chunk.pieces.iter().for_each(|piece| each(&piece.text));
        chunk.wholes.iter().for_each(|whole| each(whole));
    });
}

/// Calls `each` with every chunk of a text that [`fold`] has been over.
///
/// [`fold`]: crate::vocabulary::words::fold
pub(super) fn chunks<'a>(folded: &'a str, mut each: impl FnMut(Chunk<'a>)) {
    let mut rest = 0;
    let mut after_size = false;
    while let Some(run) = next_run(folded, rest) {
        rest = run.1;
        let text = &folded[run.0..run.1];
        // The x of `3/8-24 x 2-1/2` separates, as it does in `3/8-24x2-1/2`.
        if text == "x" && after_size && starts_with_figure(&folded[rest..]) {
            continue;
        }
        after_size = text.ends_with(|c: char| c.is_ascii_digit());
        let chunk = cut(folded, run);
        if !chunk.pieces.is_empty() {
            each(chunk);
        }
    }
}

fn starts_with_figure(text: &str) -> bool {
    text.trim_start_matches([' ', '.'])
        .starts_with(|c: char| c.is_ascii_digit())
}

/// The next run of letters, digits and the signs that may join them.
fn next_run(text: &str, from: usize) -> Option<(usize, usize)> {
    let mut chars = text[from..].char_indices().peekable();
    let mut before = ' ';
    let mut start = None;
    while let Some((at, c)) = chars.next() {
        let next = chars.peek().map_or(' ', |&(_, next)| next);
        let within = match start {
            None => c.is_alphanumeric() || (c == '.' && next.is_ascii_digit()),
            Some(_) => c.is_alphanumeric() || joins(before, c, next),
        };
        match (start, within) {
            (None, true) => start = Some(from + at),
            (Some(start), false) => return Some((start, from + at)),
            (None, false) | (Some(_), true) => {}
        }
        before = c;
    }
    start.map(|start| (start, text.len()))
}

/// Whether a sign between two characters keeps them together.
fn joins(before: char, sign: char, after: char) -> bool {
    let digits = before.is_ascii_digit() && after.is_ascii_digit();
    match sign {
        '-' | '_' | '.' => before.is_alphanumeric() && after.is_alphanumeric(),
        '/' => {
            (before.is_ascii_digit() && after.is_alphanumeric())
                || (before.is_alphanumeric() && after.is_ascii_digit())
        }
        ',' | ':' => digits,
        '\'' => before.is_alphabetic() && after.is_alphabetic(),
        _ => false,
    }
}

/// One run, in its pieces and other spellings.
fn cut(folded: &str, (start, end): (usize, usize)) -> Chunk<'_> {
    let run = &folded[start..end];
    if run.len() <= LONGEST_PIECE && run.chars().all(char::is_alphabetic) {
        let text = Cow::Borrowed(run);
        return Chunk {
            pieces: vec![TokenPiece { text, start, end }],
            wholes: Vec::new(),
        };
    }
    let mut pieces = Vec::new();
    for (from, to) in split(run, |before, c, after| {
        matches!(c, '-' | '_' | ':')
            || (c == 'x' && before.is_ascii_digit() && after.is_ascii_digit())
    }) {
        cut_piece(folded, start + from, start + to, &mut pieces);
    }
    let wholes = wholes(run, &pieces);
    Chunk { pieces, wholes }
}

/// What lies between hyphens: a figure, a fraction, a word, or several of them.
fn cut_piece<'a>(folded: &'a str, start: usize, end: usize, pieces: &mut Vec<TokenPiece<'a>>) {
    let core = end - unit_length(&folded[start..end]);
    let text = &folded[start..core];
    if let Some(figure) = figure(text) {
        push(figure, start, core, pieces);
    } else {
        for (from, to) in split(text, |_, c, _| matches!(c, '.' | '/' | ',')) {
            let (start, end) = (start + from, start + to);
            let part = &folded[start..end];
            let text = match part.split_once('\'') {
                // The mark of possession goes, other apostrophes close up.
                Some((owner, "s")) => Cow::Borrowed(owner),
                Some(_) => Cow::Owned(part.replace('\'', "")),
                None => Cow::Borrowed(part),
            };
            push(text, start, end, pieces);
        }
    }
    push(Cow::Borrowed(&folded[core..end]), core, end, pieces);
}

/// Length of the unit that was written against its figure, else 0.
fn unit_length(text: &str) -> usize {
    let figure = text.trim_end_matches(|c: char| c.is_ascii_lowercase());
    let unit = &text[figure.len()..];
    let is_figure = !figure.is_empty()
        && figure
            .bytes()
            .all(|b| b.is_ascii_digit() || b"./,".contains(&b));
    if is_figure && UNITS.contains(&unit) {
        unit.len()
    } else {
        0
    }
}

/// A decimal, a grouped number or a fraction: read as one figure.
fn figure(text: &str) -> Option<Cow<'_, str>> {
    let digits = |part: &str| !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit());
    if let Some((over, under)) = text.split_once('/') {
        let small = |part: &str| digits(part) && part.len() <= 2;
        return (small(over) && small(under)).then_some(Cow::Borrowed(text));
    }
    if let Some((whole, decimals)) = text.split_once('.') {
        if whole.is_empty() && digits(decimals) {
            return Some(Cow::Owned(format!("0.{decimals}")));
        }
        // `m10.5` and `1.25mm` count too, `2026.03.14` does not.
        let one = !decimals.contains(['.', ',']) && !whole.contains(',');
        let inside = whole.ends_with(|c: char| c.is_ascii_digit())
            && decimals.starts_with(|c: char| c.is_ascii_digit());
        return (one && inside).then_some(Cow::Borrowed(text));
    }
    let (whole, decimals) = text.split_once(',')?;
    if !digits(whole) || !digits(&decimals.replace(',', "")) {
        return None;
    }
    Some(Cow::Owned(
        if decimals.split(',').all(|group| group.len() == 3) {
            text.replace(',', "")
        } else {
            text.replace(',', ".")
        },
    ))
}

fn push<'a>(text: Cow<'a, str>, start: usize, end: usize, pieces: &mut Vec<TokenPiece<'a>>) {
    if !text.is_empty() && text.len() <= LONGEST_PIECE {
        pieces.push(TokenPiece { text, start, end });
    }
}

/// The spellings of the whole that its pieces do not cover.
fn wholes(run: &str, pieces: &[TokenPiece<'_>]) -> Vec<String> {
    let mut wholes = Vec::new();
    let decimals = run.trim_start_matches('.');
    if decimals.len() < run.len() && pieces.len() == 1 {
        wholes.push(decimals.to_owned());
    }
    if pieces.len() < 2 || pieces.len() > MOST_PIECES || run.len() > LONGEST_WHOLE {
        return wholes;
    }
    if run.contains(|c: char| c.is_ascii_digit() || c == '-' || c == '_') {
        wholes.push(run.to_owned());
    }
    let plain = |piece: &TokenPiece<'_>| piece.text.chars().all(char::is_alphanumeric);
    let initials = run.contains('.') && pieces.iter().all(|piece| piece.text.chars().count() == 1);
    let hyphens = run.contains(['-', '_']) && !run.contains(['/', '.', ',', ':', '\'']);
    if initials || (hyphens && pieces.iter().all(plain)) {
        let joined: String = run.chars().filter(|c| c.is_alphanumeric()).collect();
        // `9-14` is a page of a manual, not the number 914.
        if joined.len() >= 6 || !joined.bytes().all(|b| b.is_ascii_digit()) {
            wholes.push(joined);
        }
    }
    wholes
}

/// The stretches of a text between the characters that `separates` picks.
fn split(text: &str, separates: impl Fn(char, char, char) -> bool) -> Vec<(usize, usize)> {
    let mut parts = Vec::new();
    let mut start = 0;
    let mut before = ' ';
    let mut chars = text.char_indices().peekable();
    while let Some((at, c)) = chars.next() {
        let after = chars.peek().map_or(' ', |&(_, after)| after);
        if separates(before, c, after) {
            parts.push((start, at));
            start = at + c.len_utf8();
        }
        before = c;
    }
    parts.push((start, text.len()));
    parts.retain(|(start, end)| start < end);
    parts
}
