//! Matchmark: a journal for taking an old vehicle apart at home, and for
//! putting it all back.
//!
//! The text is the truth. Entries are Markdown files; everything else here is
//! computed from them and can be thrown away. The modules are named after what
//! they know, and are best read in this order:
//!
//! 1. [`vocabulary`]: plain values: names, positions, statuses, money, hours.
//! 2. [`problem`]: what is wrong, where, and what to do about it.
//! 3. [`parallel`]: work shared among threads.
//! 4. [`handbook`]: facts of the trade: shop words, threads, torques, cautions.
//! 5. [`entry`]: text to [`entry::Entry`] and back, never losing a byte.
//! 6. [`journal`]: the files on disk.
//! 7. [`history`]: the git repository around them.
//! 8. [`ledger`]: records folded into the state and timeline of every place.
//! 9. [`index`]: full-text search, always fresh.
//! 10. [`reports`]: questions put to the ledger.
//! 11. [`recap`]: the draft of an episode, from what was written down.
//! 12. [`import`]: tables and notes drafted as entries.
//! 13. [`pictures`]: pictures as bytes: their kind, and what of one may be published.
//! 14. [`presentation`]: answers as terminal text, JSON, CSV, pages.
//! 15. [`server`]: files handed out over the network, reading only.
//! 16. [`command_line`]: one file a verb; the only room that prints, reads the
//!     clock or asks the environment.
//!
//! The arrows run one way, down this list being allowed to look up; the test
//! `tests/architecture.rs` holds them.

pub mod vocabulary;

pub mod problem;

pub mod parallel;

pub mod handbook;

pub mod entry;

pub mod journal;

pub mod history;

pub mod ledger;

pub mod index;

pub mod reports;

pub mod recap;

pub mod import;

pub mod pictures;

pub mod presentation;

pub mod server;

pub mod command_line;
