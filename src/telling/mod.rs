//! Telling: from what was written down to the draft of an episode.
//!
//! Sentences are chosen, never made up: everything a draft says stands in an
//! entry or was computed by a report. What a draft looks like on paper or on a
//! page is for `presentation` to say; where episodes lie, for `journal`.

pub mod rank;
pub mod sentences;
