//! Plain values of the trade: names, positions, statuses, money, hours, words.
//!
//! Everything here is a value or a pure function on values. Nothing knows
//! where a text came from, what a ledger is, or how an answer is shown.

pub mod words;
