//! The 652 examples of the CommonMark specification as prose of entries: read
//! without loss, and cut into sections where two others see headings, the
//! expected HTML of the examples and a parser that is not the one in use.

use markdown::mdast::Node;
use matchmark::entry::{Entry, read};
use serde_json::Value;

use super::{broken_promises, context};

const EXAMPLES: &str = include_str!("../../data/commonmark/examples.json");

/// What stands above each example.
const ABOVE: &str = "---\ndate: 2026-03-14\nvehicle: wren\n---\n\n# An evening\n\n";

struct Example {
    name: String,
    markdown: String,
    html: String,
}

fn examples() -> Vec<Example> {
    let all: Vec<Value> = serde_json::from_str(EXAMPLES).expect("examples");
    let text = |example: &Value, key: &str| example[key].as_str().expect("text").to_owned();
    all.iter()
        .map(|example| Example {
            name: format!("{} ({})", example["example"], text(example, "section")),
            markdown: text(example, "markdown"),
            html: text(example, "html"),
        })
        .collect()
}

/// Level, first byte and end of each heading below the title.
fn headings(entry: &Entry) -> Vec<(u8, usize, usize)> {
    entry
        .outline
        .iter()
        .filter(|section| section.level > 0)
        .skip(1)
        .map(|section| (section.level, section.heading.start, section.heading.end))
        .collect()
}

#[test]
fn all_examples_are_there() {
    assert_eq!(examples().len(), 652);
}

#[test]
fn no_example_is_changed_by_reading() {
    for example in examples() {
        for text in [
            example.markdown.clone(),
            format!("{ABOVE}{}", example.markdown),
            format!("{ABOVE}{}", example.markdown).replace('\n', "\r\n"),
            format!("{ABOVE}{}", example.markdown).replace('\n', "\r"),
            format!("{ABOVE}## Horn\n\n- bag: 4\n{}", example.markdown),
        ] {
            let broken = broken_promises(text.as_bytes());
            assert!(broken.is_empty(), "{}: {broken:?}", example.name);
        }
    }
}

/// Levels of the headings in HTML that stand in no quote and no list.
fn levels_in_html(html: &str) -> Vec<u8> {
    let mut levels = Vec::new();
    let mut inside = 0_usize;
    for tag in html.split('<').skip(1) {
        let name = tag
            .split(|c: char| c == '>' || c.is_whitespace())
            .next()
            .unwrap_or_default();
        match name {
            "blockquote" | "li" => inside += 1,
            "/blockquote" | "/li" => inside = inside.saturating_sub(1),
            "h1" | "h2" | "h3" | "h4" | "h5" | "h6" if inside == 0 => {
                levels.push(name.as_bytes()[1] - b'0');
            }
            _ => {}
        }
    }
    levels
}

#[test]
fn sections_begin_where_the_expected_html_has_headings() {
    let mut seen = 0;
    for example in examples() {
        let text = format!("{ABOVE}{}", example.markdown);
        let (entry, _) = read(&text, &context());
        let levels: Vec<u8> = headings(&entry).iter().map(|(level, ..)| *level).collect();
        assert_eq!(levels, levels_in_html(&example.html), "{}", example.name);
        seen += levels.len();
    }
    // So that the comparison is known to compare something.
    assert!(seen > 50, "{seen} headings");
}

/// What another parser says of a text: level, line and line of the end of
/// each heading that stands in no quote and no list.
fn headings_of_another_parser(text: &str) -> Vec<(u8, usize, usize)> {
    let tree = markdown::to_mdast(text, &markdown::ParseOptions::default()).expect("Markdown");
    tree.children()
        .into_iter()
        .flatten()
        .filter_map(|node| {
            let Node::Heading(heading) = node else {
                return None;
            };
            let position = heading.position.as_ref()?;
            Some((heading.depth, position.start.line, position.end.line))
        })
        .collect()
}

#[test]
fn sections_begin_and_end_where_another_parser_sees_headings() {
    for example in examples() {
        let body = format!("# An evening\n\n{}", example.markdown);
        let front = ABOVE.len() - "# An evening\n\n".len();
        let text = format!("{}{body}", &ABOVE[..front]);
        let (entry, _) = read(&text, &context());
        let line = |byte: usize| text[front..byte].matches('\n').count() + 1;
        let ours: Vec<(u8, usize, usize)> = headings(&entry)
            .into_iter()
            .map(|(level, start, end)| {
                let last = text[..end].trim_end_matches('\n').len();
                (level, line(start), line(last))
            })
            .collect();
        let theirs: Vec<_> = headings_of_another_parser(&body)
            .into_iter()
            .skip(1)
            .collect();
        assert_eq!(ours, theirs, "{}", example.name);
    }
}

/// The one place where the format leaves CommonMark: at the start of a line
/// the bullets of phone keyboards are bullets. CommonMark sees words, so a
/// line of `=` below them would make a heading.
#[test]
fn bullets_of_phone_keyboards_are_bullets() {
    let text = "# An evening\n\n• bag: 4\n===\n";
    let (entry, _) = read(text, &context());
    assert!(headings(&entry).is_empty());
    assert_eq!(headings_of_another_parser(text).len(), 2);
    let phone = ['–', '—', '•', '‣', '·', '−'];
    let touched: Vec<String> = examples()
        .into_iter()
        .filter(|example| {
            example
                .markdown
                .lines()
                .any(|line| line.trim_start().starts_with(phone))
        })
        .map(|example| example.name)
        .collect();
    assert!(touched.is_empty(), "no example is excused: {touched:?}");
}
