//! From a narration taken apart to what was heard: the clauses one after the other,
//! with a short memory of what is being worked on.

use super::asked::asked;
use super::counted::{CountedPieces, bag_at, counted};
use super::cues::Cue;
use super::happened::{NotDone, TalkFrame, Verdict, happened, takes_back};
use super::heard::{Heard, HeardKind, HeardPieces, LeftOutLine, Narration, Tier};
use super::lexicon::{Lexicon, Thing};
use super::orders::orders;
use super::pattern::{RuleSpan, SpokenItem};
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
    ear.heard
        .sort_by_key(|heard| (heard.start, heard.clause, heard.tier));
    let Ear {
        heard, left_out, ..
    } = ear;
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
    counted: Vec<CountedPieces>,
    topics: Vec<Topic>,
    heard: Vec<Heard>,
    left_out: Vec<LeftOutLine>,
}

/// How long a part stays in mind, in milliseconds.
const IN_MIND: u32 = 75_000;

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
            let verdict = match happened(&items, found.matched, frame) {
                Verdict::Yes if is_taken_back && is_off_rule(found.rule) => {
                    Verdict::No(NotDone::Denied)
                }
                verdict => verdict,
            };
            self.apply(found.rule, found.matched, verdict, &items, clause);
        }
        self.note_topics(clause, &items, frame, &mut noted);
        self.in_a_row(clause, &items, frame);
        self.stored(clause, frame);
        self.warned(clause, frame);
    }

    /// Remembers what a clause names.
    fn note_topics(
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
            let same = |topic: &&mut Topic| {
                let other = &self.scene.mentions[topic.mention];
                is_same_name(&other.name, &mention.name)
                    && self.sides[topic.mention] == self.sides[*number]
                    && clause - topic.clause <= 40
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
        self.foreground_but(clause, off_too, &|_| true)
    }

    /// The topic in the foreground among those that fit.
    fn foreground_but(
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

    /// How long ago a topic was named, in steps of ten seconds.
    fn distance(&self, topic: &Topic, clause: usize) -> i32 {
        let ago = self
            .scene
            .clause_start(clause)
            .saturating_sub(self.scene.clause_start(topic.clause));
        i32::try_from(ago / 10_000).unwrap_or(i32::MAX)
    }

    fn is_in_mind(&self, topic: &Topic, clause: usize) -> bool {
        self.scene
            .clause_start(clause)
            .saturating_sub(self.scene.clause_start(topic.clause))
            <= IN_MIND
    }

    /// What "it" is where something is said of it: what was named last, in this clause
    /// or one of the two before.
    fn latest(&self, clause: usize, items: &[SpokenItem<'_>], to: usize) -> Option<usize> {
        let fits = |number: &usize| {
            let mention = &self.scene.mentions[*number];
            !mention.is_beside
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

    fn apply(
        &mut self,
        rule: &'static Rule,
        matched: RuleSpan,
        verdict: Verdict,
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
            RuleKind::Stays => {
                if let Some(number) = matched.thing {
                    self.leave_out(number, HeardKind::Removed, clause, NotDone::Denied.word());
                }
                return;
            }
        };
        let named_next = match rule.kind {
            RuleKind::Done => that_is(items, matched.to).or_else(|| self.only_thing(clause + 1)),
            _ => None,
        };
        let mut second = None;
        let about = match matched.thing.or(named_next) {
            Some(number) => vec![number],
            None => {
                let is_done = rule.kind == RuleKind::Done;
                let latest = match is_done {
                    true => None,
                    false => self.latest(clause, items, matched.from),
                };
                // "They're out" is said of several.
                let several = items[matched.from..matched.to].iter().any(|item| {
                    matches!(item, SpokenItem::Word("they" | "those" | "them" | "these"))
                });
                let fits = |topic: &Topic| {
                    !(is_done && several) || self.scene.mentions[topic.mention].is_several()
                };
                let best = self.foreground_but(clause, !is_done, &fits);
                if is_done && verdict == Verdict::Yes {
                    second = self
                        .foreground_but(clause, false, &|topic| {
                            best.is_none_or(|best| topic.mention != self.topics[best].mention)
                        })
                        .map(|at| self.topics[at].mention);
                }
                match latest.or_else(|| best.map(|at| self.topics[at].mention)) {
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

    /// A thing with those that are named with it behind it: "springs, and shoes".
    fn joined_behind(&self, items: &[SpokenItem<'_>], number: usize, clause: usize) -> Vec<usize> {
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
    fn only_thing(&self, clause: usize) -> Option<usize> {
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
        let kind = kind.unwrap_or(match mention.known.comes_undone {
            true => HeardKind::Undone,
            false => HeardKind::Removed,
        });
        if kind.is_off() && mention.known.thing == Thing::Fastener {
            // A nut off is work on what it holds.
            if verdict == Verdict::Yes {
                self.work(clause);
                self.add(
                    number,
                    HeardKind::Removed,
                    Tier::Asked,
                    self.scene.at(mention.words.start),
                    clause,
                );
            }
            return;
        }
        let is_inferred = !rule.is_sure || matched.thing.is_none();
        let tier = match verdict {
            Verdict::Yes if is_inferred => Tier::Inferred,
            Verdict::Yes => Tier::Sure,
            Verdict::Perhaps => match kind {
                HeardKind::Needs => Tier::Inferred,
                _ => Tier::Asked,
            },
            Verdict::No(why) => match kind {
                HeardKind::Needs if why == NotDone::Denied => {
                    self.take_back(number, clause);
                    return;
                }
                HeardKind::Needs
                    if why == NotDone::Planned
                        || why == NotDone::Supposed
                            && self.scene.frames[clause] == TalkFrame::Now =>
                {
                    Tier::Inferred
                }
                _ => {
                    self.leave_out(number, kind, clause, why.word());
                    return;
                }
            },
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
                && is_same_name(&heard.part, &mention.name)
                && (heard.at == at || heard.at.is_empty() || at.is_empty())
        };
        if let Some(before) = self.heard.iter_mut().rev().find(same) {
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

    /// "Wheel, drum, shoes, the hose, all of it": three parts and more in a row, of
    /// which it is said that they are off, out, or the same again.
    fn in_a_row(&mut self, clause: usize, items: &[SpokenItem<'_>], frame: TalkFrame) {
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
        for number in things {
            self.off_by_context(number, clause);
        }
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

    /// Where things were put: "bag five", "that can go on the bench".
    fn stored(&mut self, clause: usize, frame: TalkFrame) {
        if frame != TalkFrame::Now {
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
            .filter(|number| {
                let mention = &self.scene.mentions[*number];
                !mention.is_beside && mention.known.thing != Thing::Fastener
            })
            .collect();
        let about = match &named[..] {
            [] => self
                .topics
                .iter()
                .filter(|topic| self.is_in_mind(topic, clause))
                .max_by_key(|topic| (topic.is_off, topic.clause))
                .map(|topic| topic.mention)
                .into_iter()
                .collect(),
            _ => named,
        };
        for number in about {
            let before = self.heard.len();
            self.add(
                number,
                HeardKind::Stored,
                Tier::Inferred,
                self.scene.clause_start(clause),
                clause,
            );
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
    fn warned(&mut self, clause: usize, frame: TalkFrame) {
        if frame != TalkFrame::Now {
            return;
        }
        let range = self.scene.clauses[clause].words.clone();
        let keys: Vec<&str> = self.scene.words[range]
            .iter()
            .map(|word| word.key.as_str())
            .collect();
        let skip = keys
            .iter()
            .take_while(|word| ANNOUNCING.contains(word))
            .count();
        let at = |back: usize| keys.get(skip + back).copied().unwrap_or_default();
        let warns = matches!(
            (at(0), at(1)),
            ("do", "not")
                | ("mind" | "careful" | "watch" | "never" | "wear", _)
                | ("be", "careful")
                | ("make", "sure")
                | ("always", _)
        ) || keys.windows(2).any(|pair| matches!(pair, ["do", "not"]))
            && keys.windows(3).any(|three| {
                matches!(
                    three,
                    ["you", "do", "not"] | ["now", "do", "not"] | ["and", "do", "not"]
                )
            });
        if !warns
            || matches!(
                at(2),
                "know"
                    | "think"
                    | "see"
                    | "care"
                    | "need"
                    | "mind"
                    | "have"
                    | "want"
                    | "ask"
                    | "worry"
            )
        {
            return;
        }
        let number = self.scene.mentions_of(clause).next().or_else(|| {
            self.foreground(clause, true)
                .map(|at| self.topics[at].mention)
        });
        if let Some(number) = number {
            self.add(
                number,
                HeardKind::Caution,
                Tier::Inferred,
                self.scene.clause_start(clause),
                clause,
            );
        }
    }

    /// A part that was brought up and whose hardware was counted at once has come off,
    /// where nothing says that it stayed: "glovebox liner, four screws".
    fn worked_on(&mut self) {
        for at in 0..self.counted.len() {
            let (mention, clause) = (self.counted[at].mention, self.counted[at].clause);
            let items = self.scene.items(clause);
            let before = self
                .scene
                .mentions_of(clause)
                .rev()
                .find(|number| *number < mention && self.is_brought_up(*number));
            let earlier = (clause.saturating_sub(2)..clause).rev().find_map(|clause| {
                self.scene
                    .mentions_of(clause)
                    .find(|number| self.is_brought_up(*number))
            });
            // "Two screws. Armrest."
            let next = || {
                let only = self.only_thing(clause + 1)?;
                (self.scene.clauses[clause].words.len() <= 4).then_some(only)
            };
            let Some(number) = before.or(earlier).or_else(next) else {
                continue;
            };
            let start = self.scene.at(self.scene.mentions[number].words.start);
            let part = self.scene.mentions[number].name.clone();
            let is_told = self.heard.iter().any(|heard| {
                heard.kind.is_off()
                    && heard.tier != Tier::Asked
                    && is_same_name(&heard.part, &part)
                    && (i64::from(heard.start) - i64::from(start)).abs() <= 90_000
            });
            let is_left = self.left_out.iter().any(|left| {
                left.kind.is_off()
                    && is_same_name(&left.part, &part)
                    && left.start.abs_diff(start) <= 60_000
            });
            let matched = RuleSpan {
                from: 0,
                to: items.len(),
                thing: None,
            };
            let verdict = happened(&items, matched, self.scene.frames[clause]);
            if is_told || is_left || !matches!(verdict, Verdict::Yes | Verdict::Perhaps) {
                continue;
            }
            let kind = match self.scene.mentions[number].known.comes_undone {
                true => HeardKind::Undone,
                false => HeardKind::Removed,
            };
            self.add(
                number,
                kind,
                Tier::Inferred,
                self.scene.clause_start(clause),
                clause,
            );
        }
        self.heard.sort_by_key(|heard| (heard.start, heard.clause));
    }

    /// Whether a part is what its clause begins with, or is brought up there.
    fn is_brought_up(&self, number: usize) -> bool {
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

    /// Gives counted hardware to the part that came off with it.
    fn attach_hardware(&mut self) {
        let wanted = |heard: &Heard| matches!(heard.kind, HeardKind::Needs | HeardKind::Broken);
        let is_wanted = |counted: &CountedPieces, heard: &[Heard]| {
            heard.iter().any(|heard| {
                wanted(heard)
                    && heard.clause == counted.clause
                    && is_same_name(&heard.part, &counted.pieces.what)
            })
        };
        let mut pieces = std::mem::take(&mut self.counted);
        pieces.retain(|counted| !is_wanted(counted, &self.heard));
        self.counted = pieces;
        for heard in &mut self.heard {
            let is_pin = self.scene.mentions_of(heard.clause).any(|number| {
                let mention = &self.scene.mentions[number];
                mention.known.thing == Thing::Pin && mention.name == heard.part
            });
            if heard.kind == HeardKind::Removed && heard.tier != Tier::Asked && is_pin {
                heard.hardware.push(HeardPieces {
                    count: 1,
                    what: singular(&heard.part).to_owned(),
                    size: None,
                    bag: None,
                });
            }
        }
        for counted in &self.counted {
            let start = self
                .scene
                .at(self.scene.mentions[counted.mention].words.start);
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
                let same = heard
                    .hardware
                    .iter_mut()
                    .find(|other| other.what == pieces.what && other.count == pieces.count);
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

/// "There it is, that's the lock pin": the part that is named at once.
fn that_is(items: &[SpokenItem<'_>], from: usize) -> Option<usize> {
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

fn is_off_rule(rule: &Rule) -> bool {
    matches!(rule.kind, RuleKind::Off | RuleKind::Undone | RuleKind::Done)
}

/// Whether one name is the other, or its end: "cylinder" after "wheel cylinder".
pub(super) fn is_same_name(one: &str, other: &str) -> bool {
    let (one, other) = (singular(one), singular(other));
    let ends = |long: &str, short: &str| long == short || long.ends_with(&format!(" {short}"));
    ends(one, other) || ends(other, one)
}

/// A thing with those that are named with it before it: "the top and the needle".
fn joined_before(items: &[SpokenItem<'_>], number: usize) -> Vec<usize> {
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
                at > range.start
                    && matches!(key(at - 1), "that" | "it" | "they" | "those")
                    && !matches!(key(at + 1), "in" | "on" | "the")
            }
            _ => false,
        };
        if !goes {
            continue;
        }
        for to in at + 1..(at + 5).min(range.end) {
            if matches!(
                key(to),
                "in" | "on" | "under" | "behind" | "against" | "into"
            ) && matches!(
                key(to + 1),
                "the" | "a" | "my" | "that" | "our" | "your" | "its" | "an" | "rack" | "shelf"
            ) && to + 2 < range.end
            {
                let end = (to + 7).min(range.end);
                return Some(
                    speech::said(&scene.words, to..end)
                        .trim_end_matches(['.', ',', '!', '?'])
                        .to_owned(),
                );
            }
        }
    }
    None
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
