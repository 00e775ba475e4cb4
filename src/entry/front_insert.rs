//! Adding to the front matter of a text without touching what stands there.
//!
//! It knows lines, not YAML: the text it is given begins with a front matter.

use super::insert::{Added, yaml_scalar};

/// Adds `key: value` as the last line of the front matter; `None` where the
/// text has none. A key may stand there several times.
#[must_use]
pub fn add_to_front(text: &str, key: &str, value: &str) -> Option<Added> {
    let front = Front::of(text)?;
    Some(front.with(text, front.closing, front.closing, key, value))
}

/// Puts `key: value` in the place of the line with this key, or adds it; `None`
/// where the text has no front matter, or where the value goes on below.
#[must_use]
pub fn set_in_front(text: &str, key: &str, value: &str) -> Option<Added> {
    let front = Front::of(text)?;
    let Some((start, end)) = front.line_of(text, key) else {
        return add_to_front(text, key, value);
    };
    let goes_on = text[end..].starts_with([' ', '\t', '-']) && end < front.closing;
    (!goes_on).then(|| front.with(text, start, end, key, value))
}

/// Where a front matter begins and ends.
struct Front {
    /// The start of its first line below `---`.
    first: usize,
    /// The start of its closing line.
    closing: usize,
    end: &'static str,
}

impl Front {
    fn of(text: &str) -> Option<Front> {
        let mut at = text.len() - text.trim_start_matches('\u{feff}').len();
        let mut lines = text[at..].split_inclusive('\n');
        let opening = lines.next()?;
        if opening.trim_end() != "---" {
            return None;
        }
        at += opening.len();
        let first = at;
        for line in lines {
            if matches!(line.trim_end(), "---" | "...") {
                return Some(Front {
                    first,
                    closing: at,
                    end: if opening.ends_with("\r\n") {
                        "\r\n"
                    } else {
                        "\n"
                    },
                });
            }
            at += line.len();
        }
        None
    }

    /// The line with this key, from its start to the start of the next.
    fn line_of(&self, text: &str, key: &str) -> Option<(usize, usize)> {
        let mut at = self.first;
        for line in text[self.first..self.closing].split_inclusive('\n') {
            let named = line.split_once(':').map(|(own, _)| own.trim_end());
            if named.is_some_and(|own| own.eq_ignore_ascii_case(key)) {
                return Some((at, at + line.len()));
            }
            at += line.len();
        }
        None
    }

    /// The text with a line in the place of what stands from `start` to `end`.
    fn with(&self, text: &str, start: usize, end: usize, key: &str, value: &str) -> Added {
        let before = &text[..start];
        let line = before.matches('\n').count() + 1;
        Added {
            text: format!(
                "{before}{key}: {}{}{}",
                yaml_scalar(value),
                self.end,
                &text[end..]
            ),
            line: u32::try_from(line).unwrap_or(u32::MAX),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_come_into_the_front_matter() {
        let text = "---\ndate: 2026-03-14\nhours: 2 # so far\ncost:\n  - 12 oil\n---\n\n# A\n";
        let added = add_to_front(text, "cost", "-20 core").expect("front matter");
        assert_eq!(
            added.text,
            text.replace("oil\n", "oil\ncost: \"-20 core\"\n")
        );
        assert_eq!(added.line, 6);
        let set = set_in_front(text, "hours", "3:30").expect("front matter");
        assert_eq!(set.text, text.replace("2 # so far", "3:30"));
        assert_eq!(set_in_front(text, "cost", "1"), None);
        let new = set_in_front("---\r\na: b\r\n---\r\n", "vehicle", "wren").expect("front matter");
        assert_eq!(new.text, "---\r\na: b\r\nvehicle: wren\r\n---\r\n");
        assert_eq!(add_to_front("# A\n", "cost", "1"), None);
        assert_eq!(add_to_front("---\na: b\n", "cost", "1"), None);
    }
}
