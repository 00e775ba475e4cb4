//! Plain values of the trade: names, positions, statuses, money, hours, words.
//!
//! Everything here is a value or a pure function on values. Nothing knows
//! where a text came from, what a ledger is, or how an answer is shown.

pub mod day;
pub mod fastener;
pub mod fraction;
pub mod frame_rate;
pub mod grade;
pub mod hardware;
pub mod hours;
pub mod label;
pub mod moment;
pub mod money;
pub mod name;
pub mod paper;
pub mod position;
pub mod record_name;
pub mod reference;
pub mod refusal;
pub mod size;
pub mod spoken;
pub mod status;
pub mod thread;
pub mod thread_reading;
pub mod thread_series;
pub mod torque;
pub mod torque_unit;
pub mod words;
