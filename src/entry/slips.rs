//! Slips of Markdown that swallow records without a word: an open fence, a
//! heading without its blank, control characters.

use std::ops::Range;

use pulldown_cmark::{CodeBlockKind, Event, Options, Parser, Tag};

use super::outline;
use super::source::Lines;
use crate::problem::Problem;

/// The most lines with control characters that are reported one by one.
const MOST_CONTROLS: usize = 20;

/// How git marks both sides of a conflict; a line of `=======` alone may be a
/// heading.
const CONFLICT: [&str; 2] = ["<<<<<<< ", ">>>>>>> "];

/// Whether both sides of a conflict of a git merge stand in this text.
#[must_use]
pub fn is_in_conflict(text: &str) -> bool {
    CONFLICT
        .iter()
        .all(|marker| text.lines().any(|line| line.starts_with(marker)))
}

/// Looks through the text from byte `start` on.
pub(super) fn find(lines: &Lines<'_>, start: usize, problems: &mut Vec<Problem>) {
    let code = blocks(lines, start, problems);
    for index in lines.index_of(start)..lines.count() {
        let range = lines.range(index);
        let line = lines.line(index);
        let marks = line.bytes().take_while(|byte| *byte == b'#').count();
        if CONFLICT.iter().any(|marker| line.starts_with(marker)) {
            problems.push(
                Problem::error(
                    lines.spot(range.start..range.start + 7),
                    "a conflict of a git merge is still in this text",
                )
                .hint("keep the lines you want and delete the lines with the markers"),
            );
        }
        let glued = (2..=6).contains(&marks)
            && line[marks..].starts_with(|c: char| c.is_alphabetic())
            && !is_inside(&code, range.start);
        if glued {
            problems.push(
                Problem::warning(
                    lines.spot(range.start..range.start + marks + 1),
                    "a space is missing behind the `##`, so this is no heading",
                )
                .hint(format!("write `{} {}`", &line[..marks], &line[marks..])),
            );
        }
    }
    controls(lines, problems);
}

/// Whether a byte stands in one of these blocks, which are in the order of the
/// text.
fn is_inside(blocks: &[Range<usize>], byte: usize) -> bool {
    let after = blocks.partition_point(|block| block.start <= byte);
    blocks[..after].last().is_some_and(|block| byte < block.end)
}

/// The code blocks, with what is wrong about blocks.
fn blocks(lines: &Lines<'_>, start: usize, problems: &mut Vec<Problem>) -> Vec<Range<usize>> {
    let text = lines.text();
    let mut code = Vec::new();
    let shadow = outline::shadow(&text[start..]);
    if let Some(deep) = shadow.too_deep {
        problems.push(
            Problem::warning(
                lines.spot(start + deep..start + deep + 1),
                "lists or quotes in each other deeper than anyone writes: from here on the line is plain text",
            )
            .hint("begin the line anew"),
        );
    }
    for (event, range) in Parser::new_ext(&shadow.text, Options::empty()).into_offset_iter() {
        let range = outline::in_text(text, start, &range);
        let block = &text[range.clone()];
        if let Event::Start(Tag::CodeBlock(kind)) = event {
            let fenced = matches!(kind, CodeBlockKind::Fenced(_));
            if fenced && range.end == text.len() && !is_closed(block) {
                problems.push(
                    Problem::warning(
                        lines.spot(range.start..range.start + 3),
                        "this code block is not closed: all below it is code",
                    )
                    .hint("close it with a line of ```"),
                );
            } else if !fenced && has_heading(block) {
                problems.push(
                    Problem::warning(
                        lines.spot(range.clone()),
                        "an indent of four blanks makes this code, not a heading",
                    )
                    .hint("begin the line with `##`, without the indent"),
                );
            }
            code.push(range);
        } else if let Event::Start(Tag::HtmlBlock) = event {
            if block.trim_start().starts_with("<!--") && !block.contains("-->") {
                problems.push(
                    Problem::warning(
                        lines.spot(range.start..range.start + 4),
                        "this comment is not closed: all below it is left out",
                    )
                    .hint("close it with `-->`"),
                );
            }
            code.push(range);
        }
    }
    code
}

/// Whether a fenced block ends with a fence.
fn is_closed(block: &str) -> bool {
    let fence = |line: &str| {
        let line = line.trim();
        line.len() >= 3 && (line.bytes().all(|b| b == b'`') || line.bytes().all(|b| b == b'~'))
    };
    block.trim_end().lines().skip(1).last().is_some_and(fence)
}

fn has_heading(block: &str) -> bool {
    block.lines().next().is_some_and(|line| {
        let line = line.trim_start();
        let marks = line.bytes().take_while(|byte| *byte == b'#').count();
        (2..=6).contains(&marks) && line[marks..].starts_with(' ')
    })
}

/// Characters that a terminal obeys instead of showing. They stay in the text
/// and are never printed.
fn controls(lines: &Lines<'_>, problems: &mut Vec<Problem>) {
    let mut found = 0;
    for index in 0..lines.count() {
        let line = lines.line(index);
        let Some((at, c)) = line
            .char_indices()
            .find(|(_, c)| c.is_control() && !matches!(c, '\t' | '\u{c}'))
        else {
            continue;
        };
        found += 1;
        if found > MOST_CONTROLS {
            break;
        }
        let start = lines.range(index).start + at;
        problems.push(
            Problem::warning(
                lines.spot(start..start + c.len_utf8()),
                format!("a control character (U+{:04X}) in the text", u32::from(c)),
            )
            .hint("delete it; it is never printed"),
        );
    }
}
