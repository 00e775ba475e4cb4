//! What a status, a surface or a bag says of a part.
//!
//! What the part is then is decided by the ledger.

use super::several_values::is_from_to;
use super::{FactContext, Value};
use crate::entry::fact::Fact;
use crate::entry::fact_lines::without_number_word;
use crate::entry::key::Key;
use crate::vocabulary::hedge::hedge;
use crate::vocabulary::label::BagLabel;
use crate::vocabulary::reference::without_note;
use crate::vocabulary::status::{
    Status, StatusWord, Surface, near_status, read_status, read_surface,
};
use crate::vocabulary::status_words::{StatusReading, near_said, read_bare, read_said};

impl FactContext<'_> {
    pub(super) fn status(&mut self, value: &Value) -> Option<Fact> {
        let bare = without_note(&value.text);
        // "on (loose)": what stands in brackets says it more closely.
        let note = read_bare(value.text.trim()[bare.len()..].trim_matches(['(', ')', ' ']));
        let said = match note {
            StatusReading::Clear(StatusWord::Standing(_)) => value.text.as_str(),
            StatusReading::Clear(StatusWord::Surface(_) | StatusWord::Work(_))
            | StatusReading::Doubtful(_)
            | StatusReading::Unread => bare,
        };
        match read_said(said) {
            StatusReading::Clear(word) => return Some(word.into()),
            StatusReading::Doubtful(readings) => {
                self.error(
                    value.span.clone(),
                    format!("`{}` has more than one reading: {readings}", value.text),
                    "write the one you mean; what is only to be remembered goes below the facts",
                );
                return None;
            }
            StatusReading::Unread => {}
        }
        if let Some(near) = near_status(&value.text) {
            self.warning(
                value.span.clone(),
                format!("`{}` was read as `{near}`", value.text),
                &format!("write `{near}`"),
            );
            return read_status(near).map(Fact::from);
        }
        if let Some((near, status)) = near_said(&value.text) {
            self.warning(
                value.span.clone(),
                format!("`{}` was read as `{near}`", value.text),
                &format!("write `{}`", status.word()),
            );
            return Some(Fact::Status(status));
        }
        let known: Vec<&str> = Status::ALL.iter().map(|status| status.word()).collect();
        self.error(
            value.span.clone(),
            format!("`{}` is no status", value.text),
            &format!("a status is one of: {}", known.join(", ")),
        );
        None
    }

    /// "stored: bin" may say that the part is gone.
    pub(super) fn kept_or_thrown_away(&mut self, key: Key, value: &Value) {
        let place = crate::vocabulary::words::fold(&value.text);
        let place = place.trim_start_matches("in ").trim_start_matches("the ");
        let is_bin = matches!(
            place,
            "bin"
                | "skip"
                | "trash"
                | "rubbish"
                | "tip"
                | "dump"
                | "dustbin"
                | "garbage"
                | "scrap"
                | "dumpster"
                | "scrap bin"
                | "scrap pile"
                | "rubbish bin"
        );
        if key == Key::Stored && is_bin {
            self.warning(
                value.span.clone(),
                format!("`{}`: kept there, or thrown away?", value.text),
                "write `status: scrapped` if it is gone",
            );
        }
    }

    /// The bag of a part's hardware; "12?" and "12 or 21" are not known yet.
    pub(super) fn bag(&mut self, value: &Value) -> Option<Fact> {
        let said = without_denied(&value.text);
        let text = without_number_word(without_note(said));
        let either =
            crate::vocabulary::words::words(text).any(|word| word == "or" || word == "and");
        if either || hedge(said).is_some() || is_from_to(text) || is_nowhere(text) {
            self.error(
                value.span.clone(),
                format!("`{}` does not say which bag", value.text),
                "write one label; two bags stand in two `hardware` lines, each with its bag",
            );
            return None;
        }
        let note = &said[without_note(said).len()..];
        if note.bytes().any(|b| b.is_ascii_digit()) {
            self.warning(
                value.span.clone(),
                format!(
                    "`{}` was read as bag {text}; `{}` counts for nothing",
                    value.text,
                    note.trim()
                ),
                "write what else you mean as a fact of its own: `stored: shelf 3`",
            );
        }
        let label = BagLabel::new(text);
        self.ask_about_letters(&label, value);
        Some(Fact::Bag(label))
    }

    /// Asks whether a label with a letter among figures means the number.
    pub(super) fn ask_about_letters(&mut self, label: &BagLabel, value: &Value) {
        let Some(number) = label.letters_as_figures() else {
            return;
        };
        let written = label.written();
        self.warning(
            value.span.clone(),
            format!("bag `{written}` has a letter that looks like a figure; is it bag {number}?"),
            &format!("write `{number}`, or leave it if the label says {written}"),
        );
    }

    pub(super) fn surface(&mut self, value: &Value) -> Option<Surface> {
        if let Some(surface) = read_surface(without_note(&value.text)) {
            return Some(surface);
        }
        if let Some(surface) = near_status(&value.text).and_then(read_surface) {
            let near = surface.word();
            self.warning(
                value.span.clone(),
                format!("`{}` was read as `{near}`", value.text),
                &format!("write `{near}`"),
            );
            return Some(surface);
        }
        let known: Vec<&str> = Surface::ALL.iter().map(|surface| surface.word()).collect();
        self.error(
            value.span.clone(),
            format!("`{}` is no surface", value.text),
            &format!("a surface is one of: {}", known.join(", ")),
        );
        None
    }
}

/// The labels in "8 and 9", "12 + 13", "12, 13"; what is no row of short labels is one
/// value.
pub(super) fn labels(text: &str) -> Vec<&str> {
    let is_label = |piece: &str| {
        let figures = piece.bytes().any(|b| b.is_ascii_digit());
        let letter = piece.len() == 1 && piece.bytes().all(|b| b.is_ascii_alphabetic());
        piece.len() <= 4 && (figures || letter) && piece.bytes().all(|b| b.is_ascii_alphanumeric())
    };
    for mark in [" and ", "&", "+", ","] {
        let pieces: Vec<&str> = text.split(mark).map(str::trim).collect();
        if pieces.len() > 1 && pieces.iter().all(|piece| is_label(piece)) {
            return pieces;
        }
    }
    vec![text]
}

/// "14 not 12", "3 (not 8)" without what it is not.
pub(super) fn without_denied(text: &str) -> &str {
    [" (not ", ", not ", " not "]
        .iter()
        .filter_map(|mark| text.find(mark))
        .min()
        .map_or(text, |at| text[..at].trim())
}

/// Whether a sign is one of a phone's little pictures, or a blank before it.
pub(super) fn is_pictured(sign: char) -> bool {
    matches!(sign, ' ' | '\u{200d}' | '\u{fe0f}' | '\u{2600}'..='\u{27bf}' | '\u{1f000}'..='\u{1faff}')
}

/// "25/30 Nm", "25 Nm (or 30)": two figures of which one is meant. Halves and quarters
/// are one figure.
pub(super) fn is_one_of_two(text: &str) -> bool {
    let figure = |text: &str| -> Option<u32> {
        let end = text
            .find(|c: char| !c.is_ascii_digit())
            .unwrap_or(text.len());
        text[..end].parse().ok()
    };
    let slashed = text
        .split_once('/')
        .and_then(|(one, other)| Some(figure(one.trim())? > 3 && figure(other)? > 3))
        .unwrap_or_default();
    let either = text.split([' ', '(']).any(|word| word == "or");
    slashed || either
}

/// Whether a label says only that nobody knows the bag.
pub(super) fn is_nowhere(text: &str) -> bool {
    matches!(
        crate::vocabulary::words::fold(text).as_str(),
        "somewhere" | "lost" | "unknown" | "missing" | "gone" | "anywhere" | "tba" | "see photo"
    )
}
