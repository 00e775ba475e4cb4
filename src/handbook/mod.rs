//! Facts of the trade: which words shops use for the same thing, and what can
//! hurt someone.
//!
//! Data and pure functions on it. Nothing here knows the journal, and no figure
//! stands here without its source.

pub mod cautions;
pub mod shop_words;
pub mod units;
