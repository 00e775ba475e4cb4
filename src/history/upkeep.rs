//! Housekeeping around the repository: packing what has piled up, and letting go
//! of locks when the person presses Ctrl-C.
//!
//! The only place in this module that runs the `git` program, since gix never
//! packs what is there. Nothing depends on its success.

use std::process::{Command, Stdio};

use super::History;

impl History {
    /// Lets git pack loose objects if it thinks there are too many (about 6,700; a keep
    /// leaves six). Starting git costs more than a keep, so it is asked only when a look
    /// at one folder of objects says that it may well agree. Does nothing where there is no git. Whether git ran and was content.
    pub fn tidy(&self) -> bool {
        let config = self.repo.config_snapshot();
        let runs_another = config.string("gc.recentObjectsHook").is_some();
        if runs_another || !self.is_worth_packing() {
            return true;
        }
        let mut git = Command::new("git");
        // A hook's surroundings would send it to another repository.
        for name in [
            "GIT_DIR",
            "GIT_WORK_TREE",
            "GIT_INDEX_FILE",
            "GIT_COMMON_DIR",
            "GIT_OBJECT_DIRECTORY",
        ] {
            git.env_remove(name);
        }
        git.current_dir(&self.work_tree)
            // No program that came with the repository.
            .args([
                "-c",
                "core.hooksPath=/dev/null",
                "-c",
                "core.fsmonitor=false",
            ])
            .args(["maintenance", "run", "--auto", "--quiet"])
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .status()
            .is_ok_and(|status| status.success())
    }
}

impl History {
    /// Git's own estimate: one of the 256 folders of objects stands for all.
    fn is_worth_packing(&self) -> bool {
        const ONE_OF_ALL: &str = "17";
        const MANY: usize = 6_700 / 256;
        let folder = super::object_store::objects_folder(&self.repo).join(ONE_OF_ALL);
        std::fs::read_dir(folder).is_ok_and(|files| files.count() > MANY)
    }
}

/// Has git's locks removed when the process is ended by Ctrl-C or SIGTERM, from the first
/// call on. A killed process leaves them, and so does one that is ended in the moment in
/// which gix moves a branch; see [`History::stale_locks`].
pub(super) fn release_locks_on_signals() {
    gix::tempfile::signal::setup(gix::tempfile::signal::handler::Mode::DeleteTempfilesOnTerminationAndRestoreDefaultBehaviour);
}
