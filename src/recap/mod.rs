//! Telling: from what was written down to the draft of an episode.
//!
//! Sentences are chosen, never made up: everything a draft says stands in an
//! entry or was computed by a report. The person chooses, by marks or by ticking an
//! outline; where they did not, a few measures propose. What a draft looks
//! like on paper or on a page is for `presentation` to say; where episodes lie, for
//! `journal`.

mod chapters;
mod choose;
mod compose;
mod draft;
mod drafted;
mod edited;
mod edited_outline;
mod frame;
mod material;
mod moments;
mod outline;
mod people;
mod ranking;
mod request;
mod shots;
mod source;
mod ties;
mod warn;

pub use draft::{
    Appearing, Chapter, ChapterRole, DraftParagraph, EpisodeDraft, Line, Photo, Shot,
    StatementOrigin,
};
pub use drafted::{Drafted, draft};
pub use edited::{edited, inside_journal};
pub use edited_outline::{Ticks, read_sheet};
pub use material::{Material, material};
pub use moments::Moment;
pub use outline::{Outline, OutlineRow, Untold, untold};
pub use ranking::words_weighed;
pub use request::Request;
pub use shots::shots;
pub use source::RecapSource;
