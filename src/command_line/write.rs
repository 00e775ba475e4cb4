//! `write`: an entry in the editor, from options, or from standard input.
//!
//! Whatever happens, what was typed is on the disk somewhere, and the person
//! is told where.

use std::fs;
use std::io::{self, IsTerminal, Read};
use std::path::{Path, PathBuf};
use std::process::Command;

use jiff::civil::Date;

use super::arguments::{Common, Write};
use super::failure::Failure;
use super::fresh_index::fresh;
use super::keep::entry_problems;
use super::world::World;
use super::{Reply, find, opened};
use crate::entry::{Key, add_section, new_entry};
use crate::journal::{Journal, entry_path, slug, walk_entries, write_atomically};
use crate::presentation::problems::{render, summary};

/// Writes an entry, or adds to one.
pub(super) fn run(verb: &Write, common: &Common, world: &World) -> Result<Reply, Failure> {
    if verb.keys {
        return Ok(Reply::new(keys()));
    }
    let journal = opened::journal(common, world)?;
    let day = match &verb.date {
        Some(text) => opened::day("--date", text, world)?,
        None => world.today(),
    };
    let reads_stdin = verb.text.len() == 1 && verb.text[0] == "-";
    let from_options = has_options(verb) || !(verb.text.is_empty() || reads_stdin);
    if reads_stdin || (!from_options && !io::stdin().is_terminal()) {
        return from_stdin(verb, &journal, day, world);
    }
    if from_options {
        return add(&section(verb)?, verb, &journal, day, world);
    }
    in_editor(verb, &journal, day, world)
}

/// All keys a fact may have, the twelve that are taught first.
fn keys() -> String {
    let taught: Vec<&str> = Key::TAUGHT.iter().map(|key| key.word()).collect();
    let others: Vec<&str> = Key::ALL
        .iter()
        .filter(|key| !Key::TAUGHT.contains(key))
        .map(|key| key.word())
        .collect();
    format!(
        "first of all: {}\nfor who looks for it: {}\ndocs/entry-format.md explains each\n",
        taught.join(", "),
        others.join(", ")
    )
}

fn has_options(verb: &Write) -> bool {
    verb.part.is_some() || !facts(verb).is_empty()
}

/// The facts among the options, in the order in which one would write them.
fn facts(verb: &Write) -> Vec<(&'static str, String)> {
    let mut facts = Vec::new();
    let mut one = |key: &'static str, value: &Option<String>| {
        facts.extend(value.iter().map(|value| (key, value.clone())));
    };
    one("status", &verb.status);
    one("system", &verb.system);
    one("at", &verb.at);
    for (key, values) in [("after", &verb.after), ("hardware", &verb.hardware)] {
        facts.extend(values.iter().map(|value| (key, value.clone())));
    }
    let mut one = |key: &'static str, value: &Option<String>| {
        facts.extend(value.iter().map(|value| (key, value.clone())));
    };
    one("bag", &verb.bag);
    one("stored", &verb.stored);
    one("found", &verb.found);
    for (key, values) in [("needs", &verb.needs), ("done", &verb.done)] {
        facts.extend(values.iter().map(|value| (key, value.clone())));
    }
    facts.extend(
        verb.replaced_by
            .iter()
            .map(|unit| ("replaced by", unit.clone())),
    );
    for (key, values) in [
        ("cost", &verb.cost),
        ("lesson", &verb.lesson),
        ("caution", &verb.caution),
        ("", &verb.fact),
    ] {
        facts.extend(values.iter().map(|value| (key, value.clone())));
    }
    facts
}

/// The section that the options describe; prose alone without a part.
fn section(verb: &Write) -> Result<String, Failure> {
    let facts = facts(verb);
    let prose = verb.text.join(" ");
    let Some(part) = &verb.part else {
        if facts.is_empty() {
            return Ok(format!("{prose}\n"));
        }
        return Err(Failure::misuse(
            "these facts belong to a part, and none is named",
            "add `--part \"brake drum, left front\"`",
        ));
    };
    let mut section = format!("## {}\n\n", in_one_line(part));
    for (key, value) in &facts {
        let value = in_one_line(value);
        if key.is_empty() {
            section.push_str(&format!("- {value}\n"));
        } else {
            section.push_str(&format!("- {key}: {value}\n"));
        }
    }
    if facts.is_empty() {
        // Without a fact the heading would be prose and the part unknown.
        section.push_str(&format!("- found: {}\n", in_one_line(&prose)));
    } else if !prose.is_empty() {
        section.push_str(&format!("\n{prose}\n"));
    }
    Ok(section)
}

/// The title of an entry that begins with these options: the part, and what
/// happened to it.
fn title_of(verb: &Write) -> Option<String> {
    let part = in_one_line(verb.part.as_deref()?);
    Some(match &verb.status {
        Some(status) => format!("{part}: {}", in_one_line(status)),
        None => part,
    })
}

fn in_one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
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
    add(&text, verb, journal, day, world)
}

/// Adds a section to the day's entry of the vehicle, or begins that entry.
fn add(
    section: &str,
    verb: &Write,
    journal: &Journal,
    day: Date,
    world: &World,
) -> Result<Reply, Failure> {
    let vehicle = vehicle(verb, journal)?;
    let todays = if verb.new {
        None
    } else {
        entry_of(journal, day, &vehicle)?
    };
    let Some((path, bytes)) = todays else {
        let title = verb
            .title
            .clone()
            .or_else(|| title_of(verb))
            .unwrap_or_else(|| format!("Notes of {day}"));
        let text = new_entry(
            &[("date", &day.to_string()), ("vehicle", &vehicle)],
            &title,
            section,
        );
        return add_file(&text, &title, journal, day, world);
    };
    let Ok(before) = String::from_utf8(bytes) else {
        let file = keep_draft(journal, "not-added.md", section.as_bytes())?;
        return Err(Failure::misuse(
            format!(
                "{path} is not UTF-8, so nothing was added to it; your text is in {}",
                file.display()
            ),
            "save the entry as UTF-8 in your editor, then add the text",
        ));
    };
    let added = add_section(&before, section);
    if let Err(error) = journal.change(&path, &before, &added.text) {
        let file = keep_draft(journal, "not-added.md", section.as_bytes())?;
        return Err(Failure::misuse(
            format!("{error}; your text is in {}", file.display()),
            error.hint().unwrap_or_default(),
        ));
    }
    look_at(
        &path,
        &format!("added to {path}:{}", added.line),
        journal,
        world,
    )
}

/// Writes a new entry under a name that is free.
fn add_file(
    text: &str,
    title: &str,
    journal: &Journal,
    day: Date,
    world: &World,
) -> Result<Reply, Failure> {
    let slug = slug(title);
    let taken = entries_of_day(journal, day)?;
    let first = u32::try_from(taken.len() + 1).unwrap_or(u32::MAX);
    let mut number = first;
    loop {
        let path = entry_path(day, number, &slug);
        match journal.add(&path, text) {
            Ok(()) => return look_at(&path, &format!("written to {path}"), journal, world),
            Err(crate::journal::JournalError::Exists(_)) if number < first + 1000 => number += 1,
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

/// The entry in the person's editor: the day's, if there is one, else a new
/// one from a template.
fn in_editor(verb: &Write, journal: &Journal, day: Date, world: &World) -> Result<Reply, Failure> {
    let Some(editor) = world.editor.clone() else {
        return Err(Failure::misuse(
            "no editor is set",
            "set VISUAL or EDITOR, or write from options: `matchmark write --part horn --status removed`",
        ));
    };
    let vehicle = vehicle(verb, journal)?;
    if !verb.new
        && let Some((path, _)) = entry_of(journal, day, &vehicle)?
    {
        let file = journal.root.join(&path);
        let ended_well = edit(&editor, &file)?;
        let mut reply = look_at(&path, &format!("{path} is as you left it"), journal, world)?;
        if !ended_well {
            reply = reply.saying("the editor ended with an error; the file is as it left it");
        }
        return Ok(reply);
    }
    let title = verb.title.clone().unwrap_or_default();
    let template = template(day, &vehicle, &title);
    let draft = journal
        .computed()
        .join("drafts")
        .join(format!("{day}-{}.md", slug(&vehicle)));
    if !draft.exists() {
        write_atomically(&draft, template.as_bytes())?;
    }
    let ended_well = edit(&editor, &draft)?;
    let bytes = fs::read(&draft).map_err(|error| Failure::file(&draft, error))?;
    if !ended_well {
        return Err(Failure::misuse(
            format!(
                "the editor ended with an error; your text is in {}",
                draft.display()
            ),
            "`matchmark write` opens it again",
        ));
    }
    let Ok(text) = String::from_utf8(bytes) else {
        return Err(Failure::misuse(
            format!("{} is not UTF-8", draft.display()),
            "save it as UTF-8; `matchmark write` opens it again",
        ));
    };
    if text == template || text.trim().is_empty() {
        let _ = fs::remove_file(&draft);
        return Ok(
            Reply::new("nothing was written, so nothing was added\n".to_owned()).answering(false),
        );
    }
    let text = without_help(&text);
    let (entry, _) = crate::entry::read(&text, &journal.context());
    let title = entry.title.unwrap_or_default();
    let reply = add_file(&text, &title, journal, entry.date.unwrap_or(day), world)?;
    let _ = fs::remove_file(&draft);
    Ok(reply)
}

/// What a new entry looks like in the editor.
fn template(day: Date, vehicle: &str, title: &str) -> String {
    format!(
        "---\ndate: {day}\nvehicle: {vehicle}\n# status: removed     what most sections below have in common\n# system: brakes\n# hours: 2:30\n---\n\n# {title}\n\n\n{HELP}"
    )
}

/// The facts that are taught, as a comment that is taken out again if it still
/// stands as it was.
const HELP: &str = "<!-- One section for each part. Facts come right under the heading; all are
optional; this comment goes away by itself.

## Brake drum, left front

- after: wheel, left front
- hardware: 3 screw 1/4-20 x 1/2, bag 11; 1 cotter pin, new
- stored: rack 2
- found: scored, one deep groove
- needs: turning, by 2026-05-01
- cost: 12.50 penetrating oil
- lesson: heat before force
- caution: brake dust

What there is to tell goes below the facts.

Nothing to say about some parts? Under the title:
- removed: horn; horn bracket; splash shield, left
-->
";

/// The text without the help and without commented lines of the front matter
/// that were left as they were.
fn without_help(text: &str) -> String {
    let text = text.replace(HELP, "");
    let untouched = [
        "# status: removed     what most sections below have in common\n",
        "# system: brakes\n",
        "# hours: 2:30\n",
    ];
    let mut text = text;
    for line in untouched {
        text = text.replacen(line, "", 1);
    }
    format!("{}\n", text.trim_end())
}

/// Opens a file in the editor and waits for it; whether it ended well.
fn edit(editor: &str, file: &Path) -> Result<bool, Failure> {
    #[cfg(unix)]
    let status = Command::new("sh")
        .arg("-c")
        .arg(format!("{editor} \"$1\""))
        .arg("sh")
        .arg(file)
        .status();
    #[cfg(not(unix))]
    let status = {
        let mut words = editor.split_whitespace();
        Command::new(words.next().unwrap_or(editor))
            .args(words)
            .arg(file)
            .status()
    };
    match status {
        Ok(status) => Ok(status.success()),
        Err(error) => Err(Failure::misuse(
            format!("the editor `{editor}` could not be started: {error}"),
            format!(
                "set VISUAL or EDITOR to another; your text is in {}",
                file.display()
            ),
        )),
    }
}

/// Puts a text that could not go where it should where it is safe.
fn keep_draft(journal: &Journal, name: &str, bytes: &[u8]) -> Result<PathBuf, Failure> {
    let folders = [
        journal.computed().join("drafts"),
        std::env::temp_dir().join("matchmark-drafts"),
    ];
    let mut failed = None;
    for folder in folders {
        for number in 1..1000 {
            let file = folder.join(format!("{number}-{name}"));
            match crate::journal::write_new(&file, bytes) {
                Ok(()) => return Ok(file),
                Err(crate::journal::JournalError::Exists(_)) => {}
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

/// Which vehicle is meant: as said, the only one, or the one written about
/// last.
fn vehicle(verb: &Write, journal: &Journal) -> Result<String, Failure> {
    if let Some(vehicle) = find::vehicle(verb.vehicle.as_ref(), journal)? {
        return Ok(vehicle);
    }
    if let [only] = &journal.vehicles[..] {
        return Ok(only.slug.clone());
    }
    let last = walk_entries(&journal.root)?
        .into_iter()
        .rev()
        .take(20)
        .find_map(|file| journal.entry(&file.path).ok()?.0.vehicle);
    last.ok_or_else(|| {
        let known: Vec<&str> = journal
            .vehicles
            .iter()
            .map(|vehicle| vehicle.slug.as_str())
            .collect();
        Failure::misuse(
            "it is not clear which vehicle this is about",
            format!("add `--vehicle NAME`; there are: {}", known.join(", ")),
        )
    })
}

/// The paths of a day's entries.
fn entries_of_day(journal: &Journal, day: Date) -> Result<Vec<String>, Failure> {
    let start = format!("{day}");
    Ok(walk_entries(&journal.root)?
        .into_iter()
        .map(|file| file.path)
        .filter(|path| {
            path.rsplit('/')
                .next()
                .is_some_and(|name| name.starts_with(&start))
        })
        .collect())
}

/// The last entry of that day and vehicle with its bytes.
fn entry_of(
    journal: &Journal,
    day: Date,
    vehicle: &str,
) -> Result<Option<(String, Vec<u8>)>, Failure> {
    let mut found = None;
    for path in entries_of_day(journal, day)? {
        let (entry, _) = journal.entry(&path)?;
        if entry.date == Some(day) && entry.vehicle.as_deref() == Some(vehicle) {
            let number = crate::ledger::file_number(&path);
            let later = found
                .as_ref()
                .is_none_or(|(_, before): &(String, u32)| number >= *before);
            if later {
                found = Some((path, number));
            }
        }
    }
    match found {
        Some((path, _)) => {
            let bytes = journal.bytes(&path)?;
            Ok(Some((path, bytes)))
        }
        None => Ok(None),
    }
}

/// Shows at once what is wrong with what was written.
fn look_at(path: &str, said: &str, journal: &Journal, world: &World) -> Result<Reply, Failure> {
    let (entry, read) = journal.entry(path)?;
    let fresh = fresh(journal, world)?;
    let text = entry.text.clone();
    let problems = entry_problems(&[entry], read, journal, &fresh, world);
    let mut out = render(
        &problems,
        &|_| Some(text.clone()),
        world.width,
        world.colours,
    );
    out.push_str(said);
    if problems.is_empty() {
        out.push('\n');
    } else {
        out.push_str(&format!(", with {}\n", summary(&problems)));
    }
    let mut reply = Reply::new(out);
    let mut index = fresh.index;
    reply.afterwards = Some(Box::new(move || index.wait_merging()));
    Ok(reply)
}
