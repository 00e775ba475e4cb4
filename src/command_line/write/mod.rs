//! `write`: an entry in the editor, from options, or from standard input.
//!
//! Whatever happens, what was typed is on the disk somewhere, and the person
//! is told where.

mod drafts;
mod editor;
mod section;
mod target;

use std::io::{self, IsTerminal, Read};
use std::ops::Range;

use jiff::civil::Date;

use super::arguments::{Common, Write};
use super::failure::Failure;
use super::fresh_index::fresh;
use super::keep::entry_problems;
use super::world::World;
use super::{Reply, opened};
use crate::entry::{Added, add_prose, add_section, new_entry};
use crate::journal::{Journal, JournalError, entry_path, slug};
use crate::presentation::cautions::arising;
use crate::presentation::problems::{render, summary};
use crate::presentation::text::{counted, shown};
use crate::reports::cautions::of_entry;
use drafts::{keep_draft, or_draft};
use section::Addition;
use target::{entries_of_day, entry_of};

/// The day after `--date`: one that has been.
fn past_day(text: &str, world: &World) -> Result<Date, Failure> {
    let day = opened::day("--date", text, world)?;
    if day > world.today() {
        return Err(Failure::misuse(
            format!("`{text}` after --date is {day}, which is still to come"),
            "write the day of the session: yesterday, friday, 2026-03-14",
        ));
    }
    Ok(day)
}

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
        Some(text) => past_day(text, world)?,
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
        let placed = or_draft(
            add_file(&text, &title, journal, day),
            "not-written.md",
            &text,
            journal,
        )?;
        return look_at(&placed, journal, world);
    }
    add(&Addition::of_markdown(&text), verb, journal, day, world)
}

/// Where a text went, and how that is said.
struct Placed {
    path: String,
    /// The lines that are new; `None` where all are.
    lines: Option<Range<u32>>,
    said: String,
}

/// Adds to the day's entry of the vehicle, or begins that entry.
fn add(
    addition: &Addition,
    verb: &Write,
    journal: &Journal,
    day: Date,
    world: &World,
) -> Result<Reply, Failure> {
    let placed = or_draft(
        place(addition, verb, journal, day),
        "not-added.md",
        &addition.text(),
        journal,
    )?;
    look_at(&placed, journal, world)
}

/// Puts the addition where it goes; an error means that it is nowhere.
fn place(
    addition: &Addition,
    verb: &Write,
    journal: &Journal,
    day: Date,
) -> Result<Placed, Failure> {
    let vehicle = target::vehicle(verb, journal)?;
    let _held = journal.hold();
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
        return Ok(Placed {
            said: format!("{vehicle}, {day}: written to {path}"),
            lines: None,
            path,
        });
    };
    let Ok(before) = String::from_utf8(bytes) else {
        return Err(JournalError::NotUtf8(journal.root.join(path)).into());
    };
    let added = added_to(&before, addition, journal);
    journal.change(&path, &before, &added.text)?;
    let count = u32::try_from(addition.text().lines().count()).unwrap_or(0);
    Ok(Placed {
        said: format!("{vehicle}, {day}: added to {path}:{}", added.line),
        lines: Some(added.line..added.line + count),
        path,
    })
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
fn add_file(text: &str, title: &str, journal: &Journal, day: Date) -> Result<Placed, Failure> {
    let _held = journal.hold();
    let path = place_new(text, title, journal, day)?;
    Ok(Placed {
        said: format!("written to {path}"),
        lines: None,
        path,
    })
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
            Err(error) => return Err(error.into()),
        }
    }
}

/// Shows at once what is wrong with what was written: in these lines, or in
/// the whole entry.
fn look_at(placed: &Placed, journal: &Journal, world: &World) -> Result<Reply, Failure> {
    let (entry, read) = journal.entry(&placed.path)?;
    let fresh = fresh(journal, world)?;
    let text = entry.text.clone();
    let is_new = |line: u32| {
        placed
            .lines
            .as_ref()
            .is_none_or(|lines| lines.contains(&line))
    };
    let mut raised = of_entry(&entry);
    raised.retain(|raised| is_new(raised.spot.line));
    let all = entry_problems(&[entry], read, journal, &fresh, world);
    let count = all.len();
    let problems: Vec<_> = all
        .into_iter()
        .filter(|problem| is_new(problem.spot.line))
        .collect();
    let mut out = render(
        &problems,
        &|_| Some(text.clone()),
        world.width,
        world.colours,
    );
    out.push_str(&arising(&raised, world.width, world.colours));
    out.push_str(&shown(&placed.said));
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
    let index = fresh.index;
    reply.afterwards = Some(Box::new(move || index.end()));
    Ok(reply)
}
