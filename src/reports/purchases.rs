//! Hardware to get, summed by kind and size.
//!
//! `lacking` finds what has to be got. Nothing is ordered or priced here, and
//! nobody says what was bought already: where a record sounds as if it was, the
//! record is named.

use std::collections::BTreeMap;

use jiff::civil::Date;

use super::lacking::{Lacking, PurchaseReason, lacking};
use crate::entry::Key;
use crate::ledger::{BagLedger, Ledger, Lot, PlaceState, alike};
use crate::vocabulary::fastener::Fastener;
use crate::vocabulary::hardware::PurchaseMark;
use crate::vocabulary::label::BagLabel;
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
    let all = lacking(ledger, wanted);
    let mut stock = BagStock::of(ledger, &all);
    for found in all {
        let kind = stock.kind(&found);
        let pieces = found.hardware.count() - stock.taken(&found, &kind);
        if pieces == 0 {
            continue;
        }
        let line = PurchasePart {
            vehicle: found.state.vehicle.clone(),
            part: found.state.name.clone(),
            at: found.state.at.to_string(),
            pieces: u64::from(pieces),
            why: found.why,
            entry: found.spot.file.clone(),
            line: found.spot.line,
        };
        let of_kind = lines.entry(kind).or_default();
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

/// What the bags of parts know of their pieces.
struct BagStock {
    /// The lots of each bag, with how many of what was left over are not taken yet.
    lots: BTreeMap<String, Vec<(Lot, u32)>>,
}

impl BagStock {
    /// Counts the bags, unless nothing is lacking.
    fn of(ledger: &Ledger, lacking: &[Lacking<'_>]) -> BagStock {
        let mut lots: BTreeMap<String, Vec<(Lot, u32)>> = BTreeMap::new();
        if lacking.is_empty() {
            return BagStock { lots };
        }
        for filling in BagLedger::reckon(ledger).fillings {
            let of_bag = lots.entry(filling.bag.key().to_owned()).or_default();
            of_bag.extend(filling.lots.into_iter().map(|lot| {
                let over = lot.used.as_ref().map_or(0, |_| lot.left());
                (lot, over)
            }));
        }
        BagStock { lots }
    }

    /// The bags of the part that lacks something.
    fn bags(found: &Lacking<'_>) -> Vec<BagLabel> {
        let state = found.state;
        let own = state
            .hardware
            .iter()
            .filter_map(|pieces| pieces.bag.clone());
        let bagged = state.bagged.iter().map(|bagged| bagged.bag.clone());
        let mut bags: Vec<BagLabel> = found.hardware.bag.iter().cloned().collect();
        for bag in own.chain(bagged) {
            if !bags.contains(&bag) {
                bags.push(bag);
            }
        }
        bags
    }

    /// What is lacking, with the size that a bag of its part knows where nobody wrote one.
    fn kind(&self, found: &Lacking<'_>) -> Fastener {
        let said = found.hardware.fastener();
        if said.size.is_some() {
            return said;
        }
        let bags = BagStock::bags(found);
        let lots = bags
            .iter()
            .filter_map(|bag| self.lots.get(bag.key()))
            .flatten();
        let sized = lots
            .map(|(lot, _)| lot)
            .filter(|lot| lot.kind.size.is_some());
        alike(found.hardware, sized).unwrap_or(said)
    }

    /// How many of what is lacking were left over in a bag of its part; they are taken.
    /// Single-use pieces are never used again.
    fn taken(&mut self, found: &Lacking<'_>, kind: &Fastener) -> u32 {
        if found.why == PurchaseReason::Marked(PurchaseMark::New) {
            return 0;
        }
        let mut rest = found.hardware.count();
        for bag in BagStock::bags(found) {
            let lots = self.lots.get_mut(bag.key()).into_iter().flatten();
            for (_, over) in lots.filter(|(lot, _)| lot.kind == *kind) {
                let taken = rest.min(*over);
                *over -= taken;
                rest -= taken;
            }
        }
        found.hardware.count() - rest
    }
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
