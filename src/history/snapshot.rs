//! The texts of the journal as they stood at a commit.
//!
//! As git stores them: with plain line ends where attributes or `autocrlf` say so.
//! Symbolic links and submodules are no texts and are left out.

use std::collections::BTreeMap;

use gix::{ObjectId, bstr::ByteSlice, objs::tree::EntryKind};

use super::{
    CommitId, History, Result,
    trees::{Leaf, below, blob_bytes, each_file},
};

impl History {
    /// All texts for which `wanted` holds, sorted by path from the journal folder.
    pub fn snapshot(
        &self,
        commit: CommitId,
        wanted: &dyn Fn(&str) -> bool,
    ) -> Result<Vec<(String, Vec<u8>)>> {
        self.files_at(commit.0, wanted)?
            .into_iter()
            .map(|(path, leaf)| Ok((path, blob_bytes(&self.repo, leaf.id)?)))
            .collect()
    }

    /// One text as it was, or `None` if it was not there.
    pub fn text_at(&self, commit: CommitId, path: &str) -> Result<Option<Vec<u8>>> {
        self.prefix.to_repository(path)?;
        let tree = self.tree_of(commit.0)?;
        match below(
            &self.repo,
            tree,
            self.prefix.folders().chain(path.split('/')),
        )? {
            Some(leaf) if is_text(leaf) => blob_bytes(&self.repo, leaf.id).map(Some),
            Some(_) | None => Ok(None),
        }
    }

    /// The texts of the journal folder at a commit.
    pub(super) fn files_at(
        &self,
        commit: ObjectId,
        wanted: &dyn Fn(&str) -> bool,
    ) -> Result<BTreeMap<String, Leaf>> {
        let mut files = Vec::new();
        self.each_text_at(commit, wanted, &mut |path, leaf| {
            files.push((path.to_owned(), leaf));
        })?;
        // Git keeps them in this order, so the map is made in one go.
        Ok(files.into_iter().collect())
    }

    /// Calls back for each of them, in order of path. What has a name that is not
    /// Unicode has no path that the journal could say.
    pub(super) fn each_text_at(
        &self,
        commit: ObjectId,
        wanted: &dyn Fn(&str) -> bool,
        found: &mut dyn FnMut(&str, Leaf),
    ) -> Result<()> {
        let tree = self.tree_of(commit)?;
        let folder = below(&self.repo, tree, self.prefix.folders())?;
        let Some(folder) = folder.filter(|leaf| leaf.kind == EntryKind::Tree) else {
            return Ok(());
        };
        each_file(&self.repo, folder.id, &mut |path, leaf| {
            if is_text(leaf)
                && let Ok(path) = path.to_str()
                && wanted(path)
            {
                found(path, leaf);
            }
            Ok(())
        })
    }
}

pub(super) fn is_text(leaf: Leaf) -> bool {
    matches!(leaf.kind, EntryKind::Blob | EntryKind::BlobExecutable)
}
