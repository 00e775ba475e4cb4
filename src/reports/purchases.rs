//! Hardware to get: what is single-use, broken, lost or short, for all parts
//! that still go back.
//!
//! Nothing is ordered or priced here, and nobody says what was bought already:
//! where a record sounds as if it was, the record is named.

use std::collections::BTreeMap;

use jiff::civil::Date;

use super::parts::standing;
use crate::entry::Key;
use crate::ledger::{Ledger, PlaceState, held_places};
use crate::problem::Spot;
use crate::vocabulary::fastener::Fastener;
use crate::vocabulary::hardware::{Hardware, Mark};
use crate::vocabulary::status::Status;
use crate::vocabulary::words::telling_stems;

/// One kind, size and grade to get.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Purchase {
    /// Which.
    pub kind: Fastener,
    /// How many.
    pub pieces: u64,
    /// Whose parts need it, and why.
    pub parts: Vec<For>,
    /// Records that sound as if it was got already.
    pub perhaps: Vec<Perhaps>,
}

/// What one part needs.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct For {
    /// The vehicle.
    pub vehicle: String,
    /// The part's name.
    pub part: String,
    /// Where it sits; empty where there is only one.
    pub at: String,
    /// How many.
    pub pieces: u64,
    /// Why.
    pub why: Why,
    /// The entry that says so.
    pub entry: String,
    /// The line in it.
    pub line: u32,
}

impl For {
    /// Name and position.
    #[must_use]
    pub fn label(&self) -> String {
        if self.at.is_empty() {
            self.part.clone()
        } else {
            format!("{}, {}", self.part, self.at)
        }
    }
}

/// Why a piece has to be got.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Why {
    /// Marked so.
    Marked(Mark),
    /// It was missing at refit.
    Short,
}

impl Why {
    /// In words.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Why::Marked(Mark::New) => "single use",
            Why::Marked(mark) => mark.word(),
            Why::Short => "short",
        }
    }
}

/// A record that sounds as if something was got.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Perhaps {
    /// The day.
    pub date: Date,
    /// The entry.
    pub entry: String,
    /// The line of its record.
    pub line: u32,
    /// What it says.
    pub said: String,
}

/// Everything to get for wanted places, by kind and size.
#[must_use]
pub fn purchases(ledger: &Ledger, wanted: &dyn Fn(&PlaceState) -> bool) -> Vec<Purchase> {
    let mut lines: BTreeMap<Fastener, Vec<(For, Date)>> = BTreeMap::new();
    let mut add = |state: &PlaceState, hardware: &Hardware, why: Why, spot: &Spot, date: Date| {
        if hardware.count() == 0 {
            return;
        }
        lines.entry(hardware.fastener()).or_default().push((
            For {
                vehicle: state.vehicle.clone(),
                part: state.name.clone(),
                at: state.at.to_string(),
                pieces: u64::from(hardware.count()),
                why,
                entry: spot.file.clone(),
                line: spot.line,
            },
            date,
        ));
    };
    for (_, state) in ledger.recorded().filter(|(_, state)| wanted(state)) {
        let off = goes_back(ledger, state);
        for pieces in &state.hardware {
            let Some(why) = why(&pieces.hardware) else {
                continue;
            };
            // Of a part that is on, what broke in putting it on is missing still.
            let broke = why != Why::Marked(Mark::New) && state.is_on() && state.unit().said;
            let open = pieces.used.is_none() && (off || broke);
            if open || (off && comes_again(state, &pieces.used, why)) {
                add(state, &pieces.hardware, why, &pieces.spot, pieces.date);
            }
        }
        for counted in &state.counted {
            if !counted.left && counted.closed.is_none() {
                add(
                    state,
                    &counted.hardware,
                    Why::Short,
                    &counted.spot,
                    counted.when.date,
                );
            }
        }
    }
    for section in &ledger.bag_sections {
        let Some(vehicle) = &section.vehicle else {
            continue;
        };
        let waiting = section
            .holds
            .iter()
            .flat_map(|(part, _)| held_places(ledger, vehicle, part))
            .map(|(_, state)| state)
            .find(|state| {
                wanted(state) && goes_back(ledger, state) && state.on_after(&section.when).is_none()
            });
        let Some(state) = waiting else { continue };
        for (hardware, spot) in &section.hardware {
            if let Some(why) = why(hardware) {
                add(state, hardware, why, spot, section.when.date);
            }
        }
    }
    let told = told(ledger);
    lines
        .into_iter()
        .map(|(kind, mut lines)| {
            lines.sort();
            let since = lines.iter().map(|(_, date)| *date).min();
            let parts: Vec<For> = lines.into_iter().map(|(line, _)| line).collect();
            Purchase {
                perhaps: perhaps(&told, &kind, &parts, since),
                pieces: parts.iter().map(|part| part.pieces).sum(),
                kind,
                parts,
            }
        })
        .collect()
}

/// Why these pieces have to be got; `None` if they lie in a bag.
fn why(hardware: &Hardware) -> Option<Why> {
    let broke = hardware.marks.iter().find(|mark| **mark != Mark::New);
    broke
        .or(hardware.marks.first())
        .map(|mark| Why::Marked(*mark))
}

/// Whether a place is off and will have something in it again.
fn goes_back(ledger: &Ledger, state: &PlaceState) -> bool {
    match standing(state, ledger).known {
        None
        | Some(
            Status::Undone
            | Status::Removed
            | Status::Apart
            | Status::Out
            | Status::Ready
            // A new one has to be found, and goes on with the same hardware.
            | Status::Scrapped
            | Status::Sold
            | Status::Missing,
        ) => true,
        Some(Status::Fitted | Status::Loose | Status::LeftOff | Status::Replaced) => false,
    }
}

/// Whether single-use pieces that went on once are needed once more: the part
/// is off again, and nobody wrote down what holds it.
fn comes_again(state: &PlaceState, used: &Option<crate::ledger::When>, why: Why) -> bool {
    let nothing_new = state.hardware.iter().all(|pieces| pieces.used.is_some());
    let last = state.went_on.last();
    why == Why::Marked(Mark::New) && nothing_new && used.is_some() && used.as_ref() == last
}

/// Everything that was done or paid for, with the stems of its words.
fn told(ledger: &Ledger) -> Vec<(&str, Perhaps, Vec<String>)> {
    let mut told = Vec::new();
    for (_, state) in ledger.recorded() {
        for moment in &state.timeline {
            for (key, said) in &moment.facts {
                if *key != Key::Done.word() && *key != Key::Cost.word() {
                    continue;
                }
                let perhaps = Perhaps {
                    date: moment.when.date,
                    entry: moment.spot.file.clone(),
                    line: moment.spot.line,
                    said: said.clone(),
                };
                told.push((state.vehicle.as_str(), perhaps, telling_stems(said)));
            }
        }
    }
    told.sort();
    told
}

/// What was done or paid for since, in words that name the kind.
fn perhaps(
    told: &[(&str, Perhaps, Vec<String>)],
    kind: &Fastener,
    parts: &[For],
    since: Option<Date>,
) -> Vec<Perhaps> {
    const MOST: usize = 3;
    let wanted = telling_stems(kind.kind.written());
    if wanted.is_empty() {
        return Vec::new();
    }
    let fits = |(vehicle, perhaps, stems): &&(&str, Perhaps, Vec<String>)| {
        since.is_some_and(|since| perhaps.date >= since)
            && parts.iter().any(|part| part.vehicle == *vehicle)
            && wanted.iter().all(|stem| stems.contains(stem))
    };
    let mut found: Vec<Perhaps> = Vec::new();
    for (_, perhaps, _) in told.iter().filter(fits).take(MOST) {
        if !found.contains(perhaps) {
            found.push(perhaps.clone());
        }
    }
    found
}
