//! The tests that look at the program from outside, in one binary.

mod demo;
mod docs;
mod faults;
mod formats;
mod malformed;
mod support;
mod torque;
