//! What a person has written into an episode, as HTML: their titles, links,
//! tables and footnotes.
//!
//! Only words and paths of theirs get onto the page, never markup; a link leads
//! to a page or a mail address, or is none.

use std::collections::BTreeMap;

use maud::{Markup, html};

use super::picture::{PictureAddress, figure};
use crate::entry::{Block, Inline, TableCells};
use crate::presentation::text::shown;
use crate::recap::{Photo, inside_journal};

/// What the blocks of a page share.
pub struct Page<'p> {
    /// The footnotes by their marks.
    pub notes: &'p BTreeMap<String, Vec<Block>>,
    /// Finds the address of a picture by its path.
    pub picture: &'p PictureAddress<'p>,
    /// Where a link leads from this page; `None` for one that is only words.
    pub link: &'p dyn Fn(&str) -> Option<String>,
}

/// Blocks one after the other. Footnotes are added to `numbered` where they are
/// first asked for, under the key by which they are known.
pub fn blocks(blocks: &[Block], page: &Page<'_>, numbered: &mut Vec<(String, Markup)>) -> Markup {
    let all: Vec<Markup> = blocks
        .iter()
        .map(|block| markup(block, page, numbered))
        .collect();
    html! { @for one in &all { (one) } }
}

fn markup(block: &Block, page: &Page<'_>, numbered: &mut Vec<(String, Markup)>) -> Markup {
    match block {
        Block::Title(level, words) => {
            let words = inside(words, page, numbered);
            // The page's title and its chapters have the two highest.
            match level {
                0..=3 => html! { h3 { (words) } },
                4 => html! { h4 { (words) } },
                _ => html! { h5 { (words) } },
            }
        }
        Block::Paragraph(words) => {
            // A picture that stands alone is a figure.
            if let [Inline::Image(path, caption)] = &words[..]
                && let Some(figure) = picture(path, caption, page)
            {
                return figure;
            }
            html! { p { (inside(words, page, numbered)) } }
        }
        Block::List(first, items) => {
            let items: Vec<Markup> = items
                .iter()
                .map(|item| match &item[..] {
                    [Block::Paragraph(words)] => inside(words, page, numbered),
                    _ => blocks(item, page, numbered),
                })
                .collect();
            let items = html! { @for item in &items { li { (item) } } };
            match first {
                Some(1) => html! { ol { (items) } },
                Some(first) => html! { ol start=(first) { (items) } },
                None => html! { ul { (items) } },
            }
        }
        Block::Quote(own) => html! { blockquote { (blocks(own, page, numbered)) } },
        Block::Code(lines) => html! { pre { (lines) } },
        Block::Table(head, rows) => {
            let head = cells(head, page, numbered);
            let rows: Vec<Vec<Markup>> =
                rows.iter().map(|row| cells(row, page, numbered)).collect();
            html! {
                table {
                    thead { tr { @for cell in &head { th { (cell) } } } }
                    tbody { @for row in &rows { tr { @for cell in row { td { (cell) } } } } }
                }
            }
        }
        Block::Rule => html! { hr; },
        // Those of a page with footnotes stand at its end, others where they were written.
        Block::Note(mark, own) if !page.notes.contains_key(mark) => html! {
            @if !own.is_empty() {
                div class="note" { "[" (shown(mark)) "]" (blocks(own, page, numbered)) }
            }
        },
        Block::Note(..) => html! {},
    }
}

fn cells(row: &TableCells, page: &Page<'_>, numbered: &mut Vec<(String, Markup)>) -> Vec<Markup> {
    row.iter()
        .map(|cell| inside(cell, page, numbered))
        .collect()
}

fn inside(words: &[Inline], page: &Page<'_>, numbered: &mut Vec<(String, Markup)>) -> Markup {
    let all: Vec<Markup> = words
        .iter()
        .map(|one| match one {
            Inline::Text(words) => html! { (shown_in_line(words)) },
            Inline::Code(words) => html! { code { (words) } },
            Inline::Emphasis(own) => html! { em { (inside(own, page, numbered)) } },
            Inline::Strong(own) => html! { strong { (inside(own, page, numbered)) } },
            Inline::Struck(own) => html! { s { (inside(own, page, numbered)) } },
            Inline::Link(to, own) => {
                let own = inside(own, page, numbered);
                match (page.link)(to) {
                    Some(to) => html! { a href=(to) { (own) } },
                    None => own,
                }
            }
            Inline::Image(path, caption) => {
                picture(path, caption, page).unwrap_or_else(|| html! { (shown(caption)) })
            }
            Inline::Note(mark) => note(mark, page, numbered),
            Inline::Break => html! { br; },
        })
        .collect();
    html! { @for one in &all { (one) } }
}

/// Words without control characters; the blanks at their ends stay, as other
/// words stand beside them.
fn shown_in_line(words: &str) -> String {
    words.chars().filter(|c| !c.is_control()).collect()
}

/// The number of a footnote; the footnote is written down when it is first
/// asked for.
fn note(mark: &str, page: &Page<'_>, numbered: &mut Vec<(String, Markup)>) -> Markup {
    let Some(own) = page.notes.get(mark) else {
        return html! { "[" (shown(mark)) "]" };
    };
    let key = format!("^{mark}");
    if !numbered.iter().any(|(known, _)| *known == key) {
        // It has its number before it is read: it may name itself.
        let index = numbered.len();
        numbered.push((key.clone(), html! {}));
        numbered[index].1 = match &own[..] {
            [Block::Paragraph(words)] => inside(words, page, numbered),
            _ => blocks(own, page, numbered),
        };
    }
    note_mark(&key, numbered)
}

fn picture(path: &str, caption: &str, page: &Page<'_>) -> Option<Markup> {
    let photo = Photo {
        path: inside_journal(path).to_owned(),
        caption: caption.to_owned(),
    };
    figure(&photo, page.picture)
}

/// A link as it stands, if it can do no more than lead somewhere.
pub fn harmless(to: &str) -> Option<String> {
    is_harmless(to).then(|| to.to_owned())
}

fn is_harmless(to: &str) -> bool {
    // Browsers leave out blanks and control characters before they read a scheme.
    if to.chars().any(|c| c.is_control() || c.is_whitespace()) {
        return false;
    }
    match to.split_once(':') {
        Some((scheme, _)) if !scheme.contains(['/', '?', '#']) => {
            ["http", "https", "mailto"].contains(&scheme.to_ascii_lowercase().as_str())
        }
        Some(_) | None => true,
    }
}

/// The number of a footnote that is known by this key.
pub(super) fn note_mark(key: &str, notes: &[(String, Markup)]) -> Markup {
    let Some(index) = notes.iter().position(|(known, _)| known == key) else {
        return html! {};
    };
    let number = index + 1;
    html! { sup { a href=(format!("#n{number}")) { (number) } } }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn links_lead_somewhere_or_are_none() {
        for to in [
            "https://example.org/a",
            "mailto:a@example.org",
            "#one",
            "07.html",
            "a/b:c",
        ] {
            assert!(is_harmless(to), "{to}");
        }
        for to in [
            "javascript:alert(1)",
            "JavaScript:x",
            "java\tscript:x",
            "data:text/html,x",
            " javascript:x",
            "vbscript:x",
        ] {
            assert!(!is_harmless(to), "{to}");
        }
    }
}
