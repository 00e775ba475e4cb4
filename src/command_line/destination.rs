//! Where an answer goes: to standard output, or into a file that the person
//! named. A file that the program did not make is never written over, and
//! nothing that could block is opened.

use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use super::Reply;
use super::arguments::{Forms, Output};
use super::failure::Failure;
use super::world::{USUAL_WIDTH, World};
use crate::journal::{read_if_there, write_atomically, write_new};
use crate::presentation::export::Document;
use crate::presentation::terminal::Terminal;
use crate::presentation::text::{Text, TextStyle};

/// What a person is told beside a document.
#[derive(Clone, Debug, Default)]
pub struct DocumentSummary {
    /// What it holds: "12 units replaced".
    pub holds: String,
    /// Whatever else is worth a line each.
    pub notes: Vec<String>,
}

impl DocumentSummary {
    /// Only what it holds.
    pub fn holding(holds: impl Into<String>) -> DocumentSummary {
        DocumentSummary {
            holds: holds.into(),
            notes: Vec::new(),
        }
    }
}

/// The terminal that words are made for; a file has the usual width and no colours.
pub fn terminal<F: Forms>(output: &Output<F>, world: &World) -> Terminal {
    match output.file() {
        Some(_) => Terminal {
            width: USUAL_WIDTH,
            colours: false,
        },
        None => Terminal {
            width: world.width,
            colours: world.colours,
        },
    }
}

/// Refuses a destination that could not be written, for verbs that do something
/// before they answer.
///
/// # Errors
/// As [`deliver`], for a document without a mark.
pub fn may_deliver<F: Forms>(output: &Output<F>, world: &World) -> Result<(), Failure> {
    match output.file() {
        Some(file) => may_write(&world.here.join(file), "", None).map(drop),
        None => Ok(()),
    }
}

/// Delivers a document: as the reply, or into the file that was named.
///
/// # Errors
/// When the file is not one that the program made, is a folder, a pipe or a
/// device, or cannot be written; when there is no such folder; when several
/// sheets would go to standard output.
pub fn deliver<F: Forms>(
    document: Document,
    output: &Output<F>,
    about: DocumentSummary,
    world: &World,
) -> Result<Reply, Failure> {
    let Some(file) = output.file() else {
        return to_standard_output(document, about);
    };
    let file = world.here.join(file);
    let mut files = Vec::new();
    for (at, text) in document.sheets.iter().enumerate() {
        let file = numbered(&file, at);
        let there = may_write(&file, text, document.mark)?;
        files.push((file, there, text));
    }
    for (file, there, text) in &files {
        match there {
            Some(there) => write_atomically(there, text.as_bytes())?,
            None => write_new(file, text.as_bytes())?,
        }
    }
    let mut said = match about.holds.is_empty() {
        true => format!("written to {}", file.display()),
        false => format!("{}, written to {}", about.holds, file.display()),
    };
    if let [_, .., (last, _, _)] = &files[..] {
        said.push_str(&format!(" to {}", last.display()));
    }
    let mut text = Text::new(world.width);
    text.line(0, TextStyle::Plain, &said);
    for note in &about.notes {
        text.line(0, TextStyle::Plain, note);
    }
    Ok(Reply::new(text.render(world.colours)))
}

fn to_standard_output(document: Document, about: DocumentSummary) -> Result<Reply, Failure> {
    let mut sheets = document.sheets.into_iter();
    let first = sheets.next().unwrap_or_default();
    let more = sheets.len();
    if more > 0 {
        return Err(Failure::misuse(
            format!("this fills {} sheets, and each is a file", more + 1),
            "name the first with --into: the others are numbered after it",
        ));
    }
    let mut reply = Reply::new(first);
    reply.said = about.notes;
    Ok(reply)
}

/// The file of the first sheet, or of a later one: `labels-2.svg`.
fn numbered(file: &Path, at: usize) -> PathBuf {
    if at == 0 {
        return file.to_owned();
    }
    let stem = file.file_stem().unwrap_or_default().to_string_lossy();
    let kind = file.extension().unwrap_or_default().to_string_lossy();
    file.with_file_name(format!("{stem}-{}.{kind}", at + 1))
}

/// How far into a file its mark stands.
const HEAD: usize = 1024;

/// No document of this program is as long.
const LONGEST: u64 = 1 << 30;

/// The present file, if one of this form is there and `text` may take its place;
/// `None` if the name is free.
fn may_write(
    file: &Path,
    text: &str,
    mark: Option<&'static str>,
) -> Result<Option<PathBuf>, Failure> {
    let folder = file.parent().unwrap_or(Path::new("."));
    if !folder.is_dir() {
        return Err(Failure::misuse(
            format!("there is no folder {}", folder.display()),
            "make it first, or name another",
        ));
    }
    match file.symlink_metadata() {
        Err(error) if error.kind() == ErrorKind::NotFound => return Ok(None),
        Err(error) => return Err(Failure::file(file, error)),
        Ok(_) => {}
    }
    let refused =
        |what: &str, hint: &str| Failure::misuse(format!("{} {what}", file.display()), hint);
    let Ok(metadata) = file.metadata() else {
        return Err(refused(
            "is a link that leads nowhere",
            "nothing was written; choose another name",
        ));
    };
    if metadata.is_dir() {
        return Err(refused("is a folder", "name a file in it"));
    }
    if !metadata.is_file() {
        return Err(refused(
            "is a pipe or a device, not a file",
            "nothing was written; without --into the answer goes to standard output, which the shell can lead anywhere",
        ));
    }
    let other = "is there already, and this program did not make it in this form";
    let Some(mark) = mark else {
        return Err(refused(
            "is there already",
            "nothing was written; choose another name, or delete the file first",
        ));
    };
    if metadata.len() <= LONGEST
        && let Some(present) = read_if_there(file)?
        && is_ours(&present, text, mark)
    {
        // What a link leads to is replaced, not the link.
        return Ok(Some(
            file.canonicalize().unwrap_or_else(|_| file.to_owned()),
        ));
    }
    Err(refused(other, "nothing was written; choose another name"))
}

/// Whether a file begins as a new one would, and has the mark of this program
/// near its beginning.
fn is_ours(present: &[u8], text: &str, mark: &str) -> bool {
    let first = text.as_bytes().iter().take(8);
    let head = String::from_utf8_lossy(&present[..present.len().min(HEAD)]);
    present.iter().take(8).eq(first) && head.contains(mark)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_known_by_its_beginning_and_its_mark() {
        let new = "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nMADE\r\n";
        assert!(is_ours(new.as_bytes(), new, "MADE"));
        for other in [
            "",
            "BEGIN:VCALENDAR\r\nVERSION:2.0\r\n",
            "# Notes\n\nBEGIN:VCALENDAR and MADE\n",
        ] {
            assert!(!is_ours(other.as_bytes(), new, "MADE"), "{other}");
        }
        let late = format!("BEGIN:VCALENDAR{}MADE", " ".repeat(HEAD));
        assert!(!is_ours(late.as_bytes(), new, "MADE"));
    }

    #[test]
    fn later_sheets_are_numbered() {
        assert_eq!(numbered(Path::new("a/l.svg"), 0), Path::new("a/l.svg"));
        assert_eq!(numbered(Path::new("a/l.svg"), 2), Path::new("a/l-3.svg"));
    }
}
