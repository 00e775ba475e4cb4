//! What every bag comes to: what went in, what was used, left, short.
//!
//! Bags belong to the journal, not to a place, so they are reckoned here from
//! all places and from the sections about whole bags. Whatever is written, of
//! each lot `in + short = used + left`: a count that cannot be is a problem
//! and does not count. What to show of a bag, and what to buy, is not decided
//! here.

use std::cmp::Ordering;
use std::collections::BTreeMap;

use super::Ledger;
use super::event::key;
use super::fitting::assembly;
use super::place::{PlaceKey, When};
use super::state::{Counted, PlaceState};
use crate::problem::{Problem, Spot};
use crate::vocabulary::fastener::Fastener;
use crate::vocabulary::hardware::Hardware;
use crate::vocabulary::label::Label;
use crate::vocabulary::reference::Reference;
use crate::vocabulary::words::telling_stems;

/// A section `## Bag 12`, as the journal holds it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BagSection {
    /// The bag.
    pub bag: Label,
    /// The vehicle, if one is known.
    pub vehicle: Option<String>,
    /// When it was filled.
    pub when: When,
    /// Where its heading stands.
    pub spot: Spot,
    /// The shelf on which the bag is.
    pub stored: Option<String>,
    /// The parts whose hardware went in.
    pub holds: Vec<(Reference, Spot)>,
    /// What went in.
    pub hardware: Vec<(Hardware, Spot)>,
}

/// Whose hardware it is.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Holder {
    /// A place that a record speaks of.
    Place(PlaceKey),
    /// A part that only a bag's section names, as it is written there.
    Named {
        /// The vehicle.
        vehicle: String,
        /// The part, with its position.
        part: String,
    },
}

impl Holder {
    /// The vehicle.
    #[must_use]
    pub fn vehicle(&self) -> &str {
        match self {
            Holder::Place(key) => &key.vehicle,
            Holder::Named { vehicle, .. } => vehicle,
        }
    }
}

/// Pieces of one kind that were put down together.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lot {
    /// Which, as written.
    pub hardware: Hardware,
    /// Which, to be compared.
    pub kind: Fastener,
    /// The bag; `None` for pieces in none.
    pub bag: Option<Label>,
    /// Whose they are.
    pub holders: Vec<Holder>,
    /// When they were put there.
    pub kept: When,
    /// Where that is said.
    pub spot: Spot,
    /// When they were used again.
    pub used: Option<When>,
    /// How many there were.
    count: u32,
    /// How many were not needed.
    over: u32,
    /// How many were missing.
    missing: u32,
    /// The counts at refit that speak of it: the place, and where.
    pub counts: Vec<(PlaceKey, Spot)>,
}

impl Lot {
    /// How many went in.
    #[must_use]
    pub fn put_in(&self) -> u32 {
        self.count
    }

    /// How many were missing at refit.
    #[must_use]
    pub fn short(&self) -> u32 {
        if self.used.is_some() { self.missing } else { 0 }
    }

    /// How many hold something again, those that were missing included: they
    /// came from elsewhere.
    #[must_use]
    pub fn used(&self) -> u32 {
        match self.used {
            Some(_) => self.count - self.over + self.missing,
            None => 0,
        }
    }

    /// How many are still there.
    #[must_use]
    pub fn left(&self) -> u32 {
        if self.used.is_some() {
            self.over
        } else {
            self.count
        }
    }
}

/// A part whose hardware went into a bag.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Held {
    /// The part.
    pub holder: Holder,
    /// When.
    pub when: When,
    /// Where that is said.
    pub spot: Spot,
    /// When it took its hardware out again.
    pub emptied: Option<When>,
}

/// One filling of a bag: from its first piece until all its parts are on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Filling {
    /// The bag.
    pub bag: Label,
    /// 1 for the first.
    pub number: usize,
    /// The shelf on which the bag is, if a section said so.
    pub stored: Option<String>,
    /// Its parts, in the order in which they came.
    pub held: Vec<Held>,
    /// Its pieces.
    pub lots: Vec<Lot>,
}

impl Filling {
    /// Whether all its parts are on the vehicle again.
    #[must_use]
    pub fn is_emptied(&self) -> bool {
        self.emptied().is_some()
    }

    /// When the last of its parts went on; `None` while one is off.
    #[must_use]
    pub fn emptied(&self) -> Option<&When> {
        let held = self.held.iter().map(|held| held.emptied.as_ref());
        let lots = self.lots.iter().map(|lot| lot.used.as_ref());
        let all: Option<Vec<&When>> = held.chain(lots).collect();
        all?.into_iter().max()
    }

    /// When it was begun.
    #[must_use]
    pub fn begun(&self) -> Option<&When> {
        let held = self.held.iter().map(|held| &held.when);
        held.chain(self.lots.iter().map(|lot| &lot.kept)).min()
    }

    /// Its vehicles, in the order in which they came.
    #[must_use]
    pub fn vehicles(&self) -> Vec<&str> {
        let mut vehicles: Vec<&str> = Vec::new();
        let held = self.held.iter().map(|held| held.holder.vehicle());
        for vehicle in held {
            if !vehicles.contains(&vehicle) {
                vehicles.push(vehicle);
            }
        }
        vehicles
    }
}

/// All bags of a journal.
#[derive(Clone, Debug, Default)]
pub struct Bags {
    /// The fillings, by bag as a person would sort the labels, then by time.
    pub fillings: Vec<Filling>,
    /// Pieces that are in no bag.
    pub loose: Vec<Lot>,
    /// How many pieces were written down with a part and counted once more in
    /// the section about their bag: they count there.
    pub counted_again: u64,
    /// What cannot be.
    pub problems: Vec<Problem>,
}

impl Bags {
    /// Reckons all bags of a ledger.
    #[must_use]
    pub fn reckon(ledger: &Ledger) -> Bags {
        let mut lots = Vec::new();
        let mut held: Vec<(Label, Held)> = Vec::new();
        let named_short = named_short(ledger);
        let mut counted_again = 0;
        for (place, state) in ledger.recorded() {
            let sections = named_short.get(place).map_or(&[][..], Vec::as_slice);
            counted_again += own_lots(ledger, (place, state), sections, &mut lots);
            own_bags(ledger, place, state, &mut held);
        }
        let mut shelves = Vec::new();
        for section in &ledger.bag_sections {
            section_lots(ledger, section, &mut lots, &mut held);
            if let Some(shelf) = &section.stored {
                shelves.push((&section.bag, &section.when, shelf));
            }
        }
        lots.sort_by(|a, b| (&a.kept, &a.spot).cmp(&(&b.kept, &b.spot)));
        let mut problems = Vec::new();
        let mut of_place: BTreeMap<PlaceKey, Vec<usize>> = BTreeMap::new();
        for (at, lot) in lots.iter().enumerate() {
            for holder in &lot.holders {
                if let Holder::Place(place) = holder {
                    of_place.entry(place.clone()).or_default().push(at);
                }
            }
        }
        for (place, state) in ledger.recorded() {
            let ours = of_place.get(place).map_or(&[][..], Vec::as_slice);
            for counted in &state.counted {
                count((place, state), ours, counted, &mut lots, &mut problems);
            }
        }
        let (bagged, loose): (Vec<Lot>, Vec<Lot>) =
            lots.into_iter().partition(|lot| lot.bag.is_some());
        let mut fillings = fill(bagged, held);
        for filling in &mut fillings {
            let (from, until) = (filling.begun().cloned(), filling.emptied().cloned());
            filling.stored = shelves
                .iter()
                .rfind(|(bag, when, _)| {
                    **bag == filling.bag
                        && from.as_ref().is_some_and(|from| from <= *when)
                        && until.as_ref().is_none_or(|until| *when <= until)
                })
                .map(|(_, _, shelf)| (*shelf).clone());
            two_vehicles(filling, &mut problems);
        }
        Bags {
            fillings,
            loose,
            counted_again,
            problems,
        }
    }
}

/// When a place first went on the vehicle after `when`: with its assembly, if
/// no record ever gave it a status of its own.
fn on_after(ledger: &Ledger, state: &PlaceState, when: &When) -> Option<When> {
    const MOST_LEVELS: usize = 8;
    let look_up = |key: &PlaceKey| ledger.places.get(key).cloned();
    let mut above = state.clone();
    for _ in 0..MOST_LEVELS {
        if !above.is_silent() {
            break;
        }
        match assembly(&above, &look_up) {
            Some(assembly) => above = assembly,
            None => break,
        }
    }
    above.on_after(when).cloned()
}

/// The sections that mean a place without naming it exactly ("holds: hub"), by
/// place.
fn named_short(ledger: &Ledger) -> BTreeMap<&PlaceKey, Vec<&BagSection>> {
    let mut sections: BTreeMap<&PlaceKey, Vec<&BagSection>> = BTreeMap::new();
    for section in &ledger.bag_sections {
        let Some(vehicle) = section.vehicle.as_deref() else {
            continue;
        };
        for (part, _) in &section.holds {
            let exact = key(vehicle, &part.name, &part.at, &ledger.aliases);
            for (place, _) in held_places(ledger, vehicle, part) {
                if *place != exact {
                    sections.entry(place).or_default().push(section);
                }
            }
        }
    }
    sections
}

/// The pieces that a place's own records speak of. Answers how many of them
/// are counted once more in a section about their bag.
fn own_lots(
    ledger: &Ledger,
    (place, state): (&PlaceKey, &PlaceState),
    named_short: &[&BagSection],
    lots: &mut Vec<Lot>,
) -> u64 {
    let mut again = 0;
    for pieces in &state.hardware {
        let count = pieces.hardware.count();
        if count == 0 || pieces.hardware.to_buy() {
            continue;
        }
        let used = pieces
            .used
            .clone()
            .or_else(|| on_after(ledger, state, &pieces.kept));
        let kind = pieces.hardware.fastener();
        // What was in no bag went into the one whose section means the part.
        let section = named_short.iter().find(|section| {
            pieces.bag.is_none()
                && pieces.kept <= section.when
                && used.as_ref().is_none_or(|used| section.when < *used)
        });
        let counted_there = section.is_some_and(|section| {
            let mut kinds = section.hardware.iter();
            kinds.any(|(hardware, _)| !hardware.to_buy() && hardware.fastener() == kind)
        });
        if pieces.counted_in.is_some() || counted_there {
            again += u64::from(count);
            continue;
        }
        lots.push(Lot {
            hardware: pieces.hardware.clone(),
            kind,
            bag: section.map_or_else(|| pieces.bag.clone(), |section| Some(section.bag.clone())),
            holders: vec![Holder::Place(place.clone())],
            kept: section.map_or_else(|| pieces.kept.clone(), |section| section.when.clone()),
            spot: pieces.spot.clone(),
            used,
            count,
            over: 0,
            missing: 0,
            counts: Vec::new(),
        });
    }
    again
}

/// The bags that a place's own records speak of.
fn own_bags(ledger: &Ledger, place: &PlaceKey, state: &PlaceState, held: &mut Vec<(Label, Held)>) {
    for bagged in state
        .bagged
        .iter()
        .filter(|bagged| bagged.section.is_none())
    {
        let emptied = bagged
            .emptied
            .clone()
            .or_else(|| on_after(ledger, state, &bagged.when));
        held.push((
            bagged.bag.clone(),
            Held {
                holder: Holder::Place(place.clone()),
                when: bagged.when.clone(),
                spot: bagged.spot.clone(),
                emptied,
            },
        ));
    }
}

/// The places that a bag's section means by a name: exactly that one; else
/// those that only add left, right, front or rear; without a position, all.
#[must_use]
pub fn held_places<'l>(
    ledger: &'l Ledger,
    vehicle: &str,
    part: &Reference,
) -> Vec<(&'l PlaceKey, &'l PlaceState)> {
    let named = key(vehicle, &part.name, &part.at, &ledger.aliases);
    let recorded = |place: &PlaceKey| {
        let found = ledger.places.get_key_value(place);
        found.filter(|(_, state)| state.recorded)
    };
    if let Some(found) = recorded(&named) {
        return vec![found];
    }
    let from = PlaceKey {
        at: String::new(),
        ..named.clone()
    };
    ledger
        .places
        .range(from..)
        .take_while(|(key, _)| key.vehicle == named.vehicle && key.name == named.name)
        .filter(|(_, state)| state.recorded)
        .filter(|(_, state)| part.at.is_empty() || part.at.widens_to(&state.at))
        .collect()
}

/// What a section about a whole bag says: its pieces are used when the last of
/// its parts is on.
fn section_lots(
    ledger: &Ledger,
    section: &BagSection,
    lots: &mut Vec<Lot>,
    held: &mut Vec<(Label, Held)>,
) {
    let mut holders = Vec::new();
    let mut went_on = Vec::new();
    let vehicle = section.vehicle.as_deref().unwrap_or_default();
    for (part, spot) in &section.holds {
        let found = match section.vehicle.as_deref() {
            Some(vehicle) => held_places(ledger, vehicle, part),
            None => Vec::new(),
        };
        let mut hold = |holder: Holder, emptied: Option<When>| {
            if holders.contains(&holder) {
                return;
            }
            holders.push(holder.clone());
            held.push((
                section.bag.clone(),
                Held {
                    holder,
                    when: section.when.clone(),
                    spot: spot.clone(),
                    emptied,
                },
            ));
        };
        if found.is_empty() {
            let holder = Holder::Named {
                vehicle: vehicle.to_owned(),
                part: part.written(),
            };
            hold(holder, None);
        }
        for (place, state) in found {
            let on = on_after(ledger, state, &section.when);
            went_on.push(on.clone());
            hold(Holder::Place(place.clone()), on);
        }
    }
    // A small part that no record describes is never said to be fitted.
    let all: Option<Vec<When>> = went_on.into_iter().collect();
    let used = all.and_then(|all| all.into_iter().max());
    if let Some(used) = &used {
        for (bag, held) in held.iter_mut() {
            let here = *bag == section.bag && held.when == section.when;
            if here && matches!(held.holder, Holder::Named { .. }) {
                held.emptied.get_or_insert_with(|| used.clone());
            }
        }
    }
    for (hardware, spot) in &section.hardware {
        if hardware.to_buy() || hardware.count() == 0 {
            continue;
        }
        lots.push(Lot {
            hardware: hardware.clone(),
            kind: hardware.fastener(),
            bag: Some(section.bag.clone()),
            holders: holders.clone(),
            kept: section.when.clone(),
            spot: spot.clone(),
            used: used.clone(),
            count: hardware.count(),
            over: 0,
            missing: 0,
            counts: Vec::new(),
        });
    }
}

/// One count at refit, set against the pieces it speaks of. `ours` are the
/// lots of its place.
fn count(
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
            holders: vec![Holder::Place(place.clone())],
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

/// The kind among `lots` that a count means: the same one; else the only one
/// that says all its words, or whose words it says all.
fn alike<'l>(counted: &Hardware, lots: impl Iterator<Item = &'l Lot>) -> Option<Fastener> {
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

/// Pieces and parts of each bag, parted into fillings.
fn fill(lots: Vec<Lot>, held: Vec<(Label, Held)>) -> Vec<Filling> {
    enum Put {
        Part(Held),
        Pieces(Box<Lot>),
    }
    let mut puts: BTreeMap<String, (Label, Vec<Put>)> = BTreeMap::new();
    let mut put = |label: &Label, put: Put| {
        let of = puts
            .entry(label.key().to_owned())
            .or_insert_with(|| (label.clone(), Vec::new()));
        of.1.push(put);
    };
    for (label, held) in held {
        put(&label, Put::Part(held));
    }
    for lot in lots {
        if let Some(label) = lot.bag.clone() {
            put(&label, Put::Pieces(Box::new(lot)));
        }
    }
    let when = |put: &Put| match put {
        Put::Part(held) => (held.when.clone(), held.spot.clone()),
        Put::Pieces(lot) => (lot.kept.clone(), lot.spot.clone()),
    };
    let mut fillings = Vec::new();
    for (label, mut puts) in puts.into_values() {
        puts.sort_by_cached_key(when);
        let mut open = Filling {
            bag: label,
            number: 1,
            stored: None,
            held: Vec::new(),
            lots: Vec::new(),
        };
        for put in puts {
            let (begins, _) = when(&put);
            // What was missing at refit belongs to what was used then.
            let comes = !matches!(&put, Put::Pieces(lot) if lot.count == 0);
            if comes && open.emptied().is_some_and(|emptied| *emptied < begins) {
                let next = Filling {
                    number: open.number + 1,
                    held: Vec::new(),
                    lots: Vec::new(),
                    ..open.clone()
                };
                fillings.push(std::mem::replace(&mut open, next));
            }
            match put {
                Put::Part(held) => open.hold(held),
                Put::Pieces(lot) => open.lots.push(*lot),
            }
        }
        fillings.push(open);
    }
    fillings.sort_by(|a, b| by_label(a.bag.key(), b.bag.key()).then(a.number.cmp(&b.number)));
    fillings
}

impl Filling {
    /// One more part; the same part only once.
    fn hold(&mut self, held: Held) {
        match self
            .held
            .iter_mut()
            .find(|known| known.holder == held.holder)
        {
            Some(known) => known.emptied = known.emptied.take().and(held.emptied),
            None => self.held.push(held),
        }
    }
}

/// A bag with parts of two vehicles at the same time.
fn two_vehicles(filling: &Filling, problems: &mut Vec<Problem>) {
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
    use super::*;

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
