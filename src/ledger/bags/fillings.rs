//! Pieces and parts of a bag, parted into its fillings; what `check` says of a label that
//! two vehicles use.

use std::cmp::Ordering;
use std::collections::BTreeMap;

use super::{Filling, Held, Holder, Lot};
use crate::ledger::place::RecordTime;
use crate::problem::{Problem, Spot};
use crate::vocabulary::label::BagLabel;

/// Pieces and parts of each bag, parted into fillings.
pub(super) fn fill(lots: Vec<Lot>, held: Vec<(BagLabel, Held)>) -> Vec<Filling> {
    enum BagContent {
        Part(Held),
        Pieces(Box<Lot>),
    }
    let mut puts: BTreeMap<String, (BagLabel, Vec<BagContent>)> = BTreeMap::new();
    let mut put = |label: &BagLabel, put: BagContent| {
        let of = puts
            .entry(label.key().to_owned())
            .or_insert_with(|| (label.clone(), Vec::new()));
        of.1.push(put);
    };
    for (label, held) in held {
        put(&label, BagContent::Part(held));
    }
    for lot in lots {
        if let Some(label) = lot.bag.clone() {
            put(&label, BagContent::Pieces(Box::new(lot)));
        }
    }
    fn when(put: &BagContent) -> (&RecordTime, &Spot) {
        match put {
            BagContent::Part(held) => (&held.when, &held.spot),
            BagContent::Pieces(lot) => (&lot.kept, &lot.spot),
        }
    }
    let mut fillings = Vec::new();
    for (label, mut puts) in puts.into_values() {
        puts.sort_by(|a, b| when(a).cmp(&when(b)));
        let mut open = Filling {
            bag: label,
            number: 1,
            stored: None,
            held: Vec::new(),
            lots: Vec::new(),
        };
        let mut of_part: BTreeMap<Holder, usize> = BTreeMap::new();
        // Whether a part is off, and when the last one went on.
        let (mut waits, mut last): (bool, Option<RecordTime>) = (false, None);
        for put in puts {
            let (begins, _) = when(&put);
            // What was missing at refit belongs to what was used then.
            let comes = !matches!(&put, BagContent::Pieces(lot) if lot.count == 0);
            let is_empty = !waits && last.as_ref().is_some_and(|last| last < begins);
            if comes && is_empty {
                of_part.clear();
                last = None;
                let next = Filling {
                    number: open.number + 1,
                    held: Vec::new(),
                    lots: Vec::new(),
                    ..open.clone()
                };
                fillings.push(std::mem::replace(&mut open, next));
            }
            let emptied = match &put {
                BagContent::Part(held) => held.emptied.as_ref(),
                BagContent::Pieces(lot) => lot.used.as_ref(),
            };
            waits |= emptied.is_none();
            if emptied > last.as_ref() {
                last = emptied.cloned();
            }
            match put {
                BagContent::Part(held) => match of_part.get(&held.holder) {
                    Some(at) => {
                        let known = &mut open.held[*at];
                        known.emptied = known.emptied.take().and(held.emptied);
                    }
                    None => {
                        of_part.insert(held.holder.clone(), open.held.len());
                        open.held.push(held);
                    }
                },
                BagContent::Pieces(lot) => open.lots.push(*lot),
            }
        }
        fillings.push(open);
    }
    fillings.sort_by(|a, b| by_label(a.bag.key(), b.bag.key()).then(a.number.cmp(&b.number)));
    fillings
}

/// A bag with parts of two vehicles at the same time.
pub(super) fn two_vehicles(filling: &Filling, problems: &mut Vec<Problem>) {
    let Some(first) = filling.held.first() else {
        return;
    };
    let (owner, place) = (first.holder.vehicle(), &first.spot);
    let mut said: Vec<&str> = Vec::new();
    for held in &filling.held {
        let vehicle = held.holder.vehicle();
        if vehicle == owner || said.contains(&vehicle) {
            continue;
        }
        said.push(vehicle);
        problems.push(
            Problem::warning(
                held.spot.clone(),
                format!(
                    "bag {} holds hardware of {vehicle}, and of {owner} before",
                    filling.bag.written()
                ),
            )
            .hint(format!(
                "it was {owner}'s in {}:{}; give one of the two another label",
                place.file, place.line
            )),
        );
    }
}

/// Labels as a person sorts them: 2 before 10, P2 before P10, numbers first.
#[must_use]
pub fn by_label(one: &str, other: &str) -> Ordering {
    let (mut a, mut b) = (one, other);
    loop {
        let digits = |text: &str| {
            text.find(|c: char| !c.is_ascii_digit())
                .unwrap_or(text.len())
        };
        match (digits(a), digits(b)) {
            (0, 0) => {
                let (x, y) = (a.chars().next(), b.chars().next());
                if x.is_none() || x != y {
                    return x.cmp(&y).then_with(|| one.cmp(other));
                }
                let step = x.map_or(0, char::len_utf8);
                a = &a[step..];
                b = &b[step..];
            }
            (0, _) | (_, 0) => {
                return if a.is_empty() || b.is_empty() {
                    a.len().cmp(&b.len())
                } else {
                    digits(b).cmp(&digits(a))
                };
            }
            (m, n) => {
                let (x, y) = (
                    a[..m].trim_start_matches('0'),
                    b[..n].trim_start_matches('0'),
                );
                let order = x.len().cmp(&y.len()).then(x.cmp(y));
                if order != Ordering::Equal {
                    return order;
                }
                a = &a[m..];
                b = &b[n..];
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::by_label;

    #[test]
    fn labels_are_sorted_as_a_person_would() {
        let mut labels = vec![
            "coffee tin",
            "10",
            "p10",
            "2",
            "031",
            "31",
            "p2",
            "2b",
            "d1",
        ];
        labels.sort_by(|a, b| by_label(a, b));
        assert_eq!(
            labels,
            [
                "2",
                "2b",
                "10",
                "031",
                "31",
                "coffee tin",
                "d1",
                "p2",
                "p10"
            ]
        );
    }
}
