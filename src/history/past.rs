//! How the texts of the journal changed, commit by commit, newest first.
//!
//! Along first parents, so a merge shows what it brought. A rename is looked for
//! only where a file first appears. Compares nothing but whole texts: which facts
//! changed is for somebody who can read them.

use std::collections::{HashMap, HashSet};

use gix::{ObjectId, objs::tree::EntryKind};
use jiff::{ZonedDateTime, civil::Date};

use super::{
    CommitId, History, Result,
    as_written::CommitStep,
    differences::{Comparer, Difference, PathFilter},
    trees::{below, blob_bytes},
};

/// A text that one commit changed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TextChange {
    /// The commit.
    pub commit: CommitId,
    /// When it was committed, in the committer's own offset.
    pub date: ZonedDateTime,
    /// The author's name.
    pub author: String,
    /// From the journal folder; after the change, or before it if the file was removed.
    pub path: String,
    /// What happened.
    pub kind: ChangeKind,
    /// The text before, as git stores it.
    pub before: Option<Vec<u8>>,
    /// The text after.
    pub after: Option<Vec<u8>>,
}

/// What a commit did to a text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ChangeKind {
    /// It is new.
    Written,
    /// It reads differently, or its executable bit changed.
    Changed,
    /// It is gone.
    Removed,
    /// It was under another name before; it may read differently as well.
    Renamed {
        /// The name before.
        from: String,
    },
}

/// Whose past is asked for.
#[derive(Clone, Copy)]
pub enum PastScope<'a> {
    /// All texts whose path satisfies this.
    All(&'a dyn Fn(&str) -> bool),
    /// These files, back through their renames.
    Files(&'a [String]),
}

impl History {
    /// The changes up to the commit `from` (HEAD if it is `None`), newest first, and by path
    /// within a commit; at most `newest` of them.
    pub fn past(
        &self,
        from: Option<CommitId>,
        of: PastScope<'_>,
        newest: Option<usize>,
    ) -> Result<Vec<TextChange>> {
        let most = newest.unwrap_or(usize::MAX);
        let mut changes = Vec::new();
        self.each_change(from, of, &|_| true, &mut |change| {
            if changes.len() < most {
                changes.push(change);
            }
            changes.len() < most
        })?;
        Ok(changes)
    }

    /// Calls back for each change of the commits on whose day `on_day` holds, newest first,
    /// until told to stop. What lies further back is not read.
    pub fn each_change(
        &self,
        from: Option<CommitId>,
        of: PastScope<'_>,
        on_day: &dyn Fn(Date) -> bool,
        each: &mut dyn FnMut(TextChange) -> bool,
    ) -> Result<()> {
        self.walk(from, of, on_day, &mut |step, found| {
            Ok(each(self.change(step, found)?))
        })
    }

    fn walk(
        &self,
        from: Option<CommitId>,
        of: PastScope<'_>,
        on_day: &dyn Fn(Date) -> bool,
        each: &mut dyn FnMut(&CommitStep, TracedDifference) -> Result<bool>,
    ) -> Result<()> {
        let mut comparer = Comparer::new(&self.repo);
        let mut asked = FollowedPaths::new(of);
        let mut steps = self.line(from)?.peekable();
        while let Some(step) = steps.next().transpose()? {
            let is_wanted = on_day(step.date.date());
            // Renames have to be followed even where nobody asks for the day.
            if !is_wanted && matches!(asked, FollowedPaths::All(_)) {
                continue;
            }
            let new = self.journal_folder(step.tree)?;
            // An unreadable parent must not make everything look new.
            if let Some(unreadable) = steps.next_if(Result::is_err) {
                unreadable?;
            }
            let old = match steps.peek() {
                Some(Ok(parent)) => self.journal_folder(parent.tree)?,
                Some(Err(_)) | None => None,
            };
            if new == old {
                continue;
            }
            // What was left for a new name may be of any path if files are asked for by name.
            let leaves = |path: &str| match &asked {
                FollowedPaths::All(_) => asked.matters(path),
                FollowedPaths::Files(_) => true,
            };
            let matters = |path: &str| asked.matters(path);
            let Compared {
                differences,
                renames,
            } = self.compared(&mut comparer, (old, new), &matters, &leaves)?;
            let renamed: HashSet<&str> = renames.values().map(|from| from.path.as_str()).collect();
            for difference in differences {
                let from = renames.get(&difference.path).cloned();
                let told_already =
                    difference.is_gone() && renamed.contains(difference.path.as_str());
                for _ in asked.names(&difference, from.as_ref(), told_already) {
                    let found = TracedDifference {
                        difference: difference.clone(),
                        from: from.clone(),
                    };
                    if is_wanted && !each(&step, found)? {
                        return Ok(());
                    }
                }
            }
        }
        Ok(())
    }

    /// What differs between two versions of the journal's folder at paths that matter, and
    /// which new text was one that is gone from a path where `leaves` holds.
    pub(super) fn compared(
        &self,
        comparer: &mut Comparer<'_>,
        (old, new): (Option<ObjectId>, Option<ObjectId>),
        matters: PathFilter<'_>,
        leaves: PathFilter<'_>,
    ) -> Result<Compared> {
        let differences = comparer.compare(old, new, matters)?;
        let mut gone = Vec::new();
        if differences.iter().any(Difference::is_new) {
            gone = comparer.compare(old, new, leaves)?;
            gone.retain(Difference::is_gone);
        }
        let renames = self.renames(&differences, gone)?;
        Ok(Compared {
            differences,
            renames,
        })
    }

    fn change(&self, step: &CommitStep, found: TracedDifference) -> Result<TextChange> {
        let TracedDifference { difference, from } = found;
        let old = from.as_ref().map_or(difference.old, |from| from.old);
        let kind = match (&from, difference.old, difference.new) {
            (Some(from), _, _) => ChangeKind::Renamed {
                from: from.path.clone(),
            },
            (None, _, None) => ChangeKind::Removed,
            (None, None, Some(_)) => ChangeKind::Written,
            (None, Some(_), Some(_)) => ChangeKind::Changed,
        };
        Ok(TextChange {
            commit: CommitId(step.id),
            date: step.date.clone(),
            author: step.author.clone(),
            path: difference.path,
            kind,
            before: old
                .map(|leaf| blob_bytes(&self.repo, leaf.id))
                .transpose()?,
            after: difference
                .new
                .map(|leaf| blob_bytes(&self.repo, leaf.id))
                .transpose()?,
        })
    }

    pub(super) fn journal_folder(&self, tree: ObjectId) -> Result<Option<ObjectId>> {
        let folder = below(&self.repo, tree, self.prefix.folders())?;
        Ok(folder
            .filter(|leaf| leaf.kind == EntryKind::Tree)
            .map(|leaf| leaf.id))
    }
}

/// What differs between a commit and the one before, and by the new path what was renamed.
pub(super) struct Compared {
    pub(super) differences: Vec<Difference>,
    pub(super) renames: HashMap<String, Difference>,
}

/// A difference, and what it was renamed from.
struct TracedDifference {
    difference: Difference,
    from: Option<Difference>,
}

/// Whose past is followed, at the commit that is looked at.
enum FollowedPaths<'a> {
    All(&'a dyn Fn(&str) -> bool),
    /// Name then → names asked for.
    Files(HashMap<String, Vec<String>>),
}

impl<'a> FollowedPaths<'a> {
    fn new(of: PastScope<'a>) -> Self {
        match of {
            PastScope::All(wanted) => FollowedPaths::All(wanted),
            PastScope::Files(paths) => {
                let name = |path: &String| (path.clone(), vec![path.clone()]);
                FollowedPaths::Files(paths.iter().map(name).collect())
            }
        }
    }

    /// Whether this file, or anything in this folder, is asked for.
    fn matters(&self, path: &str) -> bool {
        let is_folder = path.ends_with('/');
        match self {
            FollowedPaths::All(wanted) => is_folder || wanted(path),
            FollowedPaths::Files(names) if is_folder => {
                names.keys().any(|name| name.starts_with(path))
            }
            FollowedPaths::Files(names) => names.contains_key(path),
        }
    }

    /// The names under which this difference was asked for. From here on back, a renamed
    /// file is looked for under its older name. The old half of a rename is told of only to
    /// those who asked for it by name.
    fn names(
        &mut self,
        found: &Difference,
        from: Option<&Difference>,
        told_already: bool,
    ) -> Vec<String> {
        match self {
            FollowedPaths::All(_) if told_already => Vec::new(),
            FollowedPaths::All(_) => vec![found.path.clone()],
            FollowedPaths::Files(names) => {
                let Some(asked) = names.get(&found.path).cloned() else {
                    return Vec::new();
                };
                if let Some(from) = from {
                    names.remove(&found.path);
                    let older = names.entry(from.path.clone()).or_default();
                    older.extend(asked.iter().cloned());
                }
                asked
            }
        }
    }
}
