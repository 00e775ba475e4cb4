//! Events as bytes, for whoever has to hold those of a whole journal until the last
//! entry is read: they take a tenth of the memory.
//!
//! Nothing of this is stored.

use super::event::{Event, PlaceRecord, What};
use super::place::{PlaceKey, When};

/// An event of a place, packed if it is a record: nearly all are.
#[derive(Clone, Debug)]
pub struct PackedEvent(Packed);

#[derive(Clone, Debug)]
enum Packed {
    Record(Box<[u8]>),
    Other(Box<Event>),
}

impl PackedEvent {
    /// Packs an event.
    #[must_use]
    pub fn of(event: Event) -> PackedEvent {
        let Event { place, when, what } = event;
        PackedEvent(match what {
            What::Record(mut record) => {
                // All of it stands in one file, whose name the moment says.
                name_file(&mut record, "");
                // Writing plain values into memory cannot fail.
                let bytes = postcard::to_stdvec(&(&when, &record)).unwrap_or_default();
                Packed::Record(bytes.into_boxed_slice())
            }
            What::MovedTo { .. } | What::InBag { .. } => {
                Packed::Other(Box::new(Event { place, when, what }))
            }
        })
    }

    /// The event, as it was; it is one of `place`.
    #[must_use]
    pub fn event(self, place: &PlaceKey) -> Option<Event> {
        match self.0 {
            Packed::Other(event) => Some(*event),
            Packed::Record(bytes) => {
                let (when, mut record): (When, PlaceRecord) = postcard::from_bytes(&bytes).ok()?;
                name_file(&mut record, &when.entry);
                Some(Event {
                    place: place.clone(),
                    when,
                    what: What::Record(Box::new(record)),
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
