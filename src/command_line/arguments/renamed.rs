//! Options that were renamed: using an old one is an error that names the new one.

use clap::error::{ContextKind, ContextValue, ErrorKind};
use clap::{CommandFactory, Error};

use super::Arguments;

/// Verb, old option, what to type instead.
const RENAMED: [(&str, &str, &str); 7] = [
    ("replaced", "--csv", "--as csv"),
    ("replaced", "--page", "--as page --into FILE.html"),
    ("needs", "--calendar", "--as calendar --into FILE.ics"),
    (
        "bags",
        "--labels",
        "--as labels --into FILE.html` or `--as labels-svg --into FILE.svg",
    ),
    ("refit", "--page", "--as page --into FILE.html"),
    ("tally", "--csv", "--as csv"),
    ("recap", "--csv", "--as shots-csv"),
];

/// Verb, old form, new form.
const RENAMED_FORMS: [(&str, &str, &str); 1] = [("recap", "marks", "--as chapter-list")];

/// The old name that was typed, and what to type instead; `None` if the error is
/// about something else.
pub fn renamed(error: &Error) -> Option<(String, &'static str)> {
    let said = |kind| match error.get(kind) {
        Some(ContextValue::String(said)) => Some(said.as_str()),
        Some(_) | None => None,
    };
    let verb = verb_typed()?;
    if error.kind() == ErrorKind::UnknownArgument {
        let option = said(ContextKind::InvalidArg)?;
        let found = RENAMED
            .iter()
            .find(|(known, old, _)| *known == verb && *old == option);
        return found.map(|(_, old, new)| ((*old).to_owned(), *new));
    }
    let value = said(ContextKind::InvalidValue)?;
    let found = RENAMED_FORMS
        .iter()
        .find(|(known, old, _)| *known == verb && *old == value);
    found.map(|(_, old, new)| (format!("--as {old}"), *new))
}

/// The verb on the command line, whatever else is wrong there.
fn verb_typed() -> Option<String> {
    let matches = Arguments::command()
        .ignore_errors(true)
        .try_get_matches()
        .ok()?;
    matches.subcommand_name().map(str::to_owned)
}
