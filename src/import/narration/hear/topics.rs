//! What the talk is about: the parts in mind, and which of them is in the foreground.

use super::{Ear, is_same_name};
use crate::import::narration::happened::TalkFrame;
use crate::import::narration::lexicon::Thing;
use crate::import::narration::pattern::SpokenItem;
use crate::import::narration::speech::Stop;

/// A part that the talk is about.
#[derive(Clone, Copy, Debug)]
pub(super) struct Topic {
    pub(super) mention: usize,
    pub(super) clause: usize,
    /// How much it stands in the foreground.
    pub(super) weight: i32,
    /// The last clause in which it was worked on.
    pub(super) worked: Option<usize>,
    pub(super) is_off: bool,
}

/// How long a part stays in mind, in milliseconds.
const IN_MIND: u32 = 75_000;

/// How long a part that was announced is what "off she comes" means, in milliseconds.
const ANNOUNCED: u32 = 2 * IN_MIND;

/// How many clauses later a part that is named again is still the same topic.
const NAMED_AGAIN: usize = 40;

impl Ear<'_> {
    /// Drops the topics that no later clause can come back to, so that a long talk is no
    /// slower than several short ones.
    pub(super) fn forget(&mut self, clause: usize) {
        let now = self.scene.clause_start(clause);
        let is_kept = |topic: &Topic| {
            let ago = now.saturating_sub(self.scene.clause_start(topic.clause));
            clause - topic.clause <= NAMED_AGAIN || ago <= ANNOUNCED
        };
        let heading = self.heading.filter(|at| is_kept(&self.topics[*at]));
        self.heading = heading.map(|at| {
            self.topics[..at]
                .iter()
                .filter(|topic| is_kept(topic))
                .count()
        });
        self.topics.retain(is_kept);
    }

    /// Remembers what a clause names.
    pub(super) fn note_topics(
        &mut self,
        clause: usize,
        items: &[SpokenItem<'_>],
        frame: TalkFrame,
        noted: &mut [bool],
    ) {
        if frame != TalkFrame::Now {
            return;
        }
        for (at, item) in items.iter().enumerate() {
            let SpokenItem::Thing(number) = item else {
                continue;
            };
            if noted[at] {
                continue;
            }
            noted[at] = true;
            let mention = &self.scene.mentions[*number];
            if mention.is_hardware() && mention.known.thing == Thing::Fastener {
                self.work(clause);
                continue;
            }
            if mention.is_new {
                continue;
            }
            let announces = items[..at].iter().all(|item| match item {
                SpokenItem::Word(word) => ANNOUNCING.contains(word),
                SpokenItem::Comma => true,
                SpokenItem::Thing(_) => false,
            }) || is_brought_up(&items[..at]);
            let is_denied = items
                .iter()
                .any(|item| matches!(item, SpokenItem::Word("not" | "never")));
            let mut weight = if mention.is_beside { 0 } else { 3 };
            if is_denied {
                weight -= 2;
            }
            if announces && !mention.is_beside {
                weight += 3;
            }
            if mention.known.thing == Thing::Pin
                || mention.known.thing == Thing::Head && mention.words.len() == 1
            {
                weight -= 1;
            }
            let same = |topic: &Topic| {
                let other = &self.scene.mentions[topic.mention];
                clause - topic.clause <= NAMED_AGAIN
                    && is_same_name(&other.name, &mention.name)
                    && self.sides[topic.mention] == self.sides[*number]
            };
            let is_heading = announces && self.is_heading(clause, *number);
            let before = self.topics.iter().rposition(same);
            if is_heading {
                self.heading = Some(before.unwrap_or(self.topics.len()));
            }
            match before.map(|at| &mut self.topics[at]) {
                Some(topic) => {
                    topic.clause = clause;
                    topic.weight = topic.weight.max(weight);
                    if mention.words.len() >= self.scene.mentions[topic.mention].words.len() {
                        topic.mention = *number;
                    }
                }
                None => self.topics.push(Topic {
                    mention: *number,
                    clause,
                    weight,
                    worked: None,
                    is_off: false,
                }),
            }
        }
    }

    /// Notes that what is in the foreground was worked on.
    pub(super) fn work(&mut self, clause: usize) {
        if let Some(at) = self.foreground(clause, false) {
            self.topics[at].worked = Some(clause);
        }
    }

    /// The topic in the foreground, by number; those that are off already only if asked.
    pub(super) fn foreground(&self, clause: usize, off_too: bool) -> Option<usize> {
        self.foreground_but(clause, off_too, &|_| true)
    }

    /// The topic in the foreground among those that fit.
    pub(super) fn foreground_but(
        &self,
        clause: usize,
        off_too: bool,
        fits: &dyn Fn(&Topic) -> bool,
    ) -> Option<usize> {
        self.topics
            .iter()
            .enumerate()
            .filter(|(_, topic)| self.is_in_mind(topic, clause) && topic.weight > 0)
            .filter(|(_, topic)| (off_too || !topic.is_off) && fits(topic))
            .max_by_key(|(at, topic)| {
                let worked = i32::from(topic.worked.is_some_and(|worked| clause - worked <= 4)) * 2;
                (
                    topic.weight + worked - self.distance(topic, clause),
                    topic.clause,
                    *at,
                )
            })
            .map(|(at, _)| at)
    }

    /// Whether a topic was named or worked on within a moment.
    pub(super) fn is_at_hand(&self, topic: &Topic, clause: usize) -> bool {
        let is_worked = topic.worked.is_some_and(|worked| clause - worked <= 4);
        self.distance(topic, clause) <= 1 && (is_worked || topic.weight >= 3)
    }

    /// Whether a part is all that its sentence says: "Grille.", or is announced as what
    /// comes next: "now the seat", "rubber mat next".
    fn is_heading(&self, clause: usize, number: usize) -> bool {
        let words = self.scene.clauses[clause].words.clone();
        let own = &self.scene.mentions[number].words;
        let key = |at: usize| match words.contains(&at) {
            true => self.scene.words[at].key.as_str(),
            false => "",
        };
        let is_next = matches!(key(own.end), "next" | "now" | "itself")
            || (words.start..own.start)
                .rev()
                .find(|at| !ARTICLES.contains(&key(*at)))
                .is_some_and(|at| matches!(key(at), "now" | "next" | "then" | "okay" | "right"));
        let ends = self.scene.words[words.end - 1].stop == Stop::End;
        let begins = clause == 0
            || self.scene.clauses[clause - 1].sentence != self.scene.clauses[clause].sentence;
        let is_alone = begins && ends && words.len() <= own.len() + 3;
        (is_next || is_alone)
            && !(own.end..own.end + 3)
                .any(|at| matches!(key(at), "off" | "out" | "away" | "not" | "'s" | "is"))
    }

    /// The part that was brought up by itself last, if it is not off yet.
    pub(super) fn last_heading(&self, clause: usize) -> Option<usize> {
        let topic = &self.topics[self.heading?];
        let ago = self
            .scene
            .clause_start(clause)
            .saturating_sub(self.scene.clause_start(topic.clause));
        (!topic.is_off && ago <= ANNOUNCED).then_some(topic.mention)
    }

    /// How long ago a topic was named, in steps of ten seconds.
    pub(super) fn distance(&self, topic: &Topic, clause: usize) -> i32 {
        let ago = self
            .scene
            .clause_start(clause)
            .saturating_sub(self.scene.clause_start(topic.clause));
        i32::try_from(ago / 10_000).unwrap_or(i32::MAX)
    }

    pub(super) fn is_in_mind(&self, topic: &Topic, clause: usize) -> bool {
        self.scene
            .clause_start(clause)
            .saturating_sub(self.scene.clause_start(topic.clause))
            <= IN_MIND
    }

    /// What "it" is where something is said of it: what was named last, in this clause
    /// or one of the two before.
    pub(super) fn latest(
        &self,
        clause: usize,
        items: &[SpokenItem<'_>],
        to: usize,
        only_parts: bool,
    ) -> Option<usize> {
        let fits = |number: &usize| {
            let mention = &self.scene.mentions[*number];
            (!only_parts || mention.is_part())
                && !mention.is_beside
                && !mention.is_new
                && self.scene.frames[self.scene.clause_of[*number]] == TalkFrame::Now
        };
        let here = items[..to].iter().rev().find_map(|item| match item {
            SpokenItem::Thing(number) => Some(*number).filter(|number| fits(number)),
            SpokenItem::Word(_) | SpokenItem::Comma => None,
        });
        here.or_else(|| {
            (clause.saturating_sub(2)..clause).rev().find_map(|clause| {
                self.scene
                    .mentions_of(clause)
                    .rev()
                    .find(|number| fits(number))
            })
        })
    }

    /// Whether a part is what its clause begins with, or is brought up there.
    pub(super) fn is_brought_up(&self, number: usize) -> bool {
        let mention = &self.scene.mentions[number];
        if !mention.is_part()
            || mention.known.thing == Thing::Pin
            || mention.is_beside
            || mention.is_new
        {
            return false;
        }
        let clause = self.scene.clause_of[number];
        let items = self.scene.items(clause);
        let at = items
            .iter()
            .position(|item| matches!(item, SpokenItem::Thing(other) if *other == number));
        let is_said = |items: &[SpokenItem<'_>]| {
            items.iter().all(|item| match item {
                SpokenItem::Word(word) => ANNOUNCING.contains(word),
                SpokenItem::Comma => true,
                SpokenItem::Thing(_) => false,
            })
        };
        at.is_some_and(|at| is_said(&items[..at]) || is_brought_up(&items[..at]))
    }
}

/// Words between "now" and the part that is announced.
const ARTICLES: [&str; 8] = [
    "the", "this", "that", "these", "those", "my", "your", "whole",
];

/// Words before a part that is brought up.
pub(super) const ANNOUNCING: [&str; 44] = [
    "so", "and", "then", "now", "next", "okay", "ok", "right", "the", "a", "that", "this", "these",
    "those", "there", "here", "'s", "is", "are", "well", "um", "uh", "oh", "your", "my", "first",
    "just", "we", "got", "have", "'ve", "also", "but", "on", "to", "with", "anyway", "two", "one",
    "an", "'re", "yep", "yeah", "also",
];

/// "there's this lid", "you've got a cover": brought up before something is done.
fn is_brought_up(before: &[SpokenItem<'_>]) -> bool {
    let words: Vec<&str> = before
        .iter()
        .rev()
        .map_while(|item| match item {
            SpokenItem::Word(word) => Some(*word),
            SpokenItem::Comma | SpokenItem::Thing(_) => None,
        })
        .take(4)
        .collect();
    let words = match words.first() {
        Some(&("a" | "an" | "the" | "this" | "that" | "these" | "those" | "two" | "your")) => {
            &words[1..]
        }
        _ => &words[..],
    };
    matches!(
        words,
        ["'s" | "is" | "are", "there" | "here", ..] | ["got", ..]
    )
}
