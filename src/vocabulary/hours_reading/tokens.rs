//! Words, numbers and signs of a duration.
//!
//! What they mean is decided by their reader; `day_reading` reads the same ones.

/// A number, a word or a sign; `;` and blanks are none.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in crate::vocabulary) enum HoursToken {
    /// Digits with the marks between them: `1:30`, `2.5`, `3/4`.
    Number(String),
    /// Letters.
    Word(String),
    /// Anything else.
    Sign(char),
}

/// The tokens of a text in small letters and plain signs.
pub(in crate::vocabulary) fn tokens(text: &str) -> Vec<HoursToken> {
    let mut found = Vec::new();
    let mut chars = text.char_indices().peekable();
    while let Some((at, c)) = chars.next() {
        if c.is_whitespace() {
            continue;
        }
        let inside = |c: char, next: Option<char>| {
            c.is_ascii_digit()
                || matches!(c, '.' | ',' | ':' | '/')
                    && next.is_some_and(|next| next.is_ascii_digit())
        };
        let letters = |c: char| c.is_alphabetic() || c == '\'';
        let end = if c.is_ascii_digit()
            || c == '.' && text[at + 1..].starts_with(|c: char| c.is_ascii_digit())
        {
            run(text, at, &inside)
        } else if c.is_alphabetic() {
            run(text, at, &|c, _| letters(c))
        } else {
            at + c.len_utf8()
        };
        let piece = &text[at..end];
        while chars.peek().is_some_and(|(next, _)| *next < end) {
            chars.next();
        }
        found.push(
            if piece.starts_with(|c: char| c.is_ascii_digit() || c == '.')
                && piece.len() > usize::from(c == '.')
            {
                HoursToken::Number(piece.to_owned())
            } else if c.is_alphabetic() {
                HoursToken::Word(piece.trim_end_matches('\'').to_owned())
            } else {
                HoursToken::Sign(c)
            },
        );
    }
    found
}

pub(super) fn run(text: &str, from: usize, inside: &dyn Fn(char, Option<char>) -> bool) -> usize {
    let mut chars = text[from..].char_indices().peekable();
    while let Some((at, c)) = chars.next() {
        let next = chars.peek().map(|(_, c)| *c);
        if at > 0 && !inside(c, next) {
            return from + at;
        }
    }
    text.len()
}
