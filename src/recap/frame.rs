//! What a draft says besides chosen sentences: which days and sessions, the
//! figures, what comes next.
//!
//! Every figure is a report's, so that it equals what the verb of that report
//! prints. Nothing is computed a second time here.

use jiff::civil::Date;

use super::draft::{Chapter, ChapterRole, DraftParagraph, Line, StatementOrigin};
use super::next::next;
use super::numbers::numbers;
use super::stock::Request;
use crate::entry::{Context, Entry};
use crate::entry::{sentences, spoken_words};
use crate::ledger::{Ledger, PlaceState};
use crate::reports::cautions::SAFETY;
use crate::reports::needs::OpenNeed;
use crate::reports::spending::Posting;
use crate::vocabulary::spoken::{full_stop, in_full};
use crate::vocabulary::words::fold;

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
    pub about: Vec<DraftParagraph>,
    /// The figures.
    pub numbers: Vec<DraftParagraph>,
    /// Whose word comes before any caution here.
    pub precedence: Option<DraftParagraph>,
    /// What comes next.
    pub next: Vec<DraftParagraph>,
}

impl Frame {
    /// A chapter of paragraphs that are here already.
    #[must_use]
    pub fn chapter(&self, part: ChapterRole, paragraphs: &[DraftParagraph]) -> Chapter {
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
pub struct Extent<'e> {
    /// What was asked.
    pub request: &'e Request<'e>,
    /// All entries.
    pub entries: &'e [Entry],
    /// With what they are read.
    pub context: &'e Context,
    /// The first and the last day.
    pub days: Option<(Date, Date)>,
    /// How many entries tell of these days.
    pub sessions: usize,
    /// How many things to name where many could be.
    pub most: usize,
}

impl Extent<'_> {
    /// Whether something of this vehicle, system and part is asked about.
    fn names(
        &self,
        vehicle: &str,
        system: Option<&str>,
        label: impl Fn() -> Option<String>,
    ) -> bool {
        let Request {
            system: wanted,
            parts,
            ..
        } = self.request;
        vehicle == self.request.vehicle
            && wanted.is_none_or(|wanted| system.is_some_and(|own| fold(own) == fold(wanted)))
            && parts.is_none_or(|parts| {
                label().is_some_and(|label| parts.contains(&(vehicle.to_owned(), label)))
            })
    }

    /// Whether a place is asked about.
    #[must_use]
    pub fn has(&self, state: &PlaceState) -> bool {
        self.names(&state.vehicle, state.system.as_deref(), || {
            Some(state.label())
        })
    }

    /// Whether a need is of what is asked about.
    #[must_use]
    pub fn has_need(&self, need: &OpenNeed) -> bool {
        let vehicle = need.vehicle.as_deref().unwrap_or_default();
        self.names(vehicle, need.system.as_deref(), || need.label())
    }

    /// Whether time or money is of what is asked about, and of these days.
    #[must_use]
    pub fn has_posting(&self, posting: &Posting) -> bool {
        let vehicle = posting.vehicle.as_deref().unwrap_or_default();
        let is_within = |date: Date| {
            self.days
                .is_some_and(|(first, last)| date >= first && date <= last)
        };
        posting.date.is_some_and(is_within)
            && self.names(vehicle, posting.system.as_deref(), || posting.part.clone())
    }

    /// What is asked about, as options of a verb.
    #[must_use]
    pub fn which(&self) -> String {
        let mut options = format!("--vehicle {}", self.request.vehicle);
        if let Some(system) = self.request.system {
            options.push_str(&format!(" --system \"{system}\""));
        }
        if let Some(part) = self.request.part {
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
        vehicle: extent.request.vehicle.to_owned(),
        vehicle_name: extent.request.vehicle_name.to_owned(),
        days: extent.days,
        pace: extent.request.pace,
        about: about(extent).into_iter().collect(),
        numbers: numbers(extent, ledger),
        precedence: Some(statement(SAFETY, StatementOrigin::House)),
        next: next(extent, ledger),
    }
}

/// A paragraph of one figure; `question` is the verb that answers the same.
pub(super) fn figure(text: &str, question: &str) -> DraftParagraph {
    statement(text, StatementOrigin::Report(question.to_owned()))
}

fn statement(text: &str, origin: StatementOrigin) -> DraftParagraph {
    DraftParagraph {
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

fn about(extent: &Extent<'_>) -> Option<DraftParagraph> {
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
    let what = match extent.request.system {
        Some(system) => format!("{}, {system}", extent.request.vehicle_name),
        None => extent.request.vehicle_name.to_owned(),
    };
    let words = format!("{what}, {days}: {sessions}.");
    let mut about = statement(&words, StatementOrigin::House);
    if let Some((text, origin)) = &extent.request.vehicle_about {
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
