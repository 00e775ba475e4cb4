//! From a narration taken apart to what was heard: the clauses one after the other,
//! with a short memory of what is being worked on.

mod fuller_names;
mod hardware;
mod places;
mod rows;
mod topics;
mod warnings;

use super::asked::{NamedLine, most_likely, named};
use super::counted::{CountedPieces, counted};
use super::cues::Cue;
use super::happened::{NotDone, TalkFrame, Verdict, happened, is_of_others, takes_back};
use super::heard::{Heard, HeardKind, LeftOutLine, Narration, Tier};
use super::lexicon::{Lexicon, Thing};
use super::likelihood::{SaidBy, features, odds};
use super::orders::orders;
use super::pattern::{RuleSpan, SpokenItem};
use super::rules::{Rule, RuleKind};
use super::scene::Scene;
use super::sides::sides;
use fuller_names::name_fully;
use rows::{joined_before, that_is};
use std::collections::BTreeSet;
use topics::Topic;

use crate::handbook::parts::known_part;
use crate::vocabulary::name::{ends_with_name, singular};
use crate::vocabulary::position::{Driven, Side};

/// When something is told: a film's "I took it off" is a memory, a note's is what happened.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Told {
    /// Aloud, while it happens.
    AtWork,
    /// In writing, afterwards.
    Afterwards,
}

/// Listens to a narration. `names` are the parts of the journal.
#[must_use]
pub fn hear(cues: Vec<Cue>, names: &[String], driven: Driven, told: Told) -> Narration {
    let lexicon = Lexicon::new(names);
    let scene = Scene::new(&cues, &lexicon);
    let mut ear = Ear::new(&scene, driven);
    let orders = orders(&scene, &ear.sides);
    let lines = named(&scene, &ear.sides).into_iter();
    let lines = lines.map(|line| (odds(&scene, &line, SaidBy::Name), line));
    let lines = most_likely(lines.collect(), &ear.heard);
    let lines = lines.into_iter().filter(|named| named.odds >= POSSIBLE);
    let mut lines: Vec<NamedLine> = lines.collect();
    if told == Told::AtWork {
        for heard in &mut ear.heard {
            heard.tier = match heard.kind.is_off() {
                true => tier_by(odds(&scene, heard, SaidBy::Rule), heard.tier),
                false => tier_in_talk(heard),
            };
        }
        for named in lines.iter_mut().filter(|named| !named.is_again) {
            named.line.tier = tier_by(named.odds, Tier::Asked);
        }
    }
    ear.heard.extend(lines.into_iter().map(|named| named.line));
    ear.attach_hardware();
    ear.heard
        .sort_by_key(|heard| (heard.start, heard.clause, heard.tier));
    let Ear {
        heard, left_out, ..
    } = ear;
    let mut narration = Narration {
        heard,
        orders,
        left_out,
        ..Narration::default()
    };
    if told == Told::AtWork {
        name_fully(&mut narration, &scene, names);
    }
    Narration { cues, ..narration }
}

/// What is weighed of each line that tells of a part that comes off or is undone, or may
/// tell of it: when it is said, of which part, and what is seen of it.
#[must_use]
pub fn weighed(cues: &[Cue]) -> Vec<(u32, String, BTreeSet<String>)> {
    let lexicon = Lexicon::new(&[]);
    let scene = Scene::new(cues, &lexicon);
    let ear = Ear::new(&scene, Driven::Unsaid);
    let off = ear.heard.iter().filter(|heard| heard.kind.is_off());
    let by_rule = off.map(|line| (line.clone(), SaidBy::Rule));
    let by_name = named(&scene, &ear.sides).into_iter();
    let by_name = by_name.map(|line| (line, SaidBy::Name));
    let lines = by_rule.chain(by_name);
    let seen = lines.map(|(line, said)| {
        let seen = features(&scene, &line, said);
        (line.start, line.part, seen)
    });
    seen.collect()
}

struct Ear<'s> {
    scene: &'s Scene,
    sides: Vec<Vec<Side>>,
    counted: Vec<CountedPieces>,
    topics: Vec<Topic>,
    /// The topic that was brought up by itself last: "Grille."
    heading: Option<usize>,
    heard: Vec<Heard>,
    left_out: Vec<LeftOutLine>,
}

impl<'s> Ear<'s> {
    /// Listens to all clauses, by rule.
    fn new(scene: &'s Scene, driven: Driven) -> Ear<'s> {
        let mut ear = Ear {
            sides: sides(scene, driven),
            counted: counted(scene),
            topics: Vec::new(),
            heading: None,
            heard: Vec::new(),
            left_out: Vec::new(),
            scene,
        };
        for clause in 0..scene.clauses.len() {
            ear.clause(clause);
        }
        ear.worked_on();
        ear
    }

    fn clause(&mut self, clause: usize) {
        let scene = self.scene;
        self.forget(clause);
        let items = scene.items(clause);
        let frame = scene.frames[clause];
        let matches = scene.matches(&items);
        let is_taken_back = scene
            .clauses
            .get(clause + 1)
            .is_some_and(|next| takes_back(&scene.words, next));
        let mut noted = vec![false; items.len()];
        let (remarks, matches): (Vec<_>, Vec<_>) = matches
            .into_iter()
            .partition(|found| found.rule.tier == Tier::Asked && !is_off_rule(found.rule));
        for found in matches {
            self.note_topics(
                clause,
                &items[..found.matched.to.min(items.len())],
                frame,
                &mut noted,
            );
            // A need is one for another day.
            let frame = match (found.rule.kind, frame) {
                (RuleKind::Needs, TalkFrame::Later) => TalkFrame::Now,
                (_, frame) => frame,
            };
            let mut verdict = happened(&items, found.matched, frame);
            if verdict == Verdict::Yes && is_taken_back && is_off_rule(found.rule) {
                verdict = Verdict::No(NotDone::Denied);
            }
            if verdict == Verdict::Yes && is_off_rule(found.rule) && scene.is_question(clause) {
                verdict = Verdict::Perhaps;
            }
            if is_off_rule(found.rule) && is_of_others(&items) {
                verdict = Verdict::No(NotDone::Remembered);
            }
            self.apply(found.rule, found.matched, verdict, &items, clause);
        }
        self.note_topics(clause, &items, frame, &mut noted);
        self.in_a_row(clause, &items, frame);
        self.stored(clause, frame);
        self.warned(clause, frame);
        if frame != TalkFrame::Remembered && frame != TalkFrame::Elsewhere {
            for found in remarks {
                self.remark(found.rule, found.matched, &items, clause);
            }
        }
    }

    /// A line to tick, where no other rule has heard the same kind of thing in the clause.
    fn remark(
        &mut self,
        rule: &'static Rule,
        matched: RuleSpan,
        items: &[SpokenItem<'_>],
        clause: usize,
    ) {
        let Some(kind) = remark_kind(rule.kind) else {
            return;
        };
        let is_there = |heard: &Heard| heard.kind == kind && heard.clause == clause;
        if self.heard.iter().any(is_there) {
            return;
        }
        let about = matched
            .thing
            .or_else(|| self.latest(clause, items, items.len(), false))
            // "Daylight through the bowl."
            .or_else(|| self.scene.mentions_of(clause).next_back())
            .or_else(|| {
                self.foreground(clause, true)
                    .map(|at| self.topics[at].mention)
            });
        if let Some(number) = about {
            let before = self.heard.len();
            self.add(
                number,
                kind,
                Tier::Asked,
                self.scene.clause_start(clause),
                clause,
            );
            if kind == HeardKind::Stored
                && self.heard.len() > before
                && let Some(last) = self.heard.last_mut()
            {
                last.place = Some(places::place_said(self.scene, clause));
            }
        }
    }

    fn apply(
        &mut self,
        rule: &'static Rule,
        matched: RuleSpan,
        mut verdict: Verdict,
        items: &[SpokenItem<'_>],
        clause: usize,
    ) {
        let kind = match rule.kind {
            RuleKind::Off | RuleKind::Done => None,
            RuleKind::Undone => Some(HeardKind::Undone),
            RuleKind::Fitted => Some(HeardKind::Fitted),
            RuleKind::Found => Some(HeardKind::Found),
            RuleKind::Needs => Some(HeardKind::Needs),
            RuleKind::Broken => Some(HeardKind::Broken),
            RuleKind::Cut => Some(HeardKind::Cut),
            RuleKind::Treated => Some(HeardKind::Treated),
            RuleKind::Stored => Some(HeardKind::Stored),
            RuleKind::Caution => Some(HeardKind::Caution),
            RuleKind::Lesson => Some(HeardKind::Lesson),
            RuleKind::Stays => {
                if let Some(number) = matched.thing {
                    self.leave_out(number, HeardKind::Removed, clause, NotDone::Denied.word());
                }
                return;
            }
        };
        let named_next = (rule.kind == RuleKind::Done)
            .then(|| that_is(items, matched.to).or_else(|| self.only_thing(clause + 1)))
            .flatten();
        let mut second = None;
        let about = match matched.thing.or(named_next) {
            Some(number) => vec![number],
            None => {
                let is_done = rule.kind == RuleKind::Done;
                let latest = match is_done {
                    true => None,
                    false => self.latest(clause, items, matched.from, is_off_rule(rule)),
                };
                // "They're out" is said of several.
                let several = items[matched.from..matched.to].iter().any(|item| {
                    matches!(item, SpokenItem::Word("they" | "those" | "them" | "these"))
                });
                let fits = |topic: &Topic| {
                    !(is_done && several) || self.scene.mentions[topic.mention].is_several()
                };
                let best = self.foreground_but(clause, !is_done, &fits);
                // A word of success tells of what was worked on just now, or of what was
                // announced, or of nothing sure.
                let mut announced = None;
                if is_done
                    && verdict == Verdict::Yes
                    && !best.is_some_and(|best| self.is_at_hand(&self.topics[best], clause))
                {
                    announced = self
                        .last_heading(clause)
                        .filter(|_| rule.tier == Tier::Sure && !several);
                    if announced.is_none() {
                        verdict = Verdict::Perhaps;
                    }
                }
                if is_done && matches!(verdict, Verdict::Yes | Verdict::Perhaps) {
                    second = self
                        .foreground_but(clause, false, &|topic| {
                            let first = announced.or(best.map(|best| self.topics[best].mention));
                            first != Some(topic.mention)
                        })
                        .map(|at| self.topics[at].mention);
                }
                let best = best.map(|at| self.topics[at].mention);
                match latest.or(announced).or(best) {
                    Some(number) => vec![number],
                    None => return,
                }
            }
        };
        let about = match matched.thing {
            Some(number) if is_off_rule(rule) => joined_before(items, number),
            Some(number) if rule.kind == RuleKind::Needs => {
                self.joined_behind(items, number, clause)
            }
            Some(_) | None => about,
        };
        for number in about {
            self.conclude(rule, kind, number, matched, verdict, clause);
        }
        // What "it" may have been as well is a line to tick.
        if let Some(number) = second {
            let mention = &self.scene.mentions[number];
            let kind = match mention.known.comes_undone {
                true => HeardKind::Undone,
                false => HeardKind::Removed,
            };
            self.add(
                number,
                kind,
                Tier::Asked,
                self.scene.clause_start(clause),
                clause,
            );
        }
    }

    fn conclude(
        &mut self,
        rule: &'static Rule,
        kind: Option<HeardKind>,
        number: usize,
        matched: RuleSpan,
        verdict: Verdict,
        clause: usize,
    ) {
        let mention = &self.scene.mentions[number];
        let stays = mention.known.comes_undone && !self.scene.names_both_ends(clause);
        let kind = kind.unwrap_or(match stays {
            true => HeardKind::Undone,
            false => HeardKind::Removed,
        });
        if kind.is_off() && mention.known.thing == Thing::Fastener {
            // A nut off is work on what it holds; one that is named alone came off itself.
            if verdict == Verdict::Yes {
                let is_one = matches!(mention.name.rsplit(' ').next(), Some("nut" | "bolt"));
                let tier = match is_one && rule.tier == Tier::Sure && matched.thing.is_some() {
                    true => Tier::Inferred,
                    false => Tier::Asked,
                };
                self.work(clause);
                self.add(
                    number,
                    HeardKind::Removed,
                    tier,
                    self.scene.at(mention.words.start),
                    clause,
                );
            }
            return;
        }
        let is_inferred = rule.tier != Tier::Sure || matched.thing.is_none();
        let tier = match verdict {
            Verdict::Yes if rule.tier == Tier::Asked => Tier::Asked,
            Verdict::Yes if is_inferred => Tier::Inferred,
            Verdict::Yes => Tier::Sure,
            Verdict::Perhaps if kind == HeardKind::Needs => Tier::Inferred,
            Verdict::Perhaps => Tier::Asked,
            Verdict::No(NotDone::Denied) if kind == HeardKind::Needs => {
                self.take_back(number, clause);
                return;
            }
            // What is planned or supposed of a need is a need.
            Verdict::No(NotDone::Planned) if kind == HeardKind::Needs => Tier::Inferred,
            Verdict::No(NotDone::Supposed)
                if kind == HeardKind::Needs && self.scene.frames[clause] == TalkFrame::Now =>
            {
                Tier::Inferred
            }
            Verdict::No(why) => {
                self.leave_out(number, kind, clause, why.word());
                return;
            }
        };
        if kind.is_off() && tier != Tier::Asked {
            let sides = self.sides[number].clone();
            for topic in &mut self.topics {
                if is_same_name(&self.scene.mentions[topic.mention].name, &mention.name)
                    && self.sides[topic.mention] == sides
                {
                    topic.is_off = true;
                }
            }
        }
        let start = match matched.thing {
            Some(number) => self.scene.at(self.scene.mentions[number].words.start),
            None => self.scene.clause_start(clause),
        };
        let start = if kind.is_off() {
            self.scene.clause_start(clause).max(start)
        } else {
            start
        };
        self.add(number, kind, tier, start, clause);
    }

    /// "We don't need a float after all": later words win.
    fn take_back(&mut self, number: usize, clause: usize) {
        let name = self.scene.mentions[number].name.clone();
        self.heard
            .retain(|heard| heard.kind != HeardKind::Needs || !is_same_name(&heard.part, &name));
        self.leave_out(number, HeardKind::Needs, clause, NotDone::Denied.word());
    }

    fn add(&mut self, number: usize, kind: HeardKind, tier: Tier, start: u32, clause: usize) {
        let mention = &self.scene.mentions[number];
        if kind.is_off() && holds_or_flows(&mention.name) {
            return;
        }
        let at = self.sides[number].clone();
        let same = |heard: &&mut Heard| {
            let together = start.abs_diff(heard.start) <= 45_000;
            let both_off = kind.is_off() && heard.kind.is_off();
            together
                && (heard.kind == kind || both_off)
                && is_same_name(&heard.part, &mention.name)
                && (heard.at == at || heard.at.is_empty() || at.is_empty())
        };
        if let Some(before) = self.heard.iter_mut().rev().find(same) {
            // "And off it comes ... I'll let it dangle": later words win.
            if kind.is_off() && tier != Tier::Asked {
                before.kind = kind;
                if before.at.is_empty() {
                    before.at = at;
                }
            }
            if tier < before.tier {
                if before.tier == Tier::Asked || kind.is_off() {
                    before.start = start;
                    before.clause = clause;
                    before.words = self.scene.said(clause);
                }
                before.tier = tier;
            }
            return;
        }
        self.heard.push(Heard {
            kind,
            part: mention.name.clone(),
            at,
            start,
            words: self.scene.said(clause),
            detail: detail_of(kind, &self.scene.said(clause)),
            to: None,
            place: None,
            hardware: Vec::new(),
            tier,
            clause,
            is_new: !mention.known.in_journal,
        });
    }

    fn leave_out(&mut self, number: usize, kind: HeardKind, clause: usize, why: &'static str) {
        let mention = &self.scene.mentions[number];
        let start = self.scene.at(mention.words.start);
        self.left_out.push(LeftOutLine {
            start,
            kind,
            part: mention.name.clone(),
            at: self.sides[number].clone(),
            words: self.scene.said(clause),
            why,
        });
    }

    fn off_by_context(&mut self, number: usize, clause: usize) {
        let mention = &self.scene.mentions[number];
        let kind = match mention.known.comes_undone {
            true => HeardKind::Undone,
            false => HeardKind::Removed,
        };
        let start = self.scene.at(mention.words.start);
        self.add(number, kind, Tier::Inferred, start, clause);
    }
}

/// Logarithm of the odds from which a part that was only named is worth a line: 6 to 94.
const POSSIBLE: f32 = -2.8;

/// Logarithm of the odds from which a line is ticked: 33 to 67. What did not happen counts
/// four times when the weights are learned, so that the odds are really higher.
const LIKELY: f32 = -0.7;

/// The same for a line of which a rule is sure: 18 to 82. It changes little for talks, and
/// leaves plain words as they are meant.
const LIKELY_IF_SURE: f32 = -1.5;

/// Logarithm of the odds from which a tick of a sure rule need not be looked at: 82 to 18.
const CERTAIN: f32 = 1.5;

/// How sure it is that a part came off or was undone.
fn tier_by(odds: f32, by_rule: Tier) -> Tier {
    let likely = if by_rule == Tier::Sure {
        LIKELY_IF_SURE
    } else {
        LIKELY
    };
    match odds {
        odds if odds < likely => Tier::Asked,
        odds if odds < CERTAIN => Tier::Inferred,
        _ => by_rule.min(Tier::Inferred),
    }
}

/// How sure another line of a talk is. What is inferred of a part is more often wrong than
/// right, and asked; what breaks, is cut or goes on is always to be looked at.
fn tier_in_talk(heard: &Heard) -> Tier {
    match (heard.kind, heard.tier) {
        (_, Tier::Asked) => Tier::Asked,
        (HeardKind::Broken | HeardKind::Cut | HeardKind::Fitted, _) => Tier::Inferred,
        (
            HeardKind::Found | HeardKind::Stored | HeardKind::Treated | HeardKind::Caution,
            Tier::Inferred,
        ) => Tier::Asked,
        (_, tier) => tier,
    }
}

/// Whether one name is the other, or its end: "cylinder" after "wheel cylinder".
pub(super) fn is_same_name(one: &str, other: &str) -> bool {
    let (one, other) = (singular(one), singular(other));
    ends_with_name(one, other) || ends_with_name(other, one)
}

/// The words that say what is the matter.
fn detail_of(kind: HeardKind, words: &str) -> Option<String> {
    match kind {
        HeardKind::Found
        | HeardKind::Needs
        | HeardKind::Treated
        | HeardKind::Caution
        | HeardKind::Lesson => Some(words.trim_end_matches(['.', ',', '!', '?']).to_owned()),
        HeardKind::Removed
        | HeardKind::Undone
        | HeardKind::Fitted
        | HeardKind::Broken
        | HeardKind::Cut
        | HeardKind::Stored => None,
    }
}

/// Whether a name is of what flows out or lies about, and never comes off as a part.
pub(super) fn holds_or_flows(name: &str) -> bool {
    const FLOWING: [&str; 10] = [
        "oil",
        "petrol",
        "fuel",
        "gas",
        "diesel",
        "coolant",
        "water",
        "grease",
        "fluid",
        "antifreeze",
    ];
    const LYING_ABOUT: [&str; 7] = ["tin", "toolbox", "jar", "tub", "tray", "bench", "bag"];
    let last = name.rsplit(' ').next().unwrap_or_default();
    // A battery tray is a part all the same.
    let is_listed = || known_part(name).is_some_and(|part| part.names.contains(&name));
    FLOWING.contains(&last) || LYING_ABOUT.contains(&last) && !is_listed()
}

/// What a line to tick says, by the rule that proposes it.
fn remark_kind(kind: RuleKind) -> Option<HeardKind> {
    Some(match kind {
        RuleKind::Fitted => HeardKind::Fitted,
        RuleKind::Found => HeardKind::Found,
        RuleKind::Needs => HeardKind::Needs,
        RuleKind::Broken => HeardKind::Broken,
        RuleKind::Cut => HeardKind::Cut,
        RuleKind::Treated => HeardKind::Treated,
        RuleKind::Stored => HeardKind::Stored,
        RuleKind::Caution => HeardKind::Caution,
        RuleKind::Lesson => HeardKind::Lesson,
        RuleKind::Off | RuleKind::Done | RuleKind::Stays | RuleKind::Undone => return None,
    })
}

fn is_off_rule(rule: &Rule) -> bool {
    matches!(rule.kind, RuleKind::Off | RuleKind::Undone | RuleKind::Done)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_done_before_the_film_is_not_ticked() {
        let heard = |told: Told| -> Vec<Tier> {
            let cue = Cue {
                start: 0,
                end: 9_000,
                text: "I took the radiator off in April.".to_owned(),
            };
            let heard = hear(vec![cue], &[], Driven::Left, told).heard;
            let off = heard.into_iter().filter(|heard| heard.kind.is_off());
            off.map(|heard| heard.tier).collect()
        };
        assert_eq!(heard(Told::AtWork), [Tier::Asked]);
        // A note is written when the work is over.
        assert_eq!(heard(Told::Afterwards), [Tier::Sure]);
    }
    #[test]
    fn a_long_talk_keeps_no_more_in_mind_than_a_short_one() {
        let topics = |minutes: u32| {
            let parts = [
                "bonnet",
                "grille",
                "radiator",
                "dynamo",
                "starter",
                "carburettor",
            ];
            let cue = |(number, part): (u32, &&str)| Cue {
                start: number * 10_000,
                end: number * 10_000 + 9_000,
                text: format!("So that is the {part}. {}", "It is late. ".repeat(9)),
            };
            let cues: Vec<Cue> = (0..minutes * 6)
                .zip(parts.iter().cycle())
                .map(cue)
                .collect();
            let lexicon = Lexicon::new(&[]);
            let scene = Scene::new(&cues, &lexicon);
            Ear::new(&scene, Driven::Left).topics.len()
        };
        assert_eq!(topics(60), topics(600));
    }
}
