//! Folders of a commit in memory: opened where something changes, written where
//! something changed.
//!
//! Beside gix's own tree editor because each folder here remembers its last written
//! version, against which the next one can be stored in a few bytes. Knows nothing
//! of the work tree.

use std::collections::BTreeMap;

use gix::{
    ObjectId,
    bstr::{BStr, BString, ByteSlice},
    objs::{Kind, TreeRefIter, tree::EntryKind},
};

use super::{
    HistoryError, Result,
    object_store::{ObjectSink, WrittenTree},
};

/// A file of a commit: what sort it is of, and its content.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Leaf {
    pub(super) kind: EntryKind,
    pub(super) id: ObjectId,
}

/// A folder that can be changed.
#[derive(Default)]
pub(super) struct Folder {
    /// By name; the names of folders end in `/`, which is the order git wants.
    children: BTreeMap<BString, TreeChild>,
    written: Option<WrittenTree>,
    changed: bool,
}

enum TreeChild {
    File(Leaf),
    /// Not read yet.
    Closed(ObjectId),
    Open(Box<Folder>),
}

impl Folder {
    /// The folder that is stored under this name.
    pub(super) fn open(repo: &gix::Repository, id: ObjectId) -> Result<Self> {
        let bytes = tree_bytes(repo, id)?;
        let mut children = BTreeMap::new();
        for entry in TreeRefIter::from_bytes(&bytes, gix::hash::Kind::Sha1) {
            let entry = entry.map_err(HistoryError::git("read a folder of the history"))?;
            let mut name = BString::from(entry.filename);
            let child = match entry.mode.kind() {
                EntryKind::Tree => {
                    name.push(b'/');
                    TreeChild::Closed(entry.oid.to_owned())
                }
                kind @ (EntryKind::Blob
                | EntryKind::BlobExecutable
                | EntryKind::Link
                | EntryKind::Commit) => TreeChild::File(Leaf {
                    kind,
                    id: entry.oid.to_owned(),
                }),
            };
            children.insert(name, child);
        }
        Ok(Folder {
            children,
            written: Some(WrittenTree { id, bytes }),
            changed: false,
        })
    }

    /// The file at this path.
    pub(super) fn get(&mut self, repo: &gix::Repository, path: &BStr) -> Result<Option<Leaf>> {
        match split(path) {
            None => Ok(match self.children.get(path) {
                Some(TreeChild::File(leaf)) => Some(*leaf),
                Some(TreeChild::Closed(_) | TreeChild::Open(_)) | None => None,
            }),
            Some((folder, rest)) => match self.child(repo, folder)? {
                Some(child) => child.get(repo, rest),
                None => Ok(None),
            },
        }
    }

    /// Puts a file there. A folder of that name, or a file where a folder is needed, goes, as with `git add`.
    pub(super) fn set(&mut self, repo: &gix::Repository, path: &BStr, leaf: Leaf) -> Result<()> {
        self.changed = true;
        match split(path) {
            None => {
                let mut folder = path.to_owned();
                folder.push(b'/');
                self.children.remove(&folder);
                self.children.insert(path.into(), TreeChild::File(leaf));
                Ok(())
            }
            Some((folder, rest)) => {
                self.children.remove(folder[..folder.len() - 1].as_bstr());
                if self.child(repo, folder)?.is_none() {
                    self.children
                        .insert(folder.into(), TreeChild::Open(Box::default()));
                }
                match self.child(repo, folder)? {
                    Some(child) => child.set(repo, rest, leaf),
                    None => Ok(()),
                }
            }
        }
    }

    /// Takes the file at this path out, if there is one.
    pub(super) fn remove(&mut self, repo: &gix::Repository, path: &BStr) -> Result<()> {
        match split(path) {
            None => self.changed |= self.children.remove(path).is_some(),
            Some((folder, rest)) => {
                if let Some(child) = self.child(repo, folder)? {
                    child.remove(repo, rest)?;
                    self.changed |= child.changed;
                }
            }
        }
        Ok(())
    }

    /// Writes every changed folder, the deepest first. Folders without a file vanish,
    /// as git has none; this one is written even if it is empty.
    pub(super) fn write(&mut self, shelf: &mut dyn ObjectSink) -> Result<ObjectId> {
        match self.write_if_any(shelf)? {
            Some(id) => Ok(id),
            None => shelf.put(Kind::Tree, Vec::new(), None),
        }
    }

    fn write_if_any(&mut self, shelf: &mut dyn ObjectSink) -> Result<Option<ObjectId>> {
        if let (false, Some(written)) = (self.changed, &self.written) {
            return Ok(Some(written.id));
        }
        let mut empty = Vec::new();
        for (name, child) in &mut self.children {
            if let TreeChild::Open(folder) = child
                && folder.write_if_any(shelf)?.is_none()
            {
                empty.push(name.clone());
            }
        }
        for name in empty {
            self.children.remove(&name);
        }
        if self.children.is_empty() {
            return Ok(None);
        }
        let bytes = self.bytes();
        let id = shelf.put(Kind::Tree, bytes.clone(), self.written.as_ref())?;
        self.written = Some(WrittenTree { id, bytes });
        self.changed = false;
        Ok(Some(id))
    }

    fn bytes(&self) -> Vec<u8> {
        let mut out = Vec::with_capacity(self.children.len() * 48);
        for (name, child) in &self.children {
            let (kind, id) = match child {
                TreeChild::File(leaf) => (leaf.kind, Some(leaf.id)),
                TreeChild::Closed(id) => (EntryKind::Tree, Some(*id)),
                TreeChild::Open(folder) => (
                    EntryKind::Tree,
                    folder.written.as_ref().map(|written| written.id),
                ),
            };
            let Some(id) = id else { continue };
            out.extend_from_slice(kind.as_octal_str());
            out.push(b' ');
            out.extend_from_slice(name.strip_suffix(b"/").unwrap_or(name));
            out.push(0);
            out.extend_from_slice(id.as_slice());
        }
        out
    }

    /// The folder of that name (which ends in `/`), opened if need be.
    fn child(&mut self, repo: &gix::Repository, name: &BStr) -> Result<Option<&mut Folder>> {
        let Some(child) = self.children.get_mut(name) else {
            return Ok(None);
        };
        if let TreeChild::Closed(id) = child {
            *child = TreeChild::Open(Box::new(Folder::open(repo, *id)?));
        }
        Ok(match child {
            TreeChild::Open(folder) => Some(folder),
            TreeChild::File(_) | TreeChild::Closed(_) => None,
        })
    }
}

/// The first folder of a path, with its `/`, and what lies below it.
fn split(path: &BStr) -> Option<(&BStr, &BStr)> {
    let end = path.find_byte(b'/')? + 1;
    Some((path[..end].as_bstr(), path[end..].as_bstr()))
}

/// The bytes of a stored folder.
pub(super) fn tree_bytes(repo: &gix::Repository, id: ObjectId) -> Result<Vec<u8>> {
    let tree = repo
        .find_tree(id)
        .map_err(HistoryError::git("read a folder of the history"))?;
    Ok(tree.detach().data)
}

/// The bytes of a stored text.
pub(super) fn blob_bytes(repo: &gix::Repository, id: ObjectId) -> Result<Vec<u8>> {
    let blob = repo
        .find_blob(id)
        .map_err(HistoryError::git("read a text of the history"))?;
    Ok(blob.detach().data)
}

/// Calls back for every file below a stored folder, with its path from there, in
/// order of path.
pub(super) fn each_file(
    repo: &gix::Repository,
    id: ObjectId,
    found: &mut dyn FnMut(&BStr, Leaf) -> Result<()>,
) -> Result<()> {
    each_file_below(repo, id, &mut BString::default(), found)
}

/// The same in one of its folders; `path` is as long again afterwards as before.
fn each_file_below(
    repo: &gix::Repository,
    id: ObjectId,
    path: &mut BString,
    found: &mut dyn FnMut(&BStr, Leaf) -> Result<()>,
) -> Result<()> {
    let above = path.len();
    let bytes = tree_bytes(repo, id)?;
    for entry in TreeRefIter::from_bytes(&bytes, gix::hash::Kind::Sha1) {
        let entry = entry.map_err(HistoryError::git("read a folder of the history"))?;
        path.truncate(above);
        path.extend_from_slice(entry.filename);
        let id = entry.oid.to_owned();
        match entry.mode.kind() {
            EntryKind::Tree => {
                path.push(b'/');
                each_file_below(repo, id, path, found)?;
            }
            kind @ (EntryKind::Blob
            | EntryKind::BlobExecutable
            | EntryKind::Link
            | EntryKind::Commit) => found(path.as_bstr(), Leaf { kind, id })?,
        }
    }
    path.truncate(above);
    Ok(())
}

/// The folder (or file) at the end of these names.
pub(super) fn below<'a>(
    repo: &gix::Repository,
    mut id: ObjectId,
    names: impl Iterator<Item = &'a str>,
) -> Result<Option<Leaf>> {
    let mut here = Leaf {
        kind: EntryKind::Tree,
        id,
    };
    for name in names {
        if here.kind != EntryKind::Tree {
            return Ok(None);
        }
        let bytes = tree_bytes(repo, id)?;
        let mut next = None;
        for entry in TreeRefIter::from_bytes(&bytes, gix::hash::Kind::Sha1) {
            let entry = entry.map_err(HistoryError::git("read a folder of the history"))?;
            if entry.filename == name.as_bytes() {
                next = Some(Leaf {
                    kind: entry.mode.kind(),
                    id: entry.oid.to_owned(),
                });
                break;
            }
        }
        match next {
            Some(leaf) => here = leaf,
            None => return Ok(None),
        }
        id = here.id;
    }
    Ok(Some(here))
}
