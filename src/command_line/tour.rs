//! `tour`: the demo journal, played into a folder, and the main job done on it.

use std::collections::BTreeMap;
use std::path::Path;

use clap::Parser;
use include_dir::{Dir, include_dir};
use jiff::ZonedDateTime;
use jiff::civil::Date;
use jiff::tz::{Offset, TimeZone};

use super::arguments::{Arguments, Common, TourArgs, WordsForm};
use super::begin::outside_of_journals;
use super::destination::{DocumentSummary, deliver, may_deliver, terminal};
use super::failure::Failure;
use super::world::World;
use super::{Reply, answer};
use crate::entry::{Context, Entry, read_file};
use crate::history::{History, PlannedCommit, Who};
use crate::journal::{Contents, IGNORED, JournalError, gather, hide_computed, is_text_of_journal};
use crate::presentation::export::{Document, Exporter};
use crate::presentation::json::Json;
use crate::presentation::json::writing::Toured;
use crate::presentation::terminal::Terminal;
use crate::presentation::text::{Text, TextStyle, fitted};
use crate::reports::changes::changes;
use crate::reports::commit_message::{TextToKeep, message};
use crate::vocabulary::day::read_date;

/// The demo, carried in the program.
static DEMO: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/demo-journal");

/// The folder of the demo that holds texts as they stood before they were
/// corrected, by the day of the correction.
const FIRST_WRITTEN: &str = "as-first-written/";

/// The stations of the walk: a verb and what it shows.
const STATIONS: [(&[&str], &str); 13] = [
    (
        &["find", "spindle", "nut", "--most", "1"],
        "Months later, standing at the van: what held the hub, and where is it now?",
    ),
    (
        &["find", "hood", "hinge", "--most", "1"],
        "Words of either side of the ocean find each other.",
    ),
    (
        &["part", "starter", "motor"],
        "One part with all its units and everything that happened to it.",
    ),
    (
        &["part", "hub, left front", "--on", "2025-12-01"],
        "Another part as it stood on a day of the first winter, with its bag.",
    ),
    (
        &["needs", "--on", "2026-11-20"],
        "What is open: overdue first, then what most parts wait for.",
    ),
    (
        &["refit", "--on", "2026-11-20"],
        "What can go back on tonight, what holds up the rest, and the order of all of it.",
    ),
    (
        &["bags"],
        "Every bag with what is left in it; one piece is missing, and one is left over.",
    ),
    (
        &["torque", "7/16-20", "--grade", "5", "--for", "drop arm"],
        "What was recorded from the manual; no general figure where it could hurt someone.",
    ),
    (
        &["replaced", "--system", "brakes"],
        "The honest record of what was replaced, with the commit that first recorded it.",
    ),
    (
        &["tally", "--by", "kind"],
        "Where the money and the evenings went.",
    ),
    (
        &["recap", "--vehicle", "wren", "--minutes", "4"],
        "A draft of the next episode, from what was not told yet; every sentence has its entry.",
    ),
    (
        &["past", "2025-03-14-the-tank-comes-down"],
        "How the records themselves changed: a bag was corrected three months later.",
    ),
    (
        &["check"],
        "Slips, with their line: nothing written is ever held back because of them.",
    ),
];

/// Maximum number of lines shown of each answer.
const MOST_LINES: usize = 16;

/// Plays the demo and walks through it.
pub(super) fn run(verb: &TourArgs, common: &Common, world: &World) -> Result<Reply, Failure> {
    may_deliver(&verb.output, world)?;
    if let Some(journal) = &common.journal {
        return Err(Failure::misuse(
            format!(
                "a tour makes a journal of its own, not in {}",
                journal.display()
            ),
            "name its folder: `matchmark tour FOLDER`",
        ));
    }
    let root = world.here.join(&verb.folder);
    if root.exists() {
        return Err(Failure::Journal(JournalError::Exists(root)));
    }
    outside_of_journals(&root)?;
    let commits = play(&root, world)?;
    let folder = verb.folder.display().to_string();
    let document = match verb.output.form() {
        WordsForm::Text => Document::text(walk(&folder, commits, &root, verb, world)?),
        WordsForm::Json => {
            let mut stations = Vec::new();
            for (words, about) in STATIONS {
                let typed = typed_words(words);
                stations.push((about.to_owned(), typed, answered(words, &root, world)?));
            }
            Json.export(&Toured {
                folder,
                commits,
                stations,
            })
        }
    };
    deliver(document, &verb.output, DocumentSummary::default(), world)
}

/// All stations one after the other.
fn walk(
    folder: &str,
    commits: usize,
    root: &Path,
    verb: &TourArgs,
    world: &World,
) -> Result<String, Failure> {
    let terminal = terminal(&verb.output, world);
    let mut out = Text::new(terminal.width);
    out.line(
        0,
        TextStyle::Title,
        &format!(
            "The demo journal is in {folder}, its history in {commits} commits. What it is for:"
        ),
    );
    let mut out = out.render(terminal.colours);
    for (words, about) in STATIONS {
        out.push_str(&station(words, about, root, terminal, world)?);
    }
    let mut last = Text::new(terminal.width);
    last.gap();
    last.line(
        0,
        TextStyle::Plain,
        &format!("Go on by yourself: `cd {folder}`, then `matchmark part`, `matchmark find ...`, `matchmark write`. Delete the folder when you are done."),
    );
    out.push_str(&last.render(terminal.colours));
    Ok(out)
}

/// One verb with its real answer.
fn station(
    words: &[&str],
    about: &str,
    root: &Path,
    terminal: Terminal,
    world: &World,
) -> Result<String, Failure> {
    let mut text = Text::new(terminal.width);
    text.gap();
    text.line(0, TextStyle::Plain, about);
    text.wrapped(
        0,
        2,
        &[
            (TextStyle::Faint, "$ ".into()),
            (TextStyle::Title, typed_words(words)),
        ],
    );
    text.gap();
    let answer = fitted(&answered(words, root, world)?, terminal.width);
    let lines: Vec<&str> = answer.trim_end().lines().collect();
    let mut shown = text.render(terminal.colours);
    // One line more would take as much room as to say that it is left out.
    let cut = (lines.len() > MOST_LINES + 1).then_some(MOST_LINES);
    for line in &lines[..cut.unwrap_or(lines.len())] {
        shown.push_str(line);
        shown.push('\n');
    }
    if let Some(cut) = cut {
        let mut rest = Text::new(terminal.width);
        let more = format!("... and {} lines more", lines.len() - cut);
        rest.line(0, TextStyle::Faint, &more);
        shown.push_str(&rest.render(terminal.colours));
    }
    Ok(shown)
}

/// What a verb answers in the demo journal.
fn answered(words: &[&str], root: &Path, world: &World) -> Result<String, Failure> {
    let folder = root.to_string_lossy().into_owned();
    let mut typed = vec!["matchmark", "-j", &folder];
    typed.extend(words);
    let arguments =
        Arguments::try_parse_from(typed).map_err(|error| Failure::misuse(error.to_string(), ""))?;
    let reply = answer(&arguments, world)?;
    if let Some(afterwards) = reply.afterwards {
        afterwards();
    }
    Ok(reply.out)
}

/// A station as a person would type it.
fn typed_words(words: &[&str]) -> String {
    let typed: Vec<String> = words.iter().map(|word| quoted(word)).collect();
    format!("matchmark {}", typed.join(" "))
}

fn quoted(word: &str) -> String {
    if word.contains(' ') {
        format!("\"{word}\"")
    } else {
        word.to_owned()
    }
}

/// Plays the demo into a folder; returns how many commits it took.
fn play(root: &Path, world: &World) -> Result<usize, Failure> {
    let (texts, corrected) = demo_texts();
    let contents = gather(texts.clone());
    hide_computed(root)?;
    let history = History::create(root)?;
    let drafts = drafts(&texts, &corrected, &contents);
    let mut progress = world.progress("playing the demo");
    let of = drafts.len();
    let commits = history.play(drafts, &mut |done| progress.at(done, of))?;
    Ok(commits.len())
}

type DemoTexts = Vec<(String, Vec<u8>)>;

/// The demo's texts, and the first versions of those that were corrected with
/// the day of their correction.
fn demo_texts() -> (DemoTexts, BTreeMap<String, (Date, Vec<u8>)>) {
    let mut texts = Vec::new();
    let mut corrected = BTreeMap::new();
    let mut folders = vec![&DEMO];
    while let Some(folder) = folders.pop() {
        folders.extend(folder.dirs());
        for file in folder.files() {
            let path = file.path().to_string_lossy().replace('\\', "/");
            if let Some(rest) = path.strip_prefix(FIRST_WRITTEN) {
                let day = rest
                    .split_once('/')
                    .and_then(|(folder, name)| Some((folder.strip_prefix("corrected-")?, name)));
                if let Some((day, name)) = day
                    && let Some(day) = read_date(day)
                {
                    corrected.insert(name.to_owned(), (day, file.contents().to_vec()));
                }
            } else if is_text_of_journal(&path) {
                texts.push((path, file.contents().to_vec()));
            }
        }
    }
    texts.sort();
    (texts, corrected)
}

/// One commit an evening, at the day in the entry, and one for each
/// correction.
fn drafts(
    texts: &DemoTexts,
    corrected: &BTreeMap<String, (Date, Vec<u8>)>,
    contents: &Contents,
) -> Vec<PlannedCommit> {
    let context = contents.context();
    let (name, email) = contents
        .settings
        .author
        .clone()
        .unwrap_or_else(|| ("The restorer".to_owned(), "restorer@example.org".to_owned()));
    let who = Who { name, email };
    let mut days: BTreeMap<(Date, i8), Vec<DemoText>> = BTreeMap::new();
    let mut first_day = None;
    for entry in &contents.entries {
        let Some(date) = entry.date else { continue };
        first_day = Some(first_day.map_or(date, |first: Date| first.min(date)));
        let name = entry.path.rsplit('/').next().unwrap_or(&entry.path);
        let text = entry.text.clone().into_bytes();
        match corrected.get(name) {
            Some((day, first)) => {
                let before = as_entry(&entry.path, first, &context);
                days.entry((date, 21)).or_default().push(DemoText {
                    text: first.clone(),
                    before: None,
                    after: before.clone(),
                });
                days.entry((*day, 22)).or_default().push(DemoText {
                    text,
                    before: Some(before),
                    after: entry.clone(),
                });
            }
            None => days.entry((date, 21)).or_default().push(DemoText {
                text,
                before: None,
                after: entry.clone(),
            }),
        }
    }
    let mut frame: Vec<(String, Option<Vec<u8>>)> = texts
        .iter()
        .filter(|(path, _)| !path.starts_with("entries/"))
        .map(|(path, bytes)| (path.clone(), Some(bytes.clone())))
        .collect();
    frame.push((".gitignore".to_owned(), Some(IGNORED.into())));
    let mut drafts = Vec::new();
    if let Some(day) = first_day {
        let time = evening(day, 20);
        drafts.push(PlannedCommit {
            files: frame,
            message: "Begin the journal".to_owned(),
            who: who.clone(),
            author_time: time.clone(),
            commit_time: time,
        });
    }
    for ((day, hour), plays) in days {
        let facts: Vec<_> = plays
            .iter()
            .map(|play| changes(play.before.as_ref(), Some(&play.after)))
            .collect();
        let kept: Vec<TextToKeep<'_>> = plays
            .iter()
            .zip(&facts)
            .map(|(play, facts)| match play.before {
                Some(_) => TextToKeep::Changed(&play.after, facts),
                None => TextToKeep::Written(&play.after),
            })
            .collect();
        let message = message(&kept);
        let time = evening(day, hour);
        drafts.push(PlannedCommit {
            files: plays
                .into_iter()
                .map(|play| (play.after.path, Some(play.text)))
                .collect(),
            message,
            who: who.clone(),
            author_time: time.clone(),
            commit_time: time,
        });
    }
    drafts
}

/// A text that is kept on a day.
struct DemoText {
    text: Vec<u8>,
    before: Option<Entry>,
    after: Entry,
}

fn as_entry(path: &str, bytes: &[u8], context: &Context) -> Entry {
    read_file(path, &String::from_utf8_lossy(bytes), context).0
}

/// An hour of an evening, one hour east of Greenwich.
fn evening(day: Date, hour: i8) -> ZonedDateTime {
    let zone = TimeZone::fixed(Offset::constant(1));
    zone.to_zoned_datetime(day.at(hour, 0, 0, 0))
        .unwrap_or(ZonedDateTime::UNIX_EPOCH)
}
