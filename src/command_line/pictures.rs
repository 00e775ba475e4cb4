//! The pictures of one page, each as it may leave the journal.
//!
//! What cannot be shown is left out, and named for the person who made the page.

use std::cell::{Cell, RefCell};
use std::collections::BTreeMap;

use crate::journal::{Journal, NoPicture};
use crate::pictures::{PublishedPicture, published};

/// The longest file that is read. Much of it may be no picture: a phone puts a clip
/// behind the end of some.
const LONGEST_FILE: u64 = 32_000_000;

/// A longer picture makes a page that no phone likes to load.
const LONGEST_PICTURE: usize = 4_000_000;

/// How many bytes of pictures a page holds.
const MOST_ON_A_PAGE: usize = 60_000_000;

/// A picture as it may leave the journal.
///
/// # Errors
/// Why it cannot: it is missing, no picture, damaged, or has more than `most` bytes.
pub(super) fn read(journal: &Journal, path: &str, most: usize) -> Result<PublishedPicture, String> {
    let bytes = journal.picture(path, LONGEST_FILE);
    let bytes = bytes.map_err(|why| why.to_string())?;
    let picture = published(&bytes).map_err(|why| why.to_string())?;
    let length = picture.bytes.len();
    if length > most {
        let length = u64::try_from(length).unwrap_or(u64::MAX);
        return Err(NoPicture::TooLong(length).to_string());
    }
    Ok(picture)
}

/// Finds the pictures of one page, and keeps in mind what is left out.
pub(super) struct PagePictures<'j> {
    journal: &'j Journal,
    room: Cell<usize>,
    left_out: RefCell<BTreeMap<String, String>>,
}

impl<'j> PagePictures<'j> {
    /// The pictures of a page that has none yet.
    pub fn new(journal: &'j Journal) -> PagePictures<'j> {
        PagePictures {
            journal,
            room: Cell::new(MOST_ON_A_PAGE),
            left_out: RefCell::new(BTreeMap::new()),
        }
    }

    /// The picture with this path as it may leave the journal, if the page can show it.
    pub fn find(&self, path: &str) -> Option<PublishedPicture> {
        match self.read(path) {
            Ok(picture) => Some(picture),
            Err(why) => {
                self.left_out.borrow_mut().insert(path.to_owned(), why);
                None
            }
        }
    }

    fn read(&self, path: &str) -> Result<PublishedPicture, String> {
        let picture = read(self.journal, path, LONGEST_PICTURE)?;
        let left = self.room.get().checked_sub(picture.bytes.len());
        self.room.set(left.ok_or("the page is full")?);
        Ok(picture)
    }

    /// A line for each picture that was asked for and could not be shown.
    pub fn left_out(&self) -> Vec<String> {
        self.left_out
            .borrow()
            .iter()
            .map(|(path, why)| format!("picture left out: {path}: {why}"))
            .collect()
    }
}
