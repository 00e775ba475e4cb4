//! Lines of facts that stand in a paragraph, without marks of a list.
//!
//! What one line says is read above.

use std::ops::Range;

use super::{begins_with_fact, is_fact, only_describes};
use crate::entry::item::Item;
use crate::entry::key_words;
use crate::vocabulary::words::words;

/// A line without "a)" or "2)" before it.
fn without_number(line: &str) -> &str {
    match line.split_once(") ") {
        Some((number, rest)) if number.len() <= 2 && number.chars().all(char::is_alphanumeric) => {
            rest
        }
        Some(_) | None => line,
    }
}

/// What a paragraph without marks of a list says.
#[derive(Debug, Default)]
pub(in crate::entry) struct FactParagraph {
    pub items: Vec<Item>,
    /// Where what stands behind the last fact begins.
    pub prose: usize,
    /// Lines before the last fact that are none.
    pub words: Vec<Range<usize>>,
}

/// So many lines of words before a fact, and it is a story.
const LONGEST_STORY: usize = 12;

/// From this length on a line may go on in the next one.
const WRAPPED: usize = 60;

/// Lines that stand without marks of a list, as far as they are facts, and under the
/// name of a known part as far as they begin with facts. There one that is none ends
/// nothing: what follows counts where all of it is a fact.
#[must_use]
pub(in crate::entry) fn of_paragraph(
    text: &str,
    bytes: Range<usize>,
    of_part: bool,
) -> FactParagraph {
    let first = bytes.start;
    let mut found = FactParagraph {
        prose: first,
        ..FactParagraph::default()
    };
    // Lines behind the last fact that are none.
    let mut open: Vec<Range<usize>> = Vec::new();
    let mut at = bytes.start;
    for line in text[bytes].split_inclusive('\n') {
        let written = line.trim_end();
        // "> status: removed": someone marks lines so as others do with a dash.
        let bare = written.trim_start_matches([' ', '\t', '>']);
        let bare = bare
            .strip_prefix(['-', '*', '+', '•', '–', '—'])
            .unwrap_or(bare);
        let picture = |c: char| matches!(c, ' ' | '\u{fe0f}' | '\u{1f000}'..='\u{1faff}');
        let bare = without_number(bare.trim_start_matches(picture));
        let start = at + written.len() - bare.len();
        let item = Item::of_text(bare, start..start + bare.len());
        let is_empty = !bare.contains(char::is_alphanumeric) && words(bare).next().is_none();
        if bare.is_empty() || is_empty {
            break;
        }
        let goes_on = open
            .last()
            .is_some_and(|before| before.len() >= WRAPPED && item.key.is_none());
        let counts = match open.is_empty() {
            // Under a part's name a line that begins with a fact is meant as one.
            true => is_fact(&item) || of_part && begins_with_fact(&item),
            false => is_fact(&item) && !goes_on,
        };
        at += line.len();
        if counts {
            found.items.push(item);
            found.words.append(&mut open);
            found.prose = at;
            continue;
        }
        let keyed = bare
            .split_once(':')
            .is_some_and(|(key, _)| key.split(' ').count() <= 2);
        let goes_on = |item: &&mut Item| {
            item.key.as_deref().is_some_and(|key| {
                key_words::read(key).is_some_and(|word| !word.key.takes_several())
            }) && bare.starts_with(|c: char| c.is_lowercase())
                && !keyed
        };
        if let Some(last) = found.items.last_mut().filter(goes_on)
            && open.is_empty()
        {
            last.value.push(' ');
            last.value.push_str(bare);
            found.prose = at;
        } else if of_part && open.len() < LONGEST_STORY {
            open.push(start..start + bare.len());
        } else {
            break;
        }
    }
    // "Rusty." under a heading is prose unless another fact stands beside it.
    if found.items.iter().all(only_describes) {
        return FactParagraph {
            prose: first,
            ..FactParagraph::default()
        };
    }
    found
}
