//! An episode as a person has edited it, so that it can leave in every form a
//! draft can.
//!
//! Chapters are its headings of the second level. All that a person wrote is
//! kept, block for block; what is said of it is taken beside that, as of a
//! draft.

use std::collections::BTreeMap;

use super::compose::{parts, photos};
use super::draft::{
    Chapter, ChapterRole, DraftParagraph, EpisodeDraft, Line, Photo, StatementOrigin,
};
use super::material::Material;
use super::source::RecapSource;
use crate::entry::{Block, Entry, Inline, blocks, pictures, plain};
use crate::vocabulary::words::fold;

/// The episode in `text`, read as any Markdown is; what is `known` of it besides is its
/// title, vehicle, days, pace and what it tells. Its photos are those of the
/// records it tells, but for those it shows itself.
#[must_use]
pub fn edited(text: &Entry, known: EpisodeDraft, material: &Material<'_>) -> EpisodeDraft {
    let body = text.text.get(text.front.end..).unwrap_or_default();
    let mut notes: BTreeMap<String, Vec<Block>> = BTreeMap::new();
    let mut chapters: Vec<Chapter> = Vec::new();
    for (index, block) in blocks(body).into_iter().enumerate() {
        if let Block::Note(mark, inside) = block {
            notes.insert(mark, inside);
        } else if let Block::Title(2, inside) = block {
            chapters.push(chapter(&plain(&inside)));
        } else if !(index == 0 && matches!(block, Block::Title(1, _))) {
            if chapters.is_empty() {
                chapters.push(chapter(&known.title));
            }
            if let Some(chapter) = chapters.last_mut() {
                chapter.written.push(block);
            }
        }
    }
    chapters.retain(|chapter| !chapter.written.is_empty());
    let noted = notes.iter().map(|(mark, note)| {
        let words: Vec<String> = note
            .iter()
            .flat_map(texts)
            .map(|one| said(&one).0)
            .collect();
        (mark.as_str(), words.join(" "))
    });
    let noted: BTreeMap<&str, String> = noted.collect();
    for chapter in &mut chapters {
        let texts = chapter.written.iter().flat_map(texts);
        chapter.paragraphs = texts.filter_map(|text| paragraph(&text, &noted)).collect();
    }
    let told = material.sources.iter();
    let told: Vec<&RecapSource> = told.filter(|source| source.is_among(&known.told)).collect();
    show(&mut chapters, &told);
    EpisodeDraft {
        chapters,
        parts: parts(told.into_iter()),
        notes,
        ..known
    }
}

/// A chapter; one that is more than words is known by the title that drafts give it.
fn chapter(title: &str) -> Chapter {
    let mut known = [
        ChapterRole::Numbers,
        ChapterRole::Cautions,
        ChapterRole::Next,
    ]
    .into_iter();
    let part = known.find(|part| fold(title) == fold(part.title()));
    Chapter {
        title: title.to_owned(),
        ..Chapter::new(part.unwrap_or(ChapterRole::Work), Vec::new())
    }
}

/// The texts in a block, each a paragraph, an item or a row.
fn texts(block: &Block) -> Vec<Vec<Inline>> {
    match block {
        Block::Title(_, inside) | Block::Paragraph(inside) => vec![inside.clone()],
        Block::List(_, items) => items.iter().flatten().flat_map(texts).collect(),
        Block::Quote(inside) => inside.iter().flat_map(texts).collect(),
        Block::Table(head, rows) => {
            let between = [Inline::Text(", ".to_owned())];
            let rows = std::iter::once(head).chain(rows);
            rows.map(|row| row.join(&between[..])).collect()
        }
        Block::Code(_) | Block::Rule | Block::Note(..) => Vec::new(),
    }
}

/// The words of a text in one line, with its links, and the marks of its footnotes.
fn said(text: &[Inline]) -> (String, Vec<&str>) {
    fn gather<'t>(text: &'t [Inline], words: &mut String, marks: &mut Vec<&'t str>) {
        for one in text {
            match one {
                Inline::Text(own) | Inline::Code(own) => words.push_str(own),
                Inline::Break => words.push(' '),
                Inline::Emphasis(inside) | Inline::Strong(inside) | Inline::Struck(inside) => {
                    gather(inside, words, marks);
                }
                Inline::Link(to, inside) => {
                    gather(inside, words, marks);
                    if plain(inside) != *to {
                        words.push_str(&format!(" ({to})"));
                    }
                }
                Inline::Note(mark) => marks.push(mark),
                Inline::Image(..) => {}
            }
        }
    }
    let (mut words, mut marks) = (String::new(), Vec::new());
    gather(text, &mut words, &mut marks);
    let words: Vec<&str> = words.split_whitespace().collect();
    (words.join(" "), marks)
}

/// What is said of a text: for marks, for lists of figures and for how long it takes.
fn paragraph(text: &[Inline], notes: &BTreeMap<&str, String>) -> Option<DraftParagraph> {
    let (words, marks) = said(text);
    let noted = marks
        .iter()
        .filter_map(|mark| notes.get(mark).map(String::as_str));
    let noted: Vec<&str> = noted.collect();
    let origin = match noted.is_empty() {
        true => StatementOrigin::House,
        false => StatementOrigin::Noted(noted.join(" ")),
    };
    let why = "written by hand, or left as it was drafted";
    let line = Line {
        after: "",
        ..Line::new(&words, origin, why)
    };
    (!words.is_empty()).then(|| DraftParagraph::of(line))
}

/// Puts the photos of what is told into the first chapter that names their
/// entry, or the last one.
fn show(chapters: &mut [Chapter], told: &[&RecapSource<'_>]) {
    for source in told {
        let entry = &source.when.entry;
        let names = |chapter: &Chapter| chapter.lines().any(|line| line.origin.is_of(entry));
        let place = chapters.iter().position(names);
        let place = place.or(chapters.len().checked_sub(1));
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
