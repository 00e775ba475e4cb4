//! What a shell offers to complete a word with: the vehicles, systems, statuses,
//! parts and bags of the journal.
//!
//! Whatever cannot be read offers nothing: a person who presses a key is told no
//! errors.

use std::ffi::OsStr;
use std::path::Path;

use clap_complete::CompletionCandidate;

use super::arguments::Common;
use super::fresh_index::fresh;
use super::opened;
use super::world::World;
use crate::journal::Journal;
use crate::vocabulary::status::Status;
use crate::vocabulary::words::{fold, shown};

/// The vehicles, by their slugs.
pub fn vehicles(typed: &OsStr) -> Vec<CompletionCandidate> {
    let slugs = |journal: &Journal| {
        let vehicles = journal.vehicles().iter();
        vehicles.map(|vehicle| vehicle.slug.clone()).collect()
    };
    beginning_with(
        typed,
        journal().map_or(Vec::new(), |(journal, _)| slugs(&journal)),
    )
}

/// The systems of the settings.
pub fn systems(typed: &OsStr) -> Vec<CompletionCandidate> {
    let systems = journal().map(|(journal, _)| journal.settings().systems.clone());
    beginning_with(typed, systems.unwrap_or_default())
}

/// The statuses.
pub fn statuses(typed: &OsStr) -> Vec<CompletionCandidate> {
    let words = Status::ALL.iter().map(|status| status.word().to_owned());
    beginning_with(typed, words.collect())
}

/// The parts with their positions. They come from the index; a journal that has
/// none yet offers nothing, as making it could take longer than anybody waits.
pub fn parts(typed: &OsStr) -> Vec<CompletionCandidate> {
    let labels = journal().and_then(|(journal, world)| {
        if !journal.computed().join("index").is_dir() {
            return None;
        }
        let states = fresh(&journal, &world).ok()?.states().ok()?;
        let recorded = states.into_values().filter(|state| state.recorded);
        Some(recorded.map(|state| state.label()).collect())
    });
    beginning_with(typed, labels.unwrap_or_default())
}

/// The journal that the line on the screen is about.
fn journal() -> Option<(Journal, World)> {
    let world = World::look();
    let common = Common {
        journal: folder_typed(&world.typed()),
    };
    Some((opened::journal(&common, &world).ok()?, world))
}

/// The folder after `-j`, wherever it stands on the line.
fn folder_typed(words: &[String]) -> Option<std::path::PathBuf> {
    let mut words = words.iter();
    while let Some(word) = words.next() {
        let folder = match word.as_str() {
            "-j" | "--journal" => words.next()?,
            other => match other.strip_prefix("--journal=") {
                Some(folder) => folder,
                None => continue,
            },
        };
        return Some(Path::new(folder).to_owned());
    }
    None
}

/// Those of some words that begin with what was typed, each once, as a shell has
/// to be told: with its blanks marked where the shell does not do so itself.
fn beginning_with(typed: &OsStr, mut words: Vec<String>) -> Vec<CompletionCandidate> {
    let typed = fold(&plain(&typed.to_string_lossy()));
    words.sort_by_key(|word| fold(word));
    words.dedup();
    let marks_blanks = World::look().is_asked_by_bash();
    words
        .iter()
        .filter(|word| fold(word).starts_with(&typed))
        .map(|word| shown(word))
        .map(|word| match marks_blanks {
            true => CompletionCandidate::new(marked(&word)),
            false => CompletionCandidate::new(word),
        })
        .collect()
}

/// A word as a shell reads it in one piece.
fn marked(word: &str) -> String {
    let mut marked = String::new();
    for c in word.chars() {
        if !(c.is_alphanumeric() || "-_./,:+%@".contains(c)) {
            marked.push('\\');
        }
        marked.push(c);
    }
    marked
}

/// What was typed without the marks and quotes of a shell.
fn plain(typed: &str) -> String {
    typed.replace(['\\', '"', '\''], "")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_journal_is_the_one_on_the_line() {
        let words = |line: &str| -> Vec<String> { line.split(' ').map(str::to_owned).collect() };
        for (line, folder) in [
            ("matchmark -j van part", Some("van")),
            ("matchmark part --journal=van hub", Some("van")),
            ("matchmark part hub --journal van", Some("van")),
            ("matchmark part hub", None),
            ("matchmark part -j", None),
        ] {
            let found = folder_typed(&words(line));
            assert_eq!(found.as_deref(), folder.map(Path::new), "{line}");
        }
    }

    #[test]
    fn a_marked_word_is_the_same_without_its_marks() {
        let word = "brake drum, left front (the $5 one)";
        assert_eq!(plain(&marked(word)), word);
        assert_eq!(marked("brake drum, left"), "brake\\ drum,\\ left");
    }
}
