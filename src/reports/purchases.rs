//! Hardware to get, summed by kind and size.
//!
//! What is lacking is said in `lacking`. Nothing is ordered or priced here, and
//! nobody says what was bought already: where a record sounds as if it was, the
//! record is named.

use std::collections::BTreeMap;

use jiff::civil::Date;

use super::lacking::{PurchaseReason, lacking};
use crate::entry::Key;
use crate::ledger::{Ledger, PlaceState};
use crate::vocabulary::fastener::Fastener;
use crate::vocabulary::words::telling_stems;

/// One kind, size and grade to get.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Purchase {
    /// Which.
    pub kind: Fastener,
    /// How many.
    pub pieces: u64,
    /// Whose parts need it, and why.
    pub parts: Vec<PurchasePart>,
    /// Records that sound as if it was got already.
    pub perhaps: Vec<PossiblePurchase>,
}

/// What one part needs.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct PurchasePart {
    /// The vehicle.
    pub vehicle: String,
    /// The part's name.
    pub part: String,
    /// Where it sits; empty where there is only one.
    pub at: String,
    /// How many.
    pub pieces: u64,
    /// Why.
    pub why: PurchaseReason,
    /// The entry that says so.
    pub entry: String,
    /// The line in it.
    pub line: u32,
}

impl PurchasePart {
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

/// A record that sounds as if something was got.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct PossiblePurchase {
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
    let mut lines: BTreeMap<Fastener, Vec<(PurchasePart, Date)>> = BTreeMap::new();
    for found in lacking(ledger, wanted) {
        let line = PurchasePart {
            vehicle: found.state.vehicle.clone(),
            part: found.state.name.clone(),
            at: found.state.at.to_string(),
            pieces: u64::from(found.hardware.count()),
            why: found.why,
            entry: found.spot.file.clone(),
            line: found.spot.line,
        };
        let of_kind = lines.entry(found.hardware.fastener()).or_default();
        of_kind.push((line, found.date));
    }
    let told = told(ledger);
    lines
        .into_iter()
        .map(|(kind, mut lines)| {
            lines.sort();
            let since = lines.iter().map(|(_, date)| *date).min();
            let parts: Vec<PurchasePart> = lines.into_iter().map(|(line, _)| line).collect();
            Purchase {
                perhaps: perhaps(&told, &kind, &parts, since),
                pieces: parts.iter().map(|part| part.pieces).sum(),
                kind,
                parts,
            }
        })
        .collect()
}

/// Everything that was done or paid for, with the stems of its words.
fn told(ledger: &Ledger) -> Vec<(&str, PossiblePurchase, Vec<String>)> {
    let mut told = Vec::new();
    for (_, state) in ledger.recorded() {
        for moment in &state.timeline {
            for (key, said) in &moment.facts {
                if *key != Key::Done.word() && *key != Key::Cost.word() {
                    continue;
                }
                let perhaps = PossiblePurchase {
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
    told: &[(&str, PossiblePurchase, Vec<String>)],
    kind: &Fastener,
    parts: &[PurchasePart],
    since: Option<Date>,
) -> Vec<PossiblePurchase> {
    const MOST: usize = 3;
    let wanted = telling_stems(kind.kind.written());
    if wanted.is_empty() {
        return Vec::new();
    }
    let fits = |(vehicle, perhaps, stems): &&(&str, PossiblePurchase, Vec<String>)| {
        since.is_some_and(|since| perhaps.date >= since)
            && parts.iter().any(|part| part.vehicle == *vehicle)
            && wanted.iter().all(|stem| stems.contains(stem))
    };
    let mut found: Vec<PossiblePurchase> = Vec::new();
    for (_, perhaps, _) in told.iter().filter(fits).take(MOST) {
        if !found.contains(perhaps) {
            found.push(perhaps.clone());
        }
    }
    found
}
