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

/// Items of lines that stand without marks of a list, as far as they are facts, and
/// under the name of a known part as far as they begin with facts;
/// the second value says where the others begin.
#[must_use]
pub(in crate::entry) fn of_paragraph(
    text: &str,
    bytes: Range<usize>,
    of_part: bool,
) -> (Vec<Item>, usize) {
    let mut items: Vec<Item> = Vec::new();
    let (first, end) = (bytes.start, bytes.end);
    let mut at = first;
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
        if bare.is_empty() || words(bare).next().is_none() {
            break;
        }
        // "This one was a pig." before the first fact is told, and ends nothing.
        let sentence = bare.starts_with(char::is_uppercase) && bare.ends_with(['.', '!']);
        let told = of_part && items.is_empty() && at == first && sentence;
        if told && !begins_with_fact(&item) && !is_fact(&item) {
            at += line.len();
            continue;
        }
        // Under a part's name a line that begins with a fact is meant as one.
        if is_fact(&item) || of_part && begins_with_fact(&item) {
            items.push(item);
        } else {
            let keyed = bare
                .split_once(':')
                .is_some_and(|(key, _)| key.split(' ').count() <= 2);
            let goes_on = |item: &&mut Item| {
                item.key.as_deref().is_some_and(|key| {
                    key_words::read(key).is_some_and(|word| !word.key.takes_several())
                }) && bare.starts_with(|c: char| c.is_lowercase())
                    && !keyed
            };
            let some = !items.is_empty();
            match items.last_mut().filter(goes_on) {
                Some(last) => {
                    last.value.push(' ');
                    last.value.push_str(bare);
                }
                // A line that nobody can read, between facts: it is asked about.
                None if of_part && some && facts_behind(text, at + line.len(), end) => {
                    items.push(item);
                }
                None => break,
            }
        }
        at += line.len();
    }
    // "Rusty." under a heading is prose unless another fact stands beside it.
    if items.iter().all(only_describes) {
        return (Vec::new(), first);
    }
    (items, at)
}

/// Whether the line behind one that is no fact is a fact again.
fn facts_behind(text: &str, from: usize, end: usize) -> bool {
    let Some(next) = text.get(from..end).and_then(|rest| rest.lines().next()) else {
        return false;
    };
    !next.trim().is_empty() && is_fact(&Item::of_text(next.trim(), from..from))
}
