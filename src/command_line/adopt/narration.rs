//! A narration becomes a sheet of lines to tick, and a ticked sheet an entry.
//!
//! What was heard, and how sheet and entry look, is worked out in `import`.

use std::io::{self, Read};
use std::path::Path;

use super::super::arguments::{AdoptArgs, Common, DrivenSide, WordsForm};
use super::super::destination::{DocumentSummary, deliver};
use super::super::failure::Failure;
use super::super::fresh_index::fresh;
use super::super::kept_states::HardwareScope;
use super::super::world::World;
use super::super::write::{target, written};
use super::super::{Reply, opened};
use super::sheet_walk::{self, SheetWay};
use crate::entry::{Context, decode};
use crate::import::narration::cues::{
    LONGEST, NoCues, caption_text, lines_without_time, read_cues,
};
use crate::import::narration::draft::{DraftContext, entry_of, without_context};
use crate::import::narration::hear::{Told, hear};
use crate::import::narration::refusals::refusals;
use crate::import::narration::sheet::{
    NarrationSheet, SheetHead, lines, read_narration_sheet, write_sheet,
};
use crate::import::narration::sheet_text::SheetText;
use crate::journal::{Journal, read_if_there, write_new};
use crate::presentation::export::{Document, Exporter};
use crate::presentation::json::Json;
use crate::presentation::json::narration::{NarrationAnswer, SheetPreview};
use crate::presentation::text::counted;
use crate::problem::Severity;
use crate::vocabulary::money::Currency;
use crate::vocabulary::position::Driven;

/// The bytes of a file that is a narration; `None` if it is a table.
///
/// # Errors
/// When it cannot be read.
pub(super) fn heard_in(file: &Path, world: &World) -> Result<Option<Vec<u8>>, Failure> {
    if file == Path::new("-") {
        return standard_input().map(Some);
    }
    let kind = file.extension().unwrap_or_default().to_ascii_lowercase();
    let by_name = ["vtt", "srt", "sbv", "txt", "md"]
        .iter()
        .any(|known| kind == *known);
    let path = world.here.join(file);
    let Some(bytes) = read_if_there(&path)? else {
        return match by_name {
            true => Err(Failure::file(&path, io::ErrorKind::NotFound.into())),
            false => Ok(None),
        };
    };
    let head = &bytes[..bytes.len().min(4096)];
    let has_times = head.windows(3).any(|window| window == b"-->");
    Ok((by_name || kind != "csv" && has_times).then_some(bytes))
}

fn standard_input() -> Result<Vec<u8>, Failure> {
    let mut bytes = Vec::new();
    let most = u64::try_from(LONGEST).unwrap_or(u64::MAX).saturating_add(1);
    io::stdin()
        .take(most)
        .read_to_end(&mut bytes)
        .map_err(|error| {
            Failure::misuse(
                format!("standard input cannot be read: {error}"),
                "name a file, or pipe one in",
            )
        })?;
    Ok(bytes)
}

/// Listens to a narration and answers with its sheet.
pub(super) fn listen(
    bytes: &[u8],
    verb: &AdoptArgs,
    common: &Common,
    world: &World,
) -> Result<Reply, Failure> {
    if verb.yes {
        return Err(Failure::misuse(
            "a narration gives a sheet, and nothing is written before it is ticked",
            "leave out --yes; then `matchmark adopt --from SHEET --yes`",
        ));
    }
    let way = sheet_walk::way(verb, world);
    if let Some(reply) = sheet_walk::going_on(&way, verb, common, world)? {
        return Ok(reply);
    }
    let name = verb.source().display();
    let text = caption_text(bytes);
    let cues = read_cues(&text).map_err(|why| {
        Failure::misuse(
            format!("{name} cannot be read as a narration: {why}"),
            match why {
                NoCues::TooLong => "adopt it in pieces",
                NoCues::Empty | NoCues::NoTimes | NoCues::NoWords => {
                    "save it as WebVTT or SRT, or begin its lines with times: `1:05 the grille's off`; a note without times is adopted with its folder"
                }
            },
        )
    })?;
    // Without a journal a narration is heard all the same, with the handbook's names.
    let journal = match opened::journal(common, world) {
        Ok(journal) => Some(journal),
        Err(_) if common.journal.is_none() => None,
        Err(failure) => return Err(failure),
    };
    let vehicle = match &journal {
        Some(journal) => Some(target::vehicle(verb.vehicle.as_ref(), journal)?),
        None => verb.vehicle.clone(),
    };
    let context = draft_context(journal.as_ref(), vehicle.as_deref(), verb, world)?;
    let day =
        opened::maybe_day("--day", verb.day.as_ref(), world)?.unwrap_or_else(|| world.today());
    let offset = verb.offset.as_deref().map(offset).transpose()?.unwrap_or(0);
    let narration = hear(cues, &context.names, context.driven, Told::AtWork);
    let date = day.to_string();
    let head = SheetHead {
        vehicle: vehicle.clone(),
        date: Some(date.clone()),
        clip: verb.clip.clone(),
        ..SheetHead::default()
    };
    let sheet = write_sheet(&narration, &head, offset, &context.names);
    if let SheetWay::Walk(file) = &way {
        write_new(file, sheet.as_bytes())?;
        return sheet_walk::walk(file, verb, common, world);
    }
    let document = match verb.output.form() {
        WordsForm::Text => Document::text(sheet),
        WordsForm::Json => {
            let read = read_narration_sheet(&sheet);
            let entry = entry_of(&read, &date, &context);
            Json.export(&NarrationAnswer {
                narration: &narration,
                vehicle: vehicle.as_deref(),
                date: &date,
                entry: &entry,
            })
        }
    };
    let lines = lines(&narration, offset, &context.names).len();
    let mut about =
        DocumentSummary::holding(format!("{} to tick", counted(lines, "line", "lines")));
    if verb.output.file().is_some() {
        let sheet = verb
            .output
            .file()
            .unwrap_or(Path::new("SHEET"))
            .display()
            .to_string();
        about.notes.push(format!(
            "tick it in any editor, or with single keys: `matchmark adopt --from {sheet} --walk`; then `matchmark adopt --from {sheet}`"
        ));
    }
    let mut reply = deliver(document, &verb.output, about, world)?;
    let lost = lines_without_time(&text);
    if !lost.is_empty() {
        let lost: Vec<String> = lost.iter().take(10).map(ToString::to_string).collect();
        reply.said.push(format!(
            "the time at line {} cannot be read, so the words below it were passed over",
            lost.join(", ")
        ));
    }
    if context.driven == Driven::Unsaid && names_the_drivers_side(&text) {
        reply.said.push(
            "the driver's side was named, and no one said which that is; `--driven left` or `--driven right` puts parts on their sides"
                .to_owned(),
        );
    }
    if way == SheetWay::NoTerminal {
        reply.said.push(
            "a sheet cannot be walked at this terminal; tick it in any editor, then `matchmark adopt --from SHEET`"
                .to_owned(),
        );
    }
    Ok(reply)
}

/// Whether a narration says "driver's side", "nearside" or the like.
fn names_the_drivers_side(text: &str) -> bool {
    let text = text.to_lowercase();
    [
        "driver's side",
        "passenger side",
        "passenger's side",
        "nearside",
        "near side",
        "offside",
    ]
    .iter()
    .any(|words| text.contains(words))
}

/// What a draft has to know of the journal and the vehicle, with the parts that it has.
pub(super) fn draft_context(
    journal: Option<&Journal>,
    vehicle: Option<&str>,
    verb: &AdoptArgs,
    world: &World,
) -> Result<DraftContext, Failure> {
    let mut context = nameless_context(journal, vehicle, verb);
    if let Some(journal) = journal {
        let whole = fresh(journal, world)?.whole_journal(HardwareScope::Left)?;
        context.names = whole
            .ledger
            .places
            .values()
            .filter(|place| place.recorded && Some(place.vehicle.as_str()) == vehicle)
            .map(|place| place.name.clone())
            .collect();
        context.names.sort();
        context.names.dedup();
    }
    Ok(context)
}

/// The same without the parts, for which no entry has to be read.
pub(super) fn nameless_context(
    journal: Option<&Journal>,
    vehicle: Option<&str>,
    verb: &AdoptArgs,
) -> DraftContext {
    let of_journal = journal.map_or(
        Context {
            systems: Vec::new(),
            vehicles: Vec::new(),
            currency: Currency::EUR,
        },
        Journal::context,
    );
    let driven = match verb.driven {
        Some(DrivenSide::Left) => Driven::Left,
        Some(DrivenSide::Right) => Driven::Right,
        None => of_journal.driven(vehicle),
    };
    DraftContext {
        journal: of_journal,
        vehicle: vehicle.unwrap_or("vehicle").to_owned(),
        names: Vec::new(),
        driven,
    }
}

/// `1:30`, `0:01:30` or `90`, in seconds.
fn offset(text: &str) -> Result<u32, Failure> {
    let mut total = 0_u32;
    let mut is_time = true;
    for piece in text.trim().split(':') {
        let number = piece.parse::<u32>().ok();
        match number.and_then(|number| total.checked_mul(60)?.checked_add(number)) {
            Some(sum) => total = sum,
            None => is_time = false,
        }
    }
    match is_time {
        true => Ok(total),
        false => Err(Failure::misuse(
            format!("`{text}` after --offset is no time"),
            "write minutes and seconds: --offset 1:30",
        )),
    }
}

/// What is to become of the entry that a ticked sheet makes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum EntryWanted {
    /// It is only shown.
    Shown,
    /// It is written, unless one was written from the sheet before.
    Written,
    /// It is written, also beside one that was written before: the person was asked.
    WrittenAgain,
}

/// Shows the entry that a ticked sheet makes, and writes it if that was asked for.
pub(super) fn entry_from(
    file: &Path,
    wanted: EntryWanted,
    verb: &AdoptArgs,
    common: &Common,
    world: &World,
) -> Result<Reply, Failure> {
    let bytes = match file == Path::new("-") {
        true => standard_input()?,
        false => {
            let path = world.here.join(file);
            read_if_there(&path)?.ok_or_else(|| {
                Failure::misuse(
                    format!("there is no file {}", path.display()),
                    "`matchmark adopt NARRATION.vtt --into sheet.txt` makes one",
                )
            })?
        }
    };
    let text = decode(bytes).text;
    let mut sheet = read_narration_sheet(&text);
    if sheet.has_unread_tick && !sheet.lines.iter().any(|line| line.is_ticked) {
        return Err(Failure::misuse(
            format!("no line of {} that is ticked could be read", file.display()),
            sheet.said.join("; "),
        ));
    }
    if !sheet.lines.iter().any(|line| line.is_ticked) {
        return Err(Failure::misuse(
            format!("nothing is ticked in {}", file.display()),
            match sheet.lines.is_empty() {
                true => "is it a sheet? `matchmark adopt NARRATION.vtt --into sheet.txt` makes one",
                false => "put an x in the boxes of what happened: [x]",
            },
        ));
    }
    let journal = opened::journal(common, world)?;
    let said_vehicle = verb.vehicle.as_ref().or(sheet.head.vehicle.as_ref());
    let vehicle = target::vehicle(said_vehicle, &journal)?;
    let day = match (&verb.day, &sheet.head.date) {
        (Some(day), _) => opened::day("--day", day, world)?,
        (None, Some(day)) => opened::day("date: in the sheet", day, world)?,
        (None, None) => {
            return Err(Failure::misuse(
                "the sheet says no day",
                "write `date: 2026-03-14` at its top, or add --day DAY",
            ));
        }
    };
    if day > world.today() {
        return Err(Failure::misuse(
            format!("{day} is still to come"),
            "write the day of the session: `date:` in the sheet, or --day DAY",
        ));
    }
    let context = draft_context(Some(&journal), Some(&vehicle), verb, world)?;
    let date = day.to_string();
    let refused = refusals(&sheet, &date, &context);
    sheet.has_unread_tick |= !refused.is_empty();
    let lines = refused.iter();
    let lines = lines.map(|refusal| format!("line {}: {}", refusal.line, refusal.why));
    sheet.said.extend(lines);
    let entry = entry_of(&sheet, &date, &context);
    if wanted == EntryWanted::Written
        && let Some(before) = SheetText::new(&text).written_to()
        && let Ok(there) = journal.bytes(before)
        && without_context(&decode(there).text) != without_context(&entry)
    {
        return Err(Failure::misuse(
            format!("{before} was written from this sheet, and would be written a second time"),
            "change that entry; or delete it and run this again; `--walk` asks, and writes another",
        ));
    }
    if wanted != EntryWanted::Shown {
        let (reply, path) = write(&sheet, &entry, day, verb, &journal, world)?;
        if let Some(path) = path.filter(|_| file != Path::new("-")) {
            sheet_walk::remember_entry(&world.here.join(file), &path, world);
        }
        return Ok(reply);
    }
    let mut said = sheet.said.clone();
    let (_, problems) = crate::entry::read(&entry, &journal.context());
    let has_error = problems.iter().any(|one| one.severity == Severity::Error);
    let is_grave = |severity: Severity| match severity {
        // Errors are said of the lines they come from.
        Severity::Error => refused.is_empty(),
        Severity::Warning => true,
        Severity::Note => false,
    };
    let grave = problems.iter().filter(|one| is_grave(one.severity));
    said.extend(grave.map(|problem| {
        let (word, line) = (problem.severity.word(), problem.spot.line);
        format!("{word}: {}, line {line} of the entry", problem.message)
    }));
    let document = match verb.output.form() {
        WordsForm::Text => Document::text(entry),
        WordsForm::Json => Json.export(&SheetPreview {
            vehicle: &vehicle,
            date: &date,
            entry: &entry,
            said: &said,
        }),
    };
    let mut reply = deliver(document, &verb.output, DocumentSummary::default(), world)?;
    said.push("nothing was written yet; add --yes to write it".to_owned());
    reply.said.extend(said);
    Ok(reply.answering(!sheet.has_unread_tick && !has_error))
}

fn write(
    sheet: &NarrationSheet,
    entry: &str,
    day: jiff::civil::Date,
    verb: &AdoptArgs,
    journal: &Journal,
    world: &World,
) -> Result<(Reply, Option<String>), Failure> {
    if sheet.has_unread_tick {
        return Err(Failure::misuse(
            format!(
                "a ticked line was not understood, so nothing was written: {}",
                sheet.said.join("; ")
            ),
            "mend that line, or empty its box",
        ));
    }
    let has = |text: &str| without_context(text) == without_context(entry);
    let (mut reply, path) = written(entry, day, &has, &verb.output, (journal, world))?;
    reply.said.extend(sheet.said.iter().cloned());
    Ok((reply, path))
}
