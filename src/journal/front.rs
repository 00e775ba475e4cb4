//! The front matter of a file that is no entry, a vehicle's or an episode's, and
//! where something in it stands.
//!
//! What may be said there is decided in their own files.

use crate::entry::FrontMatterFields;
use crate::problem::{Problem, Spot};
use crate::vocabulary::words::fold;

/// Reads it, with what is wrong with it as YAML.
pub(super) fn read(path: &str, text: &str) -> (FrontMatterFields, Vec<Problem>) {
    let fields = FrontMatterFields::read(text);
    let mut problems = fields.problems.clone();
    for problem in &mut problems {
        path.clone_into(&mut problem.spot.file);
    }
    (fields, problems)
}

/// The line of a key; the first line of the file if it is not there.
pub(super) fn spot(path: &str, text: &str, key: &str) -> Spot {
    let key = format!("{key}:");
    let index = text.lines().position(|line| fold(line).starts_with(&key));
    Spot {
        file: path.to_owned(),
        line: index.map_or(1, |index| u32::try_from(index + 1).unwrap_or(1)),
        column: 1,
        width: 1,
    }
}
