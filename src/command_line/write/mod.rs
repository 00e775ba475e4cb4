//! `write`: an entry in the editor, from options, or from standard input.
//!
//! Whatever happens, what was typed is on the disk somewhere, and the person
//! is told where.

mod drafts;
mod editor;
mod section;
pub(super) mod target;
mod typed;

use std::collections::BTreeSet;
use std::io::{self, IsTerminal};
use std::ops::Range;

use jiff::civil::Date;

use super::arguments::{Common, Output, WordsForm, WriteArgs};
use super::destination::{DocumentSummary, deliver, may_deliver, terminal};
use super::entry_problems::entry_problems;
use super::failure::Failure;
use super::fresh_index::fresh;
use super::world::World;
use super::{Reply, echo, opened};
use crate::entry::{Entry, add_prose, add_section, add_to_front, new_entry, set_in_front};
use crate::journal::{Journal, JournalError, entry_path, remove_draft, slug};
use crate::presentation::cautions::arising;
use crate::presentation::export::{Document, Exporter};
use crate::presentation::json::Json;
use crate::presentation::json::writing::WrittenReport;
use crate::presentation::problems::{ProblemLimit, render, summary};
use crate::presentation::text::{Text, TextStyle, counted, cut};
use crate::presentation::understood::render as understood_lines;
use crate::problem::{Problem, Severity};
use crate::reports::cautions::{Hazard, Raised, hazards_of, of_entry};
use crate::vocabulary::hours_reading::read_hours;
use drafts::kept_safe;
pub(super) use drafts::{waiting, waiting_lines};
use target::{entries_of_day, entry_of};
use typed::{TypedEntry, Unreadable};

/// Writes an entry, or adds to one.
pub(super) fn run(verb: &WriteArgs, common: &Common, world: &World) -> Result<Reply, Failure> {
    may_deliver(&verb.output, world)?;
    if verb.keys {
        return section::keys(&verb.output, world);
    }
    // What was typed comes first: whatever goes wrong, it is put somewhere safe.
    let journal = opened::journal(common, world);
    let typed = match TypedEntry::gather(verb, world) {
        Ok(typed) => typed,
        Err(Unreadable { failure, bytes }) if bytes.is_empty() => return Err(failure),
        Err(Unreadable { failure, bytes }) => {
            let taken = verb.draft.as_ref().map(|file| world.here.join(file));
            let journal = journal.as_ref().ok();
            return Err(kept_safe(
                &failure,
                &bytes,
                taken.as_deref(),
                journal,
                world,
            ));
        }
    };
    let asks_for_editor = typed.title.is_none() || io::stdin().is_terminal();
    if typed.is_empty() && asks_for_editor {
        let journal = journal?;
        let day = day(&typed, world)?;
        if typed.taken.is_some() {
            return Err(Failure::misuse("the draft is empty", "delete it"));
        }
        if verb.part.is_none() && !io::stdin().is_terminal() {
            return Err(Failure::misuse(
                "nothing came from standard input",
                "type `matchmark write` in a terminal for the editor, or pipe text in",
            ));
        }
        return editor::run(verb, &journal, day, world);
    }
    let (failure, journal) = match journal {
        Err(failure) => (failure, None),
        Ok(journal) => {
            let placed = day(&typed, world).and_then(|day| {
                sound(verb, &typed, &journal)?;
                place(&typed, verb, &journal, day)
            });
            match placed {
                Err(failure) => (failure, Some(journal)),
                Ok(placed) => {
                    if let Some(draft) = &typed.taken {
                        remove_draft(draft);
                    }
                    return look_at(&placed, &verb.output, &journal, world);
                }
            }
        }
    };
    let text = typed.text();
    let taken = typed.taken.as_deref();
    Err(kept_safe(
        &failure,
        text.as_bytes(),
        taken,
        journal.as_ref(),
        world,
    ))
}

/// Puts what was piped in somewhere safe when the options themselves could not
/// be understood; says where.
pub(super) fn rescued(world: &World) -> Option<String> {
    let piped = world
        .piped()
        .ok()
        .filter(|bytes| !bytes.trim_ascii().is_empty())?;
    let failure = Failure::misuse("what was piped in was not written", "");
    let kept = kept_safe(&failure, &piped, None, None, world);
    Some(match kept.hint() {
        Some(hint) => format!("{kept}; {hint}"),
        None => kept.to_string(),
    })
}

/// The day that is meant.
fn day(typed: &TypedEntry, world: &World) -> Result<Date, Failure> {
    match &typed.date {
        Some(text) if text.trim().len() == 7 && text.contains('-') => Err(Failure::misuse(
            format!("`{text}` after --date is a month, not a day"),
            "write the day: 2026-03-14, yesterday, friday",
        )),
        Some(text) => past_day(text, world),
        None => Ok(world.today()),
    }
}

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

/// Refuses what would be written and complained about at once.
fn sound(verb: &WriteArgs, typed: &TypedEntry, journal: &Journal) -> Result<(), Failure> {
    if !typed.homeless.is_empty() {
        return Err(Failure::misuse(
            "these facts belong to a part, and none is named",
            "add `--part \"brake drum, left front\"`",
        ));
    }
    if verb
        .part
        .as_ref()
        .is_some_and(|part| part.trim().is_empty())
    {
        return Err(Failure::misuse(
            "the part has no name",
            "write it behind --part",
        ));
    }
    let session: Vec<(&str, String)> = typed
        .session
        .iter()
        .map(|(key, value)| (*key, value.clone()))
        .collect();
    if verb.part.is_some() {
        read_without_error(&section::facts(verb), true, journal)?;
    }
    read_without_error(&session, false, journal)
}

/// Refuses a fact that reading finds an error in: what is only doubtful, or one
/// slip from what is known, is written and said.
fn read_without_error(
    facts: &[(&str, String)],
    of_part: bool,
    journal: &Journal,
) -> Result<(), Failure> {
    let frame = [("date", "2000-01-01"), ("vehicle", "vehicle")];
    let mut context = journal.context();
    context.vehicles.clear();
    for (key, value) in facts {
        let text = if of_part {
            new_entry(&frame, "Title", &format!("## Part\n\n- {key}: {value}\n"))
        } else {
            new_entry(&[frame[0], frame[1], (key, value)], "Title", "")
        };
        let (_, problems) = crate::entry::read(&text, &context);
        let wrong = problems.into_iter().find(|problem| match problem.severity {
            Severity::Error => true,
            Severity::Warning | Severity::Note => false,
        });
        if let Some(wrong) = wrong {
            let hint = wrong.hint.unwrap_or_default();
            return Err(Failure::misuse(
                format!(
                    "`{key}: {}` cannot be read: {}",
                    cut(value, 60),
                    wrong.message
                ),
                hint,
            ));
        }
    }
    Ok(())
}

/// Where a text went, and how that is said.
struct WrittenPlace {
    path: String,
    /// The lines that are new; `None` where all are.
    lines: Option<Range<u32>>,
    said: String,
}

/// Puts what was typed where it goes; an error means that it is nowhere.
fn place(
    typed: &TypedEntry,
    verb: &WriteArgs,
    journal: &Journal,
    day: Date,
) -> Result<WrittenPlace, Failure> {
    if let Some(whole) = &typed.whole {
        return place_whole(whole, typed, journal, day);
    }
    let vehicle = target::vehicle(typed.vehicle.as_ref(), journal)?;
    let _held = journal.hold();
    let todays = if verb.new {
        None
    } else {
        entry_of(journal, day, &vehicle)?
    };
    let Some((path, bytes)) = todays else {
        let title = typed
            .title
            .clone()
            .or_else(|| section::title_of(verb))
            .unwrap_or_else(|| format!("Notes of {day}"));
        let day_text = day.to_string();
        let mut fields = vec![("date", day_text.as_str()), ("vehicle", &vehicle)];
        fields.extend(
            typed
                .session
                .iter()
                .map(|(key, value)| (*key, value.as_str())),
        );
        let text = new_entry(&fields, &title, &typed.addition.text(&[]));
        let (text, _) = with_all_hours(text, journal)?;
        let path = place_new(&text, &title, journal, day)?;
        return Ok(WrittenPlace {
            said: format!("{vehicle}, {day}: written to {path}"),
            lines: None,
            path,
        });
    };
    let Ok(before) = String::from_utf8(bytes) else {
        return Err(JournalError::NotUtf8(journal.root.join(path)).into());
    };
    let (with_session, mut hours) = with_session(&before, &typed.session, journal)?;
    let prose = match &typed.title {
        // The entry has its title; what was typed as one are words all the same.
        Some(title) if !says(&before, title, journal) => {
            format!("{title}\n\n{}", typed.addition.prose.trim_start())
        }
        Some(_) | None => typed.addition.prose.clone(),
    };
    let added = added_to(with_session, &prose, &typed.addition.sections, journal);
    let (text, raised) = with_all_hours(added.text, journal)?;
    hours = raised.or(hours);
    journal.change(&path, &before, &text)?;
    let hours = hours.map_or_else(String::new, |hours| {
        format!("; hours of the session: {hours}")
    });
    Ok(WrittenPlace {
        said: format!(
            "{vehicle}, {day}: added to {path}:{}{hours}",
            added.lines.start
        ),
        lines: Some(added.lines),
        path,
    })
}

/// The error at the line of a front matter that begins with this key.
fn unread_line<'p>(front: &str, key: &str, problems: &'p [Problem]) -> Option<&'p Problem> {
    let begins = |line: &str| {
        let word = line.get(..key.len());
        word.is_some_and(|word| word.eq_ignore_ascii_case(key))
    };
    let (_, line) = front.lines().zip(1_u32..).find(|(line, _)| begins(line))?;
    problems
        .iter()
        .find(|problem| problem.spot.line == line && problem.severity == Severity::Error)
}

/// Writes an entry that came with a front matter of its own. What options say
/// besides goes into it, where it does not contradict it.
fn place_whole(
    whole: &str,
    typed: &TypedEntry,
    journal: &Journal,
    day: Date,
) -> Result<WrittenPlace, Failure> {
    let (entry, problems) = crate::entry::read(whole, &journal.context());
    // A day that was written and not understood is no reason to take today, and a vehicle
    // none to take the last.
    let front = &whole[entry.front.clone()];
    let open_day = entry.date.is_none() && typed.date.is_none();
    let open_vehicle = entry.vehicle.is_none() && typed.vehicle.is_none();
    let unread = [("date:", open_day), ("vehicle:", open_vehicle)]
        .into_iter()
        .filter(|(_, is_open)| *is_open)
        .find_map(|(key, _)| unread_line(front, key, &problems));
    if let Some(unread) = unread {
        let hint = unread.hint.clone().unwrap_or_default();
        return Err(Failure::misuse(unread.message.clone(), hint));
    }
    let contradicted = |key: &str, own: &str, said: &str| {
        Failure::misuse(
            format!("the text says `{key}: {own}`, and --{key} says `{said}`"),
            format!("leave out --{key}, or change the text"),
        )
    };
    let mut front: Vec<(&'static str, String)> = Vec::new();
    match (entry.date, &typed.date) {
        (Some(own), Some(said)) if own != day => {
            return Err(contradicted("date", &own.to_string(), said));
        }
        (Some(_), _) => {}
        (None, _) => front.push(("date", day.to_string())),
    }
    let said = typed.vehicle.as_ref();
    let said = said.map(|_| target::vehicle(said, journal)).transpose()?;
    match (&entry.vehicle, said) {
        (Some(own), Some(said)) if *own != said => {
            return Err(contradicted("vehicle", own, &said));
        }
        (Some(_), _) => {}
        (None, Some(said)) => front.push(("vehicle", said)),
        (None, None) => front.push(("vehicle", target::vehicle(None, journal)?)),
    }
    let mut text = whole.to_owned();
    for (key, value) in front {
        // A front matter that does not end takes no line, and says so itself.
        if let Some(set) = set_in_front(&text, key, &value) {
            text = set.text;
        }
    }
    let (text, _) = with_session(&text, &typed.session, journal)?;
    let mut prose = typed.addition.prose.clone();
    if let Some(title) = &typed.title
        && !says(&text, title, journal)
    {
        prose = format!("{title}\n\n{}", prose.trim_start());
    }
    let added = added_to(text, &prose, &typed.addition.sections, journal);
    let (text, _) = with_all_hours(added.text, journal)?;
    let title = typed.title.clone().or(entry.title).unwrap_or_default();
    add_file(&text, &title, journal, entry.date.unwrap_or(day))
}

/// Writes a whole entry that another verb has made, and shows what was understood of
/// it; also the path, if it was written. `has` says whether a text has every word of it
/// already.
pub(super) fn written(
    text: &str,
    day: Date,
    has: &dyn Fn(&str) -> bool,
    output: &Output<WordsForm>,
    (journal, world): (&Journal, &World),
) -> Result<(Reply, Option<String>), Failure> {
    for path in entries_of_day(journal, day)? {
        if has(&crate::entry::decode(journal.bytes(&path)?).text) {
            let said = format!("{path} has every word of it already");
            return Ok((nothing(&said, output, world)?, None));
        }
    }
    let (entry, _) = crate::entry::read(text, &journal.context());
    let placed = add_file(text, &entry.title.unwrap_or_default(), journal, day)?;
    let reply = look_at(&placed, output, journal, world)?;
    Ok((reply, Some(placed.path)))
}

/// Whether a text has this title.
fn says(text: &str, title: &str, journal: &Journal) -> bool {
    let (entry, _) = crate::entry::read(text, &journal.context());
    entry.title.is_some_and(|own| own.trim() == title.trim())
}

/// The text with facts of the session in its front matter. Hours are added up;
/// what they come to then is said.
fn with_session(
    text: &str,
    session: &[(&'static str, String)],
    journal: &Journal,
) -> Result<(String, Option<String>), Failure> {
    let mut text = text.to_owned();
    let mut said = None;
    for (key, value) in session {
        let (entry, _) = crate::entry::read(&text, &journal.context());
        let before = (*key == "hours").then(|| entry.hours_said()).flatten();
        let set = match (before, read_hours(value).sure()) {
            (Some(before), Some(more)) => {
                let sum = before.plus(more);
                said = Some(format!("{before} + {more} = {sum}"));
                set_in_front(&text, key, &sum.to_string())
            }
            (_, _) => add_to_front(&text, key, value),
        };
        text = set.ok_or_else(|| no_room(key))?.text;
    }
    Ok((text, said))
}

/// The text with as many hours of the session as its sections have.
fn with_all_hours(text: String, journal: &Journal) -> Result<(String, Option<String>), Failure> {
    let (entry, _) = crate::entry::read(&text, &journal.context());
    let Some(shares) = entry.hours_beyond() else {
        return Ok((text, None));
    };
    let set = set_in_front(&text, "hours", &shares.to_string());
    let set = set.ok_or_else(|| no_room("hours"))?;
    Ok((set.text, Some(shares.to_string())))
}

fn no_room(key: &str) -> Failure {
    Failure::misuse(
        format!("`{key}` could not be put between the `---` lines of the day's entry"),
        "put it there in your editor, or begin another entry with --new",
    )
}

/// A text with something added, and the lines that are new.
struct ExtendedText {
    text: String,
    lines: Range<u32>,
}

/// The text with prose and sections where they belong.
fn added_to(mut text: String, prose: &str, sections: &str, journal: &Journal) -> ExtendedText {
    let height = |text: &str| u32::try_from(text.trim_end().lines().count()).unwrap_or(u32::MAX);
    let mut lines = 1..1;
    if !prose.trim().is_empty() {
        let (entry, _) = crate::entry::read(&text, &journal.context());
        let added = add_prose(&entry, prose.trim_start_matches(['\n', '\r']));
        lines = added.line..added.line + height(prose.trim_start());
        text = added.text;
    }
    if !sections.trim().is_empty() {
        let added = add_section(&text, sections);
        let end = added.line + height(sections);
        let start = if lines.is_empty() {
            added.line
        } else {
            lines.start
        };
        lines = start..end;
        text = added.text;
    }
    ExtendedText { text, lines }
}

/// Writes a new entry and looks at it.
fn add_file(
    text: &str,
    title: &str,
    journal: &Journal,
    day: Date,
) -> Result<WrittenPlace, Failure> {
    let _held = journal.hold();
    let path = place_new(text, title, journal, day)?;
    Ok(WrittenPlace {
        said: format!("written to {path}"),
        lines: None,
        path,
    })
}

/// Writes a new entry under a name that is free.
pub(in crate::command_line) fn place_new(
    text: &str,
    title: &str,
    journal: &Journal,
    day: Date,
) -> Result<String, Failure> {
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

/// Says that nothing was written, and why.
fn nothing(said: &str, output: &Output<WordsForm>, world: &World) -> Result<Reply, Failure> {
    let document = match output.form() {
        WordsForm::Text => {
            let terminal = terminal(output, world);
            let mut text = Text::new(terminal.width);
            text.line(0, TextStyle::Plain, said);
            terminal.document(&text)
        }
        WordsForm::Json => Json.export(&WrittenReport::default()),
    };
    deliver(document, output, DocumentSummary::default(), world)
}

/// The hazards that other entries of the same day raise.
fn said_by_others(journal: &Journal, entry: &Entry) -> Result<BTreeSet<Hazard>, Failure> {
    let mut said = BTreeSet::new();
    let Some(day) = entry.date else {
        return Ok(said);
    };
    for path in entries_of_day(journal, day)? {
        // One that cannot be read has raised nothing.
        if path != entry.path
            && let Ok((other, _)) = journal.entry(&path)
        {
            said.extend(hazards_of(&other));
        }
    }
    Ok(said)
}

/// Shows at once what is wrong with what was written: in these lines, or in
/// the whole entry.
fn look_at(
    placed: &WrittenPlace,
    output: &Output<WordsForm>,
    journal: &Journal,
    world: &World,
) -> Result<Reply, Failure> {
    let (entry, read) = journal.entry(&placed.path)?;
    let fresh = fresh(journal, world)?;
    let text = entry.text.clone();
    let is_new = |line: u32| {
        placed
            .lines
            .as_ref()
            .is_none_or(|lines| lines.contains(&line))
    };
    let (mut raised, said): (Vec<Raised>, Vec<Raised>) = of_entry(&entry)
        .into_iter()
        .partition(|raised| is_new(raised.spot.line));
    let mut said: BTreeSet<Hazard> = said.iter().map(|raised| raised.hazard).collect();
    said.extend(said_by_others(journal, &entry)?);
    raised.retain(|raised| !said.contains(&raised.hazard));
    let date = entry.date.map(|day| day.to_string());
    let vehicle = entry.vehicle.clone();
    let entry = [entry];
    let mut understood = echo::of_entries(&[&entry[0]], &fresh);
    for one in &mut understood {
        if let Some(lines) = &placed.lines {
            one.retain_lines(lines);
        }
    }
    let all = entry_problems(&entry, read, journal, &fresh, world);
    let count = all.len();
    let problems: Vec<_> = all
        .into_iter()
        .filter(|problem| is_new(problem.spot.line))
        .collect();
    let older = count - problems.len();
    let document = match output.form() {
        WordsForm::Text => {
            let terminal = terminal(output, world);
            let text_of = |_: &str| Some(text.clone());
            let mut out = render(
                &problems,
                ProblemLimit::of(false),
                &text_of,
                terminal.width,
                terminal.colours,
            );
            out.push_str(&arising(&raised, terminal.width, terminal.colours));
            let taken = out.lines().count();
            let echoed = understood_lines(&understood, terminal.width, taken);
            out.push_str(&echoed.render(terminal.colours));
            let mut said = placed.said.clone();
            if !problems.is_empty() {
                said.push_str(&format!(", with {}", summary(&problems)));
            }
            if older > 0 {
                let problems = counted(older, "older problem", "older problems");
                said.push_str(&format!(" ({problems} in this entry: `matchmark check`)"));
            }
            let mut last = Text::new(terminal.width);
            last.line(0, TextStyle::Plain, &said);
            out.push_str(&last.render(terminal.colours));
            Document::text(out)
        }
        WordsForm::Json => Json.export(&WrittenReport {
            entry: &placed.path,
            lines: placed
                .lines
                .as_ref()
                .map(|lines| (lines.start, lines.end.saturating_sub(1))),
            vehicle: vehicle.as_deref(),
            date: date.as_deref(),
            problems: &problems,
            older_problems: older,
            raised: &raised,
            understood: understood.first(),
        }),
    };
    let mut reply = deliver(document, output, DocumentSummary::default(), world)?;
    reply.said = waiting_lines(journal, world);
    let index = fresh.index;
    reply.afterwards = Some(Box::new(move || index.end()));
    Ok(reply)
}
