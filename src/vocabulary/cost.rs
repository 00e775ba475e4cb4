//! What something cost: an amount, and what it was for.
//!
//! How a line of cost is read is decided in `cost_reading`.

use serde::{Deserialize, Serialize};

use super::money::Money;

/// An amount with the words that stand with it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Cost {
    /// How much.
    pub money: Money,
    /// What it was for; may be empty.
    pub text: String,
}
