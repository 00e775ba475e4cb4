//! Where one fact of a line ends and the next begins.
//!
//! What each piece says is decided above.

use super::bag_and_shelf::is_bag_word;
use super::keyed;
use super::keyless::{is_hardware, keyless};
use crate::entry::key::Key;
use crate::entry::key_words;
use crate::vocabulary::status_words::{StatusReading, read_bare};
use crate::vocabulary::words::fold;

/// Whether a segment begins a sentence of its own that names no hardware and no bag.
pub(super) fn is_other_sentence(text: &str, segment: &str) -> bool {
    let before = text[..offset(text, segment)].trim_end();
    let named = |word: &str| is_hardware(word) || is_bag_word(word);
    before.ends_with('.')
        && segment.starts_with(char::is_uppercase)
        && segment.split_whitespace().count() > 1
        && !segment.bytes().any(|byte| byte.is_ascii_digit())
        && !fold(segment).split(' ').any(named)
}

/// The text behind a box, and whether the box is ticked.
pub(super) fn box_mark(text: &str) -> (Option<bool>, &str) {
    for (mark, ticked) in [
        ("[ ]", false),
        ("[]", false),
        ("[x]", true),
        ("[X]", true),
        ("☐", false),
        ("☑", true),
        ("☒", true),
        ("✓", true),
        ("✔", true),
    ] {
        if let Some(rest) = text.strip_prefix(mark) {
            return (Some(ticked), rest.trim_start());
        }
    }
    (None, text)
}

/// The pieces between commas, semicolons, full stops and strokes outside
/// brackets.
pub(super) fn segments(text: &str) -> Vec<&str> {
    let mut segments = Vec::new();
    let mut start = 0;
    let mut depth = 0_usize;
    for (at, c) in text.char_indices() {
        if c.is_ascii_alphanumeric() || c == ' ' {
            continue;
        }
        let rest = &text[at + c.len_utf8()..];
        let blank = rest.starts_with(' ') || rest.is_empty();
        let around = blank && text[..at].ends_with(' ');
        match c {
            '(' => depth += 1,
            ')' => depth = depth.saturating_sub(1),
            ',' | '.' | ';' if depth == 0 && (blank || c == ';') => {
                segments.push(text[start..at].trim());
                start = at + c.len_utf8();
            }
            // "on - screws 2 - tight": behind a status a dash parts as a comma does.
            '-' | '–' | '—'
                if depth == 0
                    && around
                    && (start > 0 || is_bare_status(text[start..at].trim())) =>
            {
                segments.push(text[start..at].trim());
                start = at + c.len_utf8();
            }
            // "removed/bag 9/shelf B"
            '/' if depth == 0 && !around && {
                let before = text[start..at].trim();
                let next = rest.split(['/', ',', ';']).next().unwrap_or_default();
                (start > 0 || is_bare_status(before))
                    && before.contains(char::is_alphabetic)
                    && is_short_fact(next)
            } =>
            {
                segments.push(text[start..at].trim());
                start = at + c.len_utf8();
            }
            '/' | '|' if depth == 0 && around => {
                segments.push(text[start..at].trim());
                start = at + c.len_utf8();
            }
            _ => {}
        }
    }
    segments.push(text[start..].trim());
    let mut segments: Vec<&str> = segments.into_iter().flat_map(at_keys).collect();
    segments.retain(|segment| !segment.is_empty());
    // "Status. removed", "bag; 12": the mark stands where the colon belongs.
    if let [first, second, rest @ ..] = segments.as_slice()
        && let Some(behind) = text.get(first.len()..)
        && (behind.starts_with(". ") || behind.trim_start().starts_with(';'))
        && key_words::read(first).is_some()
        && (behind.starts_with(". ")
            || behind.trim_start().starts_with(';')
                && !matches!(read_bare(first), StatusReading::Clear(_))
                && keyed(second, false).is_none())
    {
        let whole = &text[..offset(text, second) + second.len()];
        let mut merged = vec![whole];
        merged.extend_from_slice(rest);
        return merged;
    }
    segments
}

/// "status: removed bag: 3" cut before each word that is a key with its colon; what is
/// told under a key may hold such words.
pub(super) fn at_keys(segment: &str) -> Vec<&str> {
    let key = |word: &str| key_words::read(word).filter(|word| !word.is_guess);
    let first = segment.split_once(':').and_then(|(word, _)| key(word));
    let short = |key: Key| {
        matches!(
            key,
            Key::Status | Key::Bag | Key::Stored | Key::Hours | Key::Cost | Key::System
        )
    };
    if !first.is_some_and(|first| short(first.key)) {
        return vec![segment];
    }
    let mut pieces = Vec::new();
    let mut start = 0;
    let colon = segment.find(':').unwrap_or(segment.len());
    for (at, _) in segment.match_indices(' ').filter(|(at, _)| *at > colon) {
        let word = segment[at + 1..].split(' ').next().unwrap_or_default();
        let named = word.strip_suffix(':').and_then(key).is_some();
        if named && at > start {
            pieces.push(segment[start..at].trim());
            start = at + 1;
        }
    }
    pieces.push(segment[start..].trim());
    pieces
}

/// "bag 9", "shelf B", "loft": one fact without a key, and nothing that "and/or" joins.
fn is_short_fact(text: &str) -> bool {
    let text = text.trim();
    text.split(' ').count() <= 3
        && keyless(text).is_some_and(|piece| matches!(piece.key, Key::Bag | Key::Stored))
}

/// More bytes than words have that say only where a part stands.
const LONGEST_BARE: usize = 100;

pub(super) fn is_bare_status(text: &str) -> bool {
    text.len() <= LONGEST_BARE
        && key_words::read(text).is_none()
        && matches!(read_bare(text), StatusReading::Clear(_))
}

/// Where a slice of a text begins in it.
pub(super) fn offset(text: &str, slice: &str) -> usize {
    slice.as_ptr() as usize - text.as_ptr() as usize
}

/// From the begin of one slice of a text to the end of a later one.
pub(super) fn joined<'t>(text: &'t str, from: &str, until: &str) -> &'t str {
    &text[offset(text, from)..offset(text, until) + until.len()]
}
