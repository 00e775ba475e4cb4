//! Options that were renamed, and options in other words: the error names the one that
//! is meant.

use clap::error::{ContextKind, ContextValue, ErrorKind};
use clap::{CommandFactory, Error};

use super::Arguments;
use crate::entry::{is_seller, key_meant};

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
pub fn renamed(error: &Error) -> Option<(String, String)> {
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
        return found
            .map(|(_, old, new)| ((*old).to_owned(), (*new).to_owned()))
            .or_else(|| meant(&verb, option));
    }
    let value = said(ContextKind::InvalidValue)?;
    let found = RENAMED_FORMS
        .iter()
        .find(|(known, old, _)| *known == verb && *old == value);
    found.map(|(_, old, new)| (format!("--as {old}"), (*new).to_owned()))
}

/// The option of a verb that is meant by a word for the same: `--price` is `--cost`.
fn meant(verb: &str, option: &str) -> Option<(String, String)> {
    let word = option.trim_start_matches('-').replace('-', " ");
    let command = Arguments::command();
    let has = |long: &str| {
        let verb = command.find_subcommand(verb);
        verb.is_some_and(|verb| verb.get_arguments().any(|one| one.get_long() == Some(long)))
    };
    // Who was paid has no key of its own.
    if is_seller(&word) && has("cost") {
        let cost = "--cost \"84.50 hinge, NAME\"".to_owned();
        return Some((option.to_owned(), cost));
    }
    let own = key_meant(&word)?.word().replace(' ', "-");
    (has(&own) && own != option.trim_start_matches('-'))
        .then(|| (option.to_owned(), format!("--{own}")))
}

/// The verb on the command line, whatever else is wrong there.
fn verb_typed() -> Option<String> {
    let matches = Arguments::command()
        .ignore_errors(true)
        .try_get_matches()
        .ok()?;
    matches.subcommand_name().map(str::to_owned)
}
