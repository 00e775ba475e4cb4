//! Events as bytes, for whoever has to hold those of a whole journal until the last
//! entry is read: they take a tenth of the memory.
//!
//! Nothing of this is stored.

use super::event::{PlaceEvent, PlaceEventKind, PlaceRecord};
use super::place::{PlaceKey, RecordTime};

/// An event of a place, packed if it is a record: nearly all are.
#[derive(Clone, Debug)]
pub struct PackedEvent(Packed);

#[derive(Clone, Debug)]
enum Packed {
    Record(Box<[u8]>),
    Other(Box<PlaceEvent>),
}

impl PackedEvent {
    /// Packs an event.
    #[must_use]
    pub fn of(event: PlaceEvent) -> PackedEvent {
        let PlaceEvent { place, when, what } = event;
        PackedEvent(match what {
            PlaceEventKind::Record(mut record) => {
                // All of it stands in one file, whose name the moment says.
                name_file(&mut record, "");
                // Writing plain values into memory cannot fail.
                let bytes = postcard::to_stdvec(&(&when, &record)).unwrap_or_default();
                Packed::Record(bytes.into_boxed_slice())
            }
            PlaceEventKind::MovedTo { .. } | PlaceEventKind::InBag { .. } => {
                Packed::Other(Box::new(PlaceEvent { place, when, what }))
            }
        })
    }

    /// The event, as it was; it is one of `place`.
    #[must_use]
    pub fn event(self, place: &PlaceKey) -> Option<PlaceEvent> {
        match self.0 {
            Packed::Other(event) => Some(*event),
            Packed::Record(bytes) => {
                let (when, mut record): (RecordTime, PlaceRecord) =
                    postcard::from_bytes(&bytes).ok()?;
                name_file(&mut record, &when.entry);
                Some(PlaceEvent {
                    place: place.clone(),
                    when,
                    what: PlaceEventKind::Record(Box::new(record)),
                })
            }
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
