//! The shape of an entry's Markdown: headings, the list under each, the rest.
//!
//! It says where things stand; what a heading or a list means is decided in
//! `sections`. The pieces lie side by side and cover the text without a gap.

use std::ops::Range;

use pulldown_cmark::{Event, HeadingLevel, Options, Parser, Tag, TagEnd};
use serde::{Deserialize, Serialize};

use super::item::{Item, trim};

/// A heading with what follows it up to the next one; the first section may
/// have none.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Section {
    /// 1 for `#` to 6; 0 for what stands before the first heading.
    pub level: u8,
    /// The words of the heading.
    pub title: String,
    /// The bytes of the heading, with its line end; empty at level 0.
    pub heading: Range<usize>,
    /// The list directly under the heading.
    pub list: Option<List>,
    /// Lists further down, behind other text.
    pub later: Vec<List>,
    /// All bytes after the heading up to the next one.
    pub body: Range<usize>,
}

/// A list directly under a heading.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct List {
    /// Its bytes, prose glued to its end included.
    pub range: Range<usize>,
    /// Where prose glued to the last item begins; the end of the list
    /// otherwise.
    pub prose: usize,
    /// Its items, nested ones inside.
    pub items: Vec<Item>,
    /// Where the first item stands that was one too many to be read.
    pub left_out: Option<usize>,
    /// Lines between the items that are none.
    pub words: Vec<Range<usize>>,
}

/// More items than anyone writes in one list.
pub(super) const MOST_ITEMS: usize = 10_000;

/// Reads the shape of `text` from byte `start` on.
#[must_use]
pub fn read(text: &str, start: usize) -> Vec<Section> {
    let shadow = shadow(&text[start..]).text;
    let mut sections = vec![Section {
        level: 0,
        title: String::new(),
        heading: start..start,
        list: None,
        later: Vec::new(),
        body: start..text.len(),
    }];
    let mut depth = 0_usize;
    let mut inside: Option<HeadingLevel> = None;
    let mut fresh = true;
    let mut events = Parser::new_ext(&shadow, Options::empty()).into_offset_iter();
    while let Some((event, range)) = events.next() {
        let range = in_text(text, start, &range);
        match event {
            Event::Start(Tag::Heading { level, .. }) if depth == 0 => {
                inside = Some(level);
                if let Some(last) = sections.last_mut() {
                    last.body.end = range.start;
                }
                let end = line_end(text, range.end);
                sections.push(Section {
                    level: level as u8,
                    title: String::new(),
                    heading: range.start..end,
                    list: None,
                    later: Vec::new(),
                    body: end..text.len(),
                });
                fresh = true;
                depth += 1;
            }
            Event::Start(Tag::List(_)) if depth == 0 => {
                let list = read_list(text, start, &range, &mut events);
                if let Some(last) = sections.last_mut() {
                    match fresh {
                        true => last.list = Some(list),
                        false => last.later.push(list),
                    }
                }
                fresh = false;
            }
            Event::Start(_) => {
                if depth == 0 {
                    fresh = false;
                }
                depth += 1;
            }
            Event::End(end) => {
                depth = depth.saturating_sub(1);
                if matches!(end, TagEnd::Heading(_)) && depth == 0 {
                    inside = None;
                }
            }
            Event::Text(words) | Event::Code(words) if inside.is_some() => {
                push_title(&mut sections, &words);
            }
            Event::InlineHtml(words) if inside.is_some() => push_title(&mut sections, &words),
            Event::SoftBreak | Event::HardBreak if inside.is_some() => {
                push_title(&mut sections, " ");
            }
            Event::Rule | Event::Html(_) if depth == 0 => fresh = false,
            Event::Text(_)
            | Event::Code(_)
            | Event::InlineHtml(_)
            | Event::InlineMath(_)
            | Event::DisplayMath(_)
            | Event::Html(_)
            | Event::FootnoteReference(_)
            | Event::SoftBreak
            | Event::HardBreak
            | Event::Rule
            | Event::TaskListMarker(_) => {}
        }
    }
    for section in &mut sections {
        section.title = trim(&section.title).to_owned();
    }
    sections
}

fn push_title(sections: &mut [Section], words: &str) {
    if let Some(last) = sections.last_mut() {
        last.title.push_str(words);
    }
}

/// The byte after the line end at or before which `at` stands.
fn line_end(text: &str, at: usize) -> usize {
    if at > 0 && text[..at].ends_with(['\n', '\r']) {
        return at;
    }
    let rest = &text[at..];
    match rest.find(['\n', '\r']) {
        Some(end) if rest[end..].starts_with("\r\n") => at + end + 2,
        Some(end) => at + end + 1,
        None => text.len(),
    }
}

/// Deeper than anyone nests a list of facts.
const DEEPEST: usize = 8;

/// Reads a list whose start was just seen, up to its end.
fn read_list<'a>(
    text: &str,
    start: usize,
    list: &Range<usize>,
    events: &mut impl Iterator<Item = (Event<'a>, Range<usize>)>,
) -> List {
    // The items under way, outermost first: their bytes, where their first
    // nested list begins, and the nested items read so far.
    let mut open: Vec<(Range<usize>, usize, Vec<Item>)> = Vec::new();
    let mut items = Vec::new();
    let mut prose = list.end;
    let mut lists = 1_usize;
    let mut count = 0_usize;
    let mut left_out = None;
    for (event, range) in events {
        let range = in_text(text, start, &range);
        if let Event::Start(Tag::List(_)) = event {
            lists += 1;
            if let Some((_, own_end, _)) = open.last_mut() {
                *own_end = (*own_end).min(range.start);
            }
        } else if let Event::End(TagEnd::List(_)) = event {
            lists -= 1;
            if lists == 0 {
                break;
            }
        } else if let Event::Start(Tag::Item) = event {
            open.push((range.clone(), range.end, Vec::new()));
        } else if let Event::End(TagEnd::Item) = event
            && let Some((bytes, own_end, children)) = open.pop()
        {
            count += 1;
            if count > MOST_ITEMS {
                left_out.get_or_insert(bytes.start);
                continue;
            }
            let (mut item, glued) = read_item(text, bytes.start..own_end);
            item.children = children;
            if let Some(glued) = glued {
                prose = glued;
            }
            // What is nested deeper than anyone writes is kept level, so that
            // no chain of items grows as long as the file.
            let parent = open.len().min(DEEPEST);
            match parent.checked_sub(1).and_then(|at| open.get_mut(at)) {
                Some((_, _, siblings)) => siblings.push(item),
                None => items.push(item),
            }
        }
    }
    List {
        range: list.clone(),
        prose: prose.max(list.start),
        items,
        left_out,
        words: Vec::new(),
    }
}

/// One item's own text: the words behind its marker and the indented lines
/// below. Lines that are not indented are prose glued to it; the second value
/// says where they begin.
fn read_item(text: &str, bytes: Range<usize>) -> (Item, Option<usize>) {
    let source = &text[bytes.clone()];
    let marker = source
        .find(|c: char| !(c.is_ascii_digit() || c.is_whitespace()))
        .and_then(|at| source[at..].chars().next().map(|c| at + c.len_utf8()))
        .unwrap_or(source.len());
    let behind = &source[marker..];
    let first_end = behind.find(['\n', '\r']).unwrap_or(behind.len());
    let mut value = trim(&behind[..first_end]).to_owned();
    let mut end = marker + first_end;
    let mut at = marker + first_end;
    let mut glued = None;
    for line in source[at..].split_inclusive(['\n', '\r']) {
        let words = trim(line);
        if !words.is_empty() {
            if !line.starts_with([' ', '\t']) {
                glued = Some(bytes.start + at);
                break;
            }
            value.push(' ');
            value.push_str(words);
            end = at + line.trim_end().len();
        }
        at += line.len();
    }
    let lead = behind[..first_end].len() - behind[..first_end].trim_start().len();
    let span = bytes.start + (marker + lead).min(end)..bytes.start + end;
    (Item::of_text(&value, span), glued)
}

/// The text as the Markdown parser is given it: every byte keeps its place.
pub(super) struct Shadow {
    pub text: String,
    /// The first byte that was made plain text because it stands in more lists
    /// or quotes than the parser could follow in reasonable time.
    pub too_deep: Option<usize>,
}

/// Where a piece of the shadow of `text[start..]` stands in `text`. What ends
/// behind a `-` ends in the middle of the longer bullet that stands there, and
/// is taken to its end.
pub(super) fn in_text(text: &str, start: usize, range: &Range<usize>) -> Range<usize> {
    let whole = |at: usize| {
        (at + start..text.len())
            .find(|at| text.is_char_boundary(*at))
            .unwrap_or(text.len())
    };
    whole(range.start)..whole(range.end)
}

/// More lists and quotes in each other than any line opens. What one line
/// opens, the parser looks through again on each line that follows.
const MOST_OPENED: usize = 100;

/// The text with the bullets of phone keyboards (`–`, `—`, `•`) at the start
/// of a line turned into `-`, and no line opening more lists and quotes than
/// [`MOST_OPENED`].
pub(super) fn shadow(text: &str) -> Shadow {
    let mut plain = String::with_capacity(text.len());
    let mut too_deep = None;
    for line in text.split_inclusive(['\n', '\r']) {
        let at = plain.len();
        let indent = line.len() - line.trim_start_matches([' ', '\t']).len();
        let rest = &line[indent..];
        let bullet = ['–', '—', '•', '‣', '·', '−']
            .into_iter()
            .find(|bullet| rest.starts_with(*bullet));
        match bullet {
            Some(bullet) if rest[bullet.len_utf8()..].starts_with([' ', '\t']) => {
                plain.push_str(&line[..indent]);
                plain.push('-');
                plain.extend(std::iter::repeat_n(' ', bullet.len_utf8() - 1));
                plain.push_str(&rest[bullet.len_utf8()..]);
            }
            Some(_) | None => plain.push_str(line),
        }
        if let Some(deep) = one_too_many(&plain[at..]) {
            plain.replace_range(at + deep..at + deep + 1, "x");
            too_deep.get_or_insert(at + deep);
        }
    }
    Shadow {
        text: plain,
        too_deep,
    }
}

/// Where a line opens one list or quote more than [`MOST_OPENED`].
fn one_too_many(line: &str) -> Option<usize> {
    let mut opened = 0;
    let mut rest = line.trim_start_matches([' ', '\t']);
    while let Some(marker) = marker(rest) {
        opened += 1;
        if opened > MOST_OPENED {
            return (!is_rule(rest)).then_some(line.len() - rest.len());
        }
        rest = rest[marker..].trim_start_matches([' ', '\t']);
    }
    None
}

/// The bytes of the mark that opens a list or a quote here.
fn marker(text: &str) -> Option<usize> {
    let bytes = text.as_bytes();
    let digits = bytes
        .iter()
        .take_while(|byte| byte.is_ascii_digit())
        .count();
    let end = match bytes.get(digits)? {
        b'>' if digits == 0 => return Some(1),
        b'-' | b'+' | b'*' if digits == 0 => 1,
        b'.' | b')' if digits > 0 => digits + 1,
        _ => return None,
    };
    matches!(bytes.get(end), None | Some(b' ' | b'\t')).then_some(end)
}

/// Whether nothing but `-` or nothing but `*` stands here: a line across the
/// page, however long.
fn is_rule(text: &str) -> bool {
    ['-', '*']
        .iter()
        .any(|mark| text.chars().all(|c| c == *mark || c.is_whitespace()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shape(text: &str) -> Vec<(u8, String, Vec<String>, String)> {
        read(text, 0)
            .into_iter()
            .map(|section| {
                let prose_start = section
                    .list
                    .as_ref()
                    .map_or(section.body.start, |list| list.prose);
                (
                    section.level,
                    section.title,
                    section
                        .list
                        .into_iter()
                        .flat_map(|list| list.items)
                        .map(|item| item.whole())
                        .collect(),
                    text[prose_start..section.body.end].trim().to_owned(),
                )
            })
            .collect()
    }

    #[test]
    fn a_list_belongs_to_the_heading_right_above_it() {
        let sections = shape(
            "# The tank\n\nIt came down.\n\n## Fuel *tank* ##\n\n- bag: 31\n  and more\n- found: rust: much\nGlued prose.\n\nMore.\n\n## Filler neck\n\nProse.\n\n- bag: 3\n",
        );
        assert_eq!(sections[1].1, "The tank");
        assert_eq!(sections[2].1, "Fuel tank");
        assert_eq!(sections[2].2, ["bag: 31 and more", "found: rust: much"]);
        assert_eq!(sections[2].3, "Glued prose.\n\nMore.");
        assert!(sections[3].2.is_empty());
    }

    #[test]
    fn bullets_of_every_keyboard() {
        for bullet in ["-", "*", "+", "–", "—", "•"] {
            let sections = shape(&format!(
                "## Horn\n{bullet} bag: 4\n{bullet} stored: rack\n"
            ));
            assert_eq!(sections[1].2, ["bag: 4", "stored: rack"], "{bullet}");
        }
    }

    #[test]
    fn headings_in_code_are_no_headings() {
        assert_eq!(shape("```\n## Horn\n- bag: 4\n```\n").len(), 1);
        assert_eq!(shape("> ## Horn\n> - bag: 4\n").len(), 1);
    }

    #[test]
    fn what_is_too_deep_is_plain_text() {
        let quotes = format!("{}## Horn\n", "> ".repeat(150));
        let deep = shadow(&quotes);
        assert_eq!(deep.text.len(), quotes.len());
        assert_eq!(deep.too_deep, Some(200));
        for text in [
            "a\n".to_owned() + &"-".repeat(300),
            "- ".repeat(300),
            "1. ".repeat(100) + "a",
            "1.".repeat(300),
        ] {
            let shadow = shadow(&text);
            assert_eq!((shadow.text, shadow.too_deep), (text, None));
        }
    }

    #[test]
    fn nested_items_stay_with_theirs() {
        let sections = read(
            "## Horn\n\n- replaced by: used\n  - kind: used\n  - cost: 12\n- bag: 4\n",
            0,
        );
        let list = sections[1].list.as_ref().expect("a list");
        assert_eq!(list.items.len(), 2);
        assert_eq!(list.items[0].children.len(), 2);
        assert_eq!(list.items[0].children[1].value, "12");
    }
}
