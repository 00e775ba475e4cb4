//! What one fact says, once its key and value are understood.

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use super::telling::Telling;
use crate::vocabulary::cost::Cost;
use crate::vocabulary::hardware::Hardware;
use crate::vocabulary::hours::Minutes;
use crate::vocabulary::label::BagLabel;
use crate::vocabulary::reference::Reference;
use crate::vocabulary::status::{Status, StatusWord, Surface};

/// What a fact says.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Fact {
    /// Where the part stands from now on.
    Status(Status),
    /// Its surface from now on.
    Surface(Surface),
    /// The systems or parts that wait for this area's surface.
    HoldsUp(Reference),
    /// Had to come off before: goes back after.
    After(Reference),
    /// Had to come off before; says nothing about the way back.
    OffAfter(Reference),
    /// Goes back after this.
    RefitAfter(Reference),
    /// A connection that was opened.
    Undone(Connection),
    /// How many people it takes.
    Hands(u32),
    /// The assembly this is a piece of.
    Of(Reference),
    /// Nuts, bolts, pins, clips.
    Hardware(Hardware),
    /// Pieces that remained at refit.
    Leftover(Hardware),
    /// Pieces that were missing at refit.
    Short(Hardware),
    /// The bag of the part's hardware.
    Bag(BagLabel),
    /// A part whose hardware is in a bag (bag sections only).
    Holds(Reference),
    /// The shelf.
    Stored(String),
    /// Sent away.
    SentTo(Sent),
    /// Condition as found.
    Found(String),
    /// Work or a purchase still open.
    Needs(Need),
    /// Work done.
    Done(String),
    /// Another unit takes this one's place.
    ReplacedBy(Box<Replacement>),
    /// Something to find out.
    Question(String),
    /// Found out.
    Answer(String),
    /// Money spent or come back.
    Cost(Cost),
    /// Time spent.
    Hours(Minutes),
    /// A torque with its source, as written.
    Torque(String),
    /// Book and page.
    Manual(String),
    /// A tool, with the day it must go back.
    Tool(Tool),
    /// A picture's path.
    Photo(String),
    /// A clip of film.
    Footage(Clip),
    /// What to do differently.
    Lesson(String),
    /// What can hurt someone.
    Caution(String),
    /// Whether it may and should be told.
    Tell(Telling),
    /// Who must agree before it is told.
    Ask(String),
    /// A part, casting or date code.
    Number(String),
    /// Another name for the part.
    Also(String),
    /// The system the part belongs to.
    System(String),
    /// An unknown key; kept and searched.
    Unknown(String),
}

impl From<StatusWord> for Fact {
    fn from(word: StatusWord) -> Fact {
        match word {
            StatusWord::Standing(status) => Fact::Status(status),
            StatusWord::Surface(surface) => Fact::Surface(surface),
            StatusWord::Work(work) => Fact::Done(work),
        }
    }
}

impl Fact {
    /// The bag that this fact names.
    #[must_use]
    pub fn bag(&self) -> Option<&BagLabel> {
        if let Fact::Bag(label) = self {
            Some(label)
        } else if let Fact::Hardware(hardware) = self {
            hardware.bag.as_ref()
        } else {
            None
        }
    }
}

/// A connection that was opened: what, and to where.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Connection {
    /// The wire, hose or cable.
    pub what: Reference,
    /// The part at its other end, where one was named.
    pub to: Option<Reference>,
}

/// Work or a purchase.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Need {
    /// What, without the day.
    pub text: String,
    /// The day by which.
    pub by: Option<Date>,
}

impl Need {
    /// Whether it is something to buy.
    #[must_use]
    pub fn is_purchase(&self) -> bool {
        crate::vocabulary::words::words(&self.text)
            .next()
            .is_some_and(|word| word == "buy" || word == "order")
    }
}

/// A part sent away.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Sent {
    /// To whom.
    pub to: String,
    /// The day it should be back.
    pub back_by: Option<Date>,
}

/// A tool, and when it has to go back.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Tool {
    /// Which.
    pub name: String,
    /// When it goes back, if it is borrowed or hired.
    pub back: Option<Return>,
}

/// When a tool has to go back.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Return {
    /// By that day.
    By(Date),
    /// Within so many days of the entry's date.
    Within(u32),
    /// It went back.
    Went,
}

/// A clip of film with times in it, in seconds.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Clip {
    /// The clip's name.
    pub name: String,
    /// Where it begins, if said.
    pub from: Option<u32>,
    /// Where it ends, if said.
    pub until: Option<u32>,
}

/// What kind of unit takes the old one's place.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum ReplacementKind {
    /// Made at the time, never fitted.
    NewOldStock,
    /// Made today after the old one.
    Reproduction,
    /// From another vehicle.
    Used,
    /// Reconditioned.
    Rebuilt,
    /// Made for this vehicle.
    Made,
}

impl ReplacementKind {
    /// All of them.
    pub const ALL: [ReplacementKind; 5] = [
        ReplacementKind::NewOldStock,
        ReplacementKind::Reproduction,
        ReplacementKind::Used,
        ReplacementKind::Rebuilt,
        ReplacementKind::Made,
    ];

    /// The words for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            ReplacementKind::NewOldStock => "new old stock",
            ReplacementKind::Reproduction => "reproduction",
            ReplacementKind::Used => "used",
            ReplacementKind::Rebuilt => "rebuilt",
            ReplacementKind::Made => "made",
        }
    }
}

/// What became of the unit that was replaced.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Fate {
    /// On a shelf.
    Kept,
    /// Thrown away.
    Scrapped,
    /// Sold.
    Sold,
    /// Given in exchange for the new one.
    ReturnedAsCore,
}

impl Fate {
    /// All of them.
    pub const ALL: [Fate; 4] = [Fate::Kept, Fate::Scrapped, Fate::Sold, Fate::ReturnedAsCore];

    /// The words for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Fate::Kept => "kept",
            Fate::Scrapped => "scrapped",
            Fate::Sold => "sold",
            Fate::ReturnedAsCore => "returned as core",
        }
    }
}

/// Another unit in the place of the old one.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Replacement {
    /// What was written behind `replaced by`, if more than the kind.
    pub what: String,
    /// Its kind.
    pub kind: Option<ReplacementKind>,
    /// Its number.
    pub number: Option<String>,
    /// Where it came from.
    pub from: Option<UnitOrigin>,
    /// What it cost.
    pub cost: Option<Cost>,
    /// What became of the old one.
    pub old: Option<Fate>,
}

/// Where a unit came from.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum UnitOrigin {
    /// A person, a market, a shop; as written.
    Someone(String),
    /// A place on another vehicle of this journal.
    Donor {
        /// That vehicle.
        vehicle: String,
        /// The place on it.
        part: Reference,
    },
}
