//! Whether what a clause says really happened: not what was planned, remembered,
//! supposed, denied, or done to another vehicle.
//!
//! It judges by the words around; a joke that is told straight it takes for true.

use super::pattern::{Item, Match};
use super::speech::{Clause, Spoken};

/// The world that a clause tells of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Frame {
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

/// Whether something happened.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Happened {
    /// It did.
    Yes,
    /// It is being told how, or is about to be done.
    Perhaps,
    /// It did not, and why.
    No(Why),
}

/// Why something that was spoken of did not happen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Why {
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

impl Why {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Why::Planned => "planned",
            Why::Remembered => "remembered",
            Why::Supposed => "supposed",
            Why::Denied => "denied",
            Why::OtherVehicle => "another vehicle",
        }
    }
}

/// Words that set a frame, the longest first where one holds another. `_` is any word.
const FRAMES: [(&str, Frame); 60] = [
    ("last week", Frame::Remembered),
    ("last month", Frame::Remembered),
    ("last year", Frame::Remembered),
    ("last time", Frame::Remembered),
    ("last summer", Frame::Remembered),
    ("last winter", Frame::Remembered),
    ("last night", Frame::Remembered),
    ("years ago", Frame::Remembered),
    ("year ago", Frame::Remembered),
    ("weeks ago", Frame::Remembered),
    ("months ago", Frame::Remembered),
    ("back when", Frame::Remembered),
    ("back in", Frame::Remembered),
    ("when i was", Frame::Remembered),
    ("used to", Frame::Remembered),
    ("i remember", Frame::Remembered),
    ("the first time", Frame::Remembered),
    ("the other day", Frame::Remembered),
    ("one time", Frame::Remembered),
    ("in those days", Frame::Remembered),
    ("as a kid", Frame::Remembered),
    ("as a boy", Frame::Remembered),
    ("i was doing", Frame::Remembered),
    ("i did that on", Frame::Elsewhere),
    ("i did one on", Frame::Elsewhere),
    ("i had a _ once", Frame::Elsewhere),
    ("i had a _ _ once", Frame::Elsewhere),
    ("i once", Frame::Remembered),
    ("my old", Frame::Elsewhere),
    ("my other", Frame::Elsewhere),
    ("my first", Frame::Elsewhere),
    ("my dad 's", Frame::Elsewhere),
    ("my father 's", Frame::Elsewhere),
    ("my uncle 's", Frame::Elsewhere),
    ("my brother 's", Frame::Elsewhere),
    ("my mate 's", Frame::Elsewhere),
    ("my friend 's", Frame::Elsewhere),
    ("my dad had", Frame::Elsewhere),
    ("my father had", Frame::Elsewhere),
    ("my uncle had", Frame::Elsewhere),
    ("my brother had", Frame::Elsewhere),
    ("my mate had", Frame::Elsewhere),
    ("my friend had", Frame::Elsewhere),
    ("a friend had", Frame::Elsewhere),
    ("a mate had", Frame::Elsewhere),
    ("a mate of mine", Frame::Elsewhere),
    ("a friend of mine", Frame::Elsewhere),
    ("another car", Frame::Elsewhere),
    ("other car", Frame::Elsewhere),
    ("other truck", Frame::Elsewhere),
    ("other van", Frame::Elsewhere),
    ("other bike", Frame::Elsewhere),
    ("next time", Frame::Later),
    ("next week", Frame::Later),
    ("next weekend", Frame::Later),
    ("tomorrow", Frame::Later),
    ("another day", Frame::Later),
    ("some day", Frame::Later),
    ("someday", Frame::Later),
    ("one day", Frame::Later),
];

/// The frame of each clause. A memory lasts to the end of its sentence; without
/// punctuation, over the clause behind it as well. An "if" lasts to the end of its
/// sentence.
#[must_use]
pub fn frames(words: &[Spoken], clauses: &[Clause]) -> Vec<Frame> {
    let mut frames = vec![Frame::Now; clauses.len()];
    for (number, clause) in clauses.iter().enumerate() {
        let keys: Vec<&str> = words[clause.words.clone()].iter().map(|word| word.key.as_str()).collect();
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

/// Whether a clause comes back to what is being done.
fn returns(words: &[Spoken], clause: &Clause) -> bool {
    let key = |at: usize| words.get(clause.words.start + at).map_or("", |word| word.key.as_str());
    matches!(key(0), "anyway" | "right" | "okay" | "ok" | "now")
        || key(0) == "so" && !matches!(key(1), "i" | "he" | "they")
}

/// "And he had the head off that": the same story goes on.
fn goes_on(words: &[Spoken], clause: &Clause) -> bool {
    let key = |at: usize| words.get(clause.words.start + at).map_or("", |word| word.key.as_str());
    matches!((key(0), key(1)), ("and" | "then" | "but", "he" | "she" | "they" | "we") | ("he" | "she", "had" | "took" | "put" | "was" | "did" | "just"))
}

fn own_frame(keys: &[&str]) -> Option<Frame> {
    let own = |frame: &(&str, Frame)| {
        let pattern: Vec<&str> = frame.0.split(' ').collect();
        let is_match = |at: &[&str]| at.iter().zip(&pattern).all(|(word, wanted)| *wanted == "_" || word == wanted);
        keys.windows(pattern.len()).any(is_match).then_some(frame.1)
    };
    let supposes = keys
        .iter()
        .take(3)
        .any(|word| matches!(*word, "if" | "unless" | "otherwise" | "suppose" | "supposing" | "imagine"));
    if supposes {
        return Some(Frame::Supposed);
    }
    let once = keys.iter().enumerate().any(|(at, word)| {
        *word == "once" && at > 1 && matches!(keys.get(at + 1), None | Some(&("and" | "i" | "he" | "on")))
    });
    if once {
        return Some(Frame::Remembered);
    }
    FRAMES.iter().find_map(own)
}

/// Whether what matched in a clause happened.
#[must_use]
pub fn happened(items: &[Item<'_>], matched: Match, frame: Frame) -> Happened {
    match frame {
        Frame::Now => {}
        Frame::Remembered => return Happened::No(Why::Remembered),
        Frame::Elsewhere => return Happened::No(Why::OtherVehicle),
        Frame::Supposed => return Happened::No(Why::Supposed),
        Frame::Later => return Happened::No(Why::Planned),
    }
    let word = |at: usize| match items.get(at) {
        Some(Item::Word(word, _)) => *word,
        Some(Item::Comma) => ",",
        Some(Item::Thing(_)) => "",
        None => "",
    };
    let mut verdict = Happened::Yes;
    for at in 0..matched.to {
        let next = word(at + 1);
        // What stands before a comma does not reach over a new subject.
        if word(at) == "," && at < matched.from && verdict == Happened::Perhaps {
            verdict = Happened::Yes;
        }
        let found = match word(at) {
            "not" | "never" | "without" | "nor" | "neither" if !matches!(next, "bad" | "only") => Happened::No(Why::Denied),
            "no" if at >= matched.from || at + 1 == matched.from && word(at + 1) != "," => Happened::No(Why::Denied),
            "nearly" | "almost" | "tried" | "supposed" | "refuses" | "refused" => Happened::No(Why::Denied),
            "if" | "unless" | "would" | "until" | "till" | "before" | "otherwise" | "instead" => Happened::No(Why::Supposed),
            "'d" if !matches!(next, "better") => Happened::No(Why::Supposed),
            "might" | "could" | "should" | "maybe" | "perhaps" | "theory" | "wish" | "ought" => Happened::Perhaps,
            "want" | "wanted" | "wants" | "plan" | "planning" | "hoping" | "hope" | "thinking" => Happened::Perhaps,
            "was" | "were" if next == "going" && word(at + 2) == "to" => Happened::No(Why::Planned),
            "going" if next == "to" => Happened::Perhaps,
            "'ll" | "will" | "must" | "can" | "let" | "try" | "trying" | "when" | "once" | "while" | "how" | "so that" => Happened::Perhaps,
            "have" | "has" | "got" | "need" | "needs" | "had" if next == "to" => Happened::Perhaps,
            "to" if at < matched.from => Happened::Perhaps,
            "you" if at < matched.from => Happened::Perhaps,
            _ => continue,
        };
        match found {
            Happened::No(_) => return found,
            Happened::Perhaps => verdict = found,
            Happened::Yes => {}
        }
    }
    verdict
}

/// Whether a clause takes back what was said before it: "no, tell a lie", "I mean".
#[must_use]
pub fn takes_back(words: &[Spoken], clause: &Clause) -> bool {
    let key = |at: usize| match clause.words.start + at < clause.words.end {
        true => words[clause.words.start + at].key.as_str(),
        false => "",
    };
    match (key(0), key(1)) {
        ("no" | "nope", next) => !matches!(next, "problem" | "question" | "fuss" | "drama" | "trouble" | "need"),
        ("i", "mean" | "lie" | "tell") | ("wait", "no") | ("scratch", _) | ("actually", "no") => true,
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
    fn judged(text: &str) -> Option<Happened> {
        let cue = Cue { start: 0, end: 0, text: text.to_owned() };
        let scene = Scene::new(&[cue], &Lexicon::new(&[]));
        let mut last = None;
        for clause in 0..scene.clauses.len() {
            let items = scene.items(clause);
            for found in scene.matches(&items) {
                if matches!(found.rule.kind, RuleKind::Off | RuleKind::Undone | RuleKind::Done) {
                    last = Some(happened(&items, found.matched, scene.frames[clause]));
                }
            }
        }
        last
    }

    #[test]
    fn what_did_not_happen_is_told_apart() {
        for (text, expected) in [
            ("The radiator's off.", Happened::Yes),
            ("The radiator isn't coming off.", Happened::No(Why::Denied)),
            ("The radiator's not off.", Happened::No(Why::Denied)),
            ("If the radiator came off I'd see it.", Happened::No(Why::Supposed)),
            ("Last week the radiator came off.", Happened::No(Why::Remembered)),
            ("My uncle had a bus and the radiator came off.", Happened::No(Why::OtherVehicle)),
            ("I was gonna pull the radiator off.", Happened::No(Why::Planned)),
            ("Next time the radiator comes off.", Happened::No(Why::Planned)),
            ("I'm gonna pull the radiator off.", Happened::Perhaps),
            ("You lift the radiator out.", Happened::Perhaps),
            ("until the radiator is out", Happened::No(Why::Supposed)),
            ("I had a bit of trouble, and the radiator's out.", Happened::Yes),
        ] {
            assert_eq!(judged(text), Some(expected), "{text}");
        }
    }
}
