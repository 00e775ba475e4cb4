//! What can be said quickly about whether the repository is in order.
//!
//! No full check of every object (`git fsck` does that), and no repair.

use std::{collections::BTreeMap, time::SystemTime};

use gix::bstr::ByteSlice;

use super::History;

impl History {
    /// What is wrong with the repository as far as a quick look shows, in sentences;
    /// nothing if all is well.
    pub fn is_sound(&self, now: SystemTime) -> Vec<String> {
        let mut wrong = Vec::new();
        let files = match self.head_commit() {
            Ok(Some(commit)) => self.files_at(commit, &|_| true),
            Ok(None) => Ok(BTreeMap::new()),
            Err(error) => Err(error),
        }
        .unwrap_or_else(|error| {
            wrong.push(format!("The last commit cannot be read: {error}"));
            BTreeMap::new()
        });
        for (path, _) in files
            .iter()
            .filter(|(_, leaf)| !self.repo.has_object(leaf.id))
        {
            wrong.push(format!(
                "The kept text of {path} is missing from the repository."
            ));
        }
        match self.read_index() {
            Err(error) => wrong.push(format!(
                "The list of kept files (git's index) cannot be read: {error}"
            )),
            Ok(index) => {
                // On purpose (`git rm --cached`), or because a `git commit` and a keep met.
                let known = |path: &str| index.entry_by_path(self.prefix.join(path).as_bstr());
                let dropped =
                    |path: &&String| known(path).is_none() && self.root.join(path).is_file();
                for path in files.keys().filter(dropped) {
                    wrong.push(format!(
                        "The next `git commit` would take {path} out of the journal; `git add {path}` prevents it."
                    ));
                }
            }
        }
        if let Ok(None) = self.repo.head_name() {
            wrong.push(
                "The repository is not on any branch; nothing can be kept until it is (git switch main)."
                    .into(),
            );
        }
        if let Some(what) = self.unfinished() {
            wrong.push(format!(
                "There is an unfinished operation of git: {what}. {}",
                what.way_out()
            ));
        }
        for lock in self.stale_locks(now) {
            wrong.push(format!(
                "A process that died has left {} behind; `matchmark keep --clear-locks` removes it.",
                lock.path.display()
            ));
        }
        wrong
    }
}
