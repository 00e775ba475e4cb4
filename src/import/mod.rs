//! Notes that were not written as entries: from a table or a
//! narration to drafts of entries.
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
pub mod row;
pub mod rows;
pub mod table;
