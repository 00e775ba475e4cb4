//! The paragraphs of a stretch of Markdown, as a reader sees them: words
//! without marks.
//!
//! Code, tables and raw HTML are no prose and are left out. Where a paragraph
//! ends is Markdown's to say; where a sentence ends is not known here.

use std::ops::Range;

use pulldown_cmark::{Event, Options, Parser, Tag, TagEnd};

use super::telling::Telling;

/// Prose without its marks, in one line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Paragraph {
    /// The words.
    pub text: String,
    /// Whether it is in an item of a list.
    pub is_item: bool,
    /// The mark that a person put before it.
    pub mark: Option<Telling>,
    /// Its bytes in the entry's text, up to the end of its last line.
    pub bytes: Range<usize>,
    /// Byte of the words → byte of the entry's text, where the two go apart.
    origins: Vec<(usize, usize)>,
}

impl Paragraph {
    /// The byte of the entry's text from which this byte of the words came.
    #[must_use]
    pub fn origin(&self, at: usize) -> usize {
        let after = self.origins.partition_point(|(start, _)| *start <= at);
        self.origins
            .get(after.saturating_sub(1))
            .map_or(0, |(start, origin)| origin + (at - start))
    }
}

/// The paragraphs in `range` of an entry's text: those of lists and quotes as
/// well, each item for itself.
#[must_use]
pub fn paragraphs(text: &str, range: Range<usize>) -> Vec<Paragraph> {
    let Some(stretch) = text.get(range.clone()) else {
        return Vec::new();
    };
    let mut found = Vec::new();
    let mut now = Paragraph {
        text: String::new(),
        is_item: false,
        mark: None,
        bytes: 0..0,
        origins: Vec::new(),
    };
    let mut items = 0_u32;
    // Inside headings, code and images nothing is prose.
    let mut silent = 0_u32;
    // "310. And 480 for the rest": a figure ends a sentence, and begins no list.
    let mut is_figure = false;
    for (event, at) in Parser::new_ext(stretch, Options::ENABLE_FOOTNOTES).into_offset_iter() {
        if matches!(event, Event::Start(Tag::Item)) {
            finish(text, &mut now, &mut found);
            items += 1;
        } else if matches!(event, Event::End(TagEnd::Item)) {
            finish(text, &mut now, &mut found);
            items = items.saturating_sub(1);
            is_figure = false;
        }
        now.is_item = items > 0 && !is_figure;
        match event {
            Event::Start(Tag::Heading { .. } | Tag::CodeBlock(_) | Tag::HtmlBlock) => {
                finish(text, &mut now, &mut found);
                silent += 1;
            }
            Event::End(TagEnd::Heading(_) | TagEnd::CodeBlock | TagEnd::HtmlBlock) => {
                silent = silent.saturating_sub(1);
            }
            Event::Start(Tag::Image { .. }) => {
                // It belongs to the paragraph, as its last line too.
                if silent == 0 {
                    now.bytes.end = range.start + at.end;
                }
                silent += 1;
            }
            Event::End(TagEnd::Image) => silent = silent.saturating_sub(1),
            Event::Start(Tag::List(first)) => {
                finish(text, &mut now, &mut found);
                is_figure = first.is_some_and(|number| number > 1);
            }
            Event::Start(Tag::Item) if is_figure => {
                now.origins.push((0, range.start + at.start));
                now.text.push_str(figure_at(&stretch[at.start..]));
                now.text.push(' ');
            }
            // The paragraph goes on behind the figure.
            Event::Start(Tag::Paragraph) if is_figure && now.origins.len() == 1 => {}
            Event::Start(Tag::Paragraph | Tag::Item | Tag::BlockQuote(_))
            | Event::End(TagEnd::Paragraph | TagEnd::Item | TagEnd::BlockQuote(_))
            | Event::Rule => finish(text, &mut now, &mut found),
            Event::Text(words) | Event::Code(words) if silent == 0 => {
                now.origins.push((now.text.len(), range.start + at.start));
                now.text.push_str(&words);
                now.bytes.end = range.start + at.end;
            }
            Event::SoftBreak | Event::HardBreak if silent == 0 => now.text.push(' '),
            Event::Start(_)
            | Event::End(_)
            | Event::Text(_)
            | Event::Code(_)
            | Event::InlineMath(_)
            | Event::DisplayMath(_)
            | Event::Html(_)
            | Event::InlineHtml(_)
            | Event::FootnoteReference(_)
            | Event::SoftBreak
            | Event::HardBreak
            | Event::TaskListMarker(_) => {}
        }
    }
    finish(text, &mut now, &mut found);
    found
}

/// The number at the beginning of an item, with its full stop.
fn figure_at(item: &str) -> &str {
    let digits = item.bytes().take_while(u8::is_ascii_digit).count();
    item.get(..=digits).unwrap_or_default()
}

/// Ends a paragraph of `whole`: its mark is taken off, as it is none of its words.
fn finish(whole: &str, now: &mut Paragraph, found: &mut Vec<Paragraph>) {
    let mut text = std::mem::take(&mut now.text);
    let mut origins = std::mem::take(&mut now.origins);
    if text.trim().is_empty() {
        return;
    }
    let start = origins.first().map_or(0, |(_, origin)| *origin);
    let rest = whole.get(now.bytes.end..).unwrap_or_default();
    let end = now.bytes.end + rest.find('\n').unwrap_or(rest.len());
    let mark = Telling::at_start(&text);
    if let Some((_, length)) = mark {
        text.drain(..length);
        // The first piece begins behind the mark, the others move along.
        for (at, origin) in &mut origins {
            if *at == 0 {
                *origin += length;
            }
            *at = at.saturating_sub(length);
        }
    }
    found.push(Paragraph {
        text,
        is_item: now.is_item,
        mark: mark.map(|(mark, _)| mark),
        bytes: start..end,
        origins,
    });
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words(text: &str) -> Vec<String> {
        paragraphs(text, 0..text.len())
            .into_iter()
            .map(|paragraph| paragraph.text)
            .collect()
    }

    #[test]
    fn marks_are_no_words() {
        let text = "One *two*\nthree.\n\n- four\n- five [six](seven.html)\n\n> eight\n> nine\n\n    code\n\n# ten\n\n<script>alert(1)</script>\n\n<b onclick=\"x()\">eleven</b> ![twelve](t.jpg) & `3/8`\n";
        assert_eq!(
            words(text),
            [
                "One two three.",
                "four",
                "five six",
                "eight nine",
                "eleven  & 3/8"
            ]
        );
    }

    #[test]
    fn a_figure_at_the_beginning_begins_no_list() {
        let text =
            "It was 300 *and*\n\n310. And 480 for the *rest*, then\nnothing.\n\n1. one\n2. two\n";
        let found = paragraphs(text, 0..text.len());
        let said: Vec<(&str, bool)> = found
            .iter()
            .map(|one| (one.text.as_str(), one.is_item))
            .collect();
        assert_eq!(
            said,
            [
                ("It was 300 and", false),
                ("310. And 480 for the rest, then nothing.", false),
                ("one", true),
                ("two", true),
            ]
        );
        assert!(text[found[1].origin(0)..].starts_with("310. And"));
        assert!(text[found[1].origin(5)..].starts_with("And 480"));
    }

    #[test]
    fn a_mark_is_none_of_the_words() {
        let text =
            "! It *broke*\noff.\n\n~ He is `ill`\nand.\nBoth.\n\n- ~ three\n- four\n\n> ! five\n";
        let found = paragraphs(text, 0..text.len());
        let said: Vec<(&str, Option<Telling>, &str)> = found
            .iter()
            .map(|one| (one.text.as_str(), one.mark, &text[one.bytes.clone()]))
            .collect();
        assert_eq!(
            said,
            [
                ("It broke off.", Some(Telling::Worth), "! It *broke*\noff."),
                (
                    "He is ill and. Both.",
                    Some(Telling::Private),
                    "~ He is `ill`\nand.\nBoth."
                ),
                ("three", Some(Telling::Private), "~ three"),
                ("four", None, "four"),
                ("five", Some(Telling::Worth), "! five"),
            ]
        );
        assert!(text[found[0].origin(3)..].starts_with("broke"));
    }

    #[test]
    fn words_know_where_they_stand() {
        let text = "# Title\n\nOne *two*\nthree. Four.\n";
        let found = paragraphs(text, 8..text.len());
        for word in ["One", "two", "three", "Four"] {
            let at = found[0].text.find(word).expect("the word");
            assert!(text[found[0].origin(at)..].starts_with(word), "{word}");
        }
    }
}
