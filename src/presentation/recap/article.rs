//! A draft as an article: one HTML file that loads nothing.
//!
//! Words from entries are text here and never markup: what looks like a tag, a
//! handler or a link in an entry is shown as the letters it is made of.

use maud::{Markup, html};

use crate::presentation::page::whole;
use crate::presentation::picture::inside;
use crate::presentation::text::shown;
use crate::telling::{Chapter, Draft, Origin, Paragraph, Photo, in_full};

/// Read at arm's length on a phone, and not wider than the eye likes on a
/// screen.
const STYLE: &str = "
:root { color-scheme: light dark; }
body { font: 1.125rem/1.6 Georgia, serif; margin: 0 auto; max-width: 38rem; padding: 1.5rem 1.1rem 4rem; color: #1c1a17; background: #fdfcfa; overflow-wrap: break-word; }
h1 { font-size: 2rem; line-height: 1.2; margin: 1rem 0 .2rem; }
h2 { font-size: 1.3rem; line-height: 1.3; margin: 2.6rem 0 .6rem; border-bottom: 1px solid #cfc8bb; padding-bottom: .3rem; }
p.about { color: #5c564c; margin-top: 0; }
.when { font-style: italic; color: #5c564c; }
li { margin-bottom: .6rem; }
sup { line-height: 0; }
sup a { font: .7rem/1 system-ui, sans-serif; padding: .3rem .15rem; text-decoration: none; color: #7a4b1e; }
figure { margin: 1.6rem 0; }
img { display: block; width: 100%; height: auto; }
figcaption, ol.sources { font-size: .85rem; color: #5c564c; }
ol.sources { padding-left: 1.6rem; overflow-wrap: anywhere; }
@media (prefers-color-scheme: dark) {
  body { color: #e8e4dc; background: #1b1a18; }
  p.about, .when, figcaption, ol.sources { color: #aaa294; }
  h2 { border-color: #4a453c; }
  sup a, a { color: #d9a066; }
}
";

/// The article. `picture` finds the bytes of a photo by its path.
#[must_use]
pub fn render(draft: &Draft, picture: &dyn Fn(&str) -> Option<Vec<u8>>) -> String {
    let mut notes: Vec<String> = Vec::new();
    let chapters: Vec<Markup> = draft
        .chapters
        .iter()
        .map(|chapter| chapter_markup(chapter, &mut notes, picture))
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
            h2 { "Where it is written" }
            ol class="sources" {
                @for (index, note) in notes.iter().enumerate() {
                    li id=(format!("n{}", index + 1)) { (note) }
                }
            }
        }
    };
    whole(&shown(&draft.title), STYLE, &inside)
}

fn chapter_markup(
    chapter: &Chapter,
    notes: &mut Vec<String>,
    picture: &dyn Fn(&str) -> Option<Vec<u8>>,
) -> Markup {
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
    html! {
        h2 { (shown(&chapter.title)) }
        @for block in &blocks { (block) }
        @for photo in &chapter.photos { (figure(photo, picture)) }
    }
}

fn close_list(items: &mut Vec<Markup>, blocks: &mut Vec<Markup>) {
    if !items.is_empty() {
        blocks.push(html! { ul { @for item in items.iter() { (item) } } });
        items.clear();
    }
}

fn paragraph_markup(paragraph: &Paragraph, notes: &mut Vec<String>) -> Markup {
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
fn place(origin: &Origin) -> &str {
    match origin {
        Origin::Entry { entry, .. } => entry,
        Origin::Report(verb) => verb,
        Origin::Handbook(source) => source,
        Origin::Noted(note) => note,
        Origin::House => "",
    }
}

fn mark(origin: &Origin, notes: &mut Vec<String>) -> Markup {
    let note = match origin {
        Origin::Entry { entry, date, .. } => format!("{}: {}", in_full(*date), shown(entry)),
        Origin::Report(_) => "counted from all records of these days".to_owned(),
        Origin::Handbook(source) => format!("general, not of this vehicle: {source}"),
        Origin::Noted(note) => shown(note),
        Origin::House => return html! {},
    };
    let index = notes
        .iter()
        .position(|known| *known == note)
        .unwrap_or_else(|| {
            notes.push(note);
            notes.len() - 1
        });
    let number = index + 1;
    html! { sup { a href=(format!("#n{number}")) { (number) } } }
}

/// A picture inside the page, with its caption; nothing if there is none.
fn figure(photo: &Photo, picture: &dyn Fn(&str) -> Option<Vec<u8>>) -> Markup {
    let Some(source) = inside(&photo.path, picture) else {
        return html! {};
    };
    html! {
        figure {
            img src=(source) alt=(shown(&photo.caption));
            figcaption { (shown(&photo.caption)) }
        }
    }
}
