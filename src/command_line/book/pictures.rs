//! The pictures of a book: each as it may leave the journal, made anew only when the
//! journal's own has changed.

use std::collections::{BTreeMap, BTreeSet};

use super::refused;
use crate::command_line::failure::Failure;
use crate::command_line::pictures::read;
use crate::command_line::world::World;
use crate::entry::{Entry, Fact};
use crate::journal::{Journal, MadeFolder, slug};
use crate::pictures::PictureKind;
use crate::vocabulary::short_name::short_name;

/// Changes when less of a picture may leave the journal than before, so that all are
/// made anew.
const FORM: &str = "1";

/// A longer picture takes a phone too long to show.
const LONGEST_PICTURE: usize = 20_000_000;

/// The pictures that a book can show.
pub(super) struct ShownPictures {
    /// The file in the book, by the path inside the journal.
    pub files: BTreeMap<String, String>,
    /// How many of them are new.
    pub new: usize,
    /// The others, with the reason.
    pub left_out: Vec<(String, String)>,
}

/// Brings the pictures of these entries into the folder.
///
/// # Errors
/// When one cannot be written.
pub(super) fn bring(
    journal: &Journal,
    folder: &mut MadeFolder,
    entries: &[Entry],
    world: &World,
) -> Result<ShownPictures, Failure> {
    let records = entries.iter().flat_map(|entry| &entry.records);
    let facts = records.flat_map(|record| &record.facts);
    let facts = facts.chain(entries.iter().flat_map(|entry| &entry.facts));
    let named: BTreeSet<&str> = facts
        .filter_map(|stated| {
            let Fact::Photo(picture) = &stated.fact else {
                return None;
            };
            Some(picture.path.as_str())
        })
        .collect();
    let mut shown = ShownPictures {
        files: BTreeMap::new(),
        new: 0,
        left_out: Vec::new(),
    };
    let mut progress = world.progress("pictures");
    for (done, path) in named.iter().enumerate() {
        progress.at(done, named.len());
        match bring_one(journal, folder, path)? {
            Ok((file, is_new)) => {
                shown.files.insert((*path).to_owned(), file);
                shown.new += usize::from(is_new);
            }
            Err(why) => shown.left_out.push(((*path).to_owned(), why)),
        }
    }
    Ok(shown)
}

/// The file of one picture in the book, and whether it is new; or why there is none.
fn bring_one(
    journal: &Journal,
    folder: &mut MadeFolder,
    path: &str,
) -> Result<Result<(String, bool), String>, Failure> {
    let look = match journal.picture_look(path) {
        Ok(look) => look,
        Err(why) => return Ok(Err(why.to_string())),
    };
    let ending = match PictureKind::of(&look.start) {
        Some(PictureKind::Png) => "png",
        Some(PictureKind::WebP) => "webp",
        Some(_) | None => "jpg",
    };
    let name = path.rsplit('/').next().unwrap_or(path);
    let name = slug(name.rsplit_once('.').map_or(name, |(name, _)| name));
    let state = format!("{FORM} {} {}", look.size, look.modified_ns);
    let file = format!(
        "pictures/{name}.{}{}.{ending}",
        short_name(&[path]),
        short_name(&[path, &state])
    );
    if folder.has(&file) {
        return Ok(Ok((file, false)));
    }
    match read(journal, path, LONGEST_PICTURE) {
        Ok(picture) => {
            let is_new = folder.add(&file, &picture.bytes).map_err(refused)?;
            Ok(Ok((file, is_new)))
        }
        Err(why) => Ok(Err(why)),
    }
}
