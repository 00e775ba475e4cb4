//! What every page of a book shares: its head, the way to the lists, links.

use maud::{Markup, html};

use super::names;
use super::{Book, BookPage};
use crate::presentation::page::document;
use crate::presentation::text::shown;
use crate::reports::parts::PartStanding;
use crate::vocabulary::short_name::short_name;

/// Nothing is asked for from elsewhere, and nothing runs but the two files beside the
/// pages. `file:` is for browsers to which no file is of the same origin as another; a
/// page from a server cannot load one.
const POLICY: &str = "default-src 'none'; script-src 'self' file:; style-src 'self' file:; \
                      img-src 'self' file:; base-uri 'none'; form-action 'none'";

/// Which list a page belongs to, for the bar that leads to all of them.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Part {
    Front,
    Parts,
    Bags,
    Systems,
    Shelves,
    Entries,
}

/// The bar: to the front page with its search, and to the lists.
const BAR: [(Part, &str, &str); 6] = [
    (Part::Front, "Search", names::FRONT),
    (Part::Bags, "Bags", names::BAGS),
    (Part::Parts, "Parts", names::PARTS),
    (Part::Systems, "Systems", names::SYSTEMS),
    (Part::Shelves, "Shelves", names::SHELVES),
    (Part::Entries, "Entries", names::ENTRIES),
];

/// How a page in a folder reaches the files beside the front page.
pub(super) fn up(path: &str) -> &'static str {
    if path.contains('/') { "../" } else { "" }
}

/// A page with its head and its bar.
pub(super) fn page(
    book: &Book<'_>,
    path: &str,
    title: &str,
    part: Part,
    inside: &Markup,
) -> BookPage {
    let up = up(path);
    let title = shown(title);
    let name = shown(book.contents.name);
    let head = html! {
        meta http-equiv="Content-Security-Policy" content=(POLICY);
        meta name="referrer" content="no-referrer";
        link rel="stylesheet" href={ (up) (names::STYLE) };
        @if part == Part::Front { script src=(names::SEARCH) defer {} }
        script src={ (up) (names::PROGRAM) } defer {}
    };
    let body = html! {
        body class="book" data-book=(short_name(&[book.contents.name])) {
            a class="skip" href="#content" { "Go to the content" }
            nav class="bar" aria-label="Book" {
                @for (own, word, to) in BAR {
                    @let is_here = (own == part).then_some(if to == path { "page" } else { "true" });
                    a href={ (up) (to) } aria-current=[is_here] { (word) }
                }
            }
            main id="content" { (inside) }
        }
    };
    let title = match title == name {
        true => title,
        false => format!("{title} - {name}"),
    };
    BookPage::new(path, document(&title, &head, &body))
}

/// A link from a page to another one.
pub(super) fn link(up: &str, to: &str, words: &str) -> Markup {
    html! { a href={ (up) (to) } { (shown(words)) } }
}

/// Values under a word, one of them beside it and several as a list; nothing if there
/// are none.
pub(super) fn fact(word: &str, values: &[Markup]) -> Markup {
    html! {
        @if !values.is_empty() {
            div class="fact" {
                dt { (word) }
                @for value in values { dd { (value) } }
            }
        }
    }
}

/// The same for plain words.
pub(super) fn words(word: &str, values: &[String]) -> Markup {
    let values: Vec<Markup> = values
        .iter()
        .map(|value| html! { (shown(value)) })
        .collect();
    fact(word, &values)
}

/// Where a part stands, with links to its bags and its shelf.
pub(super) fn standing(up: &str, standing: &PartStanding) -> Markup {
    html! {
        b class="status" {
            (standing.status)
            @if let Some(assembly) = &standing.with { " with the " (shown(assembly)) }
        }
        @for label in &standing.bags {
            ", " (link(up, &names::bag(label), &format!("bag {label}")))
        }
        @if let Some(shelf) = &standing.stored {
            ", " (link(up, &names::shelf(shelf), shelf))
        }
    }
}
