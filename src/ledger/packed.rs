//! The events of a whole journal, held until the last entry is read: packed and
//! compressed they take a twentieth of the memory.
//!
//! Nothing of this is stored.

use std::collections::HashMap;
use std::mem;

use super::event::{PlaceEvent, PlaceEventKind, PlaceRecord};
use super::place::{PlaceKey, RecordTime};

/// Events by place, in groups of places that are taken out one group after another.
pub struct WaitingEvents {
    /// The group of a place.
    group_of: fn(&str) -> u64,
    groups: HashMap<u64, EventGroup>,
    /// The events of one group by place, so far as they are unpacked.
    open: (u64, HashMap<String, Vec<PlaceEvent>>),
}

/// The events of the places of one group.
#[derive(Default)]
struct EventGroup {
    /// Records, one behind the other.
    packed: Vec<u8>,
    /// The same, compressed as they became many.
    compressed: Vec<Vec<u8>>,
    /// What is no record: very little.
    others: Vec<PlaceEvent>,
}

/// So many bytes of a group are compressed at once.
const BLOCK: usize = 32_000;

impl WaitingEvents {
    /// None yet. Places for which `group_of` says the same are of one group.
    #[must_use]
    pub fn new(group_of: fn(&str) -> u64) -> WaitingEvents {
        WaitingEvents {
            group_of,
            groups: HashMap::new(),
            open: (u64::MAX, HashMap::new()),
        }
    }

    /// Puts an event in.
    pub fn put(&mut self, event: PlaceEvent) {
        let place = event.place.to_string();
        let group = self.groups.entry((self.group_of)(&place)).or_default();
        let PlaceEvent { when, what, .. } = event;
        match what {
            PlaceEventKind::Record(mut record) => {
                // All of it stands in one file, whose name the moment says.
                name_file(&mut record, "");
                // Writing plain values into memory cannot fail.
                let bytes = postcard::to_stdvec(&(place, when, record)).unwrap_or_default();
                group.packed.extend(bytes);
                if group.packed.len() > BLOCK {
                    let packed = mem::take(&mut group.packed);
                    let block = lz4_flex::compress_prepend_size(&packed);
                    group.compressed.push(block);
                }
            }
            PlaceEventKind::MovedTo { .. } | PlaceEventKind::InBag { .. } => {
                group.others.push(PlaceEvent {
                    place: event.place,
                    when,
                    what,
                });
            }
        }
    }

    /// Takes the events of a place out. Those of the group before that are lost when
    /// a place of another group is asked for.
    pub fn take(&mut self, place: &PlaceKey) -> Vec<PlaceEvent> {
        let key = place.to_string();
        let group = (self.group_of)(&key);
        if self.open.0 != group {
            self.open = (group, HashMap::new());
        }
        let events = &mut self.open.1;
        if let Some(group) = self.groups.remove(&group) {
            let blocks = group.compressed.iter();
            let blocks = blocks.filter_map(|block| lz4_flex::decompress_size_prepended(block).ok());
            for block in blocks.chain([group.packed]) {
                unpack(&block, events);
            }
            for event in group.others {
                let own = events.entry(event.place.to_string()).or_default();
                own.push(event);
            }
        }
        events.remove(&key).unwrap_or_default()
    }
}

/// Adds the records in these bytes to the events of their places.
fn unpack(mut packed: &[u8], events: &mut HashMap<String, Vec<PlaceEvent>>) {
    while let Ok((event, rest)) = postcard::take_from_bytes(packed) {
        let (place, when, mut record): (String, RecordTime, Box<PlaceRecord>) = event;
        packed = rest;
        name_file(&mut record, &when.entry);
        if let Some(key) = PlaceKey::from_text(&place) {
            events.entry(place).or_default().push(PlaceEvent {
                place: key,
                when,
                what: PlaceEventKind::Record(record),
            });
        }
    }
}

/// Puts a name into each spot of a record.
fn name_file(record: &mut PlaceRecord, file: &str) {
    file.clone_into(&mut record.spot.file);
    for stated in &mut record.facts {
        file.clone_into(&mut stated.spot.file);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::entry::{Context, Vehicle, read_file};
    use crate::ledger::{Aliases, events};
    use crate::vocabulary::money::Currency;
    use crate::vocabulary::position::Driven;

    /// The events of an entry with this many records of one part, and one of another.
    fn of_entry(path: &str, records: usize) -> Vec<PlaceEvent> {
        let record = "## Horn, left\n\n- status: removed\n- found: rust under the bracket\n\n";
        let text = format!(
            "---\ndate: 2026-03-14\nvehicle: wren\n---\n\n# A day\n\n{}## Lamp\n\n- status: fitted\n",
            record.repeat(records)
        );
        let context = Context {
            systems: Vec::new(),
            vehicles: vec![Vehicle {
                slug: "wren".to_owned(),
                name: "Wren".to_owned(),
                driven: Driven::Unsaid,
            }],
            currency: Currency::EUR,
        };
        let (entry, _) = read_file(path, &text, &context);
        events(&entry, &Aliases::of(&[]))
    }

    #[test]
    fn what_was_put_in_comes_out_again() {
        // Many enough that some are compressed.
        let all = of_entry("entries/a.md", 400);
        for group_of in [(|_| 0) as fn(&str) -> u64, |place| {
            u64::from(place.contains("horn"))
        }] {
            let mut waiting = WaitingEvents::new(group_of);
            all.iter().for_each(|event| waiting.put(event.clone()));
            assert!(
                waiting
                    .groups
                    .values()
                    .any(|group| !group.compressed.is_empty())
            );
            let (horn, lamp) = (&all[0].place, &all[all.len() - 1].place);
            let out = waiting.take(horn);
            let lines = |events: &[PlaceEvent]| -> Vec<RecordTime> {
                events.iter().map(|event| event.when.clone()).collect()
            };
            assert_eq!(lines(&out), lines(&all[..all.len() - 1]));
            assert_eq!(format!("{:?}", out[7]), format!("{:?}", all[7]));
            // What is read late counts too, also for a group under way.
            of_entry("entries/b.md", 1)
                .into_iter()
                .for_each(|event| waiting.put(event));
            assert_eq!(waiting.take(lamp).len(), 2);
            assert!(waiting.take(lamp).is_empty());
        }
    }
}
