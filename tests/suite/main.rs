//! The tests that look at the program from outside, in one binary.

mod adopt;
mod bags;
mod book;
mod caution_weights;
mod cautions;
mod completions;
mod demo;
mod docs;
mod drawings;
mod faults;
mod formats;
mod forms;
mod labels;
mod learned_weights;
mod malformed;
mod names;
mod narration;
mod narrow;
mod needs;
mod notes;
mod pictures;
#[cfg(unix)]
mod pty;
mod recap;
mod refit;
mod stored_forms;
mod support;
mod systems;
mod talk_weights;
mod tally;
mod told_weights;
mod torque;
mod uncounted;
mod units;
#[cfg(unix)]
mod walk;
mod write;
