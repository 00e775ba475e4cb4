//! What is open: work, purchases, questions, tools to return, parts to come
//! back.
//!
//! What waits behind each is counted by the plan for putting it back; here it
//! is only looked up.

use std::cmp::Reverse;
use std::collections::HashMap;

use jiff::civil::Date;

use super::loans::{ToolSaid, loans};
use super::refit::{Blocker, Wait, Waiting, plan};
use super::whole::{RecordSubject, about, system_of};
use crate::entry::Context;
use crate::ledger::{Ledger, PlaceKey, PlaceState, TimelineStep};
use crate::problem::Spot;
use crate::vocabulary::status::{Status, Surface};
use crate::vocabulary::system_source::marked;

/// Of what kind something open is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NeedKind {
    /// Work.
    Work,
    /// A purchase.
    Buy,
    /// Something to find out.
    Question,
    /// A tool to return.
    Return,
    /// A part that is away and has to come back.
    Back,
}

impl NeedKind {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            NeedKind::Work => "work",
            NeedKind::Buy => "buy",
            NeedKind::Question => "question",
            NeedKind::Return => "return",
            NeedKind::Back => "back",
        }
    }
}

/// Something open.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OpenNeed {
    /// The vehicle, if one was said.
    pub vehicle: Option<String>,
    /// The system, if one is known.
    pub system: Option<String>,
    /// Whether nobody said that system.
    pub system_assumed: bool,
    /// The part's name; `None` where a system or a vehicle as a whole, or a tool,
    /// is meant.
    pub part: Option<String>,
    /// Where the part sits; empty where there is only one.
    pub at: String,
    /// Its place.
    pub place: Option<PlaceKey>,
    /// Of what kind it is.
    pub kind: NeedKind,
    /// What is open, in words.
    pub need: String,
    /// The day it was written.
    pub since: Date,
    /// The day by which it has to be done.
    pub by: Option<Date>,
    /// How many places wait behind it.
    pub waiting: Waiting,
    /// Where it is said.
    pub spot: Spot,
}

impl OpenNeed {
    /// Whether its day has passed.
    #[must_use]
    pub fn is_overdue(&self, today: Date) -> bool {
        self.by.is_some_and(|by| by < today)
    }

    /// The system for a person, marked where nobody said it.
    #[must_use]
    pub fn system_words(&self) -> Option<String> {
        marked(self.system.as_deref(), self.system_assumed)
    }

    /// Name and position of the part.
    #[must_use]
    pub fn label(&self) -> Option<String> {
        let part = self.part.as_ref()?;
        Some(if self.at.is_empty() {
            part.clone()
        } else {
            format!("{part}, {}", self.at)
        })
    }
}

/// Everything open at the end of `today`: what is overdue then first, then what
/// blocks most, then the oldest. `tools` are what the entries of the ledger say of
/// tools.
#[must_use]
pub fn open(
    ledger: &Ledger,
    tools: Vec<ToolSaid>,
    today: Date,
    context: &Context,
) -> Vec<OpenNeed> {
    let mut vehicles: Vec<&str> = ledger
        .recorded()
        .map(|(key, _)| key.vehicle.as_str())
        .collect();
    vehicles.dedup();
    let mut all: Vec<OpenNeed> = Vec::new();
    for vehicle in vehicles {
        let plan = plan(ledger, vehicle, &context.systems);
        let blocking = plan.blocking();
        let blockers: HashMap<&PlaceKey, &Blocker<'_>> = blocking
            .iter()
            .map(|blocker| (plan.places.keys[blocker.place], blocker))
            .collect();
        let own = ledger.recorded().filter(|(key, _)| key.vehicle == vehicle);
        for (key, state) in own {
            let blocker = blockers.get(key).copied();
            of_place(key, state, blocker, context, &mut all);
        }
    }
    let tools = loans(tools).0.into_iter().map(|loan| OpenNeed {
        vehicle: loan.vehicle,
        system: loan.system,
        system_assumed: false,
        part: None,
        at: String::new(),
        place: None,
        kind: if loan.broke {
            NeedKind::Work
        } else {
            NeedKind::Return
        },
        need: match loan.broke {
            true => format!("mend or replace the tool: {}", loan.tool),
            false => format!("return {}", loan.tool),
        },
        since: loan.since,
        by: loan.by,
        waiting: Waiting::default(),
        spot: loan.spot,
    });
    all.extend(tools);
    sort(&mut all, today);
    all
}

/// Overdue first, then what blocks most, then the oldest; after that by what
/// is due first and by place, so that every run gives the same.
fn sort(all: &mut [OpenNeed], today: Date) {
    all.sort_by_cached_key(|open| {
        (
            !open.is_overdue(today),
            Reverse((open.waiting.all, open.waiting.direct)),
            open.since,
            open.by.unwrap_or(Date::MAX),
            open.spot.clone(),
            open.label(),
            open.need.clone(),
        )
    });
}

/// What is open at one place.
fn of_place(
    key: &PlaceKey,
    state: &PlaceState,
    blocker: Option<&Blocker<'_>>,
    context: &Context,
    all: &mut Vec<OpenNeed>,
) {
    let is_part = about(state, context) == RecordSubject::Part;
    let base = OpenNeed {
        vehicle: Some(state.vehicle.clone()),
        system: system_of(state, context),
        system_assumed: is_part && state.system_is_assumed(),
        part: is_part.then(|| state.name.clone()),
        at: state.at.to_string(),
        place: Some(key.clone()),
        kind: NeedKind::Work,
        need: String::new(),
        since: Date::MIN,
        by: None,
        waiting: blocker.map_or_else(Waiting::default, |blocker| blocker.waiting),
        spot: Spot::default(),
    };
    let mut purchase = false;
    let mut work = false;
    for need in state.open_needs() {
        let buy = need.need.is_purchase();
        purchase |= buy;
        work |= !buy;
        // Nothing waits for what "ready" was said in spite of.
        let holds = blocker.is_some_and(|blocker| {
            let mut open = blocker.open.iter();
            open.any(|wait| matches!(wait, Wait::Need(own) if std::ptr::eq(*own, need)))
        });
        let waiting = if holds {
            base.waiting
        } else {
            Waiting::default()
        };
        all.push(OpenNeed {
            waiting,
            kind: if buy { NeedKind::Buy } else { NeedKind::Work },
            need: need.need.text.clone(),
            since: need.since,
            by: need.need.by,
            spot: need.spot.clone(),
            ..base.clone()
        });
    }
    for question in state.questions.iter().filter(|own| own.answer.is_none()) {
        all.push(OpenNeed {
            kind: NeedKind::Question,
            need: question.text.clone(),
            since: question.since,
            // Nothing is held up by what one would like to know.
            waiting: Waiting::default(),
            spot: question.spot.clone(),
            ..base.clone()
        });
    }
    let mut add = |kind: NeedKind, need: String, by: Option<Date>, said: Option<&TimelineStep>| {
        if let Some(said) = said {
            all.push(OpenNeed {
                kind,
                need,
                by,
                since: said.when.date,
                spot: said.spot.clone(),
                ..base.clone()
            });
        }
    };
    // A piece that is away or in pieces with its assembly says nothing itself.
    let status = state.unit().status;
    if status == Some(Status::Out) {
        let sent = state.sent.as_ref();
        let need = sent.map_or_else(
            || "have it back".to_owned(),
            |sent| format!("have it back from {}", sent.to),
        );
        let by = sent.and_then(|sent| sent.back_by);
        add(NeedKind::Back, need, by, since(state));
    }
    for wait in blocker.into_iter().flat_map(|blocker| &blocker.open) {
        match wait {
            Wait::Gone(status) if !purchase => {
                let need = format!("buy another: it was {}", status.word());
                add(NeedKind::Buy, need, None, since(state));
            }
            Wait::Apart if status == Some(Status::Apart) => {
                let need = "put it together: it is apart".to_owned();
                add(NeedKind::Work, need, None, since(state));
            }
            Wait::Gone(_)
            | Wait::Apart
            | Wait::Need(_)
            | Wait::Away(_)
            | Wait::Area(_)
            | Wait::Assembly(_)
            | Wait::Part(_)
            | Wait::InTheWay(_) => {}
        }
    }
    if let Some(surface) = blocker
        .and_then(|blocker| blocker.surface)
        .filter(|_| !work)
    {
        let need = surface.map_or_else(
            || "finish its surface".to_owned(),
            |surface| format!("finish its surface: it is {}", surface.word()),
        );
        add(NeedKind::Work, need, None, since_surface(state, surface));
    }
}

/// The record since which the unit has had its status.
fn since(state: &PlaceState) -> Option<&TimelineStep> {
    let unit = state.unit();
    let mut run = state
        .timeline
        .iter()
        .rev()
        .take_while(|moment| moment.unit == unit.number && moment.status == unit.status);
    let last = run.next();
    run.last().or(last).or(state.timeline.last())
}

/// The record that last spoke of a surface.
fn since_surface(state: &PlaceState, surface: Option<Surface>) -> Option<&TimelineStep> {
    let mut said = state.timeline.iter().rev();
    let word = surface.map(Surface::word);
    said.find(|moment| {
        moment
            .facts
            .iter()
            .any(|(key, value)| key == "surface" || word.is_some_and(|word| value == word))
    })
    .or(state.timeline.first())
}
