//! The tests that look at the program from outside, in one binary.

mod adopt;
mod bags;
mod cautions;
mod demo;
mod docs;
mod faults;
mod formats;
mod labels;
mod malformed;
mod needs;
mod recap;
mod refit;
mod stored_forms;
mod support;
mod tally;
mod torque;
mod units;
mod write;
