//! Notes that were written before there was a journal: Markdown and plain text, each
//! with its day, as entries.
//!
//! `text` turns bytes into text or says why they are none, `days` finds days in words,
//! `note` takes a text apart, `adopted` makes the entry. Files are not looked at here.

pub mod adopted;
pub mod days;
mod front;
pub mod note;
pub mod text;
