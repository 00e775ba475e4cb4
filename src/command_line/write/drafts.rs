//! Where a text stays that could not go where it should: nothing that was typed
//! is ever lost, and the person is told where it is until it is taken up.

use std::path::{Path, PathBuf};

use super::super::failure::Failure;
use super::super::world::World;
use super::editor::says_nothing;
use crate::journal::{Journal, drafts_in, put_draft};

/// The failure, saying where the text is that could not be placed.
pub(super) fn kept_safe(
    failure: &Failure,
    text: &[u8],
    taken: Option<&Path>,
    journal: Option<&Journal>,
    world: &World,
) -> Failure {
    let mut folders: Vec<PathBuf> = journal.map(Journal::drafts).into_iter().collect();
    folders.extend(world.own_drafts());
    // A draft that still cannot be placed stays where it is.
    let file = match taken {
        Some(file) => file.to_owned(),
        None => match put_draft(&folders, "not-placed.md", text) {
            Ok(file) => file,
            // Nowhere to write: then the person gets it back on the screen.
            Err(failed) => {
                return Failure::NowhereToWrite {
                    why: failed.map(|error| error.to_string()).unwrap_or_default(),
                    text: String::from_utf8_lossy(text).into_owned(),
                };
            }
        },
    };
    let then = format!("then `{}` takes your text up", taking_up(&file));
    let hint = match failure.hint() {
        Some(hint) => format!("{hint}; {then}"),
        None => then,
    };
    Failure::misuse(
        format!("{failure}; your text is in {}", file.display()),
        hint,
    )
}

/// The command that takes a draft up.
fn taking_up(file: &Path) -> String {
    let file = file.display().to_string();
    let plain = !file.contains(|c: char| c.is_whitespace() || "'\"$`\\&;()<>|*?".contains(c));
    match plain {
        true => format!("matchmark write --draft {file}"),
        false => format!("matchmark write --draft '{}'", file.replace('\'', "'\\''")),
    }
}

/// Texts that wait to be taken up, the journal's and those of no journal. One
/// that says nothing, or says what an entry says already, is none.
pub(in super::super) fn waiting(journal: &Journal, world: &World) -> Vec<PathBuf> {
    let own = drafts_in(&journal.root.join("drafts"));
    let others = world
        .own_drafts()
        .into_iter()
        .flat_map(|folder| drafts_in(&folder));
    own.into_iter()
        .chain(others)
        .filter(|(file, bytes)| !is_none(file, bytes, journal))
        .map(|(file, _)| {
            file.strip_prefix(&journal.root)
                .map(Path::to_owned)
                .unwrap_or(file)
        })
        .collect()
}

/// A line for each of the first texts that wait.
pub(in super::super) fn waiting_lines(journal: &Journal, world: &World) -> Vec<String> {
    const MOST_SHOWN: usize = 3;
    let waiting = waiting(journal, world);
    let mut lines: Vec<String> = waiting
        .iter()
        .take(MOST_SHOWN)
        .map(|file| {
            let command = taking_up(file);
            format!("{} waits to be placed: `{command}`", file.display())
        })
        .collect();
    if waiting.len() > MOST_SHOWN {
        let more = waiting.len() - MOST_SHOWN;
        lines.push(format!("and {more} more: `matchmark check` lists them"));
    }
    lines
}

/// Whether a draft holds nothing that is not in the journal.
fn is_none(file: &Path, bytes: &[u8], journal: &Journal) -> bool {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return false;
    };
    if says_nothing(text) {
        return true;
    }
    // A draft of an entry has the entry's name.
    let name = file
        .file_name()
        .and_then(|name| name.to_str())
        .unwrap_or_default();
    let Some(year) = name.get(..4) else {
        return false;
    };
    let entry = journal.bytes(&format!("entries/{year}/{name}"));
    entry.is_ok_and(|entry| entry == bytes)
}
