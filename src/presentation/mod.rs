//! From values to what a person or a program reads: terminal text, JSON, CSV,
//! pages.
//!
//! It opens nothing and prints nothing: every function takes a finished answer
//! and returns text. Colours are decided in `colours` alone.

pub mod bags;
pub mod calendar;
pub mod cautions;
pub mod colours;
pub mod csv_table;
pub mod find;
pub mod json;
pub mod labels;
pub mod needs;
pub mod page;
pub mod part;
pub mod past;
pub mod picture;
pub mod problems;
pub mod purchases;
pub mod recap;
pub mod refit;
pub mod replaced;
pub mod tally;
pub mod text;
pub mod torque;
pub mod torque_json;
pub mod understood;
