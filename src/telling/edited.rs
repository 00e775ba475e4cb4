//! An episode as a person has edited it, so that it can leave in every form a
//! draft can.
//!
//! Chapters are its headings of the second level. What it says is theirs; only
//! its footnotes are taken apart from it.

use std::collections::BTreeMap;

use jiff::civil::Date;

use super::compose::{parts, photos};
use super::draft::{Chapter, Draft, Line, Origin, Paragraph, Part};
use super::material::Material;
use crate::entry::{Entry, paragraphs};
use crate::vocabulary::record_name::RecordName;
use crate::vocabulary::words::fold;

/// What is known of the episode besides its text.
#[derive(Clone, Debug)]
pub struct Known {
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

/// The titles that drafts give to chapters which are more than words.
const PARTS: [(&str, Part); 3] = [
    ("in numbers", Part::Numbers),
    ("to say on camera", Part::Cautions),
    ("what is next", Part::Next),
];

/// The episode in `text`, read as any Markdown is. Its photos are those of the
/// records it tells.
#[must_use]
pub fn edited(text: &Entry, known: Known, material: &Material) -> Draft {
    let notes = notes(&text.text);
    let mut chapters: Vec<Chapter> = Vec::new();
    for section in &text.outline {
        let is_chapter = section.level == 2;
        if is_chapter || chapters.is_empty() {
            let title = if is_chapter {
                &section.title
            } else {
                &known.title
            };
            let part = PARTS.iter().find(|(own, _)| fold(title) == *own);
            chapters.push(Chapter {
                part: part.map_or(Part::Work, |(_, part)| *part),
                title: title.clone(),
                paragraphs: Vec::new(),
                photos: Vec::new(),
            });
        }
        let own = paragraphs(&text.text, section.body.clone())
            .into_iter()
            .filter(|paragraph| !paragraph.text.starts_with("[^"))
            .map(|paragraph| Paragraph {
                lead: None,
                lines: lines(&paragraph.text, &notes),
                is_item: paragraph.is_item,
            });
        if let Some(chapter) = chapters.last_mut() {
            chapter.paragraphs.extend(own);
        }
    }
    chapters.retain(|chapter| !chapter.paragraphs.is_empty());
    show(&mut chapters, material, &known.told);
    Draft {
        title: known.title,
        vehicle: known.vehicle,
        vehicle_name: known.vehicle_name,
        days: known.days,
        chapters,
        parts: parts(
            material
                .sources
                .iter()
                .filter(|source| source.is_among(&known.told)),
        ),
        told: known.told,
        pace: known.pace,
    }
}

/// The footnotes by their marks.
fn notes(text: &str) -> BTreeMap<&str, &str> {
    text.lines()
        .filter_map(|line| line.strip_prefix("[^")?.split_once("]:"))
        .map(|(mark, note)| (mark, note.trim()))
        .collect()
}

/// A paragraph in pieces, each up to its footnote.
fn lines(text: &str, notes: &BTreeMap<&str, &str>) -> Vec<Line> {
    let mut lines: Vec<Line> = Vec::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once("[^") {
        let Some((mark, behind)) = after.split_once(']') else {
            break;
        };
        let origin = notes
            .get(mark)
            .map_or(Origin::House, |note| Origin::Noted((*note).to_owned()));
        lines.extend(line(before, origin));
        rest = behind;
    }
    lines.extend(line(rest, Origin::House));
    lines
}

fn line(text: &str, origin: Origin) -> Option<Line> {
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
                Origin::Noted(note) => note.contains(entry),
                Origin::Entry { .. } | Origin::Report(_) | Origin::Handbook(_) | Origin::House => {
                    false
                }
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
            chapter.photos.extend(photos(source));
        }
    }
}
