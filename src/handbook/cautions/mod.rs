//! Cautions: the hazards of this work, and the facts and words that raise them.
//!
//! Which hazard a text raises is a guess from its words; a miss is possible and
//! no text is ever safe because nothing was recognised.

mod hazard;
mod likelihood;
mod part_names;
mod recognise;
mod sentences;

pub use hazard::{ALL, Caution, CautionSource, Hazard, SAFETY};
pub use likelihood::seen;
pub use recognise::{CautionText, PartContext, RecognisedHazard, recognise};
