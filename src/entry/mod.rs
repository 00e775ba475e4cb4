//! Entries: from text to facts, and back without losing a byte.
//!
//! Reading never fails: what cannot be understood is a problem with its place,
//! and the rest still counts. Nothing here knows files, other entries, or the
//! day on which it runs; whether facts of several entries agree is for
//! `ledger` to say.

mod blocks;
mod bytes;
mod context;
mod fact;
mod fact_lines;
mod footnotes;
mod front_insert;
mod front_matter;
mod images;
mod insert;
mod item;
mod key;
mod key_words;
mod left_out;
mod model;
mod outline;
mod paragraphs;
mod placing;
mod prose_money;
mod published;
mod record;
mod sections;
mod sentences;
mod session;
mod slips;
mod source;
mod stated;
mod telling;
mod understand;

pub use crate::handbook::heading::split_name;
pub use blocks::{Block, Inline, TableCells, blocks, pictures, plain};
pub use bytes::{Decoded, decode};
pub use context::{Context, Vehicle};
pub use fact::{
    Clip, Connection, Fact, Fate, Need, Replacement, ReplacementKind, Return, Sent, Tool,
    UnitOrigin,
};
pub use front_insert::{add_to_front, set_in_front};
pub use front_matter::FrontMatterFields;
pub use images::images;
pub use insert::{Added, add_prose, add_section, new_entry};
pub use key::Key;
pub use key_words::{is_seller, key_meant};
pub use left_out::{LeftOut, asked_for, is_private_title};
pub use model::{BagFilling, Entry, Passage, Record};
pub use paragraphs::{Paragraph, paragraphs};
pub use published::{PublishedEntries, Readers, published, without_private};
pub use sentences::{sentences, spoken_words};
pub use slips::is_in_conflict;
pub use source::Lines;
pub use stated::Stated;
pub use telling::{Telling, private_bytes, telling};

use crate::problem::Problem;
use crate::vocabulary::hours::Minutes;
use session::Session;
use understand::FactContext;

/// The most problems of one text; the least grave beyond them are only counted.
const MOST_PROBLEMS: usize = 2_000;

/// Reads an entry. Every text is an entry; what is wrong with it comes back
/// beside it, in the order of the lines.
#[must_use]
pub fn read(text: &str, context: &Context) -> (Entry, Vec<Problem>) {
    read_named("", text, context)
}

/// Reads the entry in the file `path`, whose name may say on which day a date without a
/// year is.
fn read_named(path: &str, text: &str, context: &Context) -> (Entry, Vec<Problem>) {
    let lines = Lines::new(text);
    let block = front_matter::find(&lines).unwrap_or_default();
    let mut reader = FactContext {
        lines: &lines,
        context,
        driven: context.driven(None),
        day: None,
        file_day: day_of_file(path),
        problems: Vec::new(),
        copies: Some(understand::MOST_COPIES),
    };
    let mut problems = Vec::new();
    if block.end > 0 && !block.closed {
        problems.push(
            Problem::error(
                lines.spot(0..3),
                "the front matter is not closed; it was read up to the first empty line",
            )
            .hint("write a line `---` below it"),
        );
    }
    let items = if block.end > 0 {
        front_matter::read(&lines, block.inside.clone(), &mut problems)
    } else {
        Vec::new()
    };
    let session = Session::read(&mut reader, &items);
    let mut entry = Entry {
        path: String::new(),
        text: text.to_owned(),
        front: 0..block.end,
        outline: outline::read(text, block.end),
        date: session.date,
        time: session.time,
        vehicle: session.vehicle.clone(),
        system: session.system.clone(),
        title: session.title.clone(),
        helpers: session.helpers.clone(),
        facts: session.facts.clone(),
        records: Vec::new(),
        bags: Vec::new(),
        prose: Vec::new(),
        bare_headings: Vec::new(),
    };
    let sections = std::mem::take(&mut entry.outline);
    entry.outline.clone_from(&sections);
    sections::Walk::new(&mut reader, &session, &mut entry).all(&sections);
    images::add(&mut entry, &lines);
    whole_entry(&mut reader, &session, &entry);
    reader.problems.extend(telling::contradictions(&entry));
    reader
        .problems
        .extend(prose_money::find(&entry, &lines, context.currency));
    slips::find(&lines, block.end, &mut reader.problems);
    problems.append(&mut reader.problems);
    let in_order = |a: &Problem, b: &Problem| {
        let of_lines = a.spot.cmp(&b.spot);
        of_lines.then(a.severity.cmp(&b.severity))
    };
    problems.sort_by(in_order);
    problems.dedup();
    if problems.len() > MOST_PROBLEMS {
        let more = problems.len() - MOST_PROBLEMS;
        problems.sort_by_key(|problem| problem.severity);
        problems.truncate(MOST_PROBLEMS);
        problems.sort_by(in_order);
        problems.push(Problem::note(
            lines.spot(0..1),
            format!("{more} more problems in this text"),
        ));
    }
    (entry, problems)
}

/// Reads the entry in the file `path` of a journal: as [`read`], with the
/// file's name in the entry and in every problem.
#[must_use]
pub fn read_file(path: &str, text: &str, context: &Context) -> (Entry, Vec<Problem>) {
    let (mut entry, mut problems) = read_named(path, text, context);
    path.clone_into(&mut entry.path);
    for problem in &mut problems {
        path.clone_into(&mut problem.spot.file);
    }
    (entry, problems)
}

/// The day that the name of an entry's file begins with.
fn day_of_file(path: &str) -> Option<jiff::civil::Date> {
    let name = path.rsplit('/').next()?;
    crate::vocabulary::day::read_date(name.get(..10)?)
}

/// The text of an entry, put together from its pieces: the same, byte for
/// byte, as what was read.
#[must_use]
pub fn write(entry: &Entry) -> String {
    let mut text = String::with_capacity(entry.text.len());
    text.push_str(&entry.text[entry.front.clone()]);
    for section in &entry.outline {
        text.push_str(&entry.text[section.heading.clone()]);
        text.push_str(&entry.text[section.body.clone()]);
    }
    text
}

/// What must be said of an entry as a whole.
fn whole_entry(reader: &mut FactContext<'_>, session: &Session, entry: &Entry) {
    if entry.date.is_none() && !session.said.contains(&Key::Date) {
        reader.error(
            0..1,
            "this entry has no date, so nothing in it counts",
            "begin the text with `---`, `date: 2026-03-14`, `vehicle: NAME`, `---`, one a line",
        );
    }
    if entry.vehicle.is_none() && !session.said.contains(&Key::Vehicle) {
        let hint = match reader.context.vehicles.first() {
            Some(vehicle) => format!("add `vehicle: {}` to the front matter", vehicle.slug),
            None => "add `vehicle: NAME` to the front matter".to_owned(),
        };
        reader.error(0..1, "this entry names no vehicle", &hint);
    }
    if entry.title.is_none() {
        reader.note(
            0..1,
            "this entry has no title",
            "write one as the first heading: `# The tank comes down`",
        );
    }
    let Some((hours, spot)) = hours_of(&entry.facts).next() else {
        return;
    };
    let shares = section_hours(entry);
    if shares > hours {
        reader.problems.push(
            Problem::warning(
                spot,
                format!("the sections say {shares} hours, the entry {hours}"),
            )
            .hint("hours in sections are shares of the entry's hours"),
        );
    }
}

/// The hours that sections have a share in.
fn section_hours(entry: &Entry) -> Minutes {
    entry
        .records
        .iter()
        .filter(|record| record.short.is_none_or(|(at, _)| at == 0))
        .flat_map(|record| hours_of(&record.facts))
        .fold(Minutes::default(), |sum, (minutes, _)| sum.plus(minutes))
}

impl Entry {
    /// The hours of the session in which no section has a share, with the place
    /// where the session's hours are said; none if it says none, or if its
    /// sections have them all.
    #[must_use]
    pub fn hours_left(&self) -> Option<(Minutes, crate::problem::Spot)> {
        let (hours, mut spot) = hours_of(&self.facts).next()?;
        spot.file.clone_from(&self.path);
        let left = hours.0.checked_sub(section_hours(self).0)?;
        (left > 0).then_some((Minutes(left), spot))
    }

    /// The hours of all sections, where they are more than the session's; none if
    /// it says none.
    #[must_use]
    pub fn hours_beyond(&self) -> Option<Minutes> {
        let (hours, _) = hours_of(&self.facts).next()?;
        let shares = section_hours(self);
        (shares > hours).then_some(shares)
    }

    /// The hours of the session, if it says them.
    #[must_use]
    pub fn hours_said(&self) -> Option<Minutes> {
        hours_of(&self.facts).next().map(|(hours, _)| hours)
    }

    /// The record that the entry itself is, if its front matter names a part.
    #[must_use]
    pub fn single(&self) -> Option<&Record> {
        let front = self.text.get(self.front.clone()).unwrap_or_default();
        let last = u32::try_from(front.lines().count()).unwrap_or(u32::MAX);
        self.records.iter().find(|record| record.spot.line <= last)
    }
}

fn hours_of(facts: &[Stated]) -> impl Iterator<Item = (Minutes, crate::problem::Spot)> {
    facts.iter().filter_map(|stated| {
        if let Fact::Hours(minutes) = stated.fact {
            Some((minutes, stated.spot.clone()))
        } else {
            None
        }
    })
}
