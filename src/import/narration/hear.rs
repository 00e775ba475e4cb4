//! From a narration taken apart to what was heard: the clauses one after the other,
//! with a short memory of what is being worked on.

use super::asked::asked;
use super::counted::{Counted, bag_at, counted};
use super::cues::Cue;
use super::happened::{Frame, Happened, Why, happened, takes_back};
use super::heard::{Heard, HeardKind, LeftOut, Narration, Tier};
use super::lexicon::{Lexicon, Thing};
use super::orders::orders;
use super::pattern::{Item, Match};
use super::rules::{Rule, RuleKind};
use super::scene::Scene;
use super::sides::sides;
use super::speech;
use crate::vocabulary::name::singular;
use crate::vocabulary::position::{Driven, Side};

/// Listens to a narration. `names` are the parts of the journal.
#[must_use]
pub fn hear(cues: Vec<Cue>, names: &[String], driven: Driven) -> Narration {
    let lexicon = Lexicon::new(names);
    let scene = Scene::new(&cues, &lexicon);
    let mut ear = Ear {
        sides: sides(&scene, driven),
        counted: counted(&scene),
        topics: Vec::new(),
        heard: Vec::new(),
        left_out: Vec::new(),
        scene: &scene,
    };
    for clause in 0..scene.clauses.len() {
        ear.clause(clause);
    }
    ear.worked_on();
    ear.attach_hardware();
    let orders = orders(&scene, &ear.sides);
    let lines = asked(&scene, &ear.sides, &ear.heard, &ear.left_out);
    ear.heard.extend(lines);
    ear.heard.sort_by_key(|heard| (heard.start, heard.clause, heard.tier));
    let Ear { heard, left_out, .. } = ear;
    Narration {
        cues,
        heard,
        orders,
        left_out,
    }
}

/// A part that the talk is about.
#[derive(Clone, Copy, Debug)]
struct Topic {
    mention: usize,
    clause: usize,
    /// How much it stands in the foreground.
    weight: i32,
    /// The last clause in which it was worked on.
    worked: Option<usize>,
    is_off: bool,
}

struct Ear<'s> {
    scene: &'s Scene,
    sides: Vec<Vec<Side>>,
    counted: Vec<Counted>,
    topics: Vec<Topic>,
    heard: Vec<Heard>,
    left_out: Vec<LeftOut>,
}

/// How long a part stays in mind, in clauses.
const IN_MIND: usize = 9;

impl Ear<'_> {
    fn clause(&mut self, clause: usize) {
        let scene = self.scene;
        let items = scene.items(clause);
        let frame = scene.frames[clause];
        let matches = scene.matches(&items);
        let is_taken_back = scene
            .clauses
            .get(clause + 1)
            .is_some_and(|next| takes_back(&scene.words, next));
        let mut noted = vec![false; items.len()];
        for found in matches {
            self.note_topics(clause, &items[..found.matched.to.min(items.len())], frame, &mut noted);
            let verdict = match happened(&items, found.matched, frame) {
                Happened::Yes if is_taken_back && is_off_rule(found.rule) => Happened::No(Why::Denied),
                verdict => verdict,
            };
            self.apply(found.rule, found.matched, verdict, &items, clause);
        }
        self.note_topics(clause, &items, frame, &mut noted);
        self.stored(clause, frame);
        self.warned(clause, frame);
    }

    /// Remembers what a clause names.
    fn note_topics(&mut self, clause: usize, items: &[Item<'_>], frame: Frame, noted: &mut [bool]) {
        if frame != Frame::Now {
            return;
        }
        for (at, item) in items.iter().enumerate() {
            let Item::Thing(number) = item else { continue };
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
                Item::Word(word, _) => ANNOUNCING.contains(word),
                Item::Comma => true,
                Item::Thing(_) => false,
            });
            let mut weight = if mention.is_beside { 0 } else { 3 };
            if announces && !mention.is_beside {
                weight += 3;
            }
            if mention.known.thing == Thing::Head && mention.words.len() == 1 {
                weight -= 1;
            }
            let key = mention.head();
            let same = |topic: &&mut Topic| {
                let other = &self.scene.mentions[topic.mention];
                other.head() == key && self.sides[topic.mention] == self.sides[*number]
            };
            match self.topics.iter_mut().rev().find(same) {
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
    fn work(&mut self, clause: usize) {
        if let Some(at) = self.foreground(clause, false) {
            self.topics[at].worked = Some(clause);
        }
    }

    /// The topic in the foreground, by number; those that are off already only if asked.
    fn foreground(&self, clause: usize, off_too: bool) -> Option<usize> {
        self.topics
            .iter()
            .enumerate()
            .filter(|(_, topic)| clause - topic.clause <= IN_MIND && topic.weight > 0)
            .filter(|(_, topic)| off_too || !topic.is_off)
            .max_by_key(|(at, topic)| {
                let worked = i32::from(topic.worked.is_some_and(|worked| clause - worked <= 4)) * 2;
                let distance = i32::try_from(clause - topic.clause).unwrap_or(i32::MAX);
                (topic.weight + worked - distance, *at)
            })
            .map(|(at, _)| at)
    }

    fn apply(&mut self, rule: &'static Rule, matched: Match, verdict: Happened, items: &[Item<'_>], clause: usize) {
        let kind = match rule.kind {
            RuleKind::Off | RuleKind::Done => None,
            RuleKind::Undone => Some(HeardKind::Undone),
            RuleKind::Fitted => Some(HeardKind::Fitted),
            RuleKind::Found => Some(HeardKind::Found),
            RuleKind::Needs => Some(HeardKind::Needs),
            RuleKind::Broken => Some(HeardKind::Broken),
            RuleKind::Cut => Some(HeardKind::Cut),
            RuleKind::Treated => Some(HeardKind::Treated),
            RuleKind::Stays => {
                if let Some(number) = matched.thing {
                    self.leave_out(number, HeardKind::Removed, clause, Why::Denied.word());
                }
                return;
            }
        };
        let about = match matched.thing {
            Some(number) => vec![number],
            None => {
                let off_too = !matches!(rule.kind, RuleKind::Done | RuleKind::Undone | RuleKind::Off);
                match self.foreground(clause, off_too) {
                    Some(at) => vec![self.topics[at].mention],
                    None => return,
                }
            }
        };
        let about = match matched.thing {
            Some(number) if is_off_rule(rule) => joined_before(items, number),
            Some(_) | None => about,
        };
        for number in about {
            self.conclude(rule, kind, number, matched, verdict, clause);
        }
    }

    fn conclude(
        &mut self,
        rule: &'static Rule,
        kind: Option<HeardKind>,
        number: usize,
        matched: Match,
        verdict: Happened,
        clause: usize,
    ) {
        let mention = &self.scene.mentions[number];
        let kind = kind.unwrap_or(match mention.known.comes_undone {
            true => HeardKind::Undone,
            false => HeardKind::Removed,
        });
        if kind.is_off() && mention.known.thing == Thing::Fastener {
            // A nut off is work on what it holds.
            if verdict == Happened::Yes {
                self.work(clause);
            }
            return;
        }
        let is_inferred = !rule.is_sure || matched.thing.is_none();
        let tier = match verdict {
            Happened::Yes if is_inferred => Tier::Inferred,
            Happened::Yes => Tier::Sure,
            Happened::Perhaps => match kind {
                HeardKind::Needs => Tier::Inferred,
                _ => Tier::Asked,
            },
            Happened::No(why) => match kind {
                HeardKind::Needs if why == Why::Planned || why == Why::Supposed && self.scene.frames[clause] == Frame::Now => Tier::Inferred,
                _ => {
                    self.leave_out(number, kind, clause, why.word());
                    return;
                }
            },
        };
        if kind.is_off() && tier != Tier::Asked {
            let head = mention.head().to_owned();
            let sides = self.sides[number].clone();
            for topic in &mut self.topics {
                if self.scene.mentions[topic.mention].head() == head && self.sides[topic.mention] == sides {
                    topic.is_off = true;
                }
            }
        }
        let start = match matched.thing {
            Some(number) => self.scene.at(self.scene.mentions[number].words.start),
            None => self.scene.clause_start(clause),
        };
        let start = if kind.is_off() { self.scene.clause_start(clause).max(start) } else { start };
        self.add(number, kind, tier, start, clause);
    }

    fn add(&mut self, number: usize, kind: HeardKind, tier: Tier, start: u32, clause: usize) {
        if tier == Tier::Asked && !kind.is_off() {
            return;
        }
        let mention = &self.scene.mentions[number];
        let at = self.sides[number].clone();
        let same = |heard: &&mut Heard| {
            let together = start.abs_diff(heard.start) <= 45_000;
            let both_off = kind.is_off() && heard.kind.is_off();
            (heard.kind == kind || both_off)
                && together
                && head_of(&heard.part) == mention.head()
                && (heard.at == at || heard.at.is_empty() || at.is_empty())
        };
        if let Some(before) = self.heard.iter_mut().rev().find(same) {
            if tier < before.tier {
                if before.tier == Tier::Asked {
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
        self.left_out.push(LeftOut {
            start,
            kind,
            part: mention.name.clone(),
            at: self.sides[number].clone(),
            words: self.scene.said(clause),
            why,
        });
    }

    /// Where things were put: "bag five", "that can go on the bench".
    fn stored(&mut self, clause: usize, frame: Frame) {
        if frame != Frame::Now {
            return;
        }
        let range = self.scene.clauses[clause].words.clone();
        let bag = range.clone().find_map(|at| bag_at(self.scene, at));
        let place = match &bag {
            Some((label, _)) if label.contains(' ') => Some(label.clone()),
            Some((label, _)) => Some(format!("bag {label}")),
            None => resting_place(self.scene, clause),
        };
        let Some(place) = place else { return };
        let named: Vec<usize> = self
            .scene
            .mentions_of(clause)
            .filter(|number| !self.scene.mentions[*number].is_beside)
            .collect();
        let about = match &named[..] {
            [] => self
                .topics
                .iter()
                .filter(|topic| clause - topic.clause <= IN_MIND)
                .max_by_key(|topic| (topic.is_off, topic.clause))
                .map(|topic| topic.mention)
                .into_iter()
                .collect(),
            _ => named,
        };
        for number in about {
            let before = self.heard.len();
            self.add(number, HeardKind::Stored, Tier::Inferred, self.scene.clause_start(clause), clause);
            if self.heard.len() > before
                && let Some(last) = self.heard.last_mut()
            {
                last.place = Some(place.clone());
            }
        }
        if let Some((label, _)) = bag {
            let from = self.scene.clause_start(clause).saturating_sub(60_000);
            for counted in &mut self.counted {
                let at = self.scene.clause_start(counted.clause);
                if counted.clause <= clause && at >= from && counted.pieces.bag.is_none() {
                    counted.pieces.bag = Some(label.clone());
                }
            }
        }
    }

    /// "Don't", "mind", "always": what can hurt or go wrong.
    fn warned(&mut self, clause: usize, frame: Frame) {
        if frame != Frame::Now {
            return;
        }
        let range = self.scene.clauses[clause].words.clone();
        let keys: Vec<&str> = self.scene.words[range].iter().map(|word| word.key.as_str()).collect();
        let skip = keys.iter().take_while(|word| ANNOUNCING.contains(word)).count();
        let at = |back: usize| keys.get(skip + back).copied().unwrap_or_default();
        let warns = matches!((at(0), at(1)), ("do", "not") | ("mind" | "careful" | "watch" | "never" | "wear", _) | ("be", "careful") | ("make", "sure") | ("always", _))
            || keys.windows(2).any(|pair| matches!(pair, ["do", "not"]) ) && keys.windows(3).any(|three| matches!(three, ["you", "do", "not"] | ["now", "do", "not"] | ["and", "do", "not"]));
        if !warns || matches!(at(2), "know" | "think" | "see" | "care" | "need" | "mind" | "have" | "want" | "ask" | "worry") {
            return;
        }
        let number = self
            .scene
            .mentions_of(clause)
            .next()
            .or_else(|| self.foreground(clause, true).map(|at| self.topics[at].mention));
        if let Some(number) = number {
            self.add(number, HeardKind::Caution, Tier::Inferred, self.scene.clause_start(clause), clause);
        }
    }

    /// A part whose hardware was counted and that was not said to stay has come off.
    fn worked_on(&mut self) {}

    /// Gives counted hardware to the part that came off with it.
    fn attach_hardware(&mut self) {
        for counted in &self.counted {
            let start = self.scene.at(self.scene.mentions[counted.mention].words.start);
            let own = singular(&self.scene.mentions[counted.mention].name).to_owned();
            let behind = |heard: &Heard| i64::from(heard.start) - i64::from(start);
            let fits = |heard: &&mut Heard| {
                heard.kind.is_off()
                    && heard.tier != Tier::Asked
                    && (-15_000..=40_000).contains(&behind(heard))
            };
            // A pin that came off itself is its own hardware.
            let nearest = self.heard.iter_mut().filter(fits).min_by_key(|heard| {
                let apart = behind(heard);
                let is_own = singular(&heard.part) == own;
                (!is_own, if apart < 0 { -apart * 3 } else { apart })
            });
            if let Some(heard) = nearest {
                let pieces = &counted.pieces;
                let same = heard.hardware.iter_mut().find(|other| other.what == pieces.what && other.count == pieces.count);
                match same {
                    Some(_) => {}
                    None => heard.hardware.push(pieces.clone()),
                }
            }
        }
    }
}

/// Words before a part that is brought up.
const ANNOUNCING: [&str; 44] = [
    "so", "and", "then", "now", "next", "okay", "ok", "right", "the", "a", "that", "this", "these",
    "those", "there", "here", "'s", "is", "are", "well", "um", "uh", "oh", "your", "my", "first",
    "just", "we", "got", "have", "'ve", "also", "but", "on", "to", "with", "anyway", "two", "one",
    "an", "'re", "yep", "yeah", "also",
];

fn is_off_rule(rule: &Rule) -> bool {
    matches!(rule.kind, RuleKind::Off | RuleKind::Undone | RuleKind::Done)
}

fn head_of(name: &str) -> &str {
    singular(name.rsplit(' ').next().unwrap_or_default())
}

/// A thing with those that are named with it before it: "the top and the needle".
fn joined_before(items: &[Item<'_>], number: usize) -> Vec<usize> {
    let mut all = vec![number];
    let Some(at) = items.iter().position(|item| matches!(item, Item::Thing(other) if *other == number)) else {
        return all;
    };
    let mut joined = false;
    for item in items[..at].iter().rev() {
        match item {
            Item::Word("and", _) | Item::Comma => joined = true,
            Item::Word("the" | "its" | "a" | "that" | "both" | "all" | "two", _) => {}
            Item::Thing(other) if joined => {
                all.push(*other);
                joined = false;
            }
            Item::Thing(_) | Item::Word(..) => break,
        }
    }
    all.reverse();
    all
}

/// "that can go on the bench": where, with its preposition.
fn resting_place(scene: &Scene, clause: usize) -> Option<String> {
    let range = scene.clauses[clause].words.clone();
    let key = |at: usize| match range.contains(&at) {
        true => scene.words[at].key.as_str(),
        false => "",
    };
    for at in range.clone() {
        let goes = match key(at) {
            "goes" | "going" | "go" | "lives" | "live" | "put" | "stored" => true,
            "is" | "'s" | "are" => {
                at > range.start && matches!(key(at - 1), "that" | "it" | "they" | "those") && !matches!(key(at + 1), "in" | "on" | "the")
            }
            _ => false,
        };
        if !goes {
            continue;
        }
        for to in at + 1..(at + 5).min(range.end) {
            if matches!(key(to), "in" | "on" | "under" | "behind" | "against" | "into")
                && matches!(key(to + 1), "the" | "a" | "my" | "that" | "our" | "your" | "its" | "an" | "rack" | "shelf")
                && to + 2 < range.end
            {
                let end = (to + 7).min(range.end);
                return Some(speech::said(&scene.words, to..end).trim_end_matches(['.', ',', '!', '?']).to_owned());
            }
        }
    }
    None
}

/// The words that say what is the matter.
fn detail_of(kind: HeardKind, words: &str) -> Option<String> {
    match kind {
        HeardKind::Found | HeardKind::Needs | HeardKind::Treated | HeardKind::Caution | HeardKind::Lesson => {
            Some(words.trim_end_matches(['.', ',', '!', '?']).to_owned())
        }
        HeardKind::Removed
        | HeardKind::Undone
        | HeardKind::Fitted
        | HeardKind::Broken
        | HeardKind::Cut
        | HeardKind::Stored => None,
    }
}
