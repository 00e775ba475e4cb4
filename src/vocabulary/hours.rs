//! Time worked, exact, in whole minutes.
//!
//! How it is written is read in `hours_reading`.

use serde::{Deserialize, Serialize};
use std::fmt;

/// A duration in whole minutes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Minutes(pub u32);

impl Minutes {
    /// Both together; stays at the largest number there is.
    #[must_use]
    pub const fn plus(self, other: Minutes) -> Minutes {
        Minutes(self.0.saturating_add(other.0))
    }
}

impl fmt::Display for Minutes {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{:02}", self.0 / 60, self.0 % 60)
    }
}
