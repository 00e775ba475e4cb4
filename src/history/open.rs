//! Finding, opening and creating the repository that holds a journal folder.
//!
//! Does not look into commits or files, and never repairs anything.

use std::path::{Path, PathBuf};

use super::{HistoryError, Result, Who, error::causes, object_store::sync, paths::Prefix};

/// The git repository around one journal folder.
pub struct History {
    pub(super) repo: gix::Repository,
    /// The journal folder, as an absolute path without symbolic links.
    pub(super) root: PathBuf,
    /// The top of the work tree, likewise.
    pub(super) work_tree: PathBuf,
    pub(super) prefix: Prefix,
}

impl std::fmt::Debug for History {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("History")
            .field("root", &self.root)
            .field("git_dir", &self.repo.git_dir())
            .finish_non_exhaustive()
    }
}

impl History {
    /// Opens the repository that holds this folder: its own, or one further up.
    ///
    /// `None` if there is none. The first `.git` on the way up decides, even when
    /// it is damaged: going on to a repository above it would put texts into a
    /// history where nobody looks for them.
    pub fn open(journal_root: &Path) -> Result<Option<History>> {
        Self::open_with(journal_root, settings())
    }

    /// Makes a repository in this folder, on branch `main`, whatever the folder holds already.
    pub fn create(journal_root: &Path) -> Result<History> {
        Self::create_with(journal_root, settings())
    }

    pub(super) fn create_with(
        journal_root: &Path,
        settings: gix::open::Options,
    ) -> Result<History> {
        let root = resolve(journal_root)?;
        let dot_git = root.join(".git");
        if dot_git.symlink_metadata().is_ok() {
            return Err(HistoryError::AlreadyThere { path: dot_git });
        }
        gix::ThreadSafeRepository::init_opts(
            &root,
            gix::create::Kind::WithWorktree,
            gix::create::Options::default(),
            // `main` for everybody: what `--as-written` and the hints say must not depend on a setting.
            settings
                .clone()
                .config_overrides(["init.defaultBranch=main"]),
        )
        .map_err(HistoryError::git("create the repository"))?;
        // What everything later rests on must not be lost to a power cut before it.
        for path in ["config", "HEAD", "refs", "objects", ""] {
            sync(&dot_git.join(path))?;
        }
        sync(&root)?;
        // Opened anew, because the overrides above would stay with that handle.
        Self::open_with(&root, settings)?.ok_or(HistoryError::Damaged {
            path: dot_git,
            what: "it vanished right after it was created".into(),
        })
    }

    pub(super) fn open_with(
        journal_root: &Path,
        settings: gix::open::Options,
    ) -> Result<Option<History>> {
        let root = resolve(journal_root)?;
        let Some(dot_git) = root
            .ancestors()
            .map(|folder| folder.join(".git"))
            .find(|path| path.symlink_metadata().is_ok())
        else {
            return Ok(None);
        };
        let repo = gix::open_opts(&dot_git, settings.bail_if_untrusted(true))
            .map_err(|error| refusal(&dot_git, &error))?;
        if format_is(repo.common_dir(), "refstorage", "reftable") {
            return Err(HistoryError::Reftable { path: dot_git });
        }
        let work_tree = match repo.workdir() {
            Some(folder) => resolve(folder)?,
            None => return Err(HistoryError::Bare { path: dot_git }),
        };
        let Ok(below) = root.strip_prefix(&work_tree) else {
            return Err(HistoryError::Elsewhere {
                git_dir: dot_git,
                work_tree,
            });
        };
        let mut prefix = String::new();
        for part in below {
            let part = part.to_str().ok_or_else(|| HistoryError::BadPath {
                path: below.display().to_string(),
            })?;
            prefix.push_str(part);
            prefix.push('/');
        }
        Ok(Some(History {
            repo,
            root,
            work_tree,
            prefix: Prefix(prefix),
        }))
    }

    /// Who git's settings say is writing (`GIT_AUTHOR_*`, `author.*`, `user.*`, as git
    /// itself resolves them); `None` if they do not name anybody.
    pub fn author(&self) -> Option<Who> {
        // Asked for one by one: the library's own answer comes with the time of day
        // here, for which it goes through all the system's time zones.
        let config = self.repo.config_snapshot();
        let first = |keys: &[&str]| keys.iter().find_map(|key| config.string(*key));
        Some(Who {
            name: first(&["author.name", "user.name", "gitoxide.author.nameFallback"])?.to_string(),
            email: first(&[
                "author.email",
                "user.email",
                "gitoxide.user.emailFallback",
                "gitoxide.author.emailFallback",
            ])?
            .to_string(),
        })
    }

    /// The journal folder, as an absolute path without symbolic links.
    pub fn journal_root(&self) -> &Path {
        &self.root
    }

    pub(super) fn is_set(&self, key: &str) -> Option<bool> {
        self.repo.config_snapshot().boolean(key)
    }
}

/// How repositories are opened.
fn settings() -> gix::open::Options {
    let mut permissions = gix::open::Permissions::all();
    // GIT_OBJECT_DIRECTORY and its kin would send objects where nobody expects
    // them, for example when we run inside somebody's hook. (GIT_DIR is never asked;
    // the index is always taken from the git folder, whatever GIT_INDEX_FILE says.)
    permissions.env.objects = gix::sec::Permission::Deny;
    gix::open::Options::default().permissions(permissions)
}

fn resolve(path: &Path) -> Result<PathBuf> {
    path.canonicalize()
        .map_err(|source| HistoryError::NoFolder {
            path: path.into(),
            source,
        })
}

/// Turns a refusal of gix into the most helpful reason we can find for it.
fn refusal(dot_git: &Path, error: &gix::Error) -> HistoryError {
    let git_dir =
        gix::discover::path::from_gitdir_file(dot_git).unwrap_or_else(|_| dot_git.to_owned());
    if format_is(&git_dir, "objectformat", "sha256") {
        return HistoryError::Sha256 {
            path: dot_git.into(),
        };
    }
    if format_is(&git_dir, "refstorage", "reftable") {
        return HistoryError::Reftable {
            path: dot_git.into(),
        };
    }
    let folder = dot_git.parent().unwrap_or(dot_git);
    let ours = |path: &Path| {
        gix::sec::Trust::from_path_ownership(path).is_ok_and(|trust| trust == gix::sec::Trust::Full)
    };
    if !ours(dot_git) || !ours(&git_dir) || !ours(folder) {
        return HistoryError::Foreign {
            path: folder.into(),
        };
    }
    HistoryError::Damaged {
        path: dot_git.into(),
        what: causes(error),
    }
}

/// Whether the repository's own configuration names that extension. Read as plain
/// text, because gix refuses to open such a repository and then says little.
fn format_is(git_dir: &Path, key: &str, value: &str) -> bool {
    std::fs::read_to_string(git_dir.join("config")).is_ok_and(|text| {
        text.lines()
            .filter_map(|line| line.split_once('='))
            .any(|(left, right)| {
                left.trim().eq_ignore_ascii_case(key) && right.trim().eq_ignore_ascii_case(value)
            })
    })
}
