//! Pages and labels are files; only one of this program's own is ever written
//! over.

use std::path::Path;

use super::failure::Failure;
use crate::journal::read_if_there;
use crate::presentation::page;

/// Refuses to write a page over anything that is not one.
///
/// # Errors
/// When something else is there, or the folder is not.
pub fn may_be_page(file: &Path) -> Result<(), Failure> {
    let folder = file.parent().unwrap_or(Path::new("."));
    if !folder.is_dir() {
        return Err(Failure::misuse(
            format!("there is no folder {}", folder.display()),
            "make it first, or name another",
        ));
    }
    let is_ours = match read_if_there(file)? {
        None => true,
        Some(bytes) => String::from_utf8_lossy(&bytes).contains(page::MADE_BY),
    };
    if is_ours {
        return Ok(());
    }
    Err(Failure::misuse(
        format!(
            "{} is there already and is no page of this program",
            file.display()
        ),
        "nothing was written; choose another name",
    ))
}
