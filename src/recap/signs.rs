//! What an audience cares about, as data: each sign with its weight and why.
//!
//! Weights are points beside the 0 to 100 of a sentence's rank. They were set
//! by reading drafts aloud; there is no source for them.

use std::collections::BTreeSet;

use crate::entry::Fact;
use crate::vocabulary::hardware::Mark;
use crate::vocabulary::status::Status;
use crate::vocabulary::words::stem;

/// A sign that a moment is worth telling, or is not.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Sign {
    /// Something went wrong.
    Setback,
    /// Something that was wrong came right.
    Turn,
    /// Something was discovered.
    Find,
    /// Much was discovered.
    RichFind,
    /// What became of an earlier find.
    Sequel,
    /// What the entry's title speaks of.
    Titled,
    /// Somebody says something.
    Speech,
    /// Someone else is there.
    Company,
    /// What to do differently.
    Lesson,
    /// A lesson about what goes before what.
    Order,
    /// A question got its answer.
    Answered,
    /// A unit was replaced or given up.
    Replaced,
    /// The first record of a system, or the latest.
    Edge,
    /// A session longer than usual.
    LongSession,
    /// A fact, not a sentence.
    Bare,
    /// Numbers and sizes.
    Figures,
    /// Said much the same before.
    Repeated,
    /// Only says that something will be told.
    Announces,
    /// Speaks of the page it was written on.
    PointsAtPage,
    /// Points back at something that is told elsewhere.
    PointsBack,
    /// Tells the listener what to do, and nothing that happened.
    Instructs,
    /// Begins with someone or something that nobody has named.
    Dangling,
    /// A lesson without the setback it was learned from.
    Uncaused,
    /// Hardly a sentence.
    Scrap,
    /// Later in an entry that has stronger moments.
    Crowd,
    /// A lesson after many stronger ones.
    MoreAdvice,
}

impl Sign {
    /// Its points.
    #[must_use]
    pub const fn points(self) -> i32 {
        match self {
            // Trouble is what people stay for, more than for anything else.
            Sign::Setback => 45,
            // And then they want to see how it ended.
            Sign::Turn => 25,
            // What nobody knew was there.
            Sign::Find => 35,
            // A whole tin of it: what people tell each other about the next day.
            Sign::RichFind => 55,
            // The answer that everybody has waited for since the find.
            Sign::Sequel => 45,
            // Whoever wrote the title knew what mattered that day.
            Sign::Titled => 25,
            // A voice besides the teller's.
            Sign::Speech => 30,
            // Two people in a garage are a scene.
            Sign::Company => 10,
            // What viewers can use themselves.
            Sign::Lesson => 35,
            // Nothing costs as many evenings as a wrong order.
            Sign::Order => 50,
            // A riddle solved; told without its question it is worth less.
            Sign::Answered => 25,
            // Money spent, metal changed.
            Sign::Replaced => 20,
            // A system begins or is done: the bones of a story.
            Sign::Edge => 15,
            // What took long was hard.
            Sign::LongSession => 10,
            // Notes for the bench, not for the ear.
            Sign::Bare => -20,
            // Three sizes in a row cannot be listened to.
            Sign::Figures => -30,
            // Heard once is enough.
            Sign::Repeated => -60,
            // Whoever listens waits for it, and it does not come.
            Sign::Announces => -60,
            // A listener sees no page.
            Sign::PointsAtPage => -60,
            // Which one? It was told another day, or not at all.
            Sign::PointsBack => -40,
            // Good to have at the bench; nobody wants to hear it in an armchair.
            Sign::Instructs => -40,
            // Who is that? The rest is not heard.
            Sign::Dangling => -50,
            // Advice that nobody paid for; last in line, not forbidden.
            Sign::Uncaused => -200,
            // Four words mean something only in their place.
            Sign::Scrap => -25,
            // Several sessions are a better story than all of one.
            Sign::Crowd => -6,
            // A dozen rules in a row is a lecture.
            Sign::MoreAdvice => -6,
        }
    }

    /// What is said of it in `--why`.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Sign::Setback => "setback",
            Sign::Turn => "how it ended",
            Sign::Find => "find",
            Sign::RichFind => "more than one find",
            Sign::Sequel => "what became of a find",
            Sign::Titled => "in the entry's title",
            Sign::Speech => "someone speaks",
            Sign::Company => "company",
            Sign::Lesson => "lesson",
            Sign::Order => "an order learned",
            Sign::Answered => "question answered",
            Sign::Replaced => "unit replaced or given up",
            Sign::Edge => "first or latest of its system",
            Sign::LongSession => "long session",
            Sign::Bare => "a bare fact",
            Sign::Figures => "many figures",
            Sign::Repeated => "said before",
            Sign::Announces => "only announces",
            Sign::PointsAtPage => "points at the written page",
            Sign::PointsBack => "points back at another day",
            Sign::Instructs => "instructions",
            Sign::Dangling => "begins with something not named",
            Sign::Uncaused => "no setback beside it",
            Sign::Scrap => "very short",
            Sign::Crowd => "stronger ones in the same entry",
            Sign::MoreAdvice => "stronger lessons elsewhere",
        }
    }
}

/// Words that tell of trouble; other forms of them count as well.
const SETBACK: &str = "accident bang bent blocked broke broken burnt collapse cracked damaged dead \
    died dropped failed failure fault faulty fell forgot fractured hurt jammed leak lost missing \
    mistake rot rotten scream seized sheared slipped smashed snapped split stuck stripped swore \
    torn tripped worn wrong";

/// Words that tell how trouble ended.
const TURN: &str = "completed finally fixed freed glad mended pleased proud ran relief repaired \
    solved success surprise worked works";

/// Words that tell of something discovered; one alone is mostly about
/// something else.
const FIND: &str = "behind beneath book chalk coin dated diary discovered discovery found heart hid \
    hidden hide initials inscription inside letter name newspaper nobody photograph receipt remains \
    scratched secret signed somebody stamped ticket underneath wrapped written";

/// Words that say what comes before what.
pub const ORDERS: [&str; 2] = ["after", "before"];

/// Words with which people speak.
const SPEECH: &str = "answered asked called laughed phoned rang replied said says shouted told";

/// Words for those who do.
pub const SPEAKERS: [&str; 3] = ["he", "she", "they"];

/// The lists, stemmed.
pub struct Lists {
    /// Trouble.
    pub setback: BTreeSet<String>,
    /// How it ended.
    pub turn: BTreeSet<String>,
    /// Discoveries.
    pub find: BTreeSet<String>,
    /// Speaking.
    pub speech: BTreeSet<String>,
}

impl Lists {
    /// Stems them.
    #[must_use]
    pub fn new() -> Lists {
        let stems = |list: &str| list.split_whitespace().map(stem).collect();
        Lists {
            setback: stems(SETBACK),
            turn: stems(TURN),
            find: stems(FIND),
            speech: stems(SPEECH),
        }
    }
}

impl Default for Lists {
    fn default() -> Lists {
        Lists::new()
    }
}

/// Whether a fact of a record tells of trouble by itself.
#[must_use]
pub fn is_setback(fact: &Fact) -> bool {
    if let Fact::Hardware(hardware) = fact {
        hardware.marks.iter().any(|mark| *mark != Mark::New)
    } else if let Fact::Status(status) = fact {
        *status == Status::Missing
    } else {
        matches!(fact, Fact::Short(_))
    }
}

/// Whether a fact says in which order to put things back.
#[must_use]
pub fn is_order(fact: &Fact) -> bool {
    matches!(fact, Fact::RefitAfter(_))
}

/// Whether a fact says that a unit was replaced or given up.
#[must_use]
pub fn is_replaced(fact: &Fact) -> bool {
    if let Fact::Status(status) = fact {
        *status == Status::Scrapped || *status == Status::Sold
    } else {
        matches!(fact, Fact::ReplacedBy(_))
    }
}
