//! The sums of the journal's pictures: added to the list by `keep`, compared by
//! `check`, corrected by `check --accept`.
//!
//! A picture that looks as it did when it was read is not read again.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use super::failure::Failure;
use super::kept_answer;
use super::world::World;
use crate::journal::{
    FoundFile, Journal, JournalError, Look, MANIFEST, PHOTOS, PhotoFiles, PictureManifest,
    photo_files, read_if_there, sha256, write_new,
};
use crate::parallel;
use crate::presentation::json::writing::AcceptedPicture;
use crate::problem::{Problem, Spot};
use crate::reports::pictures::{lost_pictures, unnamed_pictures};
use crate::vocabulary::moment::nanoseconds;

/// A picture as it was when it was read.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
struct SummedPicture {
    size: u64,
    modified_ns: i64,
    changed_ns: i64,
    inode: u64,
    sum: String,
}

impl SummedPicture {
    fn looks_like(&self, look: &Look) -> bool {
        (self.size, self.modified_ns, self.changed_ns, self.inode)
            == (look.size, look.modified_ns, look.changed_ns, look.inode)
    }
}

/// What was read, by path.
type SummedPictures = BTreeMap<String, SummedPicture>;

/// The name under which the sums are kept, and the number of their form.
const KEPT: (&str, &str) = ("pictures", "1");

/// A file that was changed so shortly before it was read could have changed again
/// without looking changed; its sum is not kept.
const SETTLED_NS: i64 = 2_000_000_000;

/// Threads that read pictures, and how many each reads between two steps of the bar.
const READERS: usize = 4;
const SHARE: usize = 8;

/// The list as it stands, with its text; `None` if there is none.
fn list(journal: &Journal) -> Result<Option<(String, PictureManifest)>, JournalError> {
    let file = journal.root.join(MANIFEST);
    let Some(bytes) = read_if_there(&file)? else {
        return Ok(None);
    };
    let text = String::from_utf8(bytes)
        .map_err(|_| JournalError::io(&file, std::io::ErrorKind::InvalidData.into()))?;
    let list = PictureManifest::read(&text);
    Ok(Some((text, list)))
}

/// The sums of these files; a file that cannot be read has none.
pub(super) fn sums(
    files: &[&FoundFile],
    journal: &Journal,
    world: &World,
) -> BTreeMap<String, String> {
    let (name, form) = KEPT;
    let mut known: SummedPictures = kept_answer::read(journal, name, form).unwrap_or_default();
    let is_known = |file: &FoundFile| {
        let known = known.get(&file.path);
        known.is_some_and(|known| known.looks_like(&file.look))
    };
    let unread: Vec<&FoundFile> = files
        .iter()
        .copied()
        .filter(|file| !is_known(file))
        .collect();
    let mut progress = world.progress("reading pictures");
    let mut read: BTreeMap<String, String> = BTreeMap::new();
    for (at, share) in unread.chunks(READERS * SHARE).enumerate() {
        progress.at(at * READERS * SHARE, unread.len());
        let began = nanoseconds(world.system_time());
        let sums = parallel::each(READERS, share, |file| {
            sha256(&journal.root.join(&file.path))
        });
        for (file, sum) in share.iter().zip(sums) {
            let Ok(sum) = sum else { continue };
            read.insert(file.path.clone(), sum.clone());
            let look = &file.look;
            if look.modified_ns.max(look.changed_ns) < began - SETTLED_NS {
                let summed = SummedPicture {
                    size: look.size,
                    modified_ns: look.modified_ns,
                    changed_ns: look.changed_ns,
                    inode: look.inode,
                    sum,
                };
                known.insert(file.path.clone(), summed);
            }
        }
    }
    let of = |file: &&FoundFile| {
        let known = || Some(known.get(&file.path)?.sum.clone());
        let sum = read.get(&file.path).cloned().or_else(known)?;
        Some((file.path.clone(), sum))
    };
    let sums = files.iter().filter_map(of).collect();
    if !read.is_empty() {
        kept_answer::write(&kept_answer::file(journal, name), form, &known);
    }
    sums
}

/// Adds the pictures that the list does not have yet; no line is changed or taken away.
///
/// # Errors
/// When the list cannot be read or written.
pub(super) fn add_new(journal: &Journal, world: &World) -> Result<(), JournalError> {
    let there = photo_files(&journal.root);
    let list = list(journal)?;
    let listed: BTreeSet<&str> = list
        .iter()
        .flat_map(|(_, list)| list.pictures().map(|(path, _)| path))
        .collect();
    let is_new = |file: &&FoundFile| !listed.contains(file.path.as_str());
    let new: Vec<&FoundFile> = there.files.iter().filter(is_new).collect();
    if new.is_empty() {
        return Ok(());
    }
    let (before, mut changed) = list.clone().unzip();
    let changed = changed.get_or_insert_default();
    for (path, sum) in sums(&new, journal, world) {
        changed.add(&path, &sum);
    }
    match before {
        Some(before) => journal.change(MANIFEST, &before, &changed.text()),
        None => write_new(&journal.root.join(MANIFEST), changed.text().as_bytes()),
    }
}

/// What is wrong with the pictures; `named` are those that records name.
pub(super) fn problems(journal: &Journal, named: &BTreeSet<&str>, world: &World) -> Vec<Problem> {
    let PhotoFiles { files, unlistable } = photo_files(&journal.root);
    let at = |file: &str| Spot {
        file: file.to_owned(),
        ..Spot::default()
    };
    let unlistable = unlistable.iter().map(|path| {
        Problem::warning(
            at(PHOTOS),
            format!(
                "a list of sums cannot hold the name of {path:?}, so nobody would notice its loss"
            ),
        )
        .hint("rename it without %, \\ and line breaks, in Unicode")
    });
    let mut problems: Vec<Problem> = unlistable.collect();
    problems.extend(unnamed_pictures(
        files.iter().map(|file| file.path.as_str()),
        named,
    ));
    match list(journal) {
        Ok(Some((_, list))) => {
            let files: Vec<&FoundFile> = files.iter().collect();
            let there = sums(&files, journal, world);
            problems.extend(lost_pictures(MANIFEST, list.pictures(), &there));
            problems.extend(list.unread().map(|line| {
                let spot = Spot {
                    line,
                    column: 1,
                    width: 1,
                    ..at(MANIFEST)
                };
                Problem::warning(spot, "this is no picture with its sum")
                    .hint("a line is a SHA-256 in hexadecimal, two spaces, a path")
            }));
        }
        Ok(None) => {}
        Err(error) => problems.push(Problem::warning(at(MANIFEST), error.to_string())),
    }
    problems
}

/// Makes the list say of these pictures what is there now.
///
/// # Errors
/// When one is neither gone nor changed, or the list cannot be written.
pub(super) fn accept(
    paths: &[PathBuf],
    journal: &Journal,
    world: &World,
) -> Result<Vec<AcceptedPicture>, Failure> {
    let Some((before, mut list)) = list(journal)? else {
        return Err(Failure::misuse(
            format!("there is no {MANIFEST} yet"),
            "`matchmark keep` makes it of what lies in photos/",
        ));
    };
    let mut accepted = Vec::new();
    for path in paths {
        let path = listed(path, &list, journal, world).ok_or_else(|| {
            Failure::misuse(
                format!("{MANIFEST} has no picture `{}`", path.display()),
                "name it as `matchmark check` does",
            )
        })?;
        let kept = list.pictures().find(|(own, _)| *own == path);
        let kept = kept.map(|(_, sum)| sum.to_owned());
        let now = sha256(&journal.root.join(&path)).ok();
        if now == kept {
            return Err(Failure::misuse(
                format!("`{path}` is as it was kept"),
                "nothing was changed",
            ));
        }
        list.remove(&path);
        match &now {
            Some(now) => list.add(&path, now),
            None if journal.has(&path) => {
                return Err(Failure::misuse(
                    format!("`{path}` cannot be read"),
                    "nothing was changed",
                ));
            }
            None => {}
        }
        accepted.push(AcceptedPicture { path, sum: now });
    }
    journal.change(MANIFEST, &before, &list.text())?;
    Ok(accepted)
}

/// The path in the list that was named from here or from the journal's folder.
fn listed(path: &Path, list: &PictureManifest, journal: &Journal, world: &World) -> Option<String> {
    let from_here = world.here.join(path);
    let inside = from_here.strip_prefix(&journal.root).ok();
    let is_it = |own: &str| Path::new(own) == path || Some(Path::new(own)) == inside;
    let mut pictures = list.pictures();
    pictures
        .find(|(own, _)| is_it(own))
        .map(|(own, _)| own.to_owned())
}
