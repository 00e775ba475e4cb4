//! A draft as an article: one HTML file that loads nothing.
//!
//! Words from entries are text here and never markup: what looks like a tag, a
//! handler or a link in an entry is shown as the letters it is made of.

use maud::{Markup, html};

use super::picture::{Picture, figure, source};
use super::written::{self, Page, harmless, note_mark};
use super::{MADE_BY, PageKind, whole};
use crate::presentation::export::{Document, Exporter};
use crate::presentation::text::shown;
use crate::recap::{Chapter, DraftParagraph, EpisodeDraft, StatementOrigin};
use crate::vocabulary::spoken::in_full;

/// The form of a web article.
pub struct Article<'p> {
    /// Finds a photo by its path.
    pub picture: &'p Picture<'p>,
}

impl Exporter<EpisodeDraft> for Article<'_> {
    fn export(&self, draft: &EpisodeDraft) -> Document {
        Document::marked(render(draft, self.picture), MADE_BY)
    }
}

/// The article. `picture` finds a photo by its path.
fn render(draft: &EpisodeDraft, picture: &Picture<'_>) -> String {
    let mut notes: Vec<(String, Markup)> = Vec::new();
    let page = Page {
        notes: &draft.notes,
        picture: &|path| Some(source(&picture(path)?)),
        link: &harmless,
    };
    let chapters: Vec<Markup> = draft
        .chapters
        .iter()
        .map(|chapter| chapter_markup(chapter, &page, &mut notes))
        .collect();
    let days = draft.days.map(|(first, last)| {
        if first == last {
            in_full(first)
        } else {
            format!("{} to {}", in_full(first), in_full(last))
        }
    });
    let inside = html! {
        article {
            h1 { (shown(&draft.title)) }
            p class="about" {
                (shown(&draft.vehicle_name))
                @if let Some(days) = days { ", " (days) }
            }
            @for chapter in &chapters { (chapter) }
            @if !notes.is_empty() {
                h2 { "Where it is written" }
                ol class="sources" {
                    @for (index, (_, note)) in notes.iter().enumerate() {
                        li id=(format!("n{}", index + 1)) { (note) }
                    }
                }
            }
        }
    };
    whole(&shown(&draft.title), &PageKind::Article, &inside)
}

fn chapter_markup(chapter: &Chapter, page: &Page<'_>, notes: &mut Vec<(String, Markup)>) -> Markup {
    if !chapter.written.is_empty() {
        return with_title(
            chapter,
            &written::blocks(&chapter.written, page, notes),
            page,
        );
    }
    let mut blocks: Vec<Markup> = Vec::new();
    let mut items: Vec<Markup> = Vec::new();
    for paragraph in &chapter.paragraphs {
        let words = paragraph_markup(paragraph, notes);
        if paragraph.is_item {
            items.push(html! { li { (words) } });
            continue;
        }
        close_list(&mut items, &mut blocks);
        blocks.push(html! { p { (words) } });
    }
    close_list(&mut items, &mut blocks);
    with_title(chapter, &html! { @for block in &blocks { (block) } }, page)
}

fn with_title(chapter: &Chapter, said: &Markup, page: &Page<'_>) -> Markup {
    html! {
        h2 { (shown(&chapter.title)) }
        (said)
        @for photo in &chapter.photos {
            @if let Some(figure) = figure(photo, page.picture) { (figure) }
        }
    }
}

fn close_list(items: &mut Vec<Markup>, blocks: &mut Vec<Markup>) {
    if !items.is_empty() {
        blocks.push(html! { ul { @for item in items.iter() { (item) } } });
        items.clear();
    }
}

fn paragraph_markup(paragraph: &DraftParagraph, notes: &mut Vec<(String, Markup)>) -> Markup {
    html! {
        @if let Some(lead) = &paragraph.lead {
            span class="when" { (shown(lead)) @if paragraph.is_item { ":" } @else { "." } } " "
        }
        @for (index, line) in paragraph.lines.iter().enumerate() {
            @if index > 0 { " " }
            (line.before) (shown(&line.text)) (line.after)
            @let next = paragraph.lines.get(index + 1);
            @if next.is_none_or(|next| place(&next.origin) != place(&line.origin)) {
                (mark(&line.origin, notes))
            }
        }
    }
}

/// What a footnote names: sentences of one entry share it.
fn place(origin: &StatementOrigin) -> &str {
    match origin {
        StatementOrigin::Entry { entry: path, .. }
        | StatementOrigin::Counted { entry: path, .. }
        | StatementOrigin::Page { page: path, .. } => path,
        StatementOrigin::Report(verb) => verb,
        StatementOrigin::Handbook(source) => source,
        StatementOrigin::Noted(note) => note,
        StatementOrigin::House => "",
    }
}

fn mark(origin: &StatementOrigin, notes: &mut Vec<(String, Markup)>) -> Markup {
    let note = match origin {
        StatementOrigin::Entry { entry, date, .. }
        | StatementOrigin::Counted { entry, date, .. } => {
            format!("{}: {}", in_full(*date), shown(entry))
        }
        StatementOrigin::Page { page, .. } => shown(page),
        StatementOrigin::Report(_) => "counted from all records of these days".to_owned(),
        StatementOrigin::Handbook(source) => format!("general, not of this vehicle: {source}"),
        StatementOrigin::Noted(note) => shown(note),
        StatementOrigin::House => return html! {},
    };
    if !notes.iter().any(|(known, _)| *known == note) {
        notes.push((note.clone(), html! { (note) }));
    }
    note_mark(&note, notes)
}
