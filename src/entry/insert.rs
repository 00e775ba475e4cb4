//! Adding to a text without touching what stands there.

/// A text with something added to it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Added {
    /// The whole text.
    pub text: String,
    /// The first line of what was added, from 1.
    pub line: u32,
}

/// Adds a section at the end of a text, parted by one empty line, with the
/// line ends the text has.
#[must_use]
pub fn add_section(text: &str, section: &str) -> Added {
    let end = if text.contains("\r\n") { "\r\n" } else { "\n" };
    let mut whole = text.to_owned();
    if !whole.is_empty() {
        if !whole.ends_with(['\n', '\r']) {
            whole.push_str(end);
        }
        let empty_line =
            whole.trim_end_matches([' ', '\t']).ends_with("\n\n") || whole.ends_with("\r\n\r\n");
        if !empty_line {
            whole.push_str(end);
        }
    }
    let line = u32::try_from(super::source::Lines::new(&whole).count()).unwrap_or(u32::MAX);
    for one in section.trim_end().lines() {
        whole.push_str(one);
        whole.push_str(end);
    }
    Added { text: whole, line }
}

/// Adds prose of the entry: below what stands under its title, before the
/// first section.
#[must_use]
pub fn add_prose(entry: &super::Entry, prose: &str) -> Added {
    let text = &entry.text;
    let section = entry.outline.iter().find(|section| section.level > 1);
    let Some(at) = section.map(|section| section.heading.start) else {
        return add_section(text, prose);
    };
    let above = add_section(&text[..at], prose);
    let end = if text.contains("\r\n") { "\r\n" } else { "\n" };
    Added {
        text: format!("{}{end}{}", above.text, &text[at..]),
        line: above.line,
    }
}

/// A new entry's text: front matter from `fields`, the title, and what comes
/// below.
#[must_use]
pub fn new_entry(fields: &[(&str, &str)], title: &str, below: &str) -> String {
    let mut text = String::from("---\n");
    for (key, value) in fields {
        text.push_str(key);
        text.push_str(": ");
        text.push_str(&yaml_scalar(value));
        text.push('\n');
    }
    text.push_str("---\n");
    if !title.is_empty() {
        text.push_str("\n# ");
        text.push_str(title);
        text.push('\n');
    }
    if !below.trim().is_empty() {
        text.push('\n');
        text.push_str(below.trim_end());
        text.push('\n');
    }
    text
}

/// A value as YAML reads it back: plain where that is the same, quoted where
/// YAML would see something else in it.
pub(super) fn yaml_scalar(value: &str) -> String {
    let plain = !value.is_empty()
        && value.trim() == value
        && !value.contains(": ")
        && !value.contains(" #")
        && !value.ends_with(':')
        && !value.chars().any(char::is_control)
        && !value.starts_with(|c: char| "&*!|>%@`\"'#[]{},?:-".contains(c));
    if plain {
        return value.to_owned();
    }
    let mut quoted = String::from("\"");
    for c in value.chars() {
        match c {
            '"' => quoted.push_str("\\\""),
            '\\' => quoted.push_str("\\\\"),
            '\n' => quoted.push_str("\\n"),
            '\r' => quoted.push_str("\\r"),
            '\t' => quoted.push_str("\\t"),
            c if c.is_control() => quoted.push_str(&format!("\\u{:04x}", u32::from(c))),
            c => quoted.push(c),
        }
    }
    quoted.push('"');
    quoted
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_section_is_added_below_an_empty_line() {
        for (text, whole) in [
            ("# A\n", "# A\n\n## B\n"),
            ("# A", "# A\n\n## B\n"),
            ("# A\n\n", "# A\n\n## B\n"),
            ("# A\r\n", "# A\r\n\r\n## B\r\n"),
            ("", "## B\n"),
        ] {
            assert_eq!(add_section(text, "## B\n").text, whole);
        }
        assert_eq!(add_section("# A\n", "## B").line, 3);
    }

    #[test]
    fn values_that_yaml_would_misread_are_quoted() {
        assert_eq!(yaml_scalar("2026-03-14"), "2026-03-14");
        assert_eq!(yaml_scalar("jack : on the sill"), "\"jack : on the sill\"");
        assert_eq!(yaml_scalar("rack 2 #lower"), "\"rack 2 #lower\"");
        assert_eq!(yaml_scalar("a \"b\""), "a \"b\"");
        assert_eq!(yaml_scalar("\"b\" \\"), "\"\\\"b\\\" \\\\\"");
    }
}
