//! Telling: from what was written down to the draft of an episode.
//!
//! Sentences are chosen, never made up: everything a draft says stands in an
//! entry or was computed by a report. What a draft looks like on paper or on a
//! page is for `presentation` to say; where episodes lie, for `journal`.

mod aims;
mod causes;
mod choose;
mod compose;
mod draft;
mod edited;
mod ends;
mod evidence;
mod frame;
mod groups;
mod leaning;
mod material;
mod moments;
mod next;
mod numbers;
mod often;
mod people;
mod pointing;
mod presumed;
mod rank;
mod recap;
mod sentences;
mod shots;
mod signs;
mod speech;
mod starts;
mod titles;
mod untold;
mod warn;
mod weigh;
mod work;

pub use draft::{Chapter, Draft, Line, Origin, Paragraph, Part, Photo, Shot};
pub use edited::{Known, edited, inside_journal};
pub use material::{Material, Source};
pub use recap::{Drafted, Request, Weighed};
pub use shots::shots;
pub use speech::in_full;
pub use untold::{Untold, untold};
