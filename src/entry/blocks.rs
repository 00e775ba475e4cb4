//! Markdown as a tree of blocks, as a reader sees them, for texts that leave in
//! another form.
//!
//! Raw HTML is left out, its tags and comments; what stands between them stays.
//! How a block looks is for `presentation` to say.

use pulldown_cmark::{Event, HeadingLevel, Options, Parser, Tag, TagEnd};

/// A stretch of a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Inline {
    /// Words.
    Text(String),
    /// Words to be taken literally.
    Code(String),
    /// Emphasis.
    Emphasis(Vec<Inline>),
    /// Strong emphasis.
    Strong(Vec<Inline>),
    /// Struck out.
    Struck(Vec<Inline>),
    /// A link.
    Link(String, Vec<Inline>),
    /// A picture: its path, and what is said where it cannot be shown.
    Image(String, String),
    /// The mark of a footnote.
    Note(String),
    /// The end of a line that was meant as one.
    Break,
}

/// A line of a table: its cells.
pub type TableCells = Vec<Vec<Inline>>;

/// A block.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Block {
    /// A title with its level, from 1.
    Title(u8, Vec<Inline>),
    /// A paragraph.
    Paragraph(Vec<Inline>),
    /// A list: its first number, if it is numbered, and its items.
    List(Option<u64>, Vec<Vec<Block>>),
    /// A quote.
    Quote(Vec<Block>),
    /// Lines to be taken literally.
    Code(String),
    /// A table: its head and its rows.
    Table(TableCells, Vec<TableCells>),
    /// A line across.
    Rule,
    /// A footnote, with its mark.
    Note(String, Vec<Block>),
}

/// Maximum nesting of blocks; what is deeper goes into the last one.
const DEEPEST: usize = 40;

/// Something that has begun.
struct OpenBlock {
    tag: Tag<'static>,
    blocks: Vec<Block>,
    inside: Vec<Inline>,
    items: Vec<Vec<Block>>,
    cells: TableCells,
    head: TableCells,
    rows: Vec<TableCells>,
}

impl OpenBlock {
    fn new(tag: Tag<'static>) -> OpenBlock {
        OpenBlock {
            tag,
            blocks: Vec::new(),
            inside: Vec::new(),
            items: Vec::new(),
            cells: Vec::new(),
            head: Vec::new(),
            rows: Vec::new(),
        }
    }

    /// Words right in a list's item, or before a block, are a paragraph.
    fn settle(&mut self) {
        if !self.inside.is_empty() {
            let inside = std::mem::take(&mut self.inside);
            self.blocks.push(Block::Paragraph(inside));
        }
    }

    fn say(&mut self, words: &str) {
        match self.inside.last_mut() {
            Some(Inline::Text(last)) => last.push_str(words),
            Some(_) | None => self.inside.push(Inline::Text(words.to_owned())),
        }
    }
}

/// The blocks of a text.
#[must_use]
pub fn blocks(text: &str) -> Vec<Block> {
    let options =
        Options::ENABLE_TABLES | Options::ENABLE_FOOTNOTES | Options::ENABLE_STRIKETHROUGH;
    let mut stack = vec![OpenBlock::new(Tag::Paragraph)];
    // How many have begun that are too deep to be kept apart.
    let mut deep = 0_u32;
    for event in Parser::new_ext(text, options) {
        let depth = stack.len();
        let Some(now) = stack.last_mut() else { break };
        match event {
            Event::Start(Tag::HtmlBlock) | Event::End(TagEnd::HtmlBlock) => {}
            Event::Start(_) if depth > DEEPEST => deep += 1,
            Event::End(_) if deep > 0 => deep -= 1,
            Event::Start(tag) => {
                if is_block(&tag) {
                    now.settle();
                }
                stack.push(OpenBlock::new(tag.into_static()));
            }
            Event::End(_) => {
                if let Some(done) = stack.pop()
                    && let Some(around) = stack.last_mut()
                {
                    close(done, around);
                }
            }
            Event::Text(words) => now.say(&words),
            Event::Code(words) => now.inside.push(Inline::Code(words.into_string())),
            Event::SoftBreak => now.say(" "),
            Event::HardBreak => now.inside.push(Inline::Break),
            Event::FootnoteReference(mark) => now.inside.push(Inline::Note(mark.into_string())),
            Event::Rule => {
                now.settle();
                now.blocks.push(Block::Rule);
            }
            Event::InlineMath(words) | Event::DisplayMath(words) => now.say(&words),
            Event::Html(_) | Event::InlineHtml(_) | Event::TaskListMarker(_) => {}
        }
    }
    // What is deeper than deep may still be open; nothing of it is lost.
    while let Some(done) = stack.pop() {
        match stack.last_mut() {
            Some(around) => close(done, around),
            None => {
                let mut root = done;
                root.settle();
                return root.blocks;
            }
        }
    }
    Vec::new()
}

fn is_block(tag: &Tag<'_>) -> bool {
    !matches!(
        tag,
        Tag::Emphasis
            | Tag::Strong
            | Tag::Strikethrough
            | Tag::Link { .. }
            | Tag::Image { .. }
            | Tag::Superscript
            | Tag::Subscript
    )
}

/// Puts what has ended into what is around it.
fn close(mut done: OpenBlock, around: &mut OpenBlock) {
    if matches!(
        done.tag,
        Tag::BlockQuote(_) | Tag::Item | Tag::FootnoteDefinition(_)
    ) {
        done.settle();
    }
    match done.tag {
        Tag::Heading { level, .. } => {
            around.blocks.push(Block::Title(number(level), done.inside));
        }
        Tag::CodeBlock(_) => around.blocks.push(Block::Code(plain(&done.inside))),
        Tag::BlockQuote(_) => {
            around.blocks.push(Block::Quote(done.blocks));
        }
        Tag::List(first) => around.blocks.push(Block::List(first, done.items)),
        Tag::Item => {
            around.items.push(done.blocks);
        }
        Tag::FootnoteDefinition(mark) => {
            around
                .blocks
                .push(Block::Note(mark.into_string(), done.blocks));
        }
        Tag::Table(_) => around.blocks.push(Block::Table(done.head, done.rows)),
        Tag::TableHead => around.head = done.cells,
        Tag::TableRow => around.rows.push(done.cells),
        Tag::TableCell => around.cells.push(done.inside),
        Tag::Emphasis => around.inside.push(Inline::Emphasis(done.inside)),
        Tag::Strong => around.inside.push(Inline::Strong(done.inside)),
        Tag::Strikethrough => around.inside.push(Inline::Struck(done.inside)),
        Tag::Link { dest_url, .. } => {
            around
                .inside
                .push(Inline::Link(dest_url.into_string(), done.inside));
        }
        Tag::Image { dest_url, .. } => {
            around
                .inside
                .push(Inline::Image(dest_url.into_string(), plain(&done.inside)));
        }
        Tag::Paragraph
        | Tag::HtmlBlock
        | Tag::DefinitionList
        | Tag::DefinitionListTitle
        | Tag::DefinitionListDefinition
        | Tag::Superscript
        | Tag::Subscript
        | Tag::MetadataBlock(_) => {
            around.blocks.append(&mut done.blocks);
            if !done.inside.is_empty() {
                around.blocks.push(Block::Paragraph(done.inside));
            }
        }
    }
}

fn number(level: HeadingLevel) -> u8 {
    match level {
        HeadingLevel::H1 => 1,
        HeadingLevel::H2 => 2,
        HeadingLevel::H3 => 3,
        HeadingLevel::H4 => 4,
        HeadingLevel::H5 => 5,
        HeadingLevel::H6 => 6,
    }
}

/// The words alone; marks of footnotes and pictures are none.
#[must_use]
pub fn plain(inside: &[Inline]) -> String {
    let mut words = String::new();
    for one in inside {
        match one {
            Inline::Text(text) | Inline::Code(text) => words.push_str(text),
            Inline::Emphasis(inside)
            | Inline::Strong(inside)
            | Inline::Struck(inside)
            | Inline::Link(_, inside) => words.push_str(&plain(inside)),
            Inline::Break => words.push(' '),
            Inline::Image(..) | Inline::Note(_) => {}
        }
    }
    words
}

/// The paths of the pictures in these blocks.
#[must_use]
pub fn pictures(blocks: &[Block]) -> Vec<&str> {
    fn within(inside: &[Inline]) -> Vec<&str> {
        let mut found = Vec::new();
        for one in inside {
            match one {
                Inline::Image(path, _) => found.push(path.as_str()),
                Inline::Emphasis(inside)
                | Inline::Strong(inside)
                | Inline::Struck(inside)
                | Inline::Link(_, inside) => found.extend(within(inside)),
                Inline::Text(_) | Inline::Code(_) | Inline::Note(_) | Inline::Break => {}
            }
        }
        found
    }
    let mut found = Vec::new();
    for block in blocks {
        match block {
            Block::Title(_, inside) | Block::Paragraph(inside) => found.extend(within(inside)),
            Block::List(_, items) => items.iter().for_each(|item| found.extend(pictures(item))),
            Block::Quote(inside) | Block::Note(_, inside) => found.extend(pictures(inside)),
            Block::Table(head, rows) => {
                let cells = head.iter().chain(rows.iter().flatten());
                cells.for_each(|cell| found.extend(within(cell)));
            }
            Block::Code(_) | Block::Rule => {}
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_of_block_is_kept() {
        let text = "# One\n\n### *Two* words\n\nA [link](https://example.org) and `code`[^n].<!-- no -->\n\n\
                    3. first\n4. second\n\n   > quoted\n\n| a | b |\n|---|---|\n| c | d |\n\n---\n\n    code\n\n[^n]: Note.\n\n    More.\n";
        let text_of = |words: &str| vec![Inline::Text(words.to_owned())];
        assert_eq!(
            blocks(text),
            [
                Block::Title(1, text_of("One")),
                Block::Title(
                    3,
                    vec![
                        Inline::Emphasis(text_of("Two")),
                        Inline::Text(" words".into())
                    ]
                ),
                Block::Paragraph(vec![
                    Inline::Text("A ".into()),
                    Inline::Link("https://example.org".into(), text_of("link")),
                    Inline::Text(" and ".into()),
                    Inline::Code("code".into()),
                    Inline::Note("n".into()),
                    Inline::Text(".".into()),
                ]),
                Block::List(
                    Some(3),
                    vec![
                        vec![Block::Paragraph(text_of("first"))],
                        vec![
                            Block::Paragraph(text_of("second")),
                            Block::Quote(vec![Block::Paragraph(text_of("quoted"))]),
                        ],
                    ]
                ),
                Block::Table(
                    vec![text_of("a"), text_of("b")],
                    vec![vec![text_of("c"), text_of("d")]]
                ),
                Block::Rule,
                Block::Code("code\n".into()),
                Block::Note(
                    "n".into(),
                    vec![
                        Block::Paragraph(text_of("Note.")),
                        Block::Paragraph(text_of("More.")),
                    ]
                ),
            ]
        );
    }

    #[test]
    fn depth_loses_no_words() {
        let text = format!("{} deep *down*\n\nand up\n", ">".repeat(300));
        let words = format!("{:?}", blocks(&text));
        assert!(words.contains("deep") && words.contains("down") && words.contains("and up"));
    }
}
