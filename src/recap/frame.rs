//! What a draft says besides chosen sentences: which days and sessions, the
//! figures, what comes next.
//!
//! Every figure is a report's, so that it equals what the verb of that report
//! prints. Nothing is computed a second time here.

use jiff::civil::Date;

use super::draft::{DraftParagraph, Line, StatementOrigin, statement};
use super::request::Request;
use crate::entry::{sentences, spoken_words};
use crate::reports::needs::NeedKind;
use crate::reports::summary::{Figure, NextStep, figures, next_steps};
use crate::vocabulary::spoken::{capitalised, counted, in_full};
use crate::vocabulary::words::words;

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
    /// The frame of a draft; `sessions` is the number of entries it covers. Where
    /// something is private, it keeps only what is the same with and without it, so that
    /// no figure tells of it and each is the ledger's.
    #[must_use]
    pub fn new(request: &Request<'_>, sessions: usize) -> Frame {
        let scope = &request.scope;
        let number =
            |figure: Figure| statement(&figure.words, StatementOrigin::Report(figure.question));
        let said = |source| -> (Vec<DraftParagraph>, Vec<DraftParagraph>) {
            let numbers = figures(scope, source).into_iter().map(number);
            let next = next_steps(scope, source);
            let next = next.iter().map(|step| item(step, scope.as_of));
            (numbers.collect(), next.collect())
        };
        let (mut numbers, mut next) = said(request.public);
        let (all, omitted) = (request.all.map(said), request.omitted);
        let all = all.as_ref();
        numbers.retain(|one| !omitted.numbers && all.is_none_or(|(all, _)| all.contains(one)));
        next.retain(|one| !omitted.next && all.is_none_or(|(_, all)| all.contains(one)));
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
            return self.next.pop().or_else(|| self.numbers.pop()).is_some();
        }
        true
    }
}

fn about(request: &Request<'_>, sessions: usize) -> DraftParagraph {
    let (first, last) = request.scope.days;
    let days = match first == last {
        true => format!("on {}", in_full(first)),
        false => format!("from {} to {}", in_full(first), in_full(last)),
    };
    let sessions = counted(sessions, "session", "sessions");
    let what = match request.scope.system {
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

/// What is said of a need on the day of the figures.
fn item(
    NextStep {
        need,
        part,
        question,
    }: &NextStep,
    on: Date,
) -> DraftParagraph {
    let computed =
        |text: &str, why: &str| Line::new(text, StatementOrigin::Report(question.clone()), why);
    let own = match need.kind {
        NeedKind::Back => computed(&format!("{}.", need.need), "a part that is away"),
        NeedKind::Work | NeedKind::Buy | NeedKind::Question | NeedKind::Return => {
            let origin = StatementOrigin::Entry {
                entry: need.spot.file.clone(),
                line: need.spot.line,
                date: need.since,
            };
            Line::new(&need.need, origin, "a need still open")
        }
    };
    let by = need.by.map(|day| {
        let text = match day < on {
            true => format!("That was due by {}, and is still to do.", in_full(day)),
            false => format!("That is due by {}.", in_full(day)),
        };
        computed(&text, "a day was set")
    });
    // "Handbrake cable: buy a handbrake cable" says it twice.
    let said: Vec<String> = words(&need.need).collect();
    let is_named = words(part).all(|word| said.contains(&word));
    let lead = (!is_named).then(|| capitalised(part));
    DraftParagraph::item(lead, std::iter::once(own).chain(by).collect())
}

/// Longest sentence that can be spoken in one breath, in words.
const BREATH: usize = 40;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_can_be_done_without_goes_one_by_one() {
        let said = || vec![statement("One.", StatementOrigin::House); 2];
        let mut frame = Frame {
            about: statement("A van.", StatementOrigin::House),
            numbers: said(),
            next: said(),
        };
        let mut left = Vec::new();
        while frame.shorten() {
            left.push((frame.next.len(), frame.numbers.len()));
        }
        assert_eq!(left, [(1, 2), (1, 1), (0, 1), (0, 0)]);
    }
}
