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

/// Items in at most `lines` lines; the last one counts those that do not fit.
#[must_use]
pub fn list(items: &[String], width: f32, most: usize) -> Vec<String> {
    // Nobody prints more than this on a label, and each try is measured.
    const MOST_ITEMS: usize = 60;
    if items.is_empty() || most == 0 {
        return Vec::new();
    }
    let all = items.len();
    for shown in (1..=all.min(MOST_ITEMS)).rev() {
        let mut words: Vec<String> = items.iter().take(shown).cloned().collect();
        if shown < all {
            words.push(super::more(all - shown));
        }
        let lines = lines(&words.join("; "), width);
        if lines.len() <= most {
            return lines;
        }
    }
    // Not even one of them: its beginning says more than a count does.
    let more = match all {
        1 => String::new(),
        _ => format!(" and {} more", all - 1),
    };
    let mut kept = lines(&items[0], width);
    kept.truncate(most);
    if let Some(last) = kept.last_mut() {
        let room = width - ems(&more, false);
        *last = format!("{}{more}", cut(&format!("{last}……"), room, false));
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_does_not_fit_is_counted() {
        let items: Vec<String> = (1..30).map(|n| format!("{n} nut 7/16-20")).collect();
        let shown = list(&items, 30.0, 3);
        assert!(shown.len() <= 3);
        let text = shown.join(" ");
        let kept = text.matches("nut").count();
        assert!(kept > 2);
        assert!(text.ends_with(&super::super::more(29 - kept)), "{text}");
        assert!(shown.iter().all(|line| ems(line, false) <= 30.0));
    }

    #[test]
    fn of_an_item_too_long_its_beginning_is_shown() {
        let items = vec!["bracket of the long row".repeat(9); 3];
        let shown = list(&items, 20.0, 1);
        assert_eq!(shown.len(), 1);
        assert!(shown[0].starts_with("bracket"), "{shown:?}");
        assert!(shown[0].ends_with("… and 2 more"), "{shown:?}");
        assert!(ems(&shown[0], false) <= 20.0);
    }

    #[test]
    fn a_word_without_end_is_parted() {
        let lines = lines(&"x".repeat(100), 10.0);
        assert!(lines.len() > 4);
        assert_eq!(lines.concat(), "x".repeat(100));
        assert!(cut(&"x".repeat(100), 10.0, true).ends_with('…'));
    }
}
