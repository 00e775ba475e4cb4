//! From values to what a person or a program reads.
//!
//! It opens nothing and prints nothing: a form (`Terminal`, `Json`, `Csv`, a page,
//! a calendar ...) takes a finished answer and gives a document. What a terminal
//! shows stands in the file of the answer (`needs`, `bags` ...); each other form
//! has a file or a folder of its own. Colours are decided in `colours` alone.

pub mod bags;
pub mod book;
pub mod calendar;
pub mod camera;
pub mod cautions;
pub mod csv;
pub mod drawing;
pub mod export;
pub mod find;
pub mod json;
pub mod labels;
mod letters;
pub mod needs;
pub mod notes;
pub mod page;
pub mod part;
mod part_words;
pub mod past;
pub mod problems;
pub mod purchases;
pub mod recap;
pub mod refit;
pub mod replaced;
pub mod sheet_walk;
pub mod tally;
pub mod terminal;
pub mod terminal_style;
pub mod text;
pub mod torque;
pub mod understood;
