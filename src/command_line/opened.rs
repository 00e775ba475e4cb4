//! A journal opened for a question: which folder, as of when.

use std::collections::BTreeSet;
use std::path::{Component, Path, PathBuf};

use jiff::civil::Date;

use super::arguments::{AsOfArgs, Common};
use super::failure::Failure;
use super::uncounted;
use super::world::World;
use crate::entry::{decode, is_in_conflict};
use crate::history::{AsWritten, CommitId, History};
use crate::journal::{Contents, Journal, JournalError, find_root, gather, is_text_of_journal};
use crate::vocabulary::day_reading::{ReadDay, Toward, read_day};

/// The folder of the journal that is meant.
///
/// # Errors
/// When there is none.
pub fn root(common: &Common, world: &World) -> Result<PathBuf, Failure> {
    let start = match &common.journal {
        Some(folder) => named(&world.here.join(folder))?,
        None => world.here.clone(),
    };
    find_root(&start).ok_or(Failure::Journal(JournalError::NoJournal(start)))
}

/// A folder that was named. One that is not there is nobody's journal, though
/// a folder above it may have one.
fn named(folder: &Path) -> Result<PathBuf, Failure> {
    if !folder.is_dir() {
        return Err(Failure::Journal(JournalError::NoFolder(folder.to_owned())));
    }
    // What is above `..` is not what stands to the left of it.
    let climbs = folder
        .components()
        .any(|part| matches!(part, Component::ParentDir));
    let plain = match climbs {
        true => folder.canonicalize(),
        false => std::path::absolute(folder),
    };
    Ok(plain.unwrap_or_else(|_| folder.to_owned()))
}

/// Opens the journal that is meant.
///
/// # Errors
/// When there is none, or it cannot be read.
pub fn journal(common: &Common, world: &World) -> Result<Journal, Failure> {
    Ok(Journal::open(&root(common, world)?)?)
}

/// A day as it was typed after an option.
///
/// # Errors
/// When it is no day.
pub fn day(option: &str, text: &str, world: &World) -> Result<Date, Failure> {
    match read_day(text, world.today(), Toward::Past) {
        ReadDay::Exactly(day) => Ok(day),
        ReadDay::Either(days) => {
            let days: Vec<String> = days.iter().map(ToString::to_string).collect();
            Err(Failure::misuse(
                format!("`{text}` after {option} can mean {}", days.join(" or ")),
                format!("write one of them: {option} {}", days[0]),
            ))
        }
        ReadDay::Unread => Err(Failure::misuse(
            format!("`{text}` after {option} is no day"),
            "write 2026-03-14, 2026-03, today, yesterday, friday, \"14 march\", or \"3 days ago\"",
        )),
    }
}

/// The day after an option, if it was given.
///
/// # Errors
/// When it is no day.
pub fn maybe_day(
    option: &str,
    text: Option<&String>,
    world: &World,
) -> Result<Option<Date>, Failure> {
    text.map(|text| day(option, text, world)).transpose()
}

/// The last day of a span that was typed: a month means its last day.
///
/// # Errors
/// When it is no day.
pub fn last_day(
    option: &str,
    text: Option<&String>,
    world: &World,
) -> Result<Option<Date>, Failure> {
    let Some(text) = text else { return Ok(None) };
    let first = day(option, text, world)?;
    let month = text.trim().len() == 7 && text.trim().as_bytes()[4] == b'-' && first.day() == 1;
    Ok(Some(if month { first.last_of_month() } else { first }))
}

/// The repository of a journal.
///
/// # Errors
/// When there is none.
pub fn history(journal: &Journal) -> Result<History, Failure> {
    History::open(&journal.root)?.ok_or_else(|| {
        Failure::misuse(
            format!("{} has no history yet", journal.root.display()),
            "`matchmark keep` begins one",
        )
    })
}

/// What a person must know of a shallow clone when an answer depends on the history.
///
/// # Errors
/// When the repository cannot be read.
pub fn cut_off(history: &History) -> Result<Option<String>, Failure> {
    let ends: Vec<String> = history.cut_off_at()?.iter().map(CommitId::short).collect();
    Ok((!ends.is_empty()).then(|| {
        format!(
            "this is a shallow clone: nothing is known from before {}; `git fetch --unshallow` brings the rest",
            ends.join(", ")
        )
    }))
}

/// Which of the texts behind an answer are in conflict: what they say counts twice, or
/// not at all.
pub fn in_conflict<'p>(
    journal: &Journal,
    paths: impl Iterator<Item = &'p str>,
) -> impl Iterator<Item = String> {
    let paths: BTreeSet<&str> = paths.collect();
    let is_in_conflict = |path: &&str| {
        let text = journal.bytes(path).map(|bytes| decode(bytes).text);
        text.is_ok_and(|text| is_in_conflict(&text))
    };
    let found: Vec<&str> = paths.into_iter().filter(is_in_conflict).collect();
    found.into_iter().map(|path| {
        format!(
            "a conflict of a git merge is still in {path}; until it is mended, answers from it may be wrong"
        )
    })
}

/// The commit that a day or name means.
///
/// # Errors
/// When there is none.
pub fn commit(history: &History, text: &str, world: &World) -> Result<CommitId, Failure> {
    let asked = match read_day(text, world.today(), Toward::Past) {
        ReadDay::Exactly(day) => AsWritten::Day(day),
        ReadDay::Either(_) => AsWritten::Day(day("--as-written", text, world)?),
        ReadDay::Unread => AsWritten::Commit(text.to_owned()),
    };
    Ok(history.as_written(&asked)?)
}

/// The texts of a journal as they are, or as they were written once.
///
/// # Errors
/// When they cannot be read, or there is no such day or commit.
pub fn contents(
    journal: &Journal,
    as_written: Option<&String>,
    world: &World,
) -> Result<Contents, Failure> {
    let Some(text) = as_written else {
        return Ok(journal.load()?);
    };
    let history = history(journal)?;
    let commit = commit(&history, text, world)?;
    Ok(gather(history.snapshot(commit, &is_text_of_journal)?))
}

/// The texts of a journal for an answer about parts, bags or sums: as [`contents`], and
/// says which entries it leaves out.
///
/// # Errors
/// As [`contents`].
pub fn counted(
    journal: &Journal,
    as_written: Option<&String>,
    world: &World,
) -> Result<Contents, Failure> {
    let contents = contents(journal, as_written, world)?;
    uncounted::say_of(&contents.entries, world);
    Ok(contents)
}

/// "as it stood on 2026-03-14, as written at 1a2b3c": what the answer is about,
/// if it is not about now.
///
/// # Errors
/// When a day is no day.
pub fn as_of(times: &AsOfArgs, world: &World) -> Result<Option<String>, Failure> {
    let mut words = Vec::new();
    if let Some(day) = maybe_day("--on", times.on.as_ref(), world)? {
        words.push(format!("as it stood at the end of {day}"));
    }
    if let Some(text) = &times.as_written {
        words.push(match read_day(text, world.today(), Toward::Past) {
            ReadDay::Exactly(day) => format!("as written by the end of {day}"),
            ReadDay::Either(_) | ReadDay::Unread => format!("as written at {text}"),
        });
    }
    Ok((!words.is_empty()).then(|| words.join(", ")))
}
