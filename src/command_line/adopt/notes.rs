//! A folder of notes: each with its day becomes an entry, or a sheet to tick; every file
//! is accounted for.
//!
//! Nothing in the folder is changed, and nothing is put into the history yet.

use std::collections::{BTreeMap, BTreeSet};
use std::io::Read;
use std::path::Path;

use jiff::civil::Date;

use super::super::arguments::{AdoptArgs, AdoptOnly, WordsForm};
use super::super::destination::{DocumentSummary, deliver, terminal};
use super::super::failure::Failure;
use super::super::world::World;
use super::super::write::{place_new, target};
use super::super::{Reply, opened};
use super::already::first_texts;
use super::chosen::order_said;
use super::narration::draft_context;
use crate::entry::{Context, decode};
use crate::import::narration::sheet::SheetHead;
use crate::import::narration::sheet_text::SheetText;
use crate::import::narration::written::note_sheet;
use crate::import::notes::adopted::{AdoptedNote, adopted, as_entry, has_words, names_note};
use crate::import::notes::note::{NoteDayHints, TextNote, notes};
use crate::import::notes::text::{LONGEST_NOTE, note_text};
use crate::journal::{FolderItem, Journal, folder_items, open_file, read_if_there};
use crate::pictures::{PictureKind, is_clip};
use crate::presentation::export::{Document, Exporter};
use crate::presentation::json::Json;
use crate::presentation::notes::{NotesPlan, TakenNote};
use crate::presentation::text::counted;

/// Whether a folder's texts or its pictures are meant; asks where both lie in it.
pub(super) fn kind(verb: &AdoptArgs, folder: &Path, world: &World) -> Result<AdoptOnly, Failure> {
    if let Some(only) = verb.only {
        return Ok(only);
    }
    if verb.infer || verb.records {
        return Ok(AdoptOnly::Texts);
    }
    if verb.copy_clips || verb.clock.is_some() || verb.of_part.is_some() {
        return Ok(AdoptOnly::Pictures);
    }
    let items = folder_items(folder);
    let files: Vec<&Path> = items
        .iter()
        .filter(|(_, item)| matches!(item, FolderItem::File(_)))
        .map(|(path, _)| path.as_path())
        .collect();
    let (texts, others): (Vec<&Path>, Vec<&Path>) =
        files.into_iter().partition(|file| is_text(file));
    if texts.is_empty() {
        return Ok(AdoptOnly::Pictures);
    }
    let pictures = others
        .iter()
        .filter(|file| is_picture(&folder.join(file)))
        .count();
    if pictures == 0 {
        return Ok(AdoptOnly::Texts);
    }
    // A text without a day, as cameras put them there, is no note.
    let is_note = |file: &&Path| {
        let bytes = read_if_there(&folder.join(file)).ok().flatten();
        let text = bytes.and_then(|bytes| note_text(&bytes).ok());
        text.is_some_and(|text| verb.day.is_some() || notes_in(&text, file, verb, None).is_ok())
    };
    let texts = texts.iter().filter(|file| is_note(file)).count();
    if texts == 0 {
        return Ok(AdoptOnly::Pictures);
    }
    let both = format!(
        "{} and {} lie in {}",
        counted(texts, "text", "texts"),
        counted(pictures, "picture or clip", "pictures and clips"),
        folder.display()
    );
    if world.can_ask && world.is_seen {
        let answer = world.ask(&format!("{both}. Texts or pictures? [t/p]"));
        match answer.unwrap_or_default().to_lowercase().as_str() {
            "t" | "text" | "texts" => return Ok(AdoptOnly::Texts),
            "p" | "picture" | "pictures" => return Ok(AdoptOnly::Pictures),
            _ => {}
        }
    }
    Err(Failure::misuse(
        both,
        "say which: `--only texts` or `--only pictures`; then the other",
    ))
}

/// Whether a file's name says that it is a text.
fn is_text(file: &Path) -> bool {
    let ending = file.extension().unwrap_or_default().to_ascii_lowercase();
    ["md", "markdown", "mkd", "txt", "text"]
        .iter()
        .any(|known| ending == *known)
}

fn is_picture(file: &Path) -> bool {
    let mut start = Vec::new();
    let read = open_file(file).map(|file| file.take(64).read_to_end(&mut start));
    matches!(read, Ok(Ok(_))) && (is_clip(&start) || PictureKind::of(&start).is_some())
}

/// A note that is to be written.
struct FoundNote {
    from: String,
    note: TextNote,
    vehicle: String,
    made: AdoptedNote,
}

/// Adopts a folder of notes, or shows what would be done.
pub(super) fn run(
    verb: &AdoptArgs,
    folder: &Path,
    journal: &Journal,
    world: &World,
) -> Result<Reply, Failure> {
    let said = verb.vehicle.as_ref().or(verb.all_vehicle.as_ref());
    let vehicle = target::vehicle(said, journal)?;
    let day = opened::maybe_day("--day", verb.day.as_ref(), world)?;
    let mut plan = NotesPlan::default();
    let found = gathered(
        verb,
        folder,
        (&vehicle, day),
        &journal.context(),
        &mut plan,
        world,
    );
    let fresh = not_there(found, journal, &mut plan)?;
    if verb.infer {
        return sheets(&fresh, &plan, verb, journal, world);
    }
    for found in fresh {
        let mut taken = TakenNote {
            from: found.from,
            date: found.note.date,
            vehicle: found.vehicle,
            title: found.made.title.clone(),
            records: found.made.records,
            is_quoted: found.made.is_quoted,
            entry: None,
        };
        if verb.yes {
            let _held = journal.hold();
            let path = place_new(&found.made.text, &found.made.title, journal, taken.date)?;
            taken.entry = Some(path);
        }
        plan.taken.push(taken);
    }
    plan.is_done = verb.yes;
    let document = match verb.output.form() {
        WordsForm::Text => terminal(&verb.output, world).export(&plan),
        WordsForm::Json => Json.export(&plan),
    };
    deliver(document, &verb.output, DocumentSummary::default(), world)
}

/// The notes of a folder; what is none goes into the plan with its reason.
fn gathered(
    verb: &AdoptArgs,
    folder: &Path,
    (vehicle, day): (&str, Option<Date>),
    context: &Context,
    plan: &mut NotesPlan,
    world: &World,
) -> Vec<FoundNote> {
    let items = folder_items(folder);
    let mut found = Vec::new();
    let mut progress = world.progress("reading notes");
    let mut read: BTreeMap<String, String> = BTreeMap::new();
    for (at, (path, item)) in items.iter().enumerate() {
        progress.at(at, items.len());
        let from = path.display().to_string();
        let text = match text_of(folder, path, item) {
            Ok(text) => text,
            Err(why) => {
                plan.left_out.push((from, why));
                continue;
            }
        };
        if let Some(other) = read.get(&text) {
            let why = format!("the same as {other}");
            plan.left_out.push((from, why));
            continue;
        }
        read.insert(text.clone(), from.clone());
        if let Some((date, slug)) = as_entry(&text, context) {
            let made = whole(&text, context);
            let note = TextNote {
                date,
                title: None,
                body: text,
                front: None,
            };
            found.push(FoundNote {
                from,
                note,
                vehicle: slug,
                made,
            });
            continue;
        }
        match notes_in(&text, path, verb, day) {
            Err(why) => plan.left_out.push((from, why)),
            Ok(all) => {
                for note in all {
                    if note.date > world.today() {
                        let why = format!("its day, {}, is still to come", note.date);
                        plan.left_out.push((from.clone(), why));
                        continue;
                    }
                    let made = adopted(&note, &from, vehicle, verb.records, context);
                    found.push(FoundNote {
                        from: from.clone(),
                        note,
                        vehicle: vehicle.to_owned(),
                        made,
                    });
                }
            }
        }
    }
    found
}

/// The notes in a text of the folder.
fn notes_in(
    text: &str,
    path: &Path,
    verb: &AdoptArgs,
    day: Option<Date>,
) -> Result<Vec<TextNote>, String> {
    let stem = path.file_stem().unwrap_or_default().to_string_lossy();
    let folders = path.with_extension("").display().to_string();
    let hints = NoteDayHints {
        stem: &stem,
        folders: &folders,
        order: verb.date_order.map(order_said),
        day,
    };
    notes(text, &hints)
}

/// A text that is an entry already: it stays as it stands.
fn whole(text: &str, context: &Context) -> AdoptedNote {
    let (entry, _) = crate::entry::read(text, context);
    AdoptedNote {
        text: text.to_owned(),
        title: entry.title.unwrap_or_default(),
        records: entry.records.len(),
        is_quoted: false,
    }
}

/// The text of an item of the folder, or why it has none.
fn text_of(folder: &Path, path: &Path, item: &FolderItem) -> Result<String, String> {
    let size = match item {
        FolderItem::File(size) => *size,
        FolderItem::Link => return Err("a link; what it leads to is not followed".to_owned()),
        FolderItem::Hidden => return Err("hidden".to_owned()),
        FolderItem::Special => return Err("a pipe, a socket or a device".to_owned()),
        FolderItem::Unreadable(why) => return Err(format!("it cannot be read: {why}")),
    };
    let file = folder.join(path);
    if !is_text(path) {
        let ending = path.extension().unwrap_or_default().to_ascii_lowercase();
        return Err(match ending.to_string_lossy().as_ref() {
            "csv" | "tsv" => "a table: adopt it by itself".to_owned(),
            "vtt" | "srt" | "sbv" => "a narration: adopt it by itself".to_owned(),
            _ if is_picture(&file) => "a picture or a clip: `--only pictures`".to_owned(),
            _ => "neither Markdown nor plain text".to_owned(),
        });
    }
    if usize::try_from(size).map_or(true, |size| size > LONGEST_NOTE) {
        return Err("longer than 1 MB, which is more than a note; part it".to_owned());
    }
    let bytes = read_if_there(&file).map_err(|error| error.to_string())?;
    let text = note_text(&bytes.unwrap_or_default())?;
    match text.starts_with("# What was said") && SheetText::is_sheet(&text) {
        true => Err("a sheet: `adopt --from` reads it".to_owned()),
        false => Ok(text),
    }
}

/// The notes that the journal does not have, now or as their day's entries were first
/// kept; the others go into the plan.
fn not_there(
    found: Vec<FoundNote>,
    journal: &Journal,
    plan: &mut NotesPlan,
) -> Result<Vec<FoundNote>, Failure> {
    let mut days: BTreeMap<Date, Vec<(String, String)>> = BTreeMap::new();
    let dates: BTreeSet<Date> = found.iter().map(|found| found.note.date).collect();
    for date in dates {
        let texts = days.entry(date).or_default();
        for path in target::entries_of_day(journal, date)? {
            texts.push((path.clone(), decode(journal.bytes(&path)?).text));
        }
    }
    // The history is asked once, and only about days of notes that are not there now.
    let mut paths: Vec<String> = Vec::new();
    for found in &found {
        let texts = &days[&found.note.date];
        if !texts.iter().any(|(_, text)| has_words(text, &found.note)) {
            paths.extend(texts.iter().map(|(path, _)| path.clone()));
        }
    }
    paths.sort();
    paths.dedup();
    let first = first_texts(&paths, journal)?;
    let mut fresh = Vec::new();
    for found in found {
        let now = &days[&found.note.date];
        let is_of_day = |path: &str| now.iter().any(|(own, _)| own == path);
        let earlier = first.iter().filter(|(path, _)| is_of_day(path));
        let texts: Vec<&(String, String)> = now.iter().chain(earlier).collect();
        let having = texts.iter().find(|(_, text)| has_words(text, &found.note));
        let naming = texts.iter().find(|(_, text)| names_note(text, &found.from));
        match (having, naming) {
            (Some((path, _)), _) => plan.before.push((found.from, path.clone())),
            (None, Some((path, _))) => {
                let why = format!("{path} came from it, and one of the two has changed since");
                plan.left_out.push((found.from, why));
            }
            (None, None) => fresh.push(found),
        }
    }
    Ok(fresh)
}

/// A sheet for each note, to be ticked.
fn sheets(
    found: &[FoundNote],
    plan: &NotesPlan,
    verb: &AdoptArgs,
    journal: &Journal,
    world: &World,
) -> Result<Reply, Failure> {
    let mut sheets = Vec::new();
    for found in found {
        let context = draft_context(Some(journal), Some(&found.vehicle), verb, world)?;
        let head = SheetHead {
            vehicle: Some(found.vehicle.clone()),
            date: Some(found.note.date.to_string()),
            note: Some(found.from.clone()),
            title: Some(found.made.title.clone()),
            clip: None,
        };
        sheets.push(note_sheet(
            &found.note.body,
            &head,
            &context.names,
            context.driven,
        ));
    }
    let mut about = DocumentSummary::holding(counted(sheets.len(), "sheet", "sheets"));
    let lines = |files: &[(String, String)], word: &str| -> Vec<String> {
        files
            .iter()
            .map(|(file, why)| format!("{word}: {file}: {why}"))
            .collect()
    };
    about.notes = lines(&plan.before, "already there");
    about.notes.extend(lines(&plan.left_out, "left out"));
    if sheets.is_empty() {
        let mut reply = Reply::new("nothing new to adopt\n".to_owned());
        reply.said = about.notes;
        return Ok(reply);
    }
    let document = Document { sheets, mark: None };
    deliver(document, &verb.output, about, world)
}
