//! Questions put to the ledger.
//!
//! A report is a value: what it says and where that stands. How it looks is
//! decided in `presentation`.

mod bag_story;
pub mod bags;
pub mod cautions;
pub mod changes;
pub mod check;
pub mod commit_message;
pub mod general_torque;
pub mod kept_entry;
pub mod known_cautions;
pub mod known_names;
pub mod lacking;
pub mod loans;
pub mod months;
pub mod needs;
pub mod parts;
pub mod parts_off;
pub mod pictures;
pub mod purchases;
pub mod refit;
mod renames;
pub mod replaced;
pub mod spending;
pub mod summary;
pub mod tally;
pub mod torque;
pub mod understood;
pub mod whole;
pub mod whole_journal;
