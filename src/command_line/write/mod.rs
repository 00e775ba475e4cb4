//! `write`: an entry in the editor, from options, or from standard input.
//!
//! Whatever happens, what was typed is on the disk somewhere, and the person
//! is told where.

mod editor;
mod section;
mod target;

use std::io::{self, IsTerminal, Read};
use std::path::PathBuf;

use jiff::civil::Date;

use super::arguments::{Common, Write};
use super::failure::Failure;
use super::fresh_index::fresh;
use super::keep::entry_problems;
use super::world::World;
use super::{Reply, opened};
use crate::entry::{Added, add_prose, add_section, new_entry};
use crate::journal::{Journal, JournalError, entry_path, slug, write_new};
use crate::presentation::problems::{render, summary};
use crate::presentation::text::counted;
use section::Addition;
use target::{entries_of_day, entry_of};

/// Writes an entry, or adds to one.
pub(super) fn run(verb: &Write, common: &Common, world: &World) -> Result<Reply, Failure> {
    if verb.keys {
        return Ok(Reply::new(section::keys()));
    }
    let journal = opened::journal(common, world)?;
    let day = match &verb.date {
        Some(text) if text.trim().len() == 7 && text.contains('-') => {
            return Err(Failure::misuse(
                format!("`{text}` after --date is a month, not a day"),
                "write the day: 2026-03-14, yesterday, friday",
            ));
        }
        Some(text) => opened::day("--date", text, world)?,
        None => world.today(),
    };
    let reads_stdin = verb.text.len() == 1 && verb.text[0] == "-";
    let from_options = section::has_options(verb)
        || verb.replaced_by.is_some()
        || !(verb.text.is_empty() || reads_stdin);
    if reads_stdin || (!from_options && !io::stdin().is_terminal()) {
        return from_stdin(verb, &journal, day, world);
    }
    if from_options {
        return add(&section::section(verb)?, verb, &journal, day, world);
    }
    editor::run(verb, &journal, day, world)
}

/// Markdown from standard input: a whole entry if it has front matter, else
/// something to add to the day's.
fn from_stdin(verb: &Write, journal: &Journal, day: Date, world: &World) -> Result<Reply, Failure> {
    let mut bytes = Vec::new();
    io::stdin()
        .read_to_end(&mut bytes)
        .map_err(|error| Failure::file("standard input".as_ref(), error))?;
    let Ok(text) = String::from_utf8(bytes.clone()) else {
        let file = keep_draft(journal, "from-standard-input.md", &bytes)?;
        return Err(Failure::misuse(
            format!("what came is not UTF-8; it is in {}", file.display()),
            "save it as UTF-8 and run the command again",
        ));
    };
    if text.trim().is_empty() {
        return Err(Failure::misuse(
            "nothing came from standard input",
            "type `matchmark write` in a terminal for the editor, or pipe text in",
        ));
    }
    if text.trim_start_matches('\u{feff}').starts_with("---") {
        let (entry, _) = crate::entry::read(&text, &journal.context());
        let day = entry.date.unwrap_or(day);
        let title = verb.title.clone().or(entry.title).unwrap_or_default();
        return add_file(&text, &title, journal, day, world);
    }
    add(&Addition::of_markdown(&text), verb, journal, day, world)
}

/// Adds to the day's entry of the vehicle, or begins that entry.
fn add(
    addition: &Addition,
    verb: &Write,
    journal: &Journal,
    day: Date,
    world: &World,
) -> Result<Reply, Failure> {
    let vehicle = target::vehicle(verb, journal)?;
    let held = journal.hold();
    let todays = if verb.new {
        None
    } else {
        entry_of(journal, day, &vehicle)?
    };
    let Some((path, bytes)) = todays else {
        let title = verb
            .title
            .clone()
            .or_else(|| section::title_of(verb))
            .unwrap_or_else(|| format!("Notes of {day}"));
        let text = new_entry(
            &[("date", &day.to_string()), ("vehicle", &vehicle)],
            &title,
            &addition.text(),
        );
        let path = place_new(&text, &title, journal, day)?;
        drop(held);
        return look_at(
            &path,
            None,
            &format!("{vehicle}, {day}: written to {path}"),
            journal,
            world,
        );
    };
    let not_added = |why: String, hint: String| -> Failure {
        match keep_draft(journal, "not-added.md", addition.text().as_bytes()) {
            Ok(file) => Failure::misuse(format!("{why}; your text is in {}", file.display()), hint),
            Err(failure) => failure,
        }
    };
    let Ok(before) = String::from_utf8(bytes) else {
        return Err(not_added(
            format!("{path} is not UTF-8, so nothing was added to it"),
            "save the entry as UTF-8 in your editor, then add the text".to_owned(),
        ));
    };
    let added = added_to(&before, addition, journal);
    if let Err(error) = journal.change(&path, &before, &added.text) {
        return Err(not_added(
            error.to_string(),
            error.hint().unwrap_or_default(),
        ));
    }
    drop(held);
    let said = format!("{vehicle}, {day}: added to {path}:{}", added.line);
    let lines =
        added.line..added.line + u32::try_from(addition.text().lines().count()).unwrap_or(0);
    look_at(&path, Some(lines), &said, journal, world)
}

/// The text with the addition where it belongs.
fn added_to(before: &str, addition: &Addition, journal: &Journal) -> Added {
    let entry = |text: &str| crate::entry::read(text, &journal.context()).0;
    match addition {
        Addition::Section(section) => add_section(before, section),
        Addition::Prose(prose) => add_prose(&entry(before), prose),
        Addition::Both(prose, sections) => {
            let with_prose = add_prose(&entry(before), prose);
            Added {
                line: with_prose.line,
                ..add_section(&with_prose.text, sections)
            }
        }
    }
}

/// Writes a new entry and looks at it.
fn add_file(
    text: &str,
    title: &str,
    journal: &Journal,
    day: Date,
    world: &World,
) -> Result<Reply, Failure> {
    let held = journal.hold();
    let path = place_new(text, title, journal, day)?;
    drop(held);
    look_at(&path, None, &format!("written to {path}"), journal, world)
}

/// Writes a new entry under a name that is free.
fn place_new(text: &str, title: &str, journal: &Journal, day: Date) -> Result<String, Failure> {
    let slug = slug(title);
    let taken = entries_of_day(journal, day)?;
    let first = u32::try_from(taken.len() + 1).unwrap_or(u32::MAX);
    let mut number = first;
    loop {
        let path = entry_path(day, number, &slug);
        match journal.add(&path, text) {
            Ok(()) => return Ok(path),
            Err(JournalError::Exists(_)) if number < first + 1000 => number += 1,
            Err(error) => {
                let file = keep_draft(journal, "not-written.md", text.as_bytes())?;
                return Err(Failure::misuse(
                    format!("{error}; your text is in {}", file.display()),
                    error.hint().unwrap_or_default(),
                ));
            }
        }
    }
}

/// Puts a text that could not go where it should where it is safe.
fn keep_draft(journal: &Journal, name: &str, bytes: &[u8]) -> Result<PathBuf, Failure> {
    let folders = [
        journal.drafts(),
        std::env::temp_dir().join("matchmark-drafts"),
    ];
    let mut failed = None;
    for folder in folders {
        for number in 1..1000 {
            let file = folder.join(format!("{number}-{name}"));
            match write_new(&file, bytes) {
                Ok(()) => return Ok(file),
                Err(JournalError::Exists(_)) => {}
                Err(error) => {
                    failed = Some(error);
                    break;
                }
            }
        }
    }
    // Nowhere to write: then the person gets it back on the screen.
    Err(Failure::misuse(
        format!(
            "nothing could be written anywhere ({}); this is your text:\n{}",
            failed.map(|error| error.to_string()).unwrap_or_default(),
            String::from_utf8_lossy(bytes)
        ),
        "make room on the disk and write it again",
    ))
}

/// Shows at once what is wrong with what was written: in these lines, or in
/// the whole entry.
fn look_at(
    path: &str,
    lines: Option<std::ops::Range<u32>>,
    said: &str,
    journal: &Journal,
    world: &World,
) -> Result<Reply, Failure> {
    let (entry, read) = journal.entry(path)?;
    let fresh = fresh(journal, world)?;
    let text = entry.text.clone();
    let all = entry_problems(&[entry], read, journal, &fresh, world);
    let count = all.len();
    let problems: Vec<_> = all
        .into_iter()
        .filter(|problem| {
            lines
                .as_ref()
                .is_none_or(|lines| lines.contains(&problem.spot.line))
        })
        .collect();
    let mut out = render(
        &problems,
        &|_| Some(text.clone()),
        world.width,
        world.colours,
    );
    out.push_str(said);
    if !problems.is_empty() {
        out.push_str(&format!(", with {}", summary(&problems)));
    }
    let older = count - problems.len();
    if older > 0 {
        let problems = counted(older, "older problem", "older problems");
        out.push_str(&format!(" ({problems} in this entry: `matchmark check`)"));
    }
    out.push('\n');
    let mut reply = Reply::new(out);
    let mut index = fresh.index;
    reply.afterwards = Some(Box::new(move || index.wait_merging()));
    Ok(reply)
}
