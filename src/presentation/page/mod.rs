//! Pages: one HTML file each, nothing loaded from anywhere, one style for all.

pub mod article;
pub mod labels;
pub mod picture;
pub mod refit;
pub mod replaced;
pub(super) mod written;

use maud::{DOCTYPE, Markup, PreEscaped, html};

/// Stands in every page, so that a page is only ever written over a page.
pub const MADE_BY: &str = "<meta name=\"generator\" content=\"matchmark\">";

/// What a page is: it decides on its width and on how it is printed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PageKind {
    /// Text to read on any screen.
    Article,
    /// A table: rows on paper, one below the other on a phone.
    Table,
    /// Boxes to tick, large enough for the bench.
    Checklist,
    /// Sheets of this width and height, in millimetres, printed edge to edge.
    Sheets(String, String),
}

impl PageKind {
    fn class(&self) -> &'static str {
        match self {
            PageKind::Article => "article",
            PageKind::Table => "table",
            PageKind::Checklist => "checklist",
            PageKind::Sheets(_, _) => "sheets",
        }
    }

    fn paper(&self) -> String {
        match self {
            PageKind::Article | PageKind::Table | PageKind::Checklist => {
                "@page { margin: 15mm; }\n".to_owned()
            }
            PageKind::Sheets(width, height) => {
                format!("@page {{ size: {width}mm {height}mm; margin: 0; }}\n")
            }
        }
    }
}

/// The one style of all pages.
pub(super) const STYLE: &str = include_str!("pages.css");

/// A page by itself: its title, the one style, what stands on it.
#[must_use]
pub fn whole(title: &str, kind: &PageKind, inside: &Markup) -> String {
    let style = html! { style { (PreEscaped(STYLE)) (PreEscaped(kind.paper())) } };
    document(
        title,
        &style,
        &html! { body class=(kind.class()) { (inside) } },
    )
}

/// The shell of every page: `head` stands below its title.
pub(super) fn document(title: &str, head: &Markup, body: &Markup) -> String {
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                (PreEscaped(MADE_BY))
                title { (title) }
                (head)
            }
            (body)
        }
    };
    page.into_string()
}
