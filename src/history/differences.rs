//! What differs between two stored folders, file by file.
//!
//! Never looks into folders that are the same, and reads each folder once while
//! a walk goes from commit to parent. Knows nothing of renames or of the work tree.

use std::{cmp::Ordering, collections::HashMap, rc::Rc};

use gix::{
    ObjectId,
    bstr::ByteSlice,
    objs::{TreeRefIter, tree, tree::EntryKind},
};

use super::{
    HistoryError, Result,
    delta::same_start,
    snapshot::is_text,
    trees::{Leaf, tree_bytes},
};

/// A text that is not the same on both sides.
#[derive(Clone, Debug)]
pub(super) struct Difference {
    pub(super) path: String,
    pub(super) old: Option<Leaf>,
    pub(super) new: Option<Leaf>,
}

impl Difference {
    pub(super) fn is_new(&self) -> bool {
        self.old.is_none()
    }

    pub(super) fn is_gone(&self) -> bool {
        self.new.is_none()
    }
}

/// Folders as read, kept for the next comparison: the older side of one is the newer
/// side of the next.
pub(super) struct Comparer<'r> {
    repo: &'r gix::Repository,
    recent: HashMap<ObjectId, Rc<Vec<u8>>>,
    older: HashMap<ObjectId, Rc<Vec<u8>>>,
}

/// Which paths matter: called with folders (ending in `/`) and with files.
pub(super) type PathFilter<'a> = &'a dyn Fn(&str) -> bool;

impl<'r> Comparer<'r> {
    pub(super) fn new(repo: &'r gix::Repository) -> Self {
        Comparer {
            repo,
            recent: HashMap::new(),
            older: HashMap::new(),
        }
    }

    /// The differences from `old` to `new`, sorted like a commit's folders.
    pub(super) fn compare(
        &mut self,
        old: Option<ObjectId>,
        new: Option<ObjectId>,
        matters: PathFilter<'_>,
    ) -> Result<Vec<Difference>> {
        self.older = std::mem::take(&mut self.recent);
        let mut found = Vec::new();
        self.folder(old, new, "", matters, &mut found)?;
        Ok(found)
    }

    fn read(&mut self, id: Option<ObjectId>) -> Result<Rc<Vec<u8>>> {
        let Some(id) = id else {
            return Ok(Rc::default());
        };
        let bytes = match self.recent.get(&id).or_else(|| self.older.get(&id)) {
            Some(bytes) => bytes.clone(),
            None => Rc::new(tree_bytes(self.repo, id)?),
        };
        self.recent.insert(id, bytes.clone());
        Ok(bytes)
    }

    fn folder(
        &mut self,
        old: Option<ObjectId>,
        new: Option<ObjectId>,
        above: &str,
        matters: PathFilter<'_>,
        found: &mut Vec<Difference>,
    ) -> Result<()> {
        if old == new {
            // Remembered all the same: the next comparison may need it.
            if let Some(bytes) = new.and_then(|id| self.older.remove_entry(&id)) {
                self.recent.insert(bytes.0, bytes.1);
            }
            return Ok(());
        }
        let (old, new) = (self.read(old)?, self.read(new)?);
        let (mut old, mut new) = (old.as_slice(), new.as_slice());
        loop {
            let same = same_entries(old, new);
            (old, new) = (&old[same..], &new[same..]);
            let (left, right) = match (first(old)?, first(new)?) {
                (None, None) => return Ok(()),
                (Some(left), Some(right)) => match order(&left.0, &right.0) {
                    Ordering::Less => (Some(left), None),
                    Ordering::Greater => (None, Some(right)),
                    Ordering::Equal => (Some(left), Some(right)),
                },
                one_side => one_side,
            };
            old = left.map_or(old, |(_, rest)| rest);
            new = right.map_or(new, |(_, rest)| rest);
            let (left, right) = (left.map(|left| left.0), right.map(|right| right.0));
            self.pair(left, right, above, matters, found)?;
        }
    }

    fn pair(
        &mut self,
        old: Option<tree::EntryRef<'_>>,
        new: Option<tree::EntryRef<'_>>,
        above: &str,
        matters: PathFilter<'_>,
        found: &mut Vec<Difference>,
    ) -> Result<()> {
        let Some(name) = old.or(new).and_then(|entry| entry.filename.to_str().ok()) else {
            return Ok(());
        };
        let folder = |entry: Option<tree::EntryRef<'_>>| {
            entry
                .filter(|entry| entry.mode.is_tree())
                .map(|entry| entry.oid.to_owned())
        };
        let (old_folder, new_folder) = (folder(old), folder(new));
        if old_folder.is_some() || new_folder.is_some() {
            let path = format!("{above}{name}/");
            return if matters(&path) {
                self.folder(old_folder, new_folder, &path, matters, found)
            } else {
                Ok(())
            };
        }
        let text = |entry: Option<tree::EntryRef<'_>>| {
            entry
                .map(|entry| Leaf {
                    kind: EntryKind::from(entry.mode),
                    id: entry.oid.to_owned(),
                })
                .filter(|leaf| is_text(*leaf))
        };
        let (old, new) = (text(old), text(new));
        let path = format!("{above}{name}");
        if old != new && matters(&path) {
            found.push(Difference { path, old, new });
        }
        Ok(())
    }
}

/// An entry of a folder, and the bytes after it.
type TreeEntry<'a> = (tree::EntryRef<'a>, &'a [u8]);

fn first(bytes: &[u8]) -> Result<Option<TreeEntry<'_>>> {
    let mut entries = TreeRefIter::from_bytes(bytes, gix::hash::Kind::Sha1);
    let entry = entries
        .next()
        .transpose()
        .map_err(HistoryError::git("read a folder of the history"))?;
    Ok(entry.map(|entry| (entry, &bytes[entries.offset_to_next_entry(bytes)..])))
}

/// How many bytes at the start are whole entries that both have. Most of a big folder is the
/// same from commit to commit, and looking at every name of it would take most of the time.
fn same_entries(a: &[u8], b: &[u8]) -> usize {
    let same = same_start(a, b);
    if same == a.len() && same == b.len() {
        return same;
    }
    let mut start = 0;
    // Mode and name, up to a zero; then the twenty bytes of an object's name.
    while let Some(zero) = a[start..same].find_byte(0) {
        let end = start + zero + 21;
        if end > same {
            break;
        }
        start = end;
    }
    start
}

/// The order of names in a folder; a file and a folder of one name are two names.
fn order(a: &tree::EntryRef<'_>, b: &tree::EntryRef<'_>) -> Ordering {
    tree::name_order(a.filename, a.mode.is_tree(), b.filename, b.mode.is_tree())
}
