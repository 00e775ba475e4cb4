//! From the records of an entry to what happens to each place.
//!
//! One record may speak of several places; here it is divided. What an event
//! does to a place is decided in `fold`.

use std::collections::BTreeSet;
use std::ops::Range;
use std::sync::Arc;

use serde::{Deserialize, Serialize};

use super::aliases::{Aliases, key};
use super::bags::BagSection;
use super::place::{PlaceKey, RecordTime, file_number};
use super::state::InSection;
use crate::entry::{BagFilling, Entry, Fact, Record, Stated, UnitOrigin};
use crate::problem::Spot;
use crate::vocabulary::cost::Cost;
use crate::vocabulary::fastener::Fastener;
use crate::vocabulary::hardware::{Hardware, share};
use crate::vocabulary::hours::Minutes;
use crate::vocabulary::label::BagLabel;
use crate::vocabulary::name::Name;
use crate::vocabulary::position::{Position, places};
use crate::vocabulary::status::Status;
use crate::vocabulary::system_source::SystemSource;

/// Something that happens to one place.
#[derive(Clone, Debug)]
pub struct PlaceEvent {
    /// The place.
    pub place: PlaceKey,
    /// When.
    pub when: RecordTime,
    /// What.
    pub what: PlaceEventKind,
}

impl PlaceEvent {
    /// Puts events in the order in which they happen. Of one moment, a unit moves away
    /// before a record brings the next: a part can come from its own place.
    pub fn in_order(events: &mut [PlaceEvent]) {
        let is_record = |event: &PlaceEvent| matches!(event.what, PlaceEventKind::Record(_));
        events.sort_by(|a, b| {
            let when = a.when.cmp(&b.when);
            when.then_with(|| is_record(a).cmp(&is_record(b)))
        });
    }
}

/// What happens.
#[derive(Clone, Debug)]
pub enum PlaceEventKind {
    /// A record speaks of the place.
    Record(Box<PlaceRecord>),
    /// Its unit moves to a place on another vehicle.
    MovedTo {
        /// That place, as it would be written.
        to: String,
        /// Where this is said.
        spot: Spot,
    },
    /// A bag section says that its hardware is in that bag.
    InBag {
        /// The bag.
        bag: BagLabel,
        /// Where it names the place.
        spot: Spot,
        /// What else it says.
        section: Arc<InSection>,
        /// All kinds that are counted in it, however many.
        kinds: Arc<BTreeSet<Fastener>>,
    },
}

/// A record's share for one place.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct PlaceRecord {
    /// The part's name as written here.
    pub name: Name,
    /// The position.
    pub at: Position,
    /// The system, and who says it.
    pub system: Option<(String, SystemSource)>,
    /// The status of the front matter, if the record does not take it over.
    pub status_not_taken: Option<Status>,
    /// The facts; amounts are this place's share.
    pub facts: Vec<Stated>,
    /// Where it stands.
    pub spot: Spot,
    /// The bytes of its prose in the entry.
    pub prose: Range<u32>,
}

/// All events of an entry. Records without a day or a vehicle make none: their
/// entry has a problem that says so.
#[must_use]
pub fn events(entry: &Entry, aliases: &Aliases) -> Vec<PlaceEvent> {
    let mut events = Vec::new();
    for record in &entry.records {
        let Some(vehicle) = record.vehicle.as_deref() else {
            continue;
        };
        let Some(when) = when(entry, record.date, record.spot.line) else {
            continue;
        };
        for own in shares(entry, record) {
            events.extend(moves(&own, vehicle, &when, aliases));
            events.push(PlaceEvent {
                place: key(vehicle, &record.name, &own.at, aliases),
                when: when.clone(),
                what: PlaceEventKind::Record(Box::new(own)),
            });
        }
    }
    for bag in &entry.bags {
        let (Some(when), Some(vehicle)) =
            (when(entry, bag.date, bag.spot.line), bag.vehicle.as_deref())
        else {
            continue;
        };
        let section = Arc::new(in_section(entry, bag));
        let counted = bag.hardware.iter().map(|(hardware, _)| hardware);
        let counted = counted.filter(|hardware| !hardware.to_buy());
        let kinds: Arc<BTreeSet<Fastener>> = Arc::new(counted.map(Hardware::fastener).collect());
        for (part, spot) in &bag.holds {
            events.push(PlaceEvent {
                place: key(vehicle, &part.name, &part.at, aliases),
                when: RecordTime {
                    line: spot.line,
                    ..when.clone()
                },
                what: PlaceEventKind::InBag {
                    bag: bag.label.clone(),
                    spot: in_file(entry, spot),
                    section: Arc::clone(&section),
                    kinds: Arc::clone(&kinds),
                },
            });
        }
    }
    events
}

/// The most parts and kinds of a bag section that each of its parts keeps: a
/// list as long as a book would be kept as often as it has parts.
const MOST_IN_SECTION: usize = 40;

fn in_section(entry: &Entry, bag: &BagFilling) -> InSection {
    let pieces = bag.hardware.iter().map(|(hardware, _)| hardware);
    let parts = bag.holds.iter().map(|(part, _)| part);
    InSection {
        spot: in_file(entry, &bag.spot),
        hardware: pieces.take(MOST_IN_SECTION).cloned().collect(),
        holds: parts.take(MOST_IN_SECTION).cloned().collect(),
    }
}

/// The sections of an entry about whole bags, with their moments; those
/// without a day are left out, as records are.
pub fn bag_sections(entry: &Entry) -> impl Iterator<Item = BagSection> {
    entry.bags.iter().filter_map(|bag| {
        let placed = |spot: &Spot| in_file(entry, spot);
        Some(BagSection {
            bag: bag.label.clone(),
            vehicle: bag.vehicle.clone(),
            when: when(entry, bag.date, bag.spot.line)?,
            spot: placed(&bag.spot),
            stored: bag.stored.clone(),
            holds: bag
                .holds
                .iter()
                .map(|(part, spot)| (part.clone(), placed(spot)))
                .collect(),
            hardware: bag
                .hardware
                .iter()
                .map(|(hardware, spot)| (hardware.clone(), placed(spot)))
                .collect(),
        })
    })
}

pub(super) fn in_file(entry: &Entry, spot: &Spot) -> Spot {
    Spot {
        file: entry.path.clone(),
        ..spot.clone()
    }
}

/// A record's share for each of the places it speaks of.
pub fn shares<'e>(
    entry: &'e Entry,
    record: &'e Record,
) -> impl Iterator<Item = PlaceRecord> + use<'e> {
    let places = places(&record.at);
    let divide = |(index, at)| divided(entry, record, at, (index, places.len()));
    places.iter().enumerate().map(divide)
}

/// The moment of what an entry says on a line, about a day; its hour is that of
/// the session, if that was on the same day.
#[must_use]
pub fn when(entry: &Entry, date: Option<jiff::civil::Date>, line: u32) -> Option<RecordTime> {
    Some(RecordTime {
        date: date?,
        time: entry.time.filter(|_| date == entry.date),
        number: file_number(&entry.path),
        entry: entry.path.clone(),
        line,
    })
}

/// One place's share of a record.
fn divided(entry: &Entry, record: &Record, at: &Position, share: (usize, usize)) -> PlaceRecord {
    // A short form shares its amounts among its parts first.
    let (index, count) = match record.short {
        Some((part, parts)) => (part * share.1 + share.0, parts * share.1),
        None => share,
    };
    let facts = record
        .facts
        .iter()
        .map(|stated| Stated {
            fact: share_of(&stated.fact, index, count),
            spot: in_file(entry, &stated.spot),
            ..stated.clone()
        })
        .collect();
    let byte = |at: usize| u32::try_from(at).unwrap_or(u32::MAX);
    PlaceRecord {
        name: record.name.clone(),
        at: at.clone(),
        system: system_of_place(record, share.0),
        status_not_taken: record.status_not_taken,
        facts,
        spot: in_file(entry, &record.spot),
        prose: byte(record.passage.prose)..byte(record.passage.bytes.end),
    }
}

/// The system of one of a record's places: the one that was said, else the usual one.
fn system_of_place(record: &Record, place: usize) -> Option<(String, SystemSource)> {
    let Some((system, inherited)) = &record.system else {
        let usual = record.usual_systems.get(place)?.clone()?;
        return Some((usual, SystemSource::Assumed));
    };
    let source = match inherited {
        true => SystemSource::Inherited,
        false => SystemSource::Stated,
    };
    Some((system.clone(), source))
}

/// One of `count` equal shares of an amount, the remainder to the first; facts
/// that are no amounts stay whole.
fn share_of(fact: &Fact, index: usize, count: usize) -> Fact {
    if count < 2 {
        return fact.clone();
    }
    let pieces = |hardware: &Hardware| hardware.share(index, count);
    if let Fact::Hardware(hardware) = fact {
        Fact::Hardware(pieces(hardware))
    } else if let Fact::Leftover(hardware) = fact {
        Fact::Leftover(pieces(hardware))
    } else if let Fact::Short(hardware) = fact {
        Fact::Short(pieces(hardware))
    } else if let Fact::Cost(cost) = fact {
        Fact::Cost(share_of_cost(cost, index, count))
    } else if let Fact::Hours(Minutes(total)) = fact {
        Fact::Hours(Minutes(share(*total, index, count)))
    } else if let Fact::ReplacedBy(replacement) = fact {
        let mut own = replacement.clone();
        own.cost = own
            .cost
            .as_ref()
            .map(|cost| share_of_cost(cost, index, count));
        Fact::ReplacedBy(own)
    } else {
        fact.clone()
    }
}

fn share_of_cost(cost: &Cost, index: usize, count: usize) -> Cost {
    let places = i64::try_from(count).unwrap_or(i64::MAX);
    let mut own = cost.clone();
    let remainder = if index == 0 {
        cost.money.minor % places
    } else {
        0
    };
    own.money.minor = cost.money.minor / places + remainder;
    own
}

/// Units that this record brings over from another vehicle.
fn moves<'r>(
    record: &'r PlaceRecord,
    vehicle: &'r str,
    when: &'r RecordTime,
    aliases: &'r Aliases,
) -> impl Iterator<Item = PlaceEvent> + 'r {
    record.facts.iter().filter_map(move |stated| {
        let Fact::ReplacedBy(replacement) = &stated.fact else {
            return None;
        };
        let Some(UnitOrigin::Donor {
            vehicle: donor,
            part,
        }) = &replacement.from
        else {
            return None;
        };
        let at = if record.at.is_empty() {
            String::new()
        } else {
            format!(", {}", record.at)
        };
        Some(PlaceEvent {
            place: key(donor, &part.name, &part.at, aliases),
            when: when.clone(),
            what: PlaceEventKind::MovedTo {
                to: format!("{vehicle}, {}{at}", record.name.written()),
                spot: stated.spot.clone(),
            },
        })
    })
}
