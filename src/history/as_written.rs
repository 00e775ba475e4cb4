//! Which commit shows the journal "as written" on a day, or under a name; and
//! the line of commits that is walked for it.
//!
//! The line follows first parents only: what a merge brought in counts from
//! the merge on, since that is when it came into this journal.

use gix::ObjectId;
use jiff::{ZonedDateTime, civil::Date};

use super::{CommitId, History, HistoryError, Result, commit::zoned};

/// How the person names a state of the journal.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum AsWritten {
    /// The first digits of a commit's name, a branch, a tag, or what else `git rev-parse` takes.
    Commit(String),
    /// As it stood when this day ended, by the committers' own clocks.
    Day(Date),
}

/// One commit of the line.
pub(super) struct CommitStep {
    pub(super) id: ObjectId,
    pub(super) tree: ObjectId,
    pub(super) parent: Option<ObjectId>,
    pub(super) author: String,
    /// The committer's time.
    pub(super) time: gix::date::Time,
    /// The same, in the committer's offset.
    pub(super) date: ZonedDateTime,
}

impl History {
    /// The commit meant.
    pub fn as_written(&self, asked: &AsWritten) -> Result<CommitId> {
        match asked {
            AsWritten::Commit(name) => self.named(name),
            AsWritten::Day(day) => {
                let mut first = None;
                for step in self.line(None)? {
                    let step = step?;
                    if step.date.date() <= *day {
                        return Ok(CommitId(step.id));
                    }
                    first = Some(step.date.date());
                }
                Err(
                    first.map_or(HistoryError::Empty, |first| HistoryError::BeforeHistory {
                        day: *day,
                        first,
                    }),
                )
            }
        }
    }

    fn named(&self, asked: &str) -> Result<CommitId> {
        let unknown = || HistoryError::UnknownCommit {
            asked: asked.into(),
        };
        // `^{commit}` so that a tag leads to its commit and a short name that also begins a
        // text's name is still clear.
        let id = self
            .repo
            .rev_parse_single(format!("{}^{{commit}}", asked.trim()).as_str())
            .map_err(|_| {
                let is_prefix =
                    asked.len() >= 4 && asked.chars().all(|digit| digit.is_ascii_hexdigit());
                if is_prefix && self.begins_several(asked) {
                    HistoryError::Ambiguous {
                        asked: asked.into(),
                    }
                } else {
                    unknown()
                }
            })?;
        let commit = id
            .object()
            .map_err(|_| unknown())?
            .try_into_commit()
            .map_err(|_| unknown())?;
        Ok(CommitId(commit.id))
    }

    fn begins_several(&self, digits: &str) -> bool {
        gix::hash::Prefix::from_hex(digits)
            .ok()
            .and_then(|prefix| self.repo.objects.lookup_prefix(prefix, None).ok().flatten())
            .is_some_and(|found| found.is_err())
    }

    /// The newest commit: HEAD.
    pub fn newest(&self) -> Result<Option<CommitId>> {
        Ok(self.head_commit()?.map(CommitId))
    }

    /// From a commit, or HEAD, back along first parents, newest first. Ends where a shallow clone ends.
    pub(super) fn line(
        &self,
        from: Option<CommitId>,
    ) -> Result<impl Iterator<Item = Result<CommitStep>> + '_> {
        let shallow = self.ends_of_clone()?;
        let mut next = match from {
            Some(commit) => Some(commit.0),
            None => self.head_commit()?,
        };
        Ok(std::iter::from_fn(move || {
            let id = next.take()?;
            let step = self.step(id).map(|mut step| {
                if shallow.contains(&id) {
                    step.parent = None;
                }
                next = step.parent;
                step
            });
            Some(step)
        }))
    }

    pub(super) fn step(&self, id: ObjectId) -> Result<CommitStep> {
        let trouble = || HistoryError::git("read a commit");
        let commit = self.repo.find_commit(id).map_err(trouble())?;
        let commit = commit.decode().map_err(trouble())?;
        let time = commit.time().map_err(trouble())?;
        Ok(CommitStep {
            id,
            tree: commit.tree(),
            parent: commit.parents().next(),
            author: commit.author().map_err(trouble())?.trim().name.to_string(),
            time,
            date: zoned(time),
        })
    }
}
