//! Parts that are named together: in a list, or right after what is said of another.

use super::Ear;
use crate::import::narration::happened::{TalkFrame, Verdict, happened};
use crate::import::narration::heard::Tier;
use crate::import::narration::pattern::{RuleSpan, SpokenItem};

impl Ear<'_> {
    /// A thing with those that are named with it behind it: "springs, and shoes".
    pub(super) fn joined_behind(
        &self,
        items: &[SpokenItem<'_>],
        number: usize,
        clause: usize,
    ) -> Vec<usize> {
        let mut all = vec![number];
        let at = items
            .iter()
            .position(|item| matches!(item, SpokenItem::Thing(other) if *other == number));
        let mut is_last = true;
        let mut joined = false;
        for item in &items[at.map_or(items.len(), |at| at + 1)..] {
            match item {
                SpokenItem::Word("and") | SpokenItem::Comma => joined = true,
                SpokenItem::Word("a" | "an" | "some" | "new" | "the" | "two" | "four") => {}
                SpokenItem::Thing(other) if joined => {
                    all.push(*other);
                    joined = false;
                }
                SpokenItem::Thing(_) | SpokenItem::Word(_) => {
                    is_last = false;
                    break;
                }
            }
        }
        let sentence = self.scene.clauses[clause].sentence;
        if is_last
            && self
                .scene
                .clauses
                .get(clause + 1)
                .is_some_and(|next| next.sentence == sentence)
            && let [SpokenItem::Word("and"), rest @ ..] = &self.scene.items(clause + 1)[..]
        {
            let rest = match rest {
                [SpokenItem::Word("a" | "an" | "some" | "the"), rest @ ..] => rest,
                rest => rest,
            };
            let told = matches!(
                rest.get(1),
                Some(SpokenItem::Word(
                    "is" | "'s" | "are" | "was" | "has" | "have" | "off" | "out" | "comes" | "came"
                ))
            );
            if let Some(SpokenItem::Thing(other)) = rest.first()
                && !told
            {
                all.push(*other);
            }
        }
        all
    }

    /// The part that is all a clause says: "Drum."
    pub(super) fn only_thing(&self, clause: usize) -> Option<usize> {
        if clause >= self.scene.clauses.len() {
            return None;
        }
        let items = self.scene.items(clause);
        let mut things = items.iter().filter_map(|item| match item {
            SpokenItem::Thing(number) => Some(*number),
            SpokenItem::Word(_) | SpokenItem::Comma => None,
        });
        let only = things.next()?;
        let is_all = things.next().is_none()
            && items.iter().all(|item| match item {
                SpokenItem::Word(word) => matches!(
                    *word,
                    "and" | "the" | "that" | "a" | "yep" | "yes" | "too" | "as" | "well"
                ),
                SpokenItem::Comma | SpokenItem::Thing(_) => true,
            });
        (is_all && self.scene.mentions[only].is_part()).then_some(only)
    }

    /// "Wheel, drum, shoes, the hose, all of it": three parts and more in a row, of
    /// which it is said that they are off, out, or the same again.
    pub(super) fn in_a_row(&mut self, clause: usize, items: &[SpokenItem<'_>], frame: TalkFrame) {
        let sentence = self.scene.clauses[clause].sentence;
        // "And the arm's off, and the plate."
        if clause > 0
            && self.scene.clauses[clause - 1].sentence == sentence
            && let Some(only) = self.only_thing(clause)
            && self.heard.last().is_some_and(|heard| {
                heard.clause + 1 == clause && heard.kind.is_off() && heard.tier != Tier::Asked
            })
            && frame == TalkFrame::Now
        {
            self.off_by_context(only, clause);
            return;
        }
        let things: Vec<usize> = items
            .iter()
            .filter_map(|item| match item {
                SpokenItem::Thing(number)
                    if self.scene.mentions[*number].is_part()
                        && !self.scene.mentions[*number].is_beside =>
                {
                    Some(*number)
                }
                SpokenItem::Thing(_) | SpokenItem::Word(_) | SpokenItem::Comma => None,
            })
            .collect();
        let words: Vec<&str> = items
            .iter()
            .filter_map(|item| match item {
                SpokenItem::Word(word) => Some(*word),
                SpokenItem::Comma | SpokenItem::Thing(_) => None,
            })
            .collect();
        let says = |wanted: &[&str]| words.iter().any(|word| wanted.contains(word));
        if things.len() < 3
            || frame != TalkFrame::Now
            || words.len() > 2 * things.len() + 6
            || !says(&["all", "off", "out", "everything", "lot", "same", "gone"])
            || says(&["need", "needs", "new", "not", "bag", "tub", "in", "if"])
        {
            return;
        }
        let whole = RuleSpan {
            from: 0,
            to: items.len(),
            thing: None,
        };
        if happened(items, whole, frame) != Verdict::Yes {
            return;
        }
        for number in things {
            self.off_by_context(number, clause);
        }
    }
}

/// "There it is, that's the lock pin": the part that is named at once.
pub(super) fn that_is(items: &[SpokenItem<'_>], from: usize) -> Option<usize> {
    let rest: Vec<&SpokenItem<'_>> = items[from.min(items.len())..]
        .iter()
        .filter(|item| !matches!(item, SpokenItem::Comma))
        .collect();
    match rest[..] {
        [
            SpokenItem::Word("that"),
            SpokenItem::Word("'s" | "is"),
            SpokenItem::Word("the" | "your" | "my"),
            SpokenItem::Thing(number),
            ..,
        ] => Some(*number),
        _ => None,
    }
}

/// A thing with those that are named with it before it: "the top and the needle".
pub(super) fn joined_before(items: &[SpokenItem<'_>], number: usize) -> Vec<usize> {
    let mut all = vec![number];
    let Some(at) = items
        .iter()
        .position(|item| matches!(item, SpokenItem::Thing(other) if *other == number))
    else {
        return all;
    };
    let mut joined = false;
    for item in items[..at].iter().rev() {
        match item {
            SpokenItem::Word("and") | SpokenItem::Comma => joined = true,
            SpokenItem::Word("the" | "its" | "a" | "that" | "both" | "all" | "two") => {}
            SpokenItem::Thing(other) if joined => {
                all.push(*other);
                joined = false;
            }
            SpokenItem::Thing(_) | SpokenItem::Word(_) => break,
        }
    }
    all.reverse();
    all
}
