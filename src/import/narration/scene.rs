//! A narration taken apart once: words, named things, clauses and their items.
//!
//! It only holds them; what was said by them is worked out elsewhere.

use std::collections::HashSet;

use super::cues::Cue;
use super::happened::{TalkFrame, frames};
use super::items::items;
use super::lexicon::Lexicon;
use super::mentions::{Mention, last_word, mentions};
use super::pattern::{RuleSpan, SpokenItem};
use super::rules::{Rule, RuleKind, rules};
use super::speech::{Spoken, SpokenClause, clauses, said, words};

/// All that later stages look at.
#[derive(Debug)]
pub struct Scene {
    /// The words.
    pub words: Vec<Spoken>,
    /// What they name.
    pub mentions: Vec<Mention>,
    /// The clauses.
    pub clauses: Vec<SpokenClause>,
    /// Of each clause, whether it tells of now, of once, or of what might be.
    pub frames: Vec<TalkFrame>,
    /// The clause of each mention.
    pub clause_of: Vec<usize>,
    /// Of each mention, whether no such thing was named before.
    pub is_first: Vec<bool>,
}

/// A rule that matched, and where.
#[derive(Clone, Copy, Debug)]
pub struct RuleMatch {
    /// The rule.
    pub rule: &'static Rule,
    /// Where it matched in the items of the clause.
    pub matched: RuleSpan,
}

impl Scene {
    /// Takes a narration apart.
    #[must_use]
    pub fn new(cues: &[Cue], lexicon: &Lexicon) -> Scene {
        let words = words(cues);
        let mentions = mentions(&words, lexicon);
        let clauses = clauses(&words);
        let frames = frames(&words, &clauses);
        let clause_at = |word: usize| clauses.partition_point(|clause| clause.words.end <= word);
        let clause_of = mentions
            .iter()
            .map(|mention| clause_at(mention.words.end - 1))
            .collect();
        let mut named = HashSet::new();
        let is_first = mentions
            .iter()
            .map(|mention| named.insert(last_word(&mention.name)))
            .collect();
        Scene {
            words,
            is_first,
            mentions,
            clauses,
            frames,
            clause_of,
        }
    }

    /// The items of a clause.
    #[must_use]
    pub fn items(&self, clause: usize) -> Vec<SpokenItem<'_>> {
        items(
            &self.words,
            &self.mentions,
            self.clauses[clause].words.clone(),
        )
    }

    /// What the rules find in a clause, from left to right; of the same kind about the
    /// same thing, the first of the table.
    #[must_use]
    pub fn matches(&self, items: &[SpokenItem<'_>]) -> Vec<RuleMatch> {
        let mut found: Vec<RuleMatch> = Vec::new();
        for rule in rules() {
            for matched in rule.pattern.matches(items, &self.mentions) {
                let is_there = |other: &RuleMatch| {
                    other.rule.kind == rule.kind
                        && other.matched.thing == matched.thing
                        && (matched.thing.is_some() || other.matched.to.abs_diff(matched.to) < 4)
                };
                if !found.iter().any(is_there) {
                    found.push(RuleMatch { rule, matched });
                }
            }
        }
        // "a clip that pulls straight out" is told of the clip, not of "that".
        let named: Vec<RuleSpan> = found
            .iter()
            .filter(|one| one.rule.kind == RuleKind::Off && one.matched.thing.is_some())
            .map(|one| one.matched)
            .collect();
        found.retain(|one| {
            let overlaps =
                |other: &RuleSpan| other.from < one.matched.to && one.matched.from < other.to;
            one.rule.kind != RuleKind::Done || !named.iter().any(overlaps)
        });
        found.sort_by_key(|one| one.matched.to);
        found
    }

    /// When a clause begins, in milliseconds.
    #[must_use]
    pub fn clause_start(&self, clause: usize) -> u32 {
        self.words[self.clauses[clause].words.start].at
    }

    /// When the cue of a word begins, in milliseconds.
    #[must_use]
    pub fn at(&self, word: usize) -> u32 {
        self.words[word].at
    }

    /// The words of a clause as they were written.
    #[must_use]
    pub fn said(&self, clause: usize) -> String {
        said(&self.words, self.clauses[clause].words.clone())
    }

    /// Whether a clause asks: "so the links off too?"
    #[must_use]
    pub fn is_question(&self, clause: usize) -> bool {
        let words = &self.words[self.clauses[clause].words.clone()];
        let last = words.iter().rev().find(|word| !word.said.is_empty());
        last.is_some_and(|word| word.said.ends_with('?'))
    }

    /// Whether both ends are spoken of in a clause or in the next: then a hose is not
    /// only undone.
    #[must_use]
    pub fn names_both_ends(&self, clause: usize) -> bool {
        let from = self.clauses[clause.saturating_sub(1)].words.start;
        let to = self.clauses[(clause + 1).min(self.clauses.len() - 1)]
            .words
            .end;
        self.words[from..to].windows(2).any(|pair| {
            matches!(pair[0].key.as_str(), "both" | "each" | "either")
                && matches!(pair[1].key.as_str(), "end" | "ends")
        })
    }

    /// The mentions of a clause, by number.
    pub fn mentions_of(&self, clause: usize) -> impl DoubleEndedIterator<Item = usize> + use<> {
        let from = self.clause_of.partition_point(|of| *of < clause);
        let to = self.clause_of.partition_point(|of| *of <= clause);
        from..to
    }
}
