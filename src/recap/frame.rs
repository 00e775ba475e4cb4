//! What a draft says besides chosen sentences: which days and sessions, the
//! figures, what comes next.
//!
//! Every figure is a report's, so that it equals what the verb of that report
//! prints. Nothing is computed a second time here.

use std::collections::BTreeSet;

use jiff::civil::Date;

use super::draft::{Chapter, Line, Origin, Paragraph, Part};
use super::next::next;
use super::numbers::numbers;
use super::often::Often;
use super::sentences::{sentences, spoken_words};
use super::speech::{full_stop, in_full};
use crate::entry::{Context, Entry};
use crate::ledger::{Ledger, PlaceState};
use crate::reports::cautions::SAFETY;
use crate::reports::needs::Open;

/// The words around the chosen ones.
#[derive(Clone, Debug, Default)]
pub struct Frame {
    /// The vehicle's slug.
    pub vehicle: String,
    /// The vehicle's name.
    pub vehicle_name: String,
    /// The first and the last day that is told of.
    pub days: Option<(Date, Date)>,
    /// Words said in a minute.
    pub pace: u32,
    /// Which vehicle, which days, how many sessions.
    pub about: Vec<Paragraph>,
    /// The figures.
    pub numbers: Vec<Paragraph>,
    /// Whose word comes before any caution here.
    pub precedence: Option<Paragraph>,
    /// What comes next.
    pub next: Vec<Paragraph>,
}

impl Frame {
    /// A chapter of paragraphs that are here already.
    #[must_use]
    pub fn chapter(&self, part: Part, paragraphs: &[Paragraph]) -> Chapter {
        Chapter {
            part,
            title: part.title().to_owned(),
            paragraphs: paragraphs.to_vec(),
            written: Vec::new(),
            photos: Vec::new(),
        }
    }
}

/// What a frame is made for.
#[derive(Clone, Debug)]
pub struct Extent<'e> {
    /// The vehicle's slug.
    pub vehicle: &'e str,
    /// The vehicle's name.
    pub vehicle_name: &'e str,
    /// The first paragraph of the vehicle's page, and where it stands.
    pub vehicle_about: Option<(&'e str, Origin)>,
    /// Only this system.
    pub system: Option<&'e str>,
    /// The first and the last day.
    pub days: Option<(Date, Date)>,
    /// The day at whose end the figures are taken.
    pub as_of: Date,
    /// The part that was asked about, as it was typed.
    pub part: Option<&'e str>,
    /// Only these parts, by vehicle and label.
    pub parts: Option<&'e BTreeSet<(String, String)>>,
    /// All entries.
    pub entries: &'e [Entry],
    /// With what they are read.
    pub context: &'e Context,
    /// How many entries tell of these days.
    pub sessions: usize,
    /// What short notes say again and again.
    pub often: Vec<Often>,
    /// Words said in a minute.
    pub pace: u32,
    /// How many things to name where many could be.
    pub most: usize,
}

impl Extent<'_> {
    /// Whether a place is asked about.
    #[must_use]
    pub fn has(&self, state: &PlaceState) -> bool {
        state.vehicle == self.vehicle
            && self
                .system
                .is_none_or(|system| state.system.as_deref() == Some(system))
            && self
                .parts
                .is_none_or(|parts| parts.contains(&(state.vehicle.clone(), state.label())))
    }

    /// Whether a need is of what is asked about.
    #[must_use]
    pub fn has_need(&self, need: &Open) -> bool {
        need.vehicle.as_deref() == Some(self.vehicle)
            && self
                .system
                .is_none_or(|system| need.system.as_deref() == Some(system))
            && self.parts.is_none_or(|parts| {
                let own = need.vehicle.clone().zip(need.label());
                own.is_some_and(|own| parts.contains(&own))
            })
    }

    /// What is asked about, as options of a verb.
    #[must_use]
    pub fn which(&self) -> String {
        let mut options = format!("--vehicle {}", self.vehicle);
        if let Some(system) = self.system {
            options.push_str(&format!(" --system \"{system}\""));
        }
        if let Some(part) = self.part {
            options.push_str(&format!(" --part \"{part}\""));
        }
        options
    }

    /// The same with the days.
    #[must_use]
    pub fn which_days(&self) -> String {
        let mut options = self.which();
        if let Some((first, last)) = self.days {
            options.push_str(&format!(" --since {first} --until {last}"));
        }
        options
    }
}

/// The frame for these days, from the ledger at the end of its day.
#[must_use]
pub fn frame(extent: &Extent<'_>, ledger: &Ledger) -> Frame {
    Frame {
        vehicle: extent.vehicle.to_owned(),
        vehicle_name: extent.vehicle_name.to_owned(),
        days: extent.days,
        pace: extent.pace,
        about: about(extent).into_iter().collect(),
        numbers: numbers(extent, ledger),
        precedence: Some(statement(SAFETY, Origin::House)),
        next: next(extent, ledger),
    }
}

/// A paragraph of one figure; `question` is the verb that answers the same.
pub(super) fn figure(text: &str, question: &str) -> Paragraph {
    statement(text, Origin::Report(question.to_owned()))
}

fn statement(text: &str, origin: Origin) -> Paragraph {
    Paragraph {
        lead: None,
        lines: vec![Line {
            before: String::new(),
            text: text.to_owned(),
            after: "",
            origin,
            why: "said in every draft".to_owned(),
        }],
        is_item: false,
    }
}

fn about(extent: &Extent<'_>) -> Option<Paragraph> {
    let (first, last) = extent.days?;
    let days = if first == last {
        format!("on {}", in_full(first))
    } else {
        format!("from {} to {}", in_full(first), in_full(last))
    };
    let sessions = match extent.sessions {
        1 => "1 session".to_owned(),
        count => format!("{count} sessions"),
    };
    let what = match extent.system {
        Some(system) => format!("{}, {system}", extent.vehicle_name),
        None => extent.vehicle_name.to_owned(),
    };
    let words = format!("{what}, {days}: {sessions}.");
    let mut about = statement(&words, Origin::House);
    if let Some((text, origin)) = &extent.vehicle_about {
        about.lines.extend(introduction(text).map(|sentence| Line {
            text: sentence.to_owned(),
            after: full_stop(sentence),
            why: "what the vehicle is".to_owned(),
            origin: origin.clone(),
            before: String::new(),
        }));
    }
    Some(about)
}

/// The first sentence, if it can be said in one breath.
fn introduction(text: &str) -> Option<&str> {
    let (_, first) = sentences(text).into_iter().next()?;
    (spoken_words(first) <= BREATH).then_some(first)
}

/// So many words can be said in one breath.
const BREATH: usize = 40;
