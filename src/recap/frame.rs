//! What a draft says besides chosen sentences: which days and sessions, the
//! figures, what comes next.
//!
//! Every figure is a report's, so that it equals what the verb of that report
//! prints. Nothing is computed a second time here.

use super::draft::{DraftParagraph, Line, StatementOrigin, statement};
use super::next::next;
use super::numbers::numbers;
use super::request::{Extent, Request};
use crate::entry::{Context, sentences, spoken_words};
use crate::vocabulary::spoken::{counted, in_full};

/// The words around the chosen ones.
#[derive(Clone, Debug)]
pub struct Frame {
    /// Which vehicle, which days, how many sessions.
    pub about: DraftParagraph,
    /// The figures.
    pub numbers: Vec<DraftParagraph>,
    /// What comes next.
    pub next: Vec<DraftParagraph>,
}

impl Frame {
    /// The frame for these days, of so many sessions. Where something is private, only
    /// what is the same with and without it, so that no figure tells of it and each is
    /// the ledger's.
    #[must_use]
    pub fn new(request: &Request<'_>, context: &Context, sessions: usize) -> Frame {
        let said = |(entries, ledger)| {
            let extent = Extent {
                request,
                context,
                entries,
                ledger,
            };
            (numbers(&extent), next(&extent))
        };
        let (mut numbers, mut next) = said(request.public);
        if let Some((all_numbers, all_next)) = request.all.map(said) {
            numbers.retain(|one| all_numbers.contains(one));
            next.retain(|one| all_next.contains(one));
        }
        if !request.surroundings.numbers {
            numbers.clear();
        }
        if !request.surroundings.next {
            next.clear();
        }
        Frame {
            about: about(request, sessions),
            numbers,
            next,
        }
    }

    /// Takes away what a draft can do without first: all but one of the needs and
    /// figures, what the vehicle is, then those. Whether there was anything.
    pub fn shorten(&mut self) -> bool {
        if self.next.len() > 1 {
            self.next.pop();
        } else if self.numbers.len() > 1 {
            self.numbers.pop();
        } else if self.about.lines.len() > 1 {
            self.about.lines.truncate(1);
        } else {
            return self.next.pop().or(self.numbers.pop()).is_some();
        }
        true
    }
}

fn about(request: &Request<'_>, sessions: usize) -> DraftParagraph {
    let (first, last) = request.days;
    let days = match first == last {
        true => format!("on {}", in_full(first)),
        false => format!("from {} to {}", in_full(first), in_full(last)),
    };
    let sessions = counted(sessions, "session", "sessions");
    let what = match request.system {
        Some(system) => format!("{}, {system}", request.vehicle_name),
        None => request.vehicle_name.to_owned(),
    };
    let mut about = statement(
        &format!("{what}, {days}: {sessions}."),
        StatementOrigin::House,
    );
    if let Some((text, origin)) = &request.vehicle_about {
        let first = sentences(text).into_iter().next().map(|(_, first)| first);
        let first = first.filter(|first| spoken_words(first) <= BREATH);
        about
            .lines
            .extend(first.map(|first| Line::new(first, origin.clone(), "what the vehicle is")));
    }
    about
}

/// Longest sentence that can be spoken in one breath, in words.
const BREATH: usize = 40;
