//! Bags: whose hardware, what went in, what was used, left, short.
//!
//! What each bag comes to is reckoned in `ledger`; here it is summed by kind
//! and told part by part. What to buy is asked in [`super::purchases`].

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;

pub use super::bag_story::Happened;
use super::bag_story::happened;
use super::parts::{standing, status_word};
use crate::ledger::{BagLedger, Filling, Held, Holder, Ledger, Lot, PlaceState, by_label, holders};
use crate::problem::Problem;
use crate::vocabulary::fastener::Fastener;
use crate::vocabulary::hardware::PurchaseMark;
use crate::vocabulary::words::fold;

/// One filling of a bag, with those before it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bag {
    /// Its number or words.
    pub label: String,
    /// Which filling this is, from 1.
    pub filling: usize,
    /// The vehicles whose hardware it holds; more than one is a slip.
    pub vehicles: Vec<String>,
    /// The shelf on which the bag is, if that was said.
    pub stored: Option<String>,
    /// Its parts.
    pub parts: Vec<BagPart>,
    /// Its pieces, summed by kind, size and grade.
    pub pieces: Vec<BagItem>,
    /// The day it was begun.
    pub since: Option<Date>,
    /// The day the last of its parts was on again.
    pub emptied: Option<Date>,
    /// What happened to it, each with its record; empty unless asked for.
    pub entries: Vec<Happened>,
    /// Its earlier fillings, oldest first.
    pub earlier: Vec<Bag>,
}

/// A part whose hardware is or was in a bag.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BagPart {
    /// The vehicle.
    pub vehicle: String,
    /// The name.
    pub name: String,
    /// Where it sits; empty where there is only one.
    pub at: String,
    /// Where it stands, in a word; `None` for a part that only the bag names.
    pub status: Option<String>,
    /// The day it took its hardware out again.
    pub on_since: Option<Date>,
}

impl BagPart {
    /// Name and position.
    #[must_use]
    pub fn label(&self) -> String {
        if self.at.is_empty() {
            self.name.clone()
        } else {
            format!("{}, {}", self.name, self.at)
        }
    }
}

/// Pieces of one kind, size and grade. Of each, `put_in + short` is
/// `used + left`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BagItem {
    /// Which.
    pub kind: Fastener,
    /// Notes that were written behind them.
    pub notes: Vec<String>,
    /// How many went in.
    pub put_in: u64,
    /// How many hold something again.
    pub used: u64,
    /// How many are still there.
    pub left: u64,
    /// How many were missing at refit.
    pub short: u64,
    /// How many are not in the bag, as new ones belong there.
    pub new: u64,
    /// Why.
    pub marks: Vec<PurchaseMark>,
}

impl BagItem {
    fn of(kind: &Fastener) -> BagItem {
        BagItem {
            kind: kind.clone(),
            notes: Vec::new(),
            put_in: 0,
            used: 0,
            left: 0,
            short: 0,
            new: 0,
            marks: Vec::new(),
        }
    }

    /// Kind, size, grade and notes as they are read.
    #[must_use]
    pub fn words(&self) -> String {
        let mut words = self.kind.to_string();
        if !self.notes.is_empty() {
            words.push_str(&format!(" ({})", self.notes.join("; ")));
        }
        words
    }
}

/// The bags, and what is said about hardware besides.
#[derive(Clone, Debug, Default)]
pub struct BagsReport {
    /// The bags, as a person sorts labels.
    pub bags: Vec<Bag>,
    /// Hardware of parts that are off, in no bag.
    pub loose: Vec<Loose>,
    /// Two vehicles in a bag, more left over than came.
    pub problems: Vec<Problem>,
}

/// Hardware of a part that is in no bag.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Loose {
    /// The part.
    pub part: BagPart,
    /// How many.
    pub pieces: u64,
    /// Which.
    pub kind: Fastener,
    /// The entry.
    pub entry: String,
    /// The line in it.
    pub line: u32,
}

/// Which parts a question is about.
pub struct PartSelection<'a> {
    /// The parts that are wanted.
    pub wanted: &'a dyn Fn(&PlaceState) -> bool,
    /// Whether everything of a vehicle is wanted, parts included that only a
    /// bag names.
    pub whole_vehicle: &'a dyn Fn(&str) -> bool,
    /// Whether it is asked what happened to each bag.
    pub with_entries: bool,
}

/// All bags that hold or held hardware of wanted parts.
#[must_use]
pub fn bags(ledger: &Ledger, asked: &PartSelection<'_>) -> BagsReport {
    let reckoned = BagLedger::reckon(ledger);
    let mut by_bag: BTreeMap<&str, Vec<Bag>> = BTreeMap::new();
    for filling in &reckoned.fillings {
        by_bag.entry(filling.bag.key()).or_default().push(told(
            ledger,
            filling,
            asked.with_entries,
        ));
    }
    let mut bags: Vec<(&str, Bag)> = by_bag
        .into_iter()
        .filter_map(|(key, mut fillings)| {
            let mut last = fillings.pop()?;
            last.earlier = fillings;
            Some((key, last))
        })
        .collect();
    let mine: BTreeSet<&str> = reckoned
        .fillings
        .iter()
        .filter(|filling| is_asked(ledger, filling, asked))
        .map(|filling| filling.bag.key())
        .collect();
    bags.retain(|(key, _)| mine.contains(key));
    bags.sort_by(|a, b| by_label(a.0, b.0));
    BagsReport {
        bags: bags.into_iter().map(|(_, bag)| bag).collect(),
        loose: loose(ledger, &reckoned.loose, asked),
        problems: reckoned.problems,
    }
}

fn is_asked(ledger: &Ledger, filling: &Filling, asked: &PartSelection<'_>) -> bool {
    let held = filling.held.iter().map(|held| &held.holder);
    let mut any = false;
    for holder in held.chain(holders(filling.lots.iter())) {
        any = true;
        let wanted = match holder {
            Holder::Place(key) => ledger
                .places
                .get(key)
                .is_some_and(|state| (asked.wanted)(state)),
            Holder::Named { vehicle, .. } => (asked.whole_vehicle)(vehicle),
        };
        if wanted {
            return true;
        }
    }
    // A bag of pieces that are nobody's belongs to no vehicle in particular.
    !any && (asked.whole_vehicle)("")
}

/// The bag of this label, among all.
#[must_use]
pub fn named<'b>(bags: &'b [Bag], label: &str) -> Option<&'b Bag> {
    let wanted = fold(label);
    bags.iter().find(|bag| fold(&bag.label) == wanted)
}

/// A part as the ledger has it.
fn part(ledger: &Ledger, holder: &Holder, on_since: Option<Date>) -> BagPart {
    match holder {
        Holder::Place(key) => {
            let state = ledger.places.get(key);
            BagPart {
                vehicle: key.vehicle.clone(),
                name: state.map_or(&key.name, |state| &state.name).clone(),
                at: key.at.clone(),
                status: state.map(|state| status_word(state, ledger).to_owned()),
                on_since,
            }
        }
        Holder::Named { vehicle, part } => BagPart {
            vehicle: vehicle.clone(),
            name: part.clone(),
            at: String::new(),
            status: None,
            on_since,
        },
    }
}

/// A filling, summed and told.
fn told(ledger: &Ledger, filling: &Filling, with_entries: bool) -> Bag {
    let parts: Vec<BagPart> = filling
        .held
        .iter()
        .map(|held| {
            let on_since = held.emptied.as_ref().map(|when| when.date);
            part(ledger, &held.holder, on_since)
        })
        .collect();
    Bag {
        label: filling.bag.written().to_owned(),
        filling: filling.number,
        vehicles: filling.vehicles().into_iter().map(str::to_owned).collect(),
        stored: filling.stored.clone(),
        parts,
        pieces: pieces(ledger, filling),
        since: filling.begun().map(|when| when.date),
        emptied: filling.emptied().map(|when| when.date),
        entries: match with_entries {
            true => happened(ledger, filling),
            false => Vec::new(),
        },
        earlier: Vec::new(),
    }
}

fn pieces(ledger: &Ledger, filling: &Filling) -> Vec<BagItem> {
    let mut summed: BTreeMap<Fastener, BagItem> = BTreeMap::new();
    let mut order: Vec<Fastener> = Vec::new();
    let mut add = |kind: &Fastener, add: &dyn Fn(&mut BagItem)| {
        if !summed.contains_key(kind) {
            order.push(kind.clone());
        }
        add(summed
            .entry(kind.clone())
            .or_insert_with(|| BagItem::of(kind)));
    };
    for lot in &filling.lots {
        add(&lot.kind, &|piece| {
            piece.put_in += u64::from(lot.put_in());
            piece.used += u64::from(lot.used());
            piece.left += u64::from(lot.left());
            piece.short += u64::from(lot.short());
            let note = lot.hardware.note.clone().filter(|note| !note.is_empty());
            if let Some(note) = note.filter(|note| !piece.notes.contains(note)) {
                piece.notes.push(note);
            }
        });
    }
    for (hardware, _) in filling.held.iter().flat_map(|held| beside(ledger, held)) {
        add(&hardware.fastener(), &|piece| {
            piece.new += u64::from(hardware.count());
            for mark in &hardware.marks {
                if !piece.marks.contains(mark) {
                    piece.marks.push(*mark);
                }
            }
        });
    }
    let mut pieces: Vec<BagItem> = order
        .iter()
        .filter_map(|kind| summed.remove(kind))
        .collect();
    // What is in the bag first, then what has to be got besides.
    pieces.sort_by_key(|piece| piece.put_in == 0 && piece.short == 0);
    pieces
}

/// Pieces that the record that filled the bag says are to be got new.
fn beside<'l>(
    ledger: &'l Ledger,
    held: &Held,
) -> Vec<(&'l crate::vocabulary::hardware::Hardware, &'l str)> {
    let Holder::Place(key) = &held.holder else {
        return Vec::new();
    };
    let Some(state) = ledger.places.get(key) else {
        return Vec::new();
    };
    state
        .hardware
        .iter()
        .filter(|pieces| pieces.hardware.to_buy() && pieces.kept == held.when)
        .map(|pieces| (&pieces.hardware, pieces.spot.file.as_str()))
        .collect()
}

/// Pieces of wanted parts that are off, in no bag.
fn loose(ledger: &Ledger, lots: &[Lot], asked: &PartSelection<'_>) -> Vec<Loose> {
    let waiting = lots.iter().filter(|lot| lot.left() > 0);
    waiting
        .filter_map(|lot| {
            let holder = lot.holders.first()?;
            let Holder::Place(key) = holder else {
                return None;
            };
            let state = ledger.places.get(key)?;
            let is_on = standing(state, ledger).known.is_some_and(|status| {
                status.is_on() && status != crate::vocabulary::status::Status::Undone
            });
            let over = lot.used.is_some();
            ((over || !is_on) && (asked.wanted)(state)).then(|| Loose {
                part: part(ledger, holder, lot.used.as_ref().map(|used| used.date)),
                pieces: u64::from(lot.left()),
                kind: lot.kind.clone(),
                entry: lot.spot.file.clone(),
                line: lot.spot.line,
            })
        })
        .collect()
}
