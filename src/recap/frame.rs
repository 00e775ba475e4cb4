//! What a draft says besides chosen sentences: which days and sessions, the
//! figures, what comes next.
//!
//! Every figure is a report's, so that it equals what the verb of that report
//! prints. Nothing is computed a second time here.

use jiff::civil::Date;

use super::draft::{Chapter, ChapterRole, DraftParagraph, Line, StatementOrigin, statement};
use super::next::next;
use super::numbers::numbers;
use super::request::Extent;
use crate::entry::{sentences, spoken_words};
use crate::ledger::Ledger;
use crate::reports::cautions::SAFETY;
use crate::vocabulary::spoken::{full_stop, in_full};

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

/// Longest sentence that can be spoken in one breath, in words.
const BREATH: usize = 40;
