//! How the texts of the journal changed, commit by commit, newest first.
//!
//! Along first parents, so a merge shows what it brought. A rename is looked for
//! only where a file first appears. Compares nothing but whole texts: which facts
//! changed is for somebody who can read them.

use std::collections::{BTreeMap, HashMap, HashSet};

use gix::{ObjectId, objs::tree::EntryKind};
use jiff::ZonedDateTime;

use super::{
    CommitId, History, Result,
    as_written::Step,
    differences::{Comparer, Difference},
    trees::{below, blob_bytes},
};

/// A text that one commit changed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Change {
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
pub enum Of<'a> {
    /// All texts whose path satisfies this.
    All(&'a dyn Fn(&str) -> bool),
    /// These files, back through their renames.
    Files(&'a [String]),
}

/// A commit that changed a text, and how the text read after it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Recorded {
    /// The commit.
    pub commit: CommitId,
    /// When it was committed, in the committer's own offset.
    pub date: ZonedDateTime,
    /// The author's name.
    pub author: String,
    /// The text after it; `None` if the commit removed it.
    pub after: Option<Vec<u8>>,
}

impl History {
    /// The changes up to the commit `from` (HEAD if it is `None`), newest first, and by path
    /// within a commit; at most `newest` of them.
    pub fn past(
        &self,
        from: Option<CommitId>,
        of: Of<'_>,
        newest: Option<usize>,
    ) -> Result<Vec<Change>> {
        let most = newest.unwrap_or(usize::MAX);
        let mut changes = Vec::new();
        self.walk(from, of, &mut |step, found, _| {
            if changes.len() < most {
                changes.push(self.change(step, found)?);
            }
            Ok(changes.len() < most)
        })?;
        Ok(changes)
    }

    /// For each of these files, the commits up to `from` that changed it, **oldest first**, through its
    /// renames, in one walk over the history. A file that was never kept is not in the answer.
    pub fn recorded(
        &self,
        from: Option<CommitId>,
        paths: &[String],
    ) -> Result<BTreeMap<String, Vec<Recorded>>> {
        let mut answer: BTreeMap<String, Vec<Recorded>> = BTreeMap::new();
        self.walk(from, Of::Files(paths), &mut |step, found, asked_as| {
            let after = found
                .difference
                .new
                .map(|leaf| blob_bytes(&self.repo, leaf.id))
                .transpose()?;
            let recorded = Recorded {
                commit: CommitId(step.id),
                date: step.date.clone(),
                author: step.author.clone(),
                after,
            };
            answer
                .entry(asked_as.to_owned())
                .or_default()
                .push(recorded);
            Ok(true)
        })?;
        answer.values_mut().for_each(|list| list.reverse());
        Ok(answer)
    }

    /// Calls back for each difference with the path it was asked for under, until told to stop.
    fn walk(
        &self,
        from: Option<CommitId>,
        of: Of<'_>,
        each: &mut dyn FnMut(&Step, Found, &str) -> Result<bool>,
    ) -> Result<()> {
        let mut comparer = Comparer::new(&self.repo);
        let mut asked = Asked::new(of);
        let mut steps = self.line(from)?.peekable();
        while let Some(step) = steps.next().transpose()? {
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
            let differences = comparer.compare(old, new, &|path| asked.matters(path))?;
            let mut gone = Vec::new();
            if differences.iter().any(Difference::is_new) {
                gone = match &asked {
                    Asked::All(_) => differences.clone(),
                    // What was left for the new name may be of any path.
                    Asked::Files(_) => comparer.compare(old, new, &|_| true)?,
                };
                gone.retain(Difference::is_gone);
            }
            let renames = self.renames(&differences, gone)?;
            let renamed: HashSet<&str> = renames.values().map(|from| from.path.as_str()).collect();
            for difference in differences {
                let from = renames.get(&difference.path).cloned();
                let told_already =
                    difference.is_gone() && renamed.contains(difference.path.as_str());
                for name in asked.names(&difference, from.as_ref(), told_already) {
                    let found = Found {
                        difference: difference.clone(),
                        from: from.clone(),
                    };
                    if !each(&step, found, &name)? {
                        return Ok(());
                    }
                }
            }
        }
        Ok(())
    }

    fn change(&self, step: &Step, found: Found) -> Result<Change> {
        let Found { difference, from } = found;
        let old = from.as_ref().map_or(difference.old, |from| from.old);
        let kind = match (&from, difference.old, difference.new) {
            (Some(from), _, _) => ChangeKind::Renamed {
                from: from.path.clone(),
            },
            (None, _, None) => ChangeKind::Removed,
            (None, None, Some(_)) => ChangeKind::Written,
            (None, Some(_), Some(_)) => ChangeKind::Changed,
        };
        Ok(Change {
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

    fn journal_folder(&self, tree: ObjectId) -> Result<Option<ObjectId>> {
        let folder = below(&self.repo, tree, self.prefix.folders())?;
        Ok(folder
            .filter(|leaf| leaf.kind == EntryKind::Tree)
            .map(|leaf| leaf.id))
    }
}

/// A difference, and what it was renamed from.
struct Found {
    difference: Difference,
    from: Option<Difference>,
}

/// Whose past is followed, at the commit that is looked at.
enum Asked<'a> {
    All(&'a dyn Fn(&str) -> bool),
    /// Name then → names asked for.
    Files(HashMap<String, Vec<String>>),
}

impl<'a> Asked<'a> {
    fn new(of: Of<'a>) -> Self {
        match of {
            Of::All(wanted) => Asked::All(wanted),
            Of::Files(paths) => {
                let name = |path: &String| (path.clone(), vec![path.clone()]);
                Asked::Files(paths.iter().map(name).collect())
            }
        }
    }

    /// Whether this file, or anything in this folder, is asked for.
    fn matters(&self, path: &str) -> bool {
        let is_folder = path.ends_with('/');
        match self {
            Asked::All(wanted) => is_folder || wanted(path),
            Asked::Files(names) if is_folder => names.keys().any(|name| name.starts_with(path)),
            Asked::Files(names) => names.contains_key(path),
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
            Asked::All(_) if told_already => Vec::new(),
            Asked::All(_) => vec![found.path.clone()],
            Asked::Files(names) => {
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
