//! What the index is given: files as they lie on the disk, the records in them,
//! and someone to ask for both.
//!
//! Plain values only. How they are stored is `schema`'s business.

use std::collections::BTreeSet;
use std::ops::Range;
use std::rc::Rc;

use serde::{Deserialize, Serialize};

/// What a file looked like when it was looked at. Two equal stamps mean the
/// same content, except within the clock's last tick, which `refresh` knows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Stamp {
    /// Length in bytes.
    pub size: u64,
    /// Time of the last change of content, nanoseconds since 1970.
    pub modified_ns: i64,
    /// Time of the last change of content, name or rights where the system
    /// keeps one, else 0.
    pub changed_ns: i64,
    /// Number of the file on its file system, 0 where there is none.
    pub inode: u64,
}

/// A file of the journal as it lies on the disk now.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SeenFile<'p> {
    /// Path inside the journal, with `/`.
    pub path: &'p str,
    /// How it looked.
    pub stamp: Stamp,
}

/// One thing that can be found: a record, or an entry's own prose.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct RecordDoc {
    /// Path of the entry inside the journal.
    pub entry: String,
    /// First line of the passage, from 1.
    pub line: u32,
    /// The passage in the file, in bytes. Excerpts are cut from it.
    pub span: Range<u32>,
    /// Everything the record is to be found by: the passage, and what it takes
    /// from its entry (vehicle, system, status, shelf ...). Indexed, not stored.
    pub text: String,
    /// Title of the entry.
    pub title: String,
    /// RFC 3339 full-date.
    pub date: Option<String>,
    /// Name of the vehicle.
    pub vehicle: Option<String>,
    /// Name of the system.
    pub system: Option<String>,
    /// Name of the part, without its position.
    pub part: Option<String>,
    /// Positions.
    pub at: Vec<String>,
    /// Status as this record says it.
    pub status: Option<String>,
    /// Labels of the bags named in the record.
    pub bags: Vec<String>,
    /// Keys of the places the record is about; opaque to the index.
    pub places: Vec<String>,
    /// Clip and time, as written.
    pub footage: Option<String>,
    /// Paths of pictures, with their captions.
    pub pictures: Vec<(String, Option<String>)>,
}

/// All that one file contributes.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct FileDocs {
    /// What can be found in it.
    pub records: Vec<RecordDoc>,
    /// Every place the file speaks of, also in relations that change a place.
    pub places: Vec<String>,
    /// Names that it uses, each once, to be [listed](super::NamesUsed) by how they begin.
    pub names: Vec<String>,
    /// What answers about the whole journal need of the file; empty for nothing.
    /// The index keeps the bytes without looking into them.
    pub share: Vec<u8>,
    /// What the few answers need of it that look at each file, kept in a document of
    /// its own.
    pub look: Vec<u8>,
}

/// What is kept of a place. The index does not look into the bytes.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Folded {
    /// Its whole state, looked up alone.
    pub whole: Vec<u8>,
    /// What most answers about the whole journal need of it, kept in pages; empty
    /// for nothing.
    pub share: Vec<u8>,
    /// What only some of them need besides.
    pub more: Vec<u8>,
}

/// Whom the index asks while it refreshes.
pub trait DocumentSource {
    /// A refresh begins: what was read for one before counts no more.
    fn begin(&mut self);

    /// What files hold, in the order of the paths; `None` for one that is gone or cannot
    /// be read, then it contributes nothing.
    fn read(&mut self, paths: &[&str]) -> Vec<Option<FileDocs>>;

    /// These are the files that some place is going to be folded from. Called after all
    /// reads of a refresh, where not all files were read.
    fn prepare(&mut self, files: &BTreeSet<&str>);

    /// The state of a place, folded from `files`: all that speak of it, by
    /// path. `None`: there is no such place any more. Called after that, for the places of one page (see [`page_number`](super::page_number))
    /// after those of another.
    fn fold(&mut self, place: &str, files: &[Rc<str>]) -> Option<Folded>;
}
