//! A clause as the patterns see it: words, commas, and things by their names.

use std::ops::Range;

use super::mentions::Mention;
use super::pattern::SpokenItem;
use super::speech::{Spoken, Stop};

/// The items of a clause. A thing stands for the words of its name and those before
/// it that belong to it.
#[must_use]
pub fn items<'w>(
    words: &'w [Spoken],
    mentions: &[Mention],
    clause: Range<usize>,
) -> Vec<SpokenItem<'w>> {
    let mut items = Vec::new();
    let first = mentions.partition_point(|mention| mention.words.start < clause.start);
    let mut next = first;
    let mut at = clause.start;
    while at < clause.end {
        let thing = mentions
            .get(next)
            .filter(|mention| mention.words.start == at && mention.words.end <= clause.end);
        let last = match thing {
            Some(mention) => {
                items.push(SpokenItem::Thing(next));
                next += 1;
                mention.words.end - 1
            }
            None => {
                items.push(SpokenItem::Word(&words[at].key));
                at
            }
        };
        if words[last].stop == Stop::Comma {
            items.push(SpokenItem::Comma);
        }
        at = last + 1;
        while mentions
            .get(next)
            .is_some_and(|mention| mention.words.start < at)
        {
            next += 1;
        }
    }
    items
}
