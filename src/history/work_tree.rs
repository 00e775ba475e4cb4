//! Files of the work tree, as git would store them.
//!
//! Only reads. What cannot be read, or is not a plain file, is said to be so, and
//! never taken for a file that is gone.

use std::{
    collections::HashMap,
    fs::{self, File},
    io::Read,
    path::{Path, PathBuf},
};

use gix::{
    ObjectId,
    bstr::BStr,
    filter::plumbing::pipeline::convert::ToGitOutcome,
    index::{State, entry::Stat, fs::Metadata},
    objs::{Kind, tree::EntryKind},
};

use super::{History, HistoryError, Result, object_store::name, own_filters::OwnFilters};

/// Something in the journal folder that cannot be kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LeftOut {
    /// From the journal folder.
    pub path: String,
    /// Why not.
    pub why: Unkeepable,
}

/// Why a file cannot be put into the history.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Unkeepable {
    /// It is a symbolic link, and the text may be anywhere.
    Link,
    /// A folder above it is a symbolic link.
    BehindLink,
    /// It is a pipe, a device or the like.
    NotAFile,
    /// The system does not let us read it.
    Unreadable(String),
    /// Its name is not Unicode.
    NotUnicode,
    /// The repository's own settings name a program that it must go through.
    OwnFilter(String),
}

impl std::fmt::Display for Unkeepable {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Link => f.write_str("it is a symbolic link, not a file"),
            Self::BehindLink => f.write_str("the folder it is in is a symbolic link"),
            Self::NotAFile => f.write_str("it is not a plain file"),
            Self::Unreadable(why) => write!(f, "it cannot be read ({why})"),
            Self::NotUnicode => f.write_str("its name has bytes that are no letters"),
            Self::OwnFilter(name) => write!(
                f,
                "the filter `{name}` in this repository's own settings would run a program; if it is yours, put it into your settings (git config --global filter.{name}.clean COMMAND)"
            ),
        }
    }
}

/// What stands at a path.
pub(super) enum PathContent {
    /// Certainly nothing, or a folder.
    Nothing,
    /// A plain file.
    File(Metadata),
    /// Something else, or unknown.
    Other(Unkeepable),
}

/// A file as git would store it.
pub(super) struct StoredFile {
    pub(super) id: ObjectId,
    pub(super) bytes: Vec<u8>,
    /// Taken before the bytes were read, so that an edit in between shows.
    pub(super) stat: Stat,
    pub(super) executable: bool,
}

/// Reads files, through the attributes and filters that are in force.
pub(super) struct WorkTreeReader<'h> {
    history: &'h History,
    filters: gix::filter::Pipeline<'h>,
    /// Folders already looked at: whether a path may lead through them.
    folders: HashMap<PathBuf, Option<Unkeepable>>,
    trusts_executable_bit: bool,
    own_filters: Option<OwnFilters<'h>>,
}

impl<'h> WorkTreeReader<'h> {
    /// `index` is the one in hand, because attribute files that are not checked out are read from it.
    pub(super) fn new(history: &'h History, index: &State) -> Result<Self> {
        use gix::worktree::stack::state::attributes::Source;
        let repo = &history.repo;
        let attributes = repo
            .attributes_only(index, Source::WorktreeThenIdMapping)
            .map_err(HistoryError::git("read git's attributes"))?;
        let filters = gix::filter::Pipeline::new(repo, attributes.detach())
            .map_err(HistoryError::git("prepare git's filters"))?;
        let trusts_executable_bit = cfg!(unix) && history.is_set("core.fileMode").unwrap_or(true);
        Ok(WorkTreeReader {
            history,
            filters,
            folders: HashMap::new(),
            trusts_executable_bit,
            own_filters: OwnFilters::of(history, index)?,
        })
    }

    /// Forgets what it saw of folders: from now on they may be others.
    pub(super) fn look_again(&mut self) {
        self.folders.clear();
    }

    /// What stands at this path from the top of the repository.
    pub(super) fn look(&mut self, path: &BStr) -> PathContent {
        let Ok(relative) = gix::path::from_bstr(path) else {
            return PathContent::Other(Unkeepable::NotUnicode);
        };
        let path = self.history.work_tree.join(&relative);
        if let Some(why) = path.parent().and_then(|folder| self.way_to(folder)) {
            return PathContent::Other(why);
        }
        match Metadata::from_path_no_follow(&path) {
            Ok(meta) if meta.is_file() => PathContent::File(meta),
            Ok(meta) if meta.is_dir() => PathContent::Nothing,
            Ok(meta) if meta.is_symlink() => PathContent::Other(Unkeepable::Link),
            Ok(_) => PathContent::Other(Unkeepable::NotAFile),
            Err(error) if gone(&error) => PathContent::Nothing,
            Err(error) => PathContent::Other(Unkeepable::Unreadable(error.to_string())),
        }
    }

    /// Why no path may lead through this folder, if so. A missing folder is no reason.
    fn way_to(&mut self, folder: &Path) -> Option<Unkeepable> {
        if folder == self.history.work_tree {
            return None;
        }
        if let Some(known) = self.folders.get(folder) {
            return known.clone();
        }
        let why = folder
            .parent()
            .and_then(|above| self.way_to(above))
            .or_else(|| match fs::symlink_metadata(folder) {
                Ok(meta) => meta.is_symlink().then_some(Unkeepable::BehindLink),
                Err(error) if gone(&error) => None,
                Err(error) => Some(Unkeepable::Unreadable(error.to_string())),
            });
        self.folders.insert(folder.into(), why.clone());
        why
    }

    /// Reads a file that [`WorkTreeReader::look`] found.
    pub(super) fn read(
        &mut self,
        path: &BStr,
        index: &State,
    ) -> Result<std::result::Result<StoredFile, Unkeepable>> {
        if let Some(why) = self.own_filter(path)? {
            return Ok(Err(why));
        }
        let full = self
            .history
            .work_tree
            .join(gix::path::from_bstr(path).map_err(HistoryError::git("read a path"))?);
        let mut bytes = Vec::new();
        let read = File::open(&full).and_then(|mut file| {
            let meta = Metadata::from_file(&file)?;
            file.read_to_end(&mut bytes)?;
            Ok((
                Stat::from_fs(&meta).map_err(std::io::Error::other)?,
                meta.is_executable(),
            ))
        });
        let (stat, executable) = match read {
            Ok(read) => read,
            Err(error) => return Ok(Err(Unkeepable::Unreadable(error.to_string()))),
        };
        let bytes = self.stored(path, bytes, index)?;
        Ok(Ok(StoredFile {
            id: name(Kind::Blob, &bytes)?,
            bytes,
            stat,
            executable,
        }))
    }

    /// Why this file cannot be read as git would, if a filter of the repository's own is to
    /// blame.
    pub(super) fn own_filter(&mut self, path: &BStr) -> Result<Option<Unkeepable>> {
        let Some(filters) = &mut self.own_filters else {
            return Ok(None);
        };
        Ok(filters.for_file(path)?.map(Unkeepable::OwnFilter))
    }

    /// The bytes git would store for these bytes at this path.
    pub(super) fn stored(&mut self, path: &BStr, bytes: Vec<u8>, index: &State) -> Result<Vec<u8>> {
        let doing = "pass a file through git's filters";
        if let Some(why) = self.own_filter(path)? {
            return Err(HistoryError::CannotKeep {
                path: path.to_string(),
                why,
            });
        }
        let relative = gix::path::from_bstr(path).map_err(HistoryError::git(doing))?;
        let outcome = self
            .filters
            .convert_to_git(bytes.as_slice(), &relative, index)
            .map_err(HistoryError::git(doing))?;
        let converted = match outcome {
            ToGitOutcome::Unchanged(_) => None,
            ToGitOutcome::Buffer(converted) => Some(converted.to_vec()),
            ToGitOutcome::Process(mut stream) => {
                let mut converted = Vec::new();
                stream
                    .read_to_end(&mut converted)
                    .map_err(HistoryError::file(doing, &*relative))?;
                Some(converted)
            }
        };
        Ok(converted.unwrap_or(bytes))
    }

    /// What sort of file this is in a commit, where `before` is what it was: some disks
    /// say nothing about the executable bit.
    pub(super) fn kind(&self, executable: bool, before: Option<EntryKind>) -> EntryKind {
        let executable = match before {
            Some(before) if !self.trusts_executable_bit => before == EntryKind::BlobExecutable,
            Some(_) | None => self.trusts_executable_bit && executable,
        };
        if executable {
            EntryKind::BlobExecutable
        } else {
            EntryKind::Blob
        }
    }
}

/// Whether this error says for certain that there is no such file.
fn gone(error: &std::io::Error) -> bool {
    matches!(
        error.kind(),
        std::io::ErrorKind::NotFound | std::io::ErrorKind::NotADirectory
    )
}
