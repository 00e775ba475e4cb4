//! The measure of a tool among words: it is no size of the piece.
//!
//! Sizes of the pieces themselves are read in `size`.

use crate::vocabulary::hardware_words::{is_kind, is_tool_size};

/// The measure of a tool among words, and the words without it: "10mm head",
/// "13mm spanner size", "torque to 45" is none.
pub(super) fn tool_size<'a>(words: &[&'a str]) -> Option<(String, Vec<&'a str>)> {
    let small: Vec<String> = words.iter().map(|word| word.to_lowercase()).collect();
    let is_unit = |word: &str| matches!(word, "mm" | "in" | "inch" | "\"");
    let measure = |word: &str| {
        word.starts_with(|c: char| c.is_ascii_digit()) && !word.contains('-') && !word.contains('x')
    };
    for at in 0..words.len() {
        if !measure(&small[at]) {
            continue;
        }
        let unit = usize::from(small.get(at + 1).is_some_and(|word| is_unit(word)));
        let tool = at + 1 + unit;
        let said = small.get(tool).is_some_and(|word| is_tool_size(word));
        // "10mm socket head screw", "3/4 hex set screw": the piece, and its size.
        let forms = small.get(tool).is_some_and(|word| {
            matches!(
                word.as_str(),
                "hex" | "socket" | "allen" | "ring" | "key" | "torx"
            )
        });
        let behind = &small[(tool + 1).min(small.len())..];
        let named = behind.iter().any(|word| is_kind(word))
            || behind
                .first()
                .is_some_and(|word| matches!(word.as_str(), "head" | "cap"));
        if !said || forms && named {
            continue;
        }
        let mut end = tool + 1;
        while small.get(end).is_some_and(|word| {
            is_tool_size(word) || matches!(word.as_str(), "size" | "flats" | "the" | "sized")
        }) {
            end += 1;
        }
        let mut rest = words[..at].to_vec();
        rest.extend(&words[end..]);
        return Some((words[at..end].join(" "), rest));
    }
    // "spanner size 13", "takes a 13mm spanner" is found above.
    // "bolts key 17", "nuts SW 13": a key behind the kind is the spanner's size; a
    // woodruff key is a kind itself.
    let at = (0..small.len()).find(|at| match small[*at].as_str() {
        "spanner" | "wrench" | "socket" | "af" | "sw" => true,
        "key" => *at == 0 || is_kind(&small[*at - 1]) && small[*at - 1] != "woodruff",
        _ => false,
    })?;
    let end = small[at..].iter().position(|word| measure(word))? + at + 1;
    let between = &small[at + 1..end - 1];
    let joined = between
        .iter()
        .all(|word| matches!(word.as_str(), "size" | "is" | "=" | "no" | "of"));
    joined.then(|| {
        let mut rest = words[..at].to_vec();
        rest.extend(&words[end..]);
        (words[at..end].join(" "), rest)
    })
}
