//! Counts at refit, set against the pieces they speak of.

use super::{Holder, Lot};
use crate::ledger::place::PlaceKey;
use crate::ledger::state::{Counted, PlaceState};
use crate::problem::Problem;
use crate::vocabulary::fastener::Fastener;
use crate::vocabulary::hardware::Hardware;
use crate::vocabulary::words::telling_stems;

/// One count at refit, set against the pieces it speaks of. `ours` are the
/// lots of its place.
pub(super) fn count(
    (place, state): (&PlaceKey, &PlaceState),
    ours: &[usize],
    counted: &Counted,
    lots: &mut Vec<Lot>,
    problems: &mut Vec<Problem>,
) {
    let mut rest = counted.hardware.count();
    let here = (place.clone(), counted.spot.clone());
    let candidates = meant(ours, counted, lots);
    if counted.left {
        for at in candidates {
            let lot = &mut lots[at];
            let taken = rest.min(lot.count - lot.over);
            if taken > 0 {
                lot.over += taken;
                lot.counts.push(here.clone());
                rest -= taken;
            }
        }
        let said = state.problems.iter().any(|said| said.spot == counted.spot);
        if rest > 0 && !said {
            let came = ours.iter().map(|at| &lots[*at]);
            problems.push(more_than_came(state, counted, rest, came));
        }
    } else if let Some(at) = candidates.last() {
        let lot = &mut lots[*at];
        lot.missing = lot.missing.saturating_add(rest);
        lot.counts.push(here);
    } else if state.on_by(&counted.when) && rest > 0 {
        let its_bag = ours.iter().rev().find_map(|at| lots[*at].bag.clone());
        lots.push(Lot {
            bag: counted.hardware.bag.clone().or(its_bag),
            hardware: counted.hardware.clone(),
            kind: counted.hardware.fastener(),
            holders: [Holder::Place(place.clone())].into(),
            kept: counted.when.clone(),
            spot: counted.spot.clone(),
            used: Some(counted.when.clone()),
            count: 0,
            over: 0,
            missing: rest,
            counts: vec![here],
        });
    }
    // Of a part that is off nothing is used yet: nothing can be short.
}

/// The lots that a count at refit speaks of: of its kind, in its bag, and used
/// last by then; of a bag for several parts also one that is still to be used.
fn meant(ours: &[usize], counted: &Counted, lots: &[Lot]) -> Vec<usize> {
    let bag = counted.hardware.bag.as_ref();
    let by_then = |lot: &Lot| {
        let to_come = lot.holders.len() > 1 && lot.kept <= counted.when;
        lot.used
            .as_ref()
            .map_or(to_come, |used| *used <= counted.when || to_come)
    };
    let mut meant: Vec<usize> = ours
        .iter()
        .copied()
        .filter(|at| by_then(&lots[*at]) && (bag.is_none() || lots[*at].bag.as_ref() == bag))
        .filter(|at| lots[*at].count > 0)
        .collect();
    let kind = alike(&counted.hardware, meant.iter().map(|at| &lots[*at]));
    meant.retain(|at| kind.as_ref() == Some(&lots[*at].kind));
    let latest = meant.iter().map(|at| lots[*at].kept.date).max();
    meant.retain(|at| Some(lots[*at].kept.date) == latest);
    meant
}

/// The kind among `lots` that pieces without a size or with fewer words mean: the same
/// one; else the only one that says all its words, or whose words it says all.
#[must_use]
pub fn alike<'l>(counted: &Hardware, lots: impl Iterator<Item = &'l Lot>) -> Option<Fastener> {
    let wanted = counted.fastener();
    let words = telling_stems(&counted.what);
    let says_all = |one: &[String], other: &[String]| {
        !one.is_empty() && one.iter().all(|word| other.contains(word))
    };
    let mut near: Vec<&Fastener> = Vec::new();
    for lot in lots {
        if lot.kind == wanted {
            return Some(wanted);
        }
        let own = telling_stems(&lot.hardware.what);
        let alike = says_all(&words, &own) || says_all(&own, &words);
        if alike && !near.contains(&&lot.kind) {
            near.push(&lot.kind);
        }
    }
    match near[..] {
        [only] => Some(only.clone()),
        _ => None,
    }
}

fn more_than_came<'l>(
    state: &PlaceState,
    counted: &Counted,
    rest: u32,
    came: impl Iterator<Item = &'l Lot>,
) -> Problem {
    let what = &counted.hardware.what;
    let known: Vec<String> = came
        .filter(|lot| lot.count > 0)
        .map(|lot| format!("{} {}", lot.count, lot.hardware.what))
        .take(6)
        .collect();
    let hint = if known.is_empty() {
        format!("write what came off: `- hardware: {rest} {what}`")
    } else {
        format!("count again; what came off: {}", known.join("; "))
    };
    Problem::warning(
        counted.spot.clone(),
        format!(
            "{rest} {what} more left over than came off {}",
            state.label()
        ),
    )
    .hint(hint)
}
