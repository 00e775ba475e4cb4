//! Files that a verb writes where the person said: never over something that
//! is not of this program.

use std::path::Path;

use super::failure::Failure;
use crate::journal::read_if_there;
use crate::presentation::page;

/// Refuses to write over anything that does not hold `mark`; `kind` is what the
/// file would be: "page".
///
/// # Errors
/// When there is no such folder, when the file cannot be read, or when it is
/// something else.
pub fn may_write(file: &Path, mark: &str, kind: &str) -> Result<(), Failure> {
    let folder = file.parent().unwrap_or(Path::new("."));
    if !folder.is_dir() {
        return Err(Failure::misuse(
            format!("there is no folder {}", folder.display()),
            "make it first, or name another",
        ));
    }
    let is_ours = match read_if_there(file)? {
        None => true,
        Some(bytes) => String::from_utf8_lossy(&bytes).contains(mark),
    };
    if is_ours {
        return Ok(());
    }
    Err(Failure::misuse(
        format!(
            "{} is there already and is no {kind} of this program",
            file.display()
        ),
        "nothing was written; choose another name",
    ))
}

/// Refuses to write a page over anything that is not one.
///
/// # Errors
/// When something else is there, or the folder is not.
pub fn may_be_page(file: &Path) -> Result<(), Failure> {
    may_write(file, page::MADE_BY, "page")
}
