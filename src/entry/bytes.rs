//! From the bytes of a file to text.
//!
//! Bytes that are no UTF-8 are shown, never repaired: such an entry is read,
//! and never written back.

use crate::problem::{Problem, Spot};

/// The text of a file.
#[derive(Clone, Debug)]
pub struct Decoded {
    /// The text; bytes that are no UTF-8 stand in it as U+FFFD.
    pub text: String,
    /// Whether it holds every byte of the file, so that writing it back loses
    /// nothing.
    pub faithful: bool,
    /// What is wrong with the bytes.
    pub problems: Vec<Problem>,
}

/// The most places with bad bytes that are reported one by one.
const MOST_BAD: usize = 20;

/// Decodes the bytes of a file.
#[must_use]
pub fn decode(bytes: Vec<u8>) -> Decoded {
    let bytes = match String::from_utf8(bytes) {
        Ok(text) => {
            return Decoded {
                text,
                faithful: true,
                problems: Vec::new(),
            };
        }
        Err(error) => error.into_bytes(),
    };
    let text = String::from_utf8_lossy(&bytes).into_owned();
    if bytes.starts_with(b"\xff\xfe") || bytes.starts_with(b"\xfe\xff") {
        let spot = Spot {
            line: 1,
            column: 1,
            width: 1,
            ..Spot::default()
        };
        let problem = Problem::error(spot, "this file is UTF-16, not UTF-8")
            .hint("save it again as UTF-8 in your editor");
        return Decoded {
            text,
            faithful: false,
            problems: vec![problem],
        };
    }
    let lines = super::source::Lines::new(&text);
    let mut problems = Vec::new();
    let mut last_line = 0;
    for (at, _) in text.match_indices('\u{fffd}') {
        let spot = lines.spot(at..at + 3);
        if spot.line == last_line {
            continue;
        }
        last_line = spot.line;
        problems.push(
            Problem::warning(spot, "bytes that are not UTF-8, shown as `\u{fffd}`")
                .hint("correct them in your editor and save as UTF-8; the file is left as it is"),
        );
        if problems.len() == MOST_BAD {
            break;
        }
    }
    Decoded {
        text,
        faithful: false,
        problems,
    }
}
