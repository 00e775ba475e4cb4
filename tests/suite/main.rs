//! The tests that look at the program from outside, in one binary.

mod demo;
mod docs;
mod formats;
mod malformed;
