//! An episode as a person has edited it, so that it can leave in every form a
//! draft can.
//!
//! Chapters are its headings of the second level. All that a person wrote is
//! kept, block for block; what is said of it is taken beside that, as of a
//! draft.

use std::collections::BTreeMap;

use jiff::civil::Date;

use super::compose::{parts, photos};
use super::draft::{
    Chapter, ChapterRole, DraftParagraph, EpisodeDraft, Line, Photo, StatementOrigin,
};
use super::material::{Material, RecapSource};
use crate::entry::{Block, Entry, Inline, blocks, pictures, plain};
use crate::vocabulary::record_name::RecordName;
use crate::vocabulary::words::fold;

/// What is known of the episode besides its text.
#[derive(Clone, Debug)]
pub struct EpisodeDetails {
    /// What it is called.
    pub title: String,
    /// The vehicle's slug.
    pub vehicle: String,
    /// The vehicle's name.
    pub vehicle_name: String,
    /// The first and the last day it tells of.
    pub days: Option<(Date, Date)>,
    /// The records it tells.
    pub told: Vec<RecordName>,
    /// Words said in a minute.
    pub pace: u32,
}

/// The chapters that are more than words, known by the titles that drafts give them.
const PARTS: [ChapterRole; 3] = [
    ChapterRole::Numbers,
    ChapterRole::Cautions,
    ChapterRole::Next,
];

/// The episode in `text`, read as any Markdown is. Its photos are those of the
/// records it tells, but for those it shows itself.
#[must_use]
pub fn edited(text: &Entry, known: EpisodeDetails, material: &Material) -> EpisodeDraft {
    let body = text.text.get(text.front.end..).unwrap_or_default();
    let (notes, blocks): (Vec<Block>, Vec<Block>) = blocks(body)
        .into_iter()
        .partition(|block| matches!(block, Block::Note(..)));
    let notes: BTreeMap<String, Vec<Block>> = notes
        .into_iter()
        .filter_map(|note| match note {
            Block::Note(mark, inside) => Some((mark, inside)),
            Block::Title(..)
            | Block::Paragraph(_)
            | Block::List(..)
            | Block::Quote(_)
            | Block::Code(_)
            | Block::Table(..)
            | Block::Rule => None,
        })
        .collect();
    let mut chapters: Vec<Chapter> = Vec::new();
    for (index, block) in blocks.into_iter().enumerate() {
        match block {
            // The title is known.
            Block::Title(1, _) if index == 0 => {}
            Block::Title(2, inside) => chapters.push(chapter(&plain(&inside))),
            Block::Title(..)
            | Block::Paragraph(_)
            | Block::List(..)
            | Block::Quote(_)
            | Block::Code(_)
            | Block::Table(..)
            | Block::Rule
            | Block::Note(..) => {
                if chapters.is_empty() {
                    chapters.push(chapter(&known.title));
                }
                if let Some(chapter) = chapters.last_mut() {
                    say(&block, false, &notes, &mut chapter.paragraphs);
                    chapter.written.push(block);
                }
            }
        }
    }
    chapters.retain(|chapter| !chapter.written.is_empty());
    show(&mut chapters, material, &known.told);
    let told = |source: &&RecapSource| source.is_among(&known.told);
    EpisodeDraft {
        title: known.title,
        vehicle: known.vehicle,
        vehicle_name: known.vehicle_name,
        days: known.days,
        chapters,
        parts: parts(material.sources.iter().filter(told)),
        told: known.told,
        people: Vec::new(),
        notes,
        pace: known.pace,
    }
}

fn chapter(title: &str) -> Chapter {
    let title_of = |part: &ChapterRole| fold(part.title());
    let part = PARTS.into_iter().find(|part| fold(title) == title_of(part));
    Chapter {
        part: part.unwrap_or(ChapterRole::Work),
        title: title.to_owned(),
        paragraphs: Vec::new(),
        written: Vec::new(),
        photos: Vec::new(),
    }
}

/// Adds a block as what is said of it: for marks, for lists of figures and for
/// how long it takes.
fn say(
    block: &Block,
    is_item: bool,
    notes: &BTreeMap<String, Vec<Block>>,
    paragraphs: &mut Vec<DraftParagraph>,
) {
    let mut add = |inside: &[Inline]| {
        let lines = lines(inside, notes);
        if !lines.is_empty() {
            paragraphs.push(DraftParagraph {
                lead: None,
                lines,
                is_item,
            });
        }
    };
    match block {
        Block::Title(_, inside) | Block::Paragraph(inside) => add(inside),
        Block::List(_, items) => {
            for block in items.iter().flatten() {
                say(block, true, notes, paragraphs);
            }
        }
        Block::Quote(inside) => {
            for block in inside {
                say(block, is_item, notes, paragraphs);
            }
        }
        Block::Table(head, rows) => {
            for row in std::iter::once(head).chain(rows) {
                let between = [Inline::Text(", ".to_owned())];
                add(&row.join(&between[..]));
            }
        }
        Block::Code(_) | Block::Rule | Block::Note(..) => {}
    }
}

/// Words in pieces, each up to its footnote.
fn lines(inside: &[Inline], notes: &BTreeMap<String, Vec<Block>>) -> Vec<Line> {
    let mut lines: Vec<Line> = Vec::new();
    let mut text = String::new();
    gather(inside, notes, &mut text, &mut lines);
    lines.extend(line(&text, StatementOrigin::House));
    lines
}

fn gather(
    inside: &[Inline],
    notes: &BTreeMap<String, Vec<Block>>,
    text: &mut String,
    lines: &mut Vec<Line>,
) {
    for one in inside {
        match one {
            Inline::Text(words) | Inline::Code(words) => text.push_str(words),
            Inline::Break => text.push(' '),
            Inline::Emphasis(inside) | Inline::Strong(inside) | Inline::Struck(inside) => {
                gather(inside, notes, text, lines);
            }
            Inline::Link(to, inside) => {
                gather(inside, notes, text, lines);
                if plain(inside) != *to {
                    text.push_str(&format!(" ({to})"));
                }
            }
            Inline::Note(mark) => {
                let origin = notes.get(mark).map_or(StatementOrigin::House, |note| {
                    StatementOrigin::Noted(words_of(note))
                });
                lines.extend(line(text, origin));
                text.clear();
            }
            Inline::Image(..) => {}
        }
    }
}

/// The words of a footnote.
fn words_of(note: &[Block]) -> String {
    let mut paragraphs = Vec::new();
    for block in note {
        say(block, false, &BTreeMap::new(), &mut paragraphs);
    }
    let lines = paragraphs.iter().flat_map(|paragraph| &paragraph.lines);
    let words: Vec<&str> = lines.map(|line| line.text.as_str()).collect();
    words.join(" ")
}

fn line(text: &str, origin: StatementOrigin) -> Option<Line> {
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    (!text.is_empty()).then(|| Line {
        before: String::new(),
        text,
        after: "",
        origin,
        why: "written by hand, or left as it was drafted".to_owned(),
    })
}

/// Puts the photos of what is told into the first chapter that names their
/// entry, or the last one.
fn show(chapters: &mut [Chapter], material: &Material, told: &[RecordName]) {
    let names = |chapter: &Chapter, entry: &str| {
        chapter
            .paragraphs
            .iter()
            .flat_map(|paragraph| &paragraph.lines)
            .any(|line| match &line.origin {
                StatementOrigin::Noted(note) => note.contains(entry),
                StatementOrigin::Entry { .. }
                | StatementOrigin::Counted { .. }
                | StatementOrigin::Page { .. }
                | StatementOrigin::Report(_)
                | StatementOrigin::Handbook(_)
                | StatementOrigin::House => false,
            })
    };
    for source in &material.sources {
        if !source.is_among(told) {
            continue;
        }
        let place = chapters
            .iter()
            .position(|chapter| names(chapter, &source.when.entry))
            .or(chapters.len().checked_sub(1));
        if let Some(chapter) = place.and_then(|place| chapters.get_mut(place)) {
            let shown = pictures(&chapter.written);
            let is_shown =
                |photo: &Photo| shown.iter().any(|path| inside_journal(path) == photo.path);
            let own: Vec<Photo> = photos(source).filter(|photo| !is_shown(photo)).collect();
            chapter.photos.extend(own);
        }
    }
}

/// The path inside the journal of what an episode shows: its text lies in a
/// folder of it, so that a path may climb first.
#[must_use]
pub fn inside_journal(path: &str) -> &str {
    path.trim_start_matches("../")
}
