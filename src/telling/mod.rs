//! Telling: from what was written down to the draft of an episode.
//!
//! Sentences are chosen, never made up: everything a draft says stands in an
//! entry or was computed by a report. What a draft looks like on paper or on a
//! page is for `presentation` to say; where episodes lie, for `journal`.

mod choose;
mod compose;
mod draft;
mod frame;
mod material;
mod rank;
mod recap;
mod sentences;
mod signs;
mod speech;
mod weigh;

pub use compose::{by_entry, name};
pub use draft::{Chapter, Draft, Line, Origin, Paragraph, Part, Photo, Shot};
pub use material::{Material, Moment, Source, Voice};
pub use rank::text_rank;
pub use recap::{Request, Weighed};
pub use sentences::{sentences, spoken_words};
pub use speech::in_full;
pub use weigh::Worth;
