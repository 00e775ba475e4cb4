//! Which commits changed a text, and how it read after each: oldest first.
//!
//! What a commit changed never changes itself, so it is worked out once and noted
//! in `.matchmark/`. The notes can be thrown away; they say nothing of what the
//! texts mean.

use std::collections::{BTreeMap, HashMap};

use gix::ObjectId;
use jiff::ZonedDateTime;
use serde::{Deserialize, Serialize};

use super::{
    CommitId, History, HistoryError, Result, as_written::CommitStep, commit::zoned,
    differences::Comparer, past::Compared, trees::blob_bytes,
};

/// The name of the file with the notes.
const NOTES: &str = "commits";

/// Changes whenever the notes change their form.
const FORM: u32 = 1;

/// The name of a stored text: the same bytes have the same name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct TextId([u8; 20]);

/// A commit that changed a text, and how the text read after it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TextVersion {
    /// The commit.
    pub commit: CommitId,
    /// When it was committed, in the committer's own offset.
    pub date: ZonedDateTime,
    /// The author's name.
    pub author: String,
    /// The text after it, for [`History::text`]; `None` if the commit removed it.
    pub after: Option<TextId>,
}

/// What commits changed, as far as it was worked out.
#[derive(Debug, Default)]
pub struct CommitNotes {
    by_commit: HashMap<[u8; 20], CommitNote>,
    /// Whether there is more in it than was read.
    has_news: bool,
}

/// What one commit changed below the journal's folder.
#[derive(Clone, Debug, Serialize, Deserialize)]
struct CommitNote {
    commit: [u8; 20],
    /// The first one; `None` where the history, or a shallow clone of it, begins.
    parent: Option<[u8; 20]>,
    seconds: i64,
    offset: i32,
    author: String,
    changes: Vec<NotedChange>,
}

#[derive(Clone, Debug, Serialize, Deserialize)]
struct NotedChange {
    path: String,
    /// Its name before.
    from: Option<String>,
    after: Option<TextId>,
}

impl History {
    /// The notes that were kept; empty ones if there are none that can be trusted.
    pub fn commit_notes(&self) -> CommitNotes {
        let notes = self.computed(NOTES, &self.form()).unwrap_or_default();
        let notes: Vec<CommitNote> = postcard::from_bytes(&notes).unwrap_or_default();
        CommitNotes {
            by_commit: notes.into_iter().map(|note| (note.commit, note)).collect(),
            has_news: false,
        }
    }

    /// Keeps the notes for the next question if there is anything new in them. Where they
    /// cannot be written, that question works them out again.
    pub fn keep_notes(&self, notes: &CommitNotes) {
        if notes.has_news {
            let notes: Vec<&CommitNote> = notes.by_commit.values().collect();
            if let Ok(bytes) = postcard::to_stdvec(&notes) {
                let _ = self.keep_computed(NOTES, &self.form(), &bytes);
            }
        }
    }

    /// What besides a commit decides what its note says: where the journal lies in the
    /// repository, where a shallow clone ends, and which objects git replaces by others.
    fn form(&self) -> String {
        let contents = |name: &str| {
            let file = self.repo.common_dir().join(name);
            std::fs::read_to_string(file).unwrap_or_default()
        };
        let replaced: Vec<String> = std::fs::read_dir(self.repo.common_dir().join("refs/replace"))
            .into_iter()
            .flatten()
            .filter_map(|file| file.ok()?.file_name().into_string().ok())
            .collect();
        let version = env!("CARGO_PKG_VERSION");
        format!(
            "{version} {FORM} {:?} {:?} {replaced:?}",
            self.prefix.0,
            contents("shallow"),
        )
    }

    /// For each of these files, the commits up to `from` (HEAD if it is `None`) that changed
    /// it, **oldest first**, through its renames, in one walk over the history. A file that
    /// was never kept is not in the answer. `notes` gain what they lacked.
    pub fn recorded(
        &self,
        from: Option<CommitId>,
        paths: &[String],
        notes: &mut CommitNotes,
    ) -> Result<BTreeMap<String, Vec<TextVersion>>> {
        let mut answer: BTreeMap<String, Vec<TextVersion>> = BTreeMap::new();
        // Name then → names asked for.
        let mut names: HashMap<String, Vec<&str>> = paths
            .iter()
            .map(|path| (path.clone(), vec![path.as_str()]))
            .collect();
        let shallow = self.ends_of_clone()?;
        let mut comparer = Comparer::new(&self.repo);
        let mut next = match from {
            Some(commit) => Some(commit.0),
            None => self.head_commit()?,
        };
        while let Some(id) = next {
            let note = match notes.by_commit.entry(key(id)) {
                std::collections::hash_map::Entry::Occupied(noted) => noted.into_mut(),
                std::collections::hash_map::Entry::Vacant(free) => {
                    notes.has_news = true;
                    free.insert(self.note(id, &shallow, &mut comparer)?)
                }
            };
            // All of them by the names before any is followed to an older one.
            let changes = note.changes.iter();
            let found: Vec<(&NotedChange, Vec<&str>)> = changes
                .filter_map(|change| Some((change, names.get(&change.path)?.clone())))
                .collect();
            for (change, asked) in found {
                for name in &asked {
                    let list = answer.entry((*name).to_owned()).or_default();
                    list.push(note.recorded(change));
                }
                if let Some(older) = &change.from {
                    names.remove(&change.path);
                    names.entry(older.clone()).or_default().extend(asked);
                }
            }
            next = note.parent.map(ObjectId::Sha1);
        }
        answer.values_mut().for_each(|list| list.reverse());
        Ok(answer)
    }

    /// A stored text.
    pub fn text(&self, id: TextId) -> Result<Vec<u8>> {
        blob_bytes(&self.repo, ObjectId::Sha1(id.0))
    }

    fn note(
        &self,
        id: ObjectId,
        shallow: &[ObjectId],
        comparer: &mut Comparer<'_>,
    ) -> Result<CommitNote> {
        let CommitStep {
            tree,
            parent,
            author,
            time,
            ..
        } = self.step(id)?;
        let parent = parent.filter(|_| !shallow.contains(&id));
        let new = self.journal_folder(tree)?;
        let old = match parent {
            Some(parent) => self.journal_folder(self.step(parent)?.tree)?,
            None => None,
        };
        let Compared {
            differences,
            renames,
        } = self.compared(comparer, (old, new), &|_| true, &|_| true)?;
        let changes = differences.into_iter().map(|difference| NotedChange {
            from: renames.get(&difference.path).map(|from| from.path.clone()),
            after: difference.new.map(|leaf| TextId(key(leaf.id))),
            path: difference.path,
        });
        Ok(CommitNote {
            commit: key(id),
            parent: parent.map(key),
            seconds: time.seconds,
            offset: time.offset,
            author,
            changes: changes.collect(),
        })
    }

    /// The commits before which this shallow clone of a history knows nothing; none if it is
    /// whole.
    pub fn cut_off_at(&self) -> Result<Vec<CommitId>> {
        Ok(self.ends_of_clone()?.into_iter().map(CommitId).collect())
    }

    /// The commits at which a shallow clone ends.
    pub(super) fn ends_of_clone(&self) -> Result<Vec<ObjectId>> {
        let ends = self
            .repo
            .shallow_commits()
            .map_err(HistoryError::git("read where this clone ends"))?;
        Ok(ends
            .map(|ends| ends.iter().copied().collect())
            .unwrap_or_default())
    }
}

impl CommitNote {
    fn recorded(&self, change: &NotedChange) -> TextVersion {
        TextVersion {
            commit: CommitId(ObjectId::Sha1(self.commit)),
            date: zoned(gix::date::Time {
                seconds: self.seconds,
                offset: self.offset,
            }),
            author: self.author.clone(),
            after: change.after,
        }
    }
}

/// The bytes of an object's name; repositories with longer ones are not opened.
fn key(id: ObjectId) -> [u8; 20] {
    id.as_slice().try_into().unwrap_or_default()
}
