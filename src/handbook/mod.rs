//! Facts of the trade: shop words, threads, strength, torque, units, and what
//! can hurt someone.
//!
//! Data and pure functions on it. Nothing here knows the journal, and no figure
//! stands here without its source.

pub mod cautions;
pub mod heading;
pub mod odd_sizes;
pub mod parts;
pub mod restricted;
pub mod shop_words;
pub mod strength;
pub mod threads;
pub mod tightening;
pub mod tools;
pub mod units;
pub mod vin;
