//! The tests that look at the program from outside, in one binary.

mod cautions;
mod demo;
mod docs;
mod faults;
mod formats;
mod malformed;
mod needs;
mod recap;
mod refit;
mod support;
mod tally;
mod torque;
