//! The git repository around a journal folder: puts texts into it and asks it
//! how they were.
//!
//! It never prints, reads no clock and no environment (times and names are
//! handed in; what git itself reads from its settings, gix reads), knows nothing
//! of what the texts say, never pushes, merges or checks out, and never touches
//! what the person has staged or changed outside the paths it was given.
//!
//! # The invariant
//!
//! **At whatever instant the process dies, or the power fails, the repository
//! is sound and every text is in the work tree or in a commit that the branch
//! reaches; mostly in both.** It holds because every write happens in one order,
//! and each step only refers to things that are already safely on disk:
//!
//! 1. *Objects* (blobs, trees, the commit) are written under temporary names,
//!    synced, renamed, and their folders synced. Nothing refers to them yet: dying
//!    here leaves rubbish that `git gc` removes.
//!    Meanwhile the new *index* is written into its lock file and synced, where nobody
//!    reads it.
//! 2. The *reference* is locked and compared: if the branch moved meanwhile,
//!    everything starts again from the new tip, with nothing to undo. The new value
//!    is synced inside the lock file.
//! 3. The *index* is replaced by a rename. Dying here leaves the texts "staged, not
//!    committed": the next keep, or the person's own `git commit`, finishes the job.
//! 4. The *reference* is moved by a rename, and its folder synced.
//!
//! Index before reference is the whole point. The other way round, a crash in
//! between would leave an index that is older than HEAD, and the person's next
//! `git commit` would silently take the new texts out again.
//!
//! The logs of HEAD and of the branch are written but not synced: losing their last
//! line loses no text. One thing cannot be helped: `git commit` without paths reads the
//! index *before* it locks it, and so can commit an index that is older than a keep that
//! came in between. The text then stays in the history and in the folder, shows as
//! new, and [`History::is_sound`] names it while there is still time.
//!
//! From the first step to the last `index.lock` is held, as git itself does, and around it a
//! lock of our own that the system releases when the process dies, so that two
//! keeps wait for each other instead of failing.

mod as_written;
mod changed;
mod commit;
mod computed;
mod delta;
mod differences;
mod error;
mod head;
mod index_file;
mod keep;
mod locks;
mod merge_under_way;
mod object_store;
mod objects;
mod open;
mod own_filters;
mod pack;
mod past;
mod paths;
mod play;
mod recorded;
mod renames;
mod snapshot;
mod sound;
mod trees;
mod untracked;
mod upkeep;
mod work_tree;

#[cfg(test)]
mod tests;

pub use as_written::AsWritten;
pub use changed::{AsKept, ChangedFile, ChangedKind, WorkTreeChanges};
pub use commit::{CommitId, Who};
pub use error::HistoryError;
pub use keep::{KeepOutcome, KeepRequest};
pub use locks::StaleLock;
pub use merge_under_way::Unfinished;
pub use open::History;
pub use past::{ChangeKind, PastScope, TextChange};
pub use play::PlannedCommit;
pub use recorded::{CommitNotes, TextId, TextVersion};
pub use work_tree::{LeftOut, Unkeepable};

/// What every question to a history comes back with.
pub type Result<T> = std::result::Result<T, HistoryError>;
