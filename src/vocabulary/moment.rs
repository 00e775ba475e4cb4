//! A moment by some clock, as one number that can be compared and stored.
//!
//! Days, and what a person calls a time, are read in `day_reading`.

use std::time::{SystemTime, UNIX_EPOCH};

/// Nanoseconds since 1970; before it they are negative, and beyond what fits the
/// nearest that does.
#[must_use]
pub fn nanoseconds(moment: SystemTime) -> i64 {
    match moment.duration_since(UNIX_EPOCH) {
        Ok(after) => i64::try_from(after.as_nanos()).unwrap_or(i64::MAX),
        Err(before) => i64::try_from(before.duration().as_nanos()).map_or(i64::MIN, |ns| -ns),
    }
}
