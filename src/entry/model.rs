//! What an entry is once it has been read.

use std::ops::Range;

use jiff::civil::{Date, Time};
use serde::{Deserialize, Serialize};

use super::fact::Fact;
use super::outline::Section;
use super::stated::Stated;
use crate::problem::Spot;
use crate::vocabulary::hardware::Hardware;
use crate::vocabulary::label::BagLabel;
use crate::vocabulary::name::Name;
use crate::vocabulary::position::Position;
use crate::vocabulary::reference::Reference;
use crate::vocabulary::status::Status;

/// An entry: the text, and what it says.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Entry {
    /// Its file, inside the journal, with `/` between folders; empty while it
    /// has none.
    pub path: String,
    /// The text as it stands on disk; nothing of it is ever dropped.
    pub text: String,
    /// The bytes of the front matter, with its `---` lines.
    pub front: Range<usize>,
    /// The sections below it, side by side up to the end of the text.
    pub outline: Vec<Section>,
    /// When it happened in the shop.
    pub date: Option<Date>,
    /// At which hour.
    pub time: Option<Time>,
    /// Which vehicle it is about.
    pub vehicle: Option<String>,
    /// The system of the session as a whole.
    pub system: Option<String>,
    /// Its title.
    pub title: Option<String>,
    /// Who helped.
    pub helpers: Vec<String>,
    /// What the front matter says of the session as a whole: hours, costs,
    /// lessons, cautions, tools, photos, footage.
    pub facts: Vec<Stated>,
    /// What it says about parts, in the order of the text.
    pub records: Vec<Record>,
    /// What it says about bags as a whole.
    pub bags: Vec<BagFilling>,
    /// Everything else: prose of the entry.
    pub prose: Vec<Passage>,
    /// Headings without facts: notes, if they name a known part.
    pub bare_headings: Vec<(String, Spot)>,
}

/// What one entry says about one part: facts and the prose with them.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Record {
    /// The part.
    pub name: Name,
    /// Where it sits; several where the section speaks of several places at
    /// once, none where there is only one such part.
    pub at: Vec<Position>,
    /// The vehicle, if one is known.
    pub vehicle: Option<String>,
    /// The day, if one is known.
    pub date: Option<Date>,
    /// The system, and whether it was taken from above.
    pub system: Option<(String, bool)>,
    /// The usual system of parts of this name at each of its places; empty where a
    /// system was said.
    pub usual_systems: Vec<Option<String>>,
    /// The status of the front matter, if the record does not take it over because
    /// nothing in it shows that the part came off.
    pub status_not_taken: Option<Status>,
    /// The facts, inherited ones first.
    pub facts: Vec<Stated>,
    /// The passage of the text that holds it, heading included.
    pub passage: Passage,
    /// Where its heading, or its name in a short form, stands.
    pub spot: Spot,
    /// Whether it is one of several parts in a short form.
    pub short: Option<(usize, usize)>,
}

/// A stretch of an entry's text.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Passage {
    /// Its heading, without marks.
    pub title: String,
    /// Its bytes.
    pub bytes: Range<usize>,
    /// Where its prose begins, behind heading and facts.
    pub prose: usize,
    /// Its first line, from 1.
    pub line: u32,
}

/// A section `## Bag 12`.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct BagFilling {
    /// The label.
    pub label: BagLabel,
    /// The vehicle, if one is known.
    pub vehicle: Option<String>,
    /// The day, if one is known.
    pub date: Option<Date>,
    /// The parts whose hardware went in.
    pub holds: Vec<(Reference, Spot)>,
    /// What went in.
    pub hardware: Vec<(Hardware, Spot)>,
    /// The shelf.
    pub stored: Option<String>,
    /// The passage.
    pub passage: Passage,
    /// Where its heading stands.
    pub spot: Spot,
}

impl Entry {
    /// The prose, records and bag sections in one: every passage of the text
    /// that stands for itself.
    #[must_use]
    pub fn passage_text(&self, passage: &Passage) -> &str {
        self.text.get(passage.bytes.clone()).unwrap_or_default()
    }

    /// Whether something in it counts for no answer about parts, bags or sums,
    /// because no day or no vehicle of the journal was said.
    #[must_use]
    pub fn is_uncounted(&self) -> bool {
        let lacks =
            |date: Option<Date>, vehicle: &Option<String>| date.is_none() || vehicle.is_none();
        let of_records = self.records.iter().any(|one| lacks(one.date, &one.vehicle));
        let of_bags = self.bags.iter().any(|one| lacks(one.date, &one.vehicle));
        of_records || of_bags || (!self.facts.is_empty() && lacks(self.date, &self.vehicle))
    }

    /// The prose of a passage, without heading and facts.
    #[must_use]
    pub fn prose_text(&self, passage: &Passage) -> &str {
        let start = passage.prose.clamp(passage.bytes.start, passage.bytes.end);
        self.text
            .get(start..passage.bytes.end)
            .unwrap_or_default()
            .trim()
    }
}

impl Record {
    /// The part with its places, as an episode names it: "Brake drum, left rear
    /// and right rear".
    #[must_use]
    pub fn label(&self) -> String {
        let places: Vec<String> = self.at.iter().map(ToString::to_string).collect();
        let places = places.join(" and ");
        if places.is_empty() {
            self.name.written().to_owned()
        } else {
            format!("{}, {places}", self.name.written())
        }
    }

    /// The status it states, and whether that was taken from the front matter.
    #[must_use]
    pub fn status(&self) -> Option<(Status, bool)> {
        self.facts.iter().find_map(|stated| {
            if let Fact::Status(status) = stated.fact {
                Some((status, stated.inherited))
            } else {
                None
            }
        })
    }
}
