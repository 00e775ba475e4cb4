//! What a draft says besides chosen sentences: which days and sessions, the
//! figures, what comes next.
//!
//! Every figure is a report's, so that it equals what the verb of that report
//! prints. Nothing is computed a second time here.

use std::collections::BTreeMap;

use jiff::civil::Date;

use super::draft::{Chapter, Line, Origin, Paragraph, Part};
use super::speech::{capitalised, full_stop, in_full, listed, said_part};
use crate::ledger::{Ledger, PlaceState};
use crate::reports::replaced::{Row, replaced};

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
    /// What broke, as the ledger counts it.
    pub trouble: Vec<Paragraph>,
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
    pub fn chapter(&self, part: Part, title: &str, paragraphs: &[Paragraph]) -> Chapter {
        Chapter {
            part,
            title: title.to_owned(),
            paragraphs: paragraphs.to_vec(),
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
    /// Only this system.
    pub system: Option<&'e str>,
    /// The first and the last day.
    pub days: Option<(Date, Date)>,
    /// How many entries tell of these days.
    pub sessions: usize,
    /// Words said in a minute.
    pub pace: u32,
    /// How many things to name where many could be.
    pub most: usize,
}

/// The frame for these days, from the ledger at their end.
#[must_use]
pub fn frame(extent: &Extent<'_>, ledger: &Ledger) -> Frame {
    Frame {
        vehicle: extent.vehicle.to_owned(),
        vehicle_name: extent.vehicle_name.to_owned(),
        days: extent.days,
        pace: extent.pace,
        about: about(extent).into_iter().collect(),
        trouble: Vec::new(),
        numbers: numbers(extent, ledger),
        precedence: Some(figure(
            "Local rules, the service manual and people licensed for the work come first.",
            "cautions",
        )),
        next: next(extent, ledger),
    }
}

/// A paragraph of one computed statement.
fn figure(text: &str, report: &str) -> Paragraph {
    Paragraph {
        lead: None,
        lines: vec![Line {
            before: String::new(),
            text: text.to_owned(),
            after: "",
            origin: Origin::Report(report.to_owned()),
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
    Some(figure(&format!("{what}, {days}: {sessions}."), "recap"))
}

fn numbers(extent: &Extent<'_>, ledger: &Ledger) -> Vec<Paragraph> {
    let wanted = |state: &PlaceState| {
        state.vehicle == extent.vehicle
            && extent
                .system
                .is_none_or(|system| state.system.as_deref() == Some(system))
    };
    let mut rows = replaced(ledger, &wanted, &BTreeMap::new());
    if let Some((first, last)) = extent.days {
        rows.retain(|row| row.date >= first && row.date <= last);
    }
    let mut said = Vec::new();
    said.extend(replaced_words(&rows, extent.most).map(|words| figure(&words, "replaced")));
    said
}

/// "4 units were replaced: ..."
fn replaced_words(rows: &[Row], most: usize) -> Option<String> {
    let mut names: Vec<String> = Vec::new();
    for row in rows {
        let name = said_part(&row.part, &[]);
        if !names.contains(&name) {
            names.push(name);
        }
    }
    let more = names.len().saturating_sub(most);
    names.truncate(most);
    if more > 0 {
        names.push(format!("{more} more"));
    }
    match rows.len() {
        0 => None,
        1 => Some(format!("1 unit was replaced: {}.", listed(&names))),
        count => Some(format!("{count} units were replaced: {}.", listed(&names))),
    }
}

/// Open needs: what has a day first, then the oldest.
fn next(extent: &Extent<'_>, ledger: &Ledger) -> Vec<Paragraph> {
    let mut open: Vec<_> = ledger
        .recorded()
        .filter(|(_, state)| state.vehicle == extent.vehicle)
        .filter(|(_, state)| {
            extent
                .system
                .is_none_or(|system| state.system.as_deref() == Some(system))
        })
        .flat_map(|(_, state)| state.open_needs().map(move |need| (state, need)))
        .collect();
    open.sort_by_key(|(_, need)| (need.need.by.is_none(), need.need.by, need.since));
    open.into_iter()
        .take(extent.most)
        .map(|(state, need)| Paragraph {
            lead: Some(capitalised(&said_part(
                &state.name,
                std::slice::from_ref(&state.at),
            ))),
            lines: vec![Line {
                before: String::new(),
                text: need.need.text.clone(),
                after: full_stop(&need.need.text),
                origin: Origin::Entry {
                    entry: need.spot.file.clone(),
                    line: need.spot.line,
                    date: need.since,
                },
                why: "a need still open".to_owned(),
            }],
            is_item: true,
        })
        .collect()
}
