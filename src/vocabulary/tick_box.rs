//! Lines with a box before them, `[x]` or `[ ]`, as a person edits them in a sheet.
//!
//! What stands behind the box is for whoever asks.

/// What stands in the box at the beginning of a line, and what follows it. A list's
/// sign or a mark of quoting may stand before it, as editors and mails put them there.
#[must_use]
pub fn boxed(line: &str) -> Option<(&str, &str)> {
    let line = line.trim_start_matches(['-', '*', '+', '>', '•', ' ', '\t', '\u{a0}']);
    let (inside, rest) = line.strip_prefix('[')?.split_once(']')?;
    Some((inside.trim(), rest))
}

/// Whether the sign in a box ticks it; `None` if that cannot be told.
#[must_use]
pub fn is_tick(sign: &str) -> Option<bool> {
    match sign {
        "" => Some(false),
        "x" | "X" | "*" | "v" | "V" | "✓" | "✔" | "✗" | "✘" | "×" => Some(true),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn boxes_are_read_as_people_leave_them() {
        for (line, expected) in [
            ("[x] a", Some((Some(true), " a"))),
            ("- [ ] a", Some((Some(false), " a"))),
            ("> [ v ]a", Some((Some(true), "a"))),
            ("[?] a", Some((None, " a"))),
            ("a [x]", None),
            ("[x a", None),
        ] {
            let found = boxed(line).map(|(sign, rest)| (is_tick(sign), rest));
            assert_eq!(found, expected, "{line}");
        }
    }
}
