//! A book that is written again as entries change, and shown to browsers.
//!
//! It looks at the disk once a second, as every answer does once: a look costs less than
//! a crate that is told of changes by the system, and sees them on every disk.

use std::hash::{DefaultHasher, Hash, Hasher};
use std::io::{self, Write};
use std::path::PathBuf;
use std::sync::{Arc, RwLock};
use std::thread;
use std::time::Duration;

use super::address::OpenedSite;
use super::{make, open_folder};
use crate::command_line::failure::Failure;
use crate::command_line::world::World;
use crate::entry::Readers;
use crate::journal::{Journal, MadeFolder, photo_files, walk};
use crate::presentation::text::{counted, shown};
use crate::server::serve;

/// How long to wait between two looks at the disk.
const BETWEEN: Duration = Duration::from_secs(1);

/// A book that goes on after it was made.
pub(super) struct WatchedBook {
    /// The journal's folder.
    pub root: PathBuf,
    /// Who reads it.
    pub readers: Readers,
    /// The folder of the pages.
    pub folder: PathBuf,
    /// What is in it.
    pub files: RwLock<MadeFolder>,
}

/// What tells one state of a journal from another, and one day from the next; 0 if the
/// journal cannot be read.
pub(super) fn state(journal: &Journal, world: &World) -> u64 {
    let mut hasher = DefaultHasher::new();
    let Ok(walked) = walk(&journal.root) else {
        return 0;
    };
    journal.frame.hash(&mut hasher);
    world.today().hash(&mut hasher);
    let photos = photo_files(&journal.root).files;
    for file in walked.files.iter().chain(&photos) {
        file.path.hash(&mut hasher);
        let look = file.look;
        (look.size, look.modified_ns, look.changed_ns, look.inode).hash(&mut hasher);
    }
    hasher.finish()
}

impl WatchedBook {
    /// Shows it to browsers, and writes it again as entries change if it is `watched`
    /// from a state on.
    pub fn serve(self, site: &OpenedSite, watched: Option<u64>) {
        let book = Arc::new(self);
        if let Some(state) = watched {
            let book = Arc::clone(&book);
            thread::spawn(move || book.watch(state));
        }
        let files = move |name: &str| book.files.read().ok()?.read(name).ok();
        serve(&site.listener, &site.site, &files);
    }

    /// Writes it again as entries change, from a state on.
    pub fn watch(&self, mut last: u64) {
        loop {
            thread::sleep(BETWEEN);
            let world = World::look();
            let Ok(journal) = Journal::open(&self.root) else {
                continue;
            };
            let now = state(&journal, &world);
            if now == last {
                continue;
            }
            last = now;
            let said = match self.again(&journal, &world) {
                Ok(said) => said,
                Err(failure) => format!("the pages stay as they were: {failure}"),
            };
            let _ = writeln!(io::stderr(), "{}", shown(&said));
        }
    }

    /// Brings the pages up to date; says what came of it.
    fn again(&self, journal: &Journal, world: &World) -> Result<String, Failure> {
        let made = make(self.readers, journal, &self.folder, true, world)?;
        let files = open_folder(&self.folder)?;
        if let (Ok(mut own), Ok(files)) = (self.files.write(), files.into_inner()) {
            *own = files;
        }
        let removed = match made.removed {
            0 => String::new(),
            removed => format!(", {removed} taken away"),
        };
        let written = counted(made.written, "file", "files");
        Ok(format!("{}: {written} written{removed}", made.time))
    }
}
