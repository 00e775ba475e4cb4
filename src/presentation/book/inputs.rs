//! What a page is made from, as one number: where it is known, the page stands as it
//! should and is not made again.
//!
//! What all pages share (settings, vehicles, the day, who reads them) is not in it: where
//! that differs, no number is known.

use std::fmt::{Debug, Write as _};
use std::hash::{DefaultHasher, Hash, Hasher};

use super::{Book, BookPart};
use crate::ledger::PlaceKey;

/// A sum of what a page is made from.
#[derive(Default)]
pub(super) struct Inputs(DefaultHasher);

impl Inputs {
    /// Adds a value.
    pub fn add(&mut self, value: &(impl Hash + ?Sized)) {
        value.hash(&mut self.0);
    }

    /// Adds a value by all that its debug form says.
    pub fn add_debug(&mut self, value: &impl Debug) {
        // Adding to a sum cannot fail.
        let _ = write!(self, "{value:?}\n");
    }

    /// Adds a place with all that pages say of it, or that none is there.
    pub fn add_part(&mut self, book: &Book<'_>, key: &PlaceKey) {
        self.add(key);
        match book.numbers.get(key) {
            Some(number) => self.add_standing(book, *number),
            None => self.add("no part"),
        }
    }

    fn add_standing(&mut self, book: &Book<'_>, number: usize) {
        let BookPart {
            state: _,
            standing,
            vehicle: _,
            system,
        } = &book.parts[number];
        // Its state and its prose, and so its cautions.
        self.add(&book.cautions[number].sum);
        self.add_debug(standing);
        self.add(system);
    }

    /// Adds a picture of the journal: where it lies in the book.
    pub fn add_picture(&mut self, book: &Book<'_>, path: &str) {
        self.add(path);
        self.add(&book.contents.pictures.get(path));
    }

    /// Adds prose: its words, and what its links and images may lead to.
    pub fn add_prose(&mut self, book: &Book<'_>, prose: &str) {
        self.add(prose);
        if prose.contains('[') {
            self.add(&book.leads_to);
        }
    }

    /// The sum.
    pub fn sum(&self) -> u64 {
        self.0.finish()
    }
}

impl std::fmt::Write for Inputs {
    fn write_str(&mut self, text: &str) -> std::fmt::Result {
        self.0.write(text.as_bytes());
        Ok(())
    }
}

/// The sum of all that links and images in prose may lead to: entries and pictures.
pub(super) fn leads_to(contents: &super::BookContents<'_>) -> u64 {
    let mut sum = Inputs::default();
    for entry in contents.entries {
        sum.add(&entry.path);
    }
    sum.add(contents.pictures);
    sum.sum()
}
