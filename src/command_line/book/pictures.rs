//! The pictures of a book: each as it may leave the journal, made anew only when the
//! journal's own has changed.

use std::collections::{BTreeMap, BTreeSet};

use super::refused;
use crate::command_line::failure::Failure;
use crate::command_line::pictures::read;
use crate::command_line::world::World;
use crate::entry::{Entry, Fact};
use crate::journal::{Journal, MadeFolder, slug};
use crate::parallel;
use crate::pictures::PictureKind;
use crate::vocabulary::short_name::short_name;

/// Changes when less of a picture may leave the journal than before, so that all are
/// made anew.
const FORM: &str = "2";

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
    let named: Vec<&str> = named.into_iter().collect();
    for (at, few) in named.chunks(READERS * FEW).enumerate() {
        progress.at(at * READERS * FEW, named.len());
        let found = parallel::each(READERS, few, |path| find(journal, folder, path));
        for (path, found) in few.iter().zip(found) {
            let (file, bytes) = match found {
                Ok(found) => found,
                Err(why) => {
                    shown.left_out.push(((*path).to_owned(), why));
                    continue;
                }
            };
            if let Some(bytes) = bytes {
                let is_new = folder.add(&file, &bytes).map_err(refused)?;
                shown.new += usize::from(is_new);
            }
            shown.files.insert((*path).to_owned(), file);
        }
    }
    Ok(shown)
}

/// Threads that read pictures, and how many each reads before they are written: as many
/// are in memory at once.
const READERS: usize = 2;
const FEW: usize = 4;

/// The file of one picture in the book, with its bytes if it is not there yet; or why there
/// is none.
fn find(
    journal: &Journal,
    folder: &MadeFolder,
    path: &str,
) -> Result<(String, Option<Vec<u8>>), String> {
    let look = journal.picture_look(path).map_err(|why| why.to_string())?;
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
        return Ok((file, None));
    }
    let picture = read(journal, path, LONGEST_PICTURE)?;
    Ok((file, Some(picture.bytes)))
}
