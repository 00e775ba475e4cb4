//! Whether what a clause says really happened: not what was planned, remembered,
//! supposed, denied, or done to another vehicle.
//!
//! It judges by the words around; a joke that is told straight it takes for true.

use super::pattern::{RuleSpan, SpokenItem};
use super::speech::{Spoken, SpokenClause};
use crate::vocabulary::calendar_words::is_weekday_name;
use crate::vocabulary::vehicle_words::is_sort_of_vehicle;

/// The world that a clause tells of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TalkFrame {
    /// Here and now.
    Now,
    /// Some other day.
    Remembered,
    /// Another vehicle.
    Elsewhere,
    /// What would be if.
    Supposed,
    /// Some day to come.
    Later,
}

impl TalkFrame {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            TalkFrame::Now => "now",
            TalkFrame::Remembered => "remembered",
            TalkFrame::Elsewhere => "elsewhere",
            TalkFrame::Supposed => "supposed",
            TalkFrame::Later => "later",
        }
    }
}

/// Whether something happened.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// It did.
    Yes,
    /// It is being told how, or is about to be done.
    Perhaps,
    /// It did not, and why.
    No(NotDone),
}

/// Why something that was spoken of did not happen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NotDone {
    /// Only planned.
    Planned,
    /// Remembered of another day.
    Remembered,
    /// Only supposed.
    Supposed,
    /// Denied, or taken back.
    Denied,
    /// Another vehicle's.
    OtherVehicle,
}

impl NotDone {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            NotDone::Planned => "planned",
            NotDone::Remembered => "remembered",
            NotDone::Supposed => "supposed",
            NotDone::Denied => "denied",
            NotDone::OtherVehicle => "another vehicle",
        }
    }
}

/// Words that set a frame, the longest first where one holds another. `_` is any word.
const FRAMES: [(&str, TalkFrame); 80] = [
    ("other video", TalkFrame::Remembered),
    ("last video", TalkFrame::Remembered),
    ("last episode", TalkFrame::Remembered),
    ("the other night", TalkFrame::Remembered),
    ("yesterday", TalkFrame::Remembered),
    ("last week", TalkFrame::Remembered),
    ("last month", TalkFrame::Remembered),
    ("last year", TalkFrame::Remembered),
    ("last time", TalkFrame::Remembered),
    ("last summer", TalkFrame::Remembered),
    ("last winter", TalkFrame::Remembered),
    ("last night", TalkFrame::Remembered),
    ("years ago", TalkFrame::Remembered),
    ("years back", TalkFrame::Remembered),
    ("years since", TalkFrame::Remembered),
    ("months back", TalkFrame::Remembered),
    ("weeks back", TalkFrame::Remembered),
    ("last owner", TalkFrame::Remembered),
    ("previous owner", TalkFrame::Remembered),
    ("owner before", TalkFrame::Remembered),
    ("year ago", TalkFrame::Remembered),
    ("weeks ago", TalkFrame::Remembered),
    ("months ago", TalkFrame::Remembered),
    ("back when", TalkFrame::Remembered),
    ("back in", TalkFrame::Remembered),
    ("when i was", TalkFrame::Remembered),
    ("used to", TalkFrame::Remembered),
    ("i remember", TalkFrame::Remembered),
    ("the first time", TalkFrame::Remembered),
    ("the other day", TalkFrame::Remembered),
    ("one time", TalkFrame::Remembered),
    ("in those days", TalkFrame::Remembered),
    ("as a kid", TalkFrame::Remembered),
    ("as a boy", TalkFrame::Remembered),
    ("i was doing", TalkFrame::Remembered),
    ("i did that on", TalkFrame::Elsewhere),
    ("i did one on", TalkFrame::Elsewhere),
    ("i had a _ once", TalkFrame::Elsewhere),
    ("i had a _ _ once", TalkFrame::Elsewhere),
    ("i once", TalkFrame::Remembered),
    ("my old", TalkFrame::Elsewhere),
    ("my other", TalkFrame::Elsewhere),
    ("my first", TalkFrame::Elsewhere),
    ("my dad 's", TalkFrame::Elsewhere),
    ("my father 's", TalkFrame::Elsewhere),
    ("my uncle 's", TalkFrame::Elsewhere),
    ("my brother 's", TalkFrame::Elsewhere),
    ("my mate 's", TalkFrame::Elsewhere),
    ("my friend 's", TalkFrame::Elsewhere),
    ("my dad had", TalkFrame::Elsewhere),
    ("my father had", TalkFrame::Elsewhere),
    ("my uncle had", TalkFrame::Elsewhere),
    ("my brother had", TalkFrame::Elsewhere),
    ("my mate had", TalkFrame::Elsewhere),
    ("my friend had", TalkFrame::Elsewhere),
    ("a friend had", TalkFrame::Elsewhere),
    ("a mate had", TalkFrame::Elsewhere),
    ("a mate of mine", TalkFrame::Elsewhere),
    ("a friend of mine", TalkFrame::Elsewhere),
    ("another car", TalkFrame::Elsewhere),
    ("other car", TalkFrame::Elsewhere),
    ("other truck", TalkFrame::Elsewhere),
    ("other van", TalkFrame::Elsewhere),
    ("other bike", TalkFrame::Elsewhere),
    ("next time", TalkFrame::Later),
    ("next week", TalkFrame::Later),
    ("next weekend", TalkFrame::Later),
    ("tomorrow", TalkFrame::Later),
    ("tonight it 's", TalkFrame::Later),
    ("tonight we 're", TalkFrame::Later),
    ("today it 's", TalkFrame::Later),
    ("today we 're", TalkFrame::Later),
    ("today 's job", TalkFrame::Later),
    ("the plan is", TalkFrame::Later),
    ("the plan for", TalkFrame::Later),
    ("the idea is", TalkFrame::Later),
    ("another day", TalkFrame::Later),
    ("some day", TalkFrame::Later),
    ("someday", TalkFrame::Later),
    ("one day", TalkFrame::Later),
];

/// The frame of each clause. A memory lasts to the end of its sentence; without
/// punctuation, over the clause behind it as well. An "if" lasts to the end of its
/// sentence.
#[must_use]
pub fn frames(words: &[Spoken], clauses: &[SpokenClause]) -> Vec<TalkFrame> {
    let mut frames = vec![TalkFrame::Now; clauses.len()];
    for (number, clause) in clauses.iter().enumerate() {
        let keys: Vec<&str> = words[clause.words.clone()]
            .iter()
            .map(|word| word.key.as_str())
            .collect();
        if names_the_plan(&keys) {
            for earlier in &mut frames[number.saturating_sub(PLANNED_BEFORE)..=number] {
                if *earlier == TalkFrame::Now {
                    *earlier = TalkFrame::Later;
                }
            }
        }
        let Some(frame) = own_frame(&keys) else {
            continue;
        };
        frames[number] = frame;
        let mut later = number + 1;
        while later < clauses.len()
            && (clauses[later].sentence == clause.sentence || goes_on(words, &clauses[later]))
            && later - number <= 3
            && !returns(words, &clauses[later])
        {
            frames[later] = frame;
            later += 1;
        }
    }
    frames
}

/// The number of clauses before "that's the plan" that belong to the plan.
const PLANNED_BEFORE: usize = 3;

/// "That's the plan", of what was just said.
fn names_the_plan(keys: &[&str]) -> bool {
    keys.windows(4).any(|four| {
        matches!(
            four,
            ["that", "'s" | "is", "the", "plan" | "idea" | "intention"]
        )
    })
}

/// "Sunday the sump's coming off" is to come, "last Sunday" was.
fn weekday_frame(keys: &[&str]) -> Option<TalkFrame> {
    let at = keys.iter().position(|word| {
        let day = word.strip_suffix('s').unwrap_or(word);
        is_weekday_name(day)
    })?;
    let was = keys
        .iter()
        .any(|word| matches!(*word, "last" | "since" | "was" | "were" | "had" | "did"));
    Some(match was && at > 0 {
        true => TalkFrame::Remembered,
        false => TalkFrame::Later,
    })
}

/// Whether a clause comes back to what is being done.
fn returns(words: &[Spoken], clause: &SpokenClause) -> bool {
    let key = |at: usize| {
        words
            .get(clause.words.start + at)
            .map_or("", |word| word.key.as_str())
    };
    matches!(key(0), "anyway" | "right" | "okay" | "ok" | "now")
        || key(0) == "so" && !matches!(key(1), "i" | "he" | "they")
}

/// "And he had the head off that": the same story goes on.
fn goes_on(words: &[Spoken], clause: &SpokenClause) -> bool {
    let key = |at: usize| {
        words
            .get(clause.words.start + at)
            .map_or("", |word| word.key.as_str())
    };
    matches!(
        (key(0), key(1)),
        ("and" | "then" | "but", "he" | "she" | "they" | "we")
            | ("i", "had")
            | (
                "he" | "she",
                "had" | "took" | "put" | "was" | "did" | "just"
            )
    )
}

fn own_frame(keys: &[&str]) -> Option<TalkFrame> {
    let own = |frame: &(&str, TalkFrame)| {
        let pattern: Vec<&str> = frame.0.split(' ').collect();
        let is_match = |at: &[&str]| {
            at.iter()
                .zip(&pattern)
                .all(|(word, wanted)| *wanted == "_" || word == wanted)
        };
        keys.windows(pattern.len()).any(is_match).then_some(frame.1)
    };
    let supposes = keys.iter().take(3).any(|word| {
        matches!(
            *word,
            "if" | "unless" | "otherwise" | "suppose" | "supposing" | "imagine"
        )
    });
    if supposes {
        return Some(TalkFrame::Supposed);
    }
    let once = keys.iter().enumerate().any(|(at, word)| {
        *word == "once"
            && at > 1
            && matches!(keys.get(at + 1), None | Some(&("and" | "i" | "he" | "on")))
    });
    if once {
        return Some(TalkFrame::Remembered);
    }
    FRAMES
        .iter()
        .find_map(own)
        .or_else(|| weekday_frame(keys))
        .or_else(|| is_of_another(keys).then_some(TalkFrame::Elsewhere))
}

/// "On my neighbour's feed truck", "her old hatchback": the vehicle of somebody else.
fn is_of_another(keys: &[&str]) -> bool {
    keys.iter().enumerate().any(|(at, word)| {
        let whose = matches!(*word, "his" | "her" | "their")
            || *word == "'s"
                && at > 0
                && !matches!(
                    keys[at - 1],
                    "that" | "this" | "it" | "there" | "here" | "what" | "he" | "she" | "where"
                );
        let behind = &keys[(at + 1).min(keys.len())..(at + 4).min(keys.len())];
        whose && behind.iter().any(|word| is_sort_of_vehicle(word))
    })
}

/// How far before a match its "not" or "would" may stand, in words and things.
const REACH: usize = 8;

/// Words with which somebody is told what to do. Who works alone speaks like that as
/// well: such a line is asked.
const ORDERS_TO_DO: [&str; 32] = [
    "have",
    "take",
    "pull",
    "lift",
    "drop",
    "ease",
    "knock",
    "get",
    "slide",
    "drive",
    "press",
    "tap",
    "prise",
    "work",
    "bring",
    "undo",
    "unbolt",
    "wind",
    "draw",
    "slip",
    "leave",
    "keep",
    "mind",
    "unscrew",
    "remove",
    "unhook",
    "unplug",
    "unclip",
    "loosen",
    "slacken",
    "disconnect",
    "detach",
];

/// Words that may stand before an order.
const BEFORE_AN_ORDER: [&str; 14] = [
    "and", "then", "so", "now", "just", "right", "okay", "ok", "well", "but", ",", "yes", "yeah",
    "always",
];

/// Words of what others say, and of hopes.
const REPORTING: [&str; 7] = [
    "hopefully",
    "says",
    "reckons",
    "said",
    "say",
    "asks",
    "tells",
];

/// Whether what matched in a clause happened.
#[must_use]
pub fn happened(items: &[SpokenItem<'_>], matched: RuleSpan, frame: TalkFrame) -> Verdict {
    match frame {
        TalkFrame::Now => {}
        TalkFrame::Remembered => return Verdict::No(NotDone::Remembered),
        TalkFrame::Elsewhere => return Verdict::No(NotDone::OtherVehicle),
        TalkFrame::Supposed => return Verdict::No(NotDone::Supposed),
        TalkFrame::Later => return Verdict::No(NotDone::Planned),
    }
    let word = |at: usize| match items.get(at) {
        Some(SpokenItem::Word(word)) => *word,
        Some(SpokenItem::Comma) => ",",
        Some(SpokenItem::Thing(_)) => "",
        None => "",
    };
    // "Is your handbrake off?"
    // "The fins come off if you breathe on them."
    if matches!(word(matched.to), "if" | "unless") {
        return Verdict::No(NotDone::Supposed);
    }
    let mut verdict = match word(0) {
        "is" | "are" | "did" | "does" | "shall" | "has" | "was" => Verdict::Perhaps,
        _ => Verdict::Yes,
    };
    let begins_as_order = (0..matched.to)
        .map(word)
        .find(|word| !BEFORE_AN_ORDER.contains(word))
        .is_some_and(|word| ORDERS_TO_DO.contains(&word));
    // "Drop your back shackles", but "there's your lid" shows one.
    let is_told_to_you = (0..matched.to).any(|at| word(at) == "your")
        && !(0..matched.from).any(|at| matches!(word(at), "'s" | "is"));
    // "Big Leonard says the windshield's coming out."
    let is_reported = (0..matched.to).any(|at| REPORTING.contains(&word(at)));
    if begins_as_order || is_told_to_you || is_reported {
        verdict = Verdict::Perhaps;
    }
    for at in matched.from.saturating_sub(REACH)..matched.to {
        let next = word(at + 1);
        // What stands before a comma does not reach over a new subject.
        if word(at) == "," && at < matched.from && verdict == Verdict::Perhaps {
            verdict = Verdict::Yes;
        }
        let found = match word(at) {
            "not" | "never" | "without" | "nor" | "neither"
                if !matches!(next, "bad" | "only" | "he" | "she" | "it" | "they" | "you") =>
            {
                Verdict::No(NotDone::Denied)
            }
            "no" if at >= matched.from || at + 1 == matched.from && word(at + 1) != "," => {
                Verdict::No(NotDone::Denied)
            }
            "nearly" | "almost" | "halfway" | "partway" | "tried" | "supposed" | "refuses"
            | "refused" => Verdict::No(NotDone::Denied),
            "if" | "unless" | "would" | "until" | "till" | "before" | "otherwise" | "instead" => {
                Verdict::No(NotDone::Supposed)
            }
            "'d" if !matches!(next, "better") => Verdict::No(NotDone::Supposed),
            "might" | "could" | "should" | "maybe" | "perhaps" | "theory" | "wish" | "ought" => {
                Verdict::Perhaps
            }
            // "The seat's already away": on another day, or just now.
            "already" if at >= matched.from && matches!(next, "off" | "out" | "away") => {
                Verdict::Perhaps
            }
            "want" | "wanted" | "wants" | "plan" | "planning" | "hoping" | "hope" | "thinking" => {
                Verdict::Perhaps
            }
            "was" | "were" if next == "going" && word(at + 2) == "to" => {
                Verdict::No(NotDone::Planned)
            }
            "thought" if matches!(next, "about" | "of") => Verdict::No(NotDone::Planned),
            // "I thought, that's the window gone."
            "thought" if at < matched.from => Verdict::No(NotDone::Supposed),
            "going" if next == "to" => Verdict::Perhaps,
            "'ll" | "will" | "must" | "can" | "let" | "try" | "trying" | "when" | "once"
            | "while" | "how" | "so that" => Verdict::Perhaps,
            "have" | "has" | "got" | "need" | "needs" | "had" if next == "to" => Verdict::Perhaps,
            "to" if at < matched.from => Verdict::Perhaps,
            "you" if at < matched.from => Verdict::Perhaps,
            _ => continue,
        };
        match found {
            Verdict::No(_) => return found,
            Verdict::Perhaps => verdict = found,
            Verdict::Yes => {}
        }
    }
    verdict
}

/// "Somebody's had the thermostat out": it is not the work of today.
#[must_use]
pub fn is_of_others(items: &[SpokenItem<'_>]) -> bool {
    matches!(
        items,
        [
            SpokenItem::Word("somebody" | "someone" | "whoever"),
            SpokenItem::Word("'s" | "has" | "had" | "took" | "must"),
            ..
        ]
    )
}

/// Whether a clause takes back what was said before it: "no, tell a lie", "I mean".
#[must_use]
pub fn takes_back(words: &[Spoken], clause: &SpokenClause) -> bool {
    let key = |at: usize| match clause.words.start + at < clause.words.end {
        true => words[clause.words.start + at].key.as_str(),
        false => "",
    };
    match (key(0), key(1)) {
        ("no" | "nope", next) => !matches!(
            next,
            "problem" | "question" | "fuss" | "drama" | "trouble" | "need"
        ),
        ("i", "mean" | "lie" | "tell") | ("wait", "no") | ("scratch", _) | ("actually", "no") => {
            true
        }
        ("or", "not") => true,
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::super::cues::Cue;
    use super::super::lexicon::Lexicon;
    use super::super::rules::RuleKind;
    use super::super::scene::Scene;
    use super::*;

    /// What is made of the last thing that came off or was told of coming off.
    fn judged(text: &str) -> Option<Verdict> {
        let cue = Cue {
            start: 0,
            end: 0,
            text: text.to_owned(),
        };
        let scene = Scene::new(&[cue], &Lexicon::new(&[]));
        let mut last = None;
        for clause in 0..scene.clauses.len() {
            let items = scene.items(clause);
            for found in scene.matches(&items) {
                if matches!(
                    found.rule.kind,
                    RuleKind::Off | RuleKind::Undone | RuleKind::Done
                ) {
                    last = Some(happened(&items, found.matched, scene.frames[clause]));
                }
            }
        }
        last
    }

    #[test]
    fn what_did_not_happen_is_told_apart() {
        for (text, expected) in [
            ("The radiator's off.", Verdict::Yes),
            (
                "The radiator isn't coming off.",
                Verdict::No(NotDone::Denied),
            ),
            ("The radiator's not off.", Verdict::No(NotDone::Denied)),
            (
                "If the radiator came off I'd see it.",
                Verdict::No(NotDone::Supposed),
            ),
            (
                "Last week the radiator came off.",
                Verdict::No(NotDone::Remembered),
            ),
            (
                "My uncle had a bus and the radiator came off.",
                Verdict::No(NotDone::OtherVehicle),
            ),
            (
                "I was gonna pull the radiator off.",
                Verdict::No(NotDone::Planned),
            ),
            (
                "Next time the radiator comes off.",
                Verdict::No(NotDone::Planned),
            ),
            ("I'm gonna pull the radiator off.", Verdict::Perhaps),
            ("You lift the radiator out.", Verdict::Perhaps),
            ("Have the radiator out first.", Verdict::Perhaps),
            ("Your radiator lifts off.", Verdict::Perhaps),
            ("Ron says the radiator comes off.", Verdict::Perhaps),
            ("until the radiator is out", Verdict::No(NotDone::Supposed)),
            (
                "I had a bit of trouble, and the radiator's out.",
                Verdict::Yes,
            ),
        ] {
            assert_eq!(judged(text), Some(expected), "{text}");
        }
    }
}
