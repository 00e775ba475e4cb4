//! The paragraphs of a stretch of Markdown, as a reader sees them: words
//! without marks.
//!
//! Code, tables and raw HTML are no prose and are left out. Where a paragraph
//! ends is Markdown's to say; where a sentence ends is not known here.

use std::ops::Range;

use pulldown_cmark::{Event, Options, Parser, Tag, TagEnd};

/// Prose without its marks, in one line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Paragraph {
    /// The words.
    pub text: String,
    /// Whether it is in an item of a list.
    pub is_item: bool,
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
        origins: Vec::new(),
    };
    let mut items = 0_u32;
    // Inside headings, code and images nothing is prose.
    let mut silent = 0_u32;
    for (event, at) in Parser::new_ext(stretch, Options::empty()).into_offset_iter() {
        if matches!(event, Event::Start(Tag::Item)) {
            finish(&mut now, &mut found);
            items += 1;
        } else if matches!(event, Event::End(TagEnd::Item)) {
            finish(&mut now, &mut found);
            items = items.saturating_sub(1);
        }
        now.is_item = items > 0;
        match event {
            Event::Start(Tag::Heading { .. } | Tag::CodeBlock(_) | Tag::HtmlBlock) => {
                finish(&mut now, &mut found);
                silent += 1;
            }
            Event::End(TagEnd::Heading(_) | TagEnd::CodeBlock | TagEnd::HtmlBlock) => {
                silent = silent.saturating_sub(1);
            }
            Event::Start(Tag::Image { .. }) => silent += 1,
            Event::End(TagEnd::Image) => silent = silent.saturating_sub(1),
            Event::Start(Tag::Paragraph | Tag::Item | Tag::List(_) | Tag::BlockQuote(_))
            | Event::End(
                TagEnd::Paragraph | TagEnd::Item | TagEnd::List(_) | TagEnd::BlockQuote(_),
            )
            | Event::Rule => finish(&mut now, &mut found),
            Event::Text(words) | Event::Code(words) if silent == 0 => {
                now.origins.push((now.text.len(), range.start + at.start));
                now.text.push_str(&words);
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
    finish(&mut now, &mut found);
    found
}

fn finish(now: &mut Paragraph, found: &mut Vec<Paragraph>) {
    let text = std::mem::take(&mut now.text);
    let origins = std::mem::take(&mut now.origins);
    if !text.trim().is_empty() {
        found.push(Paragraph {
            text,
            is_item: now.is_item,
            origins,
        });
    }
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
    fn words_know_where_they_stand() {
        let text = "# Title\n\nOne *two*\nthree. Four.\n";
        let found = paragraphs(text, 8..text.len());
        for word in ["One", "two", "three", "Four"] {
            let at = found[0].text.find(word).expect("the word");
            assert!(text[found[0].origin(at)..].starts_with(word), "{word}");
        }
    }
}
