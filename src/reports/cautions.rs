//! The hazards that records raise: in an entry, at a place, in a step of work.
//!
//! What raises a hazard is known to the handbook; here records become the facts
//! and words it reads. Nothing of this is kept: it is asked anew each time.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

use crate::entry::{Entry, Fact, Passage, Record, Stated};
use crate::handbook::cautions::{Caution, CautionText, PartContext, recognise};
pub use crate::handbook::cautions::{Hazard, SAFETY};
use crate::ledger::{PlaceState, TimelineStep};
use crate::problem::Spot;
use crate::vocabulary::status::{Status, Surface};

/// A hazard, and what raised it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Raised {
    /// Which.
    pub hazard: Hazard,
    /// The words that show it, as written.
    pub word: String,
    /// The part with its position, unless the entry's own prose raised it.
    pub part: Option<String>,
    /// Where the words stand: file and line.
    pub spot: Spot,
}

impl Raised {
    /// The handbook's caution for it.
    #[must_use]
    pub fn caution(&self) -> &'static Caution {
        self.hazard.caution()
    }
}

/// What an entry raises, record by record, in the order of its text. The same
/// hazard may stand there several times.
#[must_use]
pub fn of_entry(entry: &Entry) -> Vec<Raised> {
    let mut raised: Vec<Raised> = entry
        .records
        .iter()
        .flat_map(|record| of_record(entry, record))
        .collect();
    raised.extend(of_session(entry));
    raised.sort_by_key(|raised| raised.spot.line);
    raised
}

/// What an entry raises apart from its records.
#[must_use]
pub fn of_session(entry: &Entry) -> Vec<Raised> {
    let own: Vec<(CautionText<'_>, u32)> = entry
        .facts
        .iter()
        .map(|stated| (said(stated), stated.spot.line))
        .collect();
    let mut raised = found(&PartContext::default(), &own, &entry.path, 0);
    for passage in entry
        .prose
        .iter()
        .chain(entry.bags.iter().map(|bag| &bag.passage))
    {
        let prose = prose(entry, passage);
        raised.extend(found(&PartContext::default(), &[prose], &entry.path, 0));
    }
    raised
}

/// What one record of an entry raises.
#[must_use]
pub fn of_record(entry: &Entry, record: &Record) -> Vec<Raised> {
    let about = PartContext {
        system: record.system.as_ref().map(|(system, _)| system.as_str()),
        part: Some(record.name.written()),
        status: record.status().map(|(status, _)| status),
        surface: record.facts.iter().find_map(surface),
    };
    let mut texts: Vec<(CautionText<'_>, u32)> = record
        .facts
        .iter()
        .filter(|stated| !stated.inherited)
        .map(|stated| (said(stated), stated.spot.line))
        .collect();
    if record.short.is_none() {
        texts.push(prose(entry, &record.passage));
    }
    let mut raised = found(&about, &texts, &entry.path, record.spot.line);
    let label = label(record);
    for raised in &mut raised {
        raised.part = Some(label.clone());
    }
    raised
}

/// "brake drum, left front; right front".
fn label(record: &Record) -> String {
    let at: Vec<String> = record.at.iter().map(ToString::to_string).collect();
    let at = at.join("; ");
    if at.is_empty() {
        record.name.written().to_owned()
    } else {
        format!("{}, {at}", record.name.written())
    }
}

fn surface(stated: &Stated) -> Option<Surface> {
    if let Fact::Surface(surface) = stated.fact {
        Some(surface)
    } else {
        None
    }
}

fn said(stated: &Stated) -> CautionText<'_> {
    CautionText {
        key: stated.key.word(),
        text: &stated.written,
    }
}

/// The prose of a passage with the line on which it begins.
fn prose<'e>(entry: &'e Entry, passage: &Passage) -> (CautionText<'e>, u32) {
    let text = entry.prose_text(passage);
    let start = passage.prose.clamp(passage.bytes.start, passage.bytes.end);
    let whole = entry.text.get(start..passage.bytes.end).unwrap_or_default();
    let above = entry
        .text
        .get(passage.bytes.start..start)
        .unwrap_or_default();
    let blank = &whole[..whole.len() - whole.trim_start().len()];
    let line = passage.line + lines(above) + lines(blank);
    (CautionText { key: "", text }, line)
}

fn lines(text: &str) -> u32 {
    u32::try_from(text.matches('\n').count()).unwrap_or(u32::MAX)
}

/// What the handbook finds in texts that begin on these lines; the name of the
/// part stands on `line`.
fn found(
    about: &PartContext<'_>,
    texts: &[(CautionText<'_>, u32)],
    file: &str,
    line: u32,
) -> Vec<Raised> {
    let only: Vec<CautionText<'_>> = texts.iter().map(|(said, _)| *said).collect();
    recognise(about, &only)
        .into_iter()
        .map(|hit| {
            let (text, first) = match hit.said {
                Some(number) => (texts[number].0.text, texts[number].1),
                None => (about.part.unwrap_or_default(), line),
            };
            let before = text.get(..hit.bytes.start).unwrap_or_default();
            let word = text.get(hit.bytes).unwrap_or_default();
            Raised {
                hazard: hit.hazard,
                word: word.split_whitespace().collect::<Vec<_>>().join(" "),
                part: None,
                spot: Spot {
                    file: file.to_owned(),
                    line: first + lines(before),
                    column: 0,
                    width: 0,
                },
            }
        })
        .collect()
}

/// What the records of a place raise about the unit that is there now, each
/// hazard once. The newest record raises what it raised when it was written. Of the
/// older ones units that are gone, needs that are closed, work that is done and what
/// was found before the part went back on raise nothing, and of the statuses only the
/// present one does. `prose_of` gives the prose of a moment.
#[must_use]
pub fn of_place(state: &PlaceState, prose_of: &dyn Fn(&TimelineStep) -> String) -> Vec<Raised> {
    let unit = state.unit();
    let moments = state.timeline.iter().filter(|at| at.unit == unit.number);
    let mut raised = Vec::new();
    let mut back_on = false;
    for (age, moment) in moments.rev().enumerate() {
        let age = match (age, back_on) {
            (0, _) => MomentAge::Newest,
            (_, false) => MomentAge::Older,
            (_, true) => MomentAge::BeforeItWentOn,
        };
        raised.extend(of_moment(state, moment, age, &prose_of(moment)));
        back_on |= moment.status.is_some_and(Status::is_on) && says(moment, "status");
    }
    once(raised)
}

/// Whether a moment says something under this key.
fn says(moment: &TimelineStep, key: &str) -> bool {
    moment.facts.iter().any(|(word, _)| word == key)
}

/// Where a moment of a place stands among the others of its unit.
#[derive(Clone, Copy, PartialEq, Eq)]
enum MomentAge {
    Newest,
    Older,
    /// The part was put back on since.
    BeforeItWentOn,
}

/// What one moment of a place raises.
fn of_moment(
    state: &PlaceState,
    moment: &TimelineStep,
    age: MomentAge,
    prose: &str,
) -> Vec<Raised> {
    let is_open = |text: &str| {
        state.open_needs().any(|need| {
            need.spot.file == moment.spot.file && text.starts_with(need.need.text.as_str())
        })
    };
    let is_newest = age == MomentAge::Newest;
    let is_over = |key: &str, text: &str| match key {
        _ if is_newest => false,
        "done" => true,
        "needs" => !is_open(text),
        "found" => age == MomentAge::BeforeItWentOn,
        _ => false,
    };
    let line = moment.spot.line;
    let mut texts: Vec<(CautionText<'_>, u32)> = moment
        .facts
        .iter()
        .filter(|(key, text)| !is_over(key, text))
        .map(|(key, text)| (CautionText { key, text }, line))
        .collect();
    texts.push((
        CautionText {
            key: "",
            text: prose,
        },
        line,
    ));
    let about = PartContext {
        system: state.system.as_deref(),
        part: Some(&state.name),
        status: state.unit().status.filter(|_| is_newest),
        surface: state
            .surface
            .filter(|_| is_newest && says(moment, "surface")),
    };
    let mut raised = found(&about, &texts, &moment.spot.file, line);
    for raised in &mut raised {
        // Where a word stands inside a record is not kept with its place.
        raised.spot.clone_from(&moment.spot);
        raised.part = Some(state.label());
    }
    raised
}

/// What it raises to put this part back: fitting it, what is still to be done
/// to it, and what was learned about it. Each hazard once.
#[must_use]
pub fn of_step(state: &PlaceState) -> Vec<Raised> {
    let mut texts: Vec<(CautionText<'_>, &Spot)> = Vec::new();
    for need in state.open_needs() {
        let text = need.need.text.as_str();
        texts.push((CautionText { key: "needs", text }, &need.spot));
    }
    for (key, values) in [("caution", &state.cautions), ("lesson", &state.lessons)] {
        for value in values {
            let text = value.value.as_str();
            texts.push((CautionText { key, text }, &value.spot));
        }
    }
    let about = PartContext {
        system: state.system.as_deref(),
        part: Some(&state.name),
        status: Some(Status::Fitted),
        surface: None,
    };
    let only: Vec<CautionText<'_>> = texts.iter().map(|(said, _)| *said).collect();
    let last = state.timeline.last().map(|moment| moment.spot.clone());
    let raised = recognise(&about, &only)
        .into_iter()
        .map(|hit| {
            let (text, spot) = match hit.said {
                Some(number) => (texts[number].0.text, Some(texts[number].1.clone())),
                None => (state.name.as_str(), last.clone()),
            };
            Raised {
                hazard: hit.hazard,
                word: text.get(hit.bytes).unwrap_or_default().to_owned(),
                part: Some(state.label()),
                spot: spot.unwrap_or_default(),
            }
        })
        .collect();
    once(raised)
}

/// Each hazard once: the first that raised it, in the order of the hazards.
#[must_use]
pub fn once(mut raised: Vec<Raised>) -> Vec<Raised> {
    raised.sort_by_key(|raised| raised.hazard);
    raised.dedup_by_key(|raised| raised.hazard);
    raised
}

/// The hazards that an entry raises: what is said once for its day is not said again.
#[must_use]
pub fn hazards_of(entry: &Entry) -> BTreeSet<Hazard> {
    let raised = of_entry(entry);
    raised.into_iter().map(|raised| raised.hazard).collect()
}
