//! Notes that were not written as entries: from a table, a narration
//! or a folder of texts to drafts of entries.
//!
//! It reads and drafts; it writes nothing and knows nothing of the journal the
//! drafts go to.

pub mod amounts;
pub mod brought_in;
pub mod columns;
pub mod days;
mod encoding;
mod lines;
pub mod narration;
pub mod notes;
pub mod row;
pub mod rows;
pub mod table;
