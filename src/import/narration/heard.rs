//! What was heard in a narration: the values that the other stages make.
//!
//! How they are worked out, written as a sheet or made into an entry, is elsewhere.

use super::cues::Cue;
use crate::vocabulary::position::Side;

/// What is said of a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum HeardKind {
    /// It came off.
    Removed,
    /// It was undone and stays in place.
    Undone,
    /// It went on.
    Fitted,
    /// In which condition it was.
    Found,
    /// What it needs.
    Needs,
    /// It broke.
    Broken,
    /// It was cut.
    Cut,
    /// Something was done to it.
    Treated,
    /// Where it lies.
    Stored,
    /// What can hurt.
    Caution,
    /// What to do differently.
    Lesson,
}

impl HeardKind {
    /// All kinds.
    pub const ALL: [HeardKind; 11] = [
        HeardKind::Removed,
        HeardKind::Undone,
        HeardKind::Fitted,
        HeardKind::Found,
        HeardKind::Needs,
        HeardKind::Broken,
        HeardKind::Cut,
        HeardKind::Treated,
        HeardKind::Stored,
        HeardKind::Caution,
        HeardKind::Lesson,
    ];

    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            HeardKind::Removed => "removed",
            HeardKind::Undone => "undone",
            HeardKind::Fitted => "fitted",
            HeardKind::Found => "found",
            HeardKind::Needs => "needs",
            HeardKind::Broken => "broken",
            HeardKind::Cut => "cut",
            HeardKind::Treated => "treated",
            HeardKind::Stored => "stored",
            HeardKind::Caution => "caution",
            HeardKind::Lesson => "lesson",
        }
    }

    /// Whether it takes a part off or undoes it.
    #[must_use]
    pub const fn is_off(self) -> bool {
        matches!(self, HeardKind::Removed | HeardKind::Undone)
    }
}

/// How sure a line is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Tier {
    /// Stated expressly.
    Sure,
    /// Inferred: ticked, and to be looked at.
    Inferred,
    /// A line to tick.
    Asked,
}

/// Hardware that was counted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HeardPieces {
    /// How many.
    pub count: u32,
    /// What: "pinch bolt".
    pub what: String,
    /// The size as it was said, if it was.
    pub size: Option<String>,
    /// The bag, if one was named.
    pub bag: Option<String>,
}

/// Something that was heard of a part.
#[derive(Clone, Debug)]
pub struct Heard {
    /// What.
    pub kind: HeardKind,
    /// The part as it was named.
    pub part: String,
    /// On which sides, in the order in which they are said.
    pub at: Vec<Side>,
    /// When the cue begins, in milliseconds.
    pub start: u32,
    /// The narrated words behind it.
    pub words: String,
    /// What it is about it: "cracked".
    pub detail: Option<String>,
    /// What it was undone from.
    pub to: Option<String>,
    /// Where it lies.
    pub place: Option<String>,
    /// What held it.
    pub hardware: Vec<HeardPieces>,
    /// How sure it is.
    pub tier: Tier,
    /// The clause it was heard in.
    pub clause: usize,
    /// Whether the journal has no part of this name.
    pub is_new: bool,
}

/// One part that had to come off before another.
#[derive(Clone, Debug)]
pub struct HeardOrder {
    /// What came first.
    pub first: String,
    /// On which sides.
    pub first_at: Vec<Side>,
    /// What came later.
    pub part: String,
    /// On which sides.
    pub at: Vec<Side>,
    /// When the cue begins, in milliseconds.
    pub start: u32,
    /// The narrated words.
    pub words: String,
}

/// Something that was spoken of and did not happen.
#[derive(Clone, Debug)]
pub struct LeftOutLine {
    /// When the cue begins, in milliseconds.
    pub start: u32,
    /// What was spoken of.
    pub kind: HeardKind,
    /// The part.
    pub part: String,
    /// On which sides.
    pub at: Vec<Side>,
    /// The narrated words.
    pub words: String,
    /// Why it is left out.
    pub why: &'static str,
}

/// All that was heard.
#[derive(Clone, Debug, Default)]
pub struct Narration {
    /// The cues.
    pub cues: Vec<Cue>,
    /// What was heard, in the order of its times.
    pub heard: Vec<Heard>,
    /// Orders.
    pub orders: Vec<HeardOrder>,
    /// What did not happen.
    pub left_out: Vec<LeftOutLine>,
}

/// Sides as an entry writes them: "left front".
#[must_use]
pub fn sides_in_words(sides: &[Side]) -> String {
    let mut words: Vec<&str> = Vec::new();
    let order = [
        Side::Left,
        Side::Right,
        Side::Centre,
        Side::Front,
        Side::Rear,
        Side::Upper,
        Side::Lower,
        Side::Inner,
        Side::Outer,
    ];
    for side in order {
        if sides.contains(&side) {
            words.push(side.word());
        }
    }
    words.join(" ")
}
