//! The state of one place: everything its own records say of it.
//!
//! It can be stored and read back; nothing in it depends on the day on which
//! it is looked at, nor on other places.

use jiff::civil::Date;
use serde::{Deserialize, Serialize};
use std::ops::Range;

use super::place::{PlaceKey, RecordTime};
use crate::entry::{Fate, Key, Need, ReplacementKind, Sent, Tool, UnitOrigin};
use crate::problem::{Problem, Spot};
use crate::vocabulary::cost::Cost;
use crate::vocabulary::hardware::Hardware;
use crate::vocabulary::hours::Minutes;
use crate::vocabulary::label::BagLabel;
use crate::vocabulary::money::Money;
use crate::vocabulary::position::Position;
use crate::vocabulary::reference::Reference;
use crate::vocabulary::status::{Status, Surface};
use crate::vocabulary::system_source::SystemSource;

/// One place with all that is known of it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct PlaceState {
    /// Which place it is.
    pub key: PlaceKey,
    /// The vehicle.
    pub vehicle: String,
    /// The part's name, as first written.
    pub name: String,
    /// The position.
    pub at: Position,
    /// Its system: one that was stated for it, else the first it took from an
    /// entry, else the usual one of parts of its name.
    pub system: Option<String>,
    /// Who says so.
    pub system_source: SystemSource,
    /// Whether a record speaks of it; a place that is only named in passing
    /// has none.
    pub recorded: bool,
    /// The units, oldest first; there is always one.
    pub units: Vec<Unit>,
    /// Its surface.
    pub surface: Option<Surface>,
    /// The shelf on which it is.
    pub stored: Option<String>,
    /// To whom it was sent, while it is away.
    pub sent: Option<Sent>,
    /// The moments at which it went on the vehicle.
    pub went_on: Vec<RecordTime>,
    /// The bags its hardware was said to be in, emptied ones too.
    pub bagged: Vec<Bagged>,
    /// The pieces that hold it.
    pub hardware: Vec<Pieces>,
    /// What remained or was missing at refit.
    pub counted: Vec<Counted>,
    /// Open and closed connections.
    pub connections: Vec<Link>,
    /// Orders and assemblies it names.
    pub relations: Vec<Relation>,
    /// Systems or parts that wait for its surface.
    pub holds_up: Vec<Reference>,
    /// Work and purchases.
    pub needs: Vec<NeedState>,
    /// How many of these needs were written when someone last said that the part
    /// is ready, as long as that holds: it was said in spite of them.
    pub ready_with: Option<usize>,
    /// Questions.
    pub questions: Vec<QuestionState>,
    /// Money spent on the place, that inside `replaced by` included.
    pub costs: Vec<Spent>,
    /// Time said in its own sections.
    pub hours: Vec<Dated<Minutes>>,
    /// What to do differently.
    pub lessons: Vec<Dated<String>>,
    /// What can hurt someone.
    pub cautions: Vec<Dated<String>>,
    /// Book and page.
    pub manuals: Vec<Dated<String>>,
    /// Recorded torques.
    pub torques: Vec<Dated<String>>,
    /// Tools.
    pub tools: Vec<Dated<Tool>>,
    /// Pictures.
    pub photos: Vec<Dated<String>>,
    /// Part, casting, date codes.
    pub numbers: Vec<Dated<String>>,
    /// Conditions as found.
    pub found: Vec<Dated<String>>,
    /// How many people it takes.
    pub hands: Option<u32>,
    /// Its timeline.
    pub timeline: Vec<TimelineStep>,
    /// What could not be folded.
    pub problems: Vec<Problem>,
}

/// A value with the record that said it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Dated<T> {
    /// What was said.
    pub value: T,
    /// The day.
    pub date: Date,
    /// Where.
    pub spot: Spot,
}

/// A value with the day and the place of its record.
pub(super) fn dated<T: Clone>(value: &T, date: Date, spot: &Spot) -> Dated<T> {
    Dated {
        value: value.clone(),
        date,
        spot: spot.clone(),
    }
}

/// Money spent on a place, or come back.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Spent {
    /// How much, for what.
    pub cost: Cost,
    /// The unit that it bought; `None` for all other money.
    pub unit: Option<u32>,
    /// The day.
    pub date: Date,
    /// Where that is said.
    pub spot: Spot,
}

/// The physical thing in a place.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Unit {
    /// 1 came with the vehicle.
    pub number: u32,
    /// Where it stands; `None` for a new one that is at hand and was never
    /// spoken of since.
    pub status: Option<Status>,
    /// Whether its status was said by a record of its own, not taken from an
    /// entry's front matter.
    pub said: bool,
    /// Whether no record ever gave it a status.
    pub silent: bool,
    /// The day it was first fitted, or came in; `None` for unit 1.
    pub from: Option<Date>,
    /// The day it was given up.
    pub until: Option<Date>,
    /// Whether it was ever on the vehicle.
    pub was_on: bool,
    /// What was written behind `replaced by`.
    pub what: String,
    /// Its kind.
    pub kind: Option<ReplacementKind>,
    /// Its number.
    pub code: Option<String>,
    /// Where it came from.
    pub source: Option<UnitOrigin>,
    /// What it cost.
    pub cost: Option<Money>,
    /// What became of it.
    pub fate: Option<Fate>,
    /// The place it moved to.
    pub moved_to: Option<String>,
    /// The record that brought it; `None` for unit 1.
    pub brought: Option<Spot>,
}

/// Pieces of hardware that hold the part.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Pieces {
    /// Which.
    pub hardware: Hardware,
    /// The bag they are in.
    pub bag: Option<BagLabel>,
    /// The day they came off.
    pub date: Date,
    /// Where that is said.
    pub spot: Spot,
    /// When they went into the bag; for pieces without one, when they were
    /// written down.
    pub kept: RecordTime,
    /// The bag section that counts the same pieces once more, so that they
    /// count there and not here.
    pub counted_in: Option<Spot>,
    /// When they were used again; of pieces to be bought, when others took
    /// their place.
    pub used: Option<RecordTime>,
}

/// A bag that the place's hardware was said to be in.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Bagged {
    /// The bag.
    pub bag: BagLabel,
    /// When it was said.
    pub when: RecordTime,
    /// Where it is said.
    pub spot: Spot,
    /// When the place took its hardware out again.
    pub emptied: Option<RecordTime>,
    /// The section about the bag as a whole, if that is what said it.
    pub section: Option<Box<InSection>>,
}

/// What a section about a whole bag says, as far as one of its parts needs to
/// know. Long lists are cut: whoever wants all of it asks the ledger.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct InSection {
    /// Where its heading stands.
    pub spot: Spot,
    /// The pieces in it, for all of its parts together.
    pub hardware: Vec<Hardware>,
    /// Its parts, this one included, as written.
    pub holds: Vec<Reference>,
}

/// A count at refit.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Counted {
    /// Whether they remained (`leftover`) rather than were missing (`short`).
    pub left: bool,
    /// Which pieces.
    pub hardware: Hardware,
    /// When.
    pub when: RecordTime,
    /// Where that is said.
    pub spot: Spot,
    /// The day on which missing ones were there after all.
    pub closed: Option<Date>,
}

/// A connection.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Link {
    /// The wire, hose, cable.
    pub what: Reference,
    /// Where it goes.
    pub to: Option<Reference>,
    /// Whether it is still open.
    pub open: bool,
    /// Where that is said.
    pub spot: Spot,
    /// The day.
    pub date: Date,
}

/// A relation to another part.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Relation {
    /// `after`, `off after`, `refit after` or `of`.
    pub key: Key,
    /// The other part.
    pub part: Reference,
    /// The day.
    pub date: Date,
    /// Where that is said.
    pub spot: Spot,
    /// The number of the moment in the place's timeline that says it.
    pub moment: usize,
}

/// A need with its fate.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct NeedState {
    /// What, by when.
    pub need: Need,
    /// The unit it is about.
    pub unit: u32,
    /// The day it was written.
    pub since: Date,
    /// Where.
    pub spot: Spot,
    /// The day it was closed.
    pub closed: Option<Date>,
    /// The words of the `done` that closed it, if one did.
    pub done: Option<Dated<String>>,
}

/// A question with its answer.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct QuestionState {
    /// The question.
    pub text: String,
    /// The day it was asked.
    pub since: Date,
    /// Where.
    pub spot: Spot,
    /// The answer with its day.
    pub answer: Option<(String, Date)>,
}

/// One step of a timeline.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct TimelineStep {
    /// When, among all moments.
    pub when: RecordTime,
    /// Where the record stands.
    pub spot: Spot,
    /// The unit that was in place afterwards.
    pub unit: u32,
    /// The status afterwards.
    pub status: Option<Status>,
    /// Key and words of each fact.
    pub facts: Vec<(String, String)>,
    /// The bytes of the prose in the entry.
    pub prose: Range<u32>,
}

impl PlaceState {
    /// The unit in the place now.
    #[must_use]
    pub fn unit(&self) -> &Unit {
        // There is always one: `new` makes the first, and none is ever taken away.
        &self.units[self.units.len() - 1]
    }

    /// The status word of the place: that of its unit, "at hand" for a new
    /// unit without records yet.
    #[must_use]
    pub fn status_word(&self) -> &'static str {
        self.unit().status.map_or("at hand", Status::word)
    }

    /// Its system for a person, marked where nobody said it.
    #[must_use]
    pub fn system_words(&self) -> Option<String> {
        let system = self.system.as_deref()?;
        Some(self.system_source.mark(system))
    }

    /// Whether it has a system that nobody said.
    #[must_use]
    pub fn system_is_assumed(&self) -> bool {
        self.system.is_some() && self.system_source == SystemSource::Assumed
    }

    /// Whether the part is on the vehicle.
    #[must_use]
    pub fn is_on(&self) -> bool {
        self.unit().status.is_some_and(Status::is_on)
    }

    /// Whether its unit is off, here, and nothing is open on it: ready to go
    /// back, whether or not someone said so.
    #[must_use]
    pub fn is_ready(&self) -> bool {
        match self.unit().status {
            None | Some(Status::Ready | Status::Removed) => self.holding_needs().next().is_none(),
            Some(
                Status::Fitted
                | Status::Loose
                | Status::Undone
                | Status::Apart
                | Status::Out
                | Status::LeftOff
                | Status::Replaced
                | Status::Scrapped
                | Status::Sold
                | Status::Missing,
            ) => false,
        }
    }

    /// Whether no record ever gave it a status: such a piece follows its
    /// assembly.
    #[must_use]
    pub fn is_silent(&self) -> bool {
        self.unit().number == 1 && self.units.iter().all(|unit| unit.silent)
    }

    /// Whether it had gone on the vehicle by then, at least once.
    #[must_use]
    pub fn on_by(&self, when: &RecordTime) -> bool {
        self.went_on.iter().any(|on| on <= when)
    }

    /// When it first went on the vehicle after `when`.
    #[must_use]
    pub fn on_after(&self, when: &RecordTime) -> Option<&RecordTime> {
        self.went_on.iter().find(|on| *on > when)
    }

    /// The needs that are still open.
    pub fn open_needs(&self) -> impl Iterator<Item = &NeedState> {
        self.needs.iter().filter(|need| need.closed.is_none())
    }

    /// The open needs that keep the part from going on: whoever says that it is
    /// ready says so of all that was written until then.
    pub fn holding_needs(&self) -> impl Iterator<Item = &NeedState> {
        let later = &self.needs[self.ready_with.unwrap_or(0).min(self.needs.len())..];
        later.iter().filter(|need| need.closed.is_none())
    }

    /// Name and position as they are written: "wheel cylinder, left front".
    #[must_use]
    pub fn label(&self) -> String {
        if self.at.is_empty() {
            self.name.clone()
        } else {
            format!("{}, {}", self.name, self.at)
        }
    }

    /// The state as bytes, to be kept in an index.
    #[must_use]
    pub fn to_bytes(&self) -> Vec<u8> {
        // Writing plain values into memory cannot fail.
        postcard::to_stdvec(self).unwrap_or_default()
    }

    /// The state from such bytes; `None` for any others.
    #[must_use]
    pub fn from_bytes(bytes: &[u8]) -> Option<PlaceState> {
        let state: PlaceState = postcard::from_bytes(bytes).ok()?;
        (!state.units.is_empty()).then_some(state)
    }
}
