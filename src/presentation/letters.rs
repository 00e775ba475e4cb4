//! How wide words are on paper, and how they are parted into lines.
//!
//! A page cannot be asked which letters it will be printed in, so widths are
//! those of a usual sans-serif type, rounded up (from memory).

use unicode_width::UnicodeWidthChar;

/// The width of a text in ems.
#[must_use]
pub fn ems(text: &str, bold: bool) -> f32 {
    let plain: f32 = text.chars().map(em).sum();
    if bold { plain * 1.08 } else { plain }
}

fn em(c: char) -> f32 {
    match c {
        'i' | 'j' | 'l' | 'I' | '\'' | '|' | '.' | ',' | ':' | ';' | '!' => 0.28,
        ' ' | '\u{a0}' | 'f' | 't' | 'r' | '(' | ')' | '/' | '-' => 0.36,
        'm' | 'w' | 'M' | 'W' | '…' | '@' | '%' => 0.95,
        'A'..='Z' => 0.74,
        _ if c.width() == Some(0) => 0.0,
        _ if c.width() == Some(2) => 1.02,
        _ => 0.58,
    }
}

/// The width of a text in ems in the widest bold sans-serif type of usual devices, rounded
/// up (from memory).
#[must_use]
pub fn widest_ems(text: &str) -> f32 {
    text.chars().map(widest_em).sum()
}

fn widest_em(c: char) -> f32 {
    match c {
        'i' | 'j' | 'l' | 'I' | '\'' | '|' | '.' | ',' | ':' | ';' | ' ' | '\u{a0}' => 0.4,
        'f' | 't' | 'r' | '(' | ')' | '/' | '-' | '!' | '"' => 0.53,
        'm' | 'w' | 'M' | 'W' | '…' | '@' | '%' => 1.11,
        'A'..='Z' | '<' | '>' | '=' | '+' | '~' | '#' | '&' => 0.87,
        _ if c.width() == Some(0) => 0.0,
        _ if c.width() == Some(2) => 1.06,
        _ => 0.74,
    }
}

/// As much of a text as fits `width` ems, with a sign where it was cut.
#[must_use]
pub fn cut(text: &str, width: f32, bold: bool) -> String {
    if ems(text, bold) <= width {
        return text.to_owned();
    }
    let room = width - ems("…", bold);
    let mut kept = String::new();
    let mut used = 0.0;
    for c in text.chars() {
        used += ems(c.encode_utf8(&mut [0; 4]), bold);
        if used > room {
            break;
        }
        kept.push(c);
    }
    format!("{}…", kept.trim_end())
}

/// A text in lines of `width` ems, parted at blanks that are no no-break ones,
/// and inside of a word only where it is longer than a line.
#[must_use]
pub fn lines(text: &str, width: f32) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in text.split(' ').filter(|word| !word.is_empty()) {
        let longer = if line.is_empty() {
            word.to_owned()
        } else {
            format!("{line} {word}")
        };
        if ems(&longer, false) <= width {
            line = longer;
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        for c in word.chars() {
            let mut longer = line.clone();
            longer.push(c);
            if ems(&longer, false) > width && !line.is_empty() {
                lines.push(std::mem::take(&mut line));
            }
            line.push(c);
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_word_without_end_is_parted() {
        let lines = lines(&"x".repeat(100), 10.0);
        assert!(lines.len() > 4);
        assert_eq!(lines.concat(), "x".repeat(100));
        assert!(cut(&"x".repeat(100), 10.0, true).ends_with('…'));
    }
}
