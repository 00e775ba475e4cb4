//! The outline: every untold moment in the order of the work, those that the draft
//! tells ticked.
//!
//! How it is written as a sheet is in `presentation/recap/outline_sheet.rs`, how an
//! edited sheet is read in `edited_outline`.

use jiff::civil::Date;

use super::material::RecapSource;
use super::request::Surroundings;
use crate::entry::{Clip, Fact};

/// What there is to choose from.
#[derive(Clone, Debug)]
pub struct Outline {
    /// The vehicle's slug.
    pub vehicle: String,
    /// The vehicle's name.
    pub vehicle_name: String,
    /// The first and the last day.
    pub days: Option<(Date, Date)>,
    /// The length that was asked for.
    pub minutes: u32,
    /// How long the draft of the ticked moments takes, all told.
    pub seconds: u64,
    /// How much of that is said beside the moments.
    pub beside: u64,
    /// What that is.
    pub surroundings: Surroundings,
    /// The moments.
    pub rows: Vec<OutlineRow>,
}

impl Outline {
    /// Whether the draft tells all that is prose.
    #[must_use]
    pub fn is_all_ticked(&self) -> bool {
        self.rows.iter().all(|row| row.ticked || !row.is_prose)
    }
}

/// A moment in an outline.
#[derive(Clone, Debug)]
pub struct OutlineRow {
    /// Its short name.
    pub id: String,
    /// Its place among all, from 1.
    pub rank: usize,
    /// The line of its first sentence.
    pub line: u32,
    /// How long it takes to say.
    pub seconds: u64,
    /// Whether the draft tells it.
    pub ticked: bool,
    /// Whether it is prose, no fact.
    pub is_prose: bool,
    /// Whether the person marked it as worth telling.
    pub worth: bool,
    /// Whether its own words say that it is not for the film.
    pub held_back: bool,
    /// The ids of those it needs, as far as they are untold.
    pub needs: Vec<String>,
    /// All its words.
    pub text: String,
    /// Where it comes from.
    pub source: RecapSource,
}

impl OutlineRow {
    /// The part, as an episode names it; `None` for an entry's own words.
    #[must_use]
    pub fn part(&self) -> Option<&str> {
        (!self.source.is_session()).then_some(self.source.label.as_str())
    }

    /// The first clip of its record or entry.
    #[must_use]
    pub fn clip(&self) -> Option<&Clip> {
        self.source.facts.iter().find_map(|fact| {
            if let Fact::Footage(clip) = fact {
                Some(clip)
            } else {
                None
            }
        })
    }
}
