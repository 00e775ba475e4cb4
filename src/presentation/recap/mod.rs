//! A draft in every form in which it leaves: Markdown, a web article, marks,
//! a description, a shot list; and what has not been told yet.
//!
//! What is said is decided in `recap`; here it only gets its looks.

pub mod description;
pub mod edit_list;
pub mod markdown;
pub mod marks;
pub mod outline_sheet;
pub mod shots;
pub mod untold;
