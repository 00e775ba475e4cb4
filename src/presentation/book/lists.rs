//! The lists of parts, bags, systems, shelves and entries, and the pages of shelves.

use std::cmp::Reverse;
use std::collections::BTreeMap;

use maud::{Markup, html};

use super::frame::{Part, link, page, standing, up};
use super::system::{VehicleSystem, systems};
use super::{Book, BookPage, BookPart, entry, names};
use crate::presentation::bags::words::state_words;
use crate::presentation::text::{counted, shown};
use crate::reports::bags::Bag;
use crate::vocabulary::words::fold;

/// All lists, and a page for each shelf.
pub(super) fn lists(book: &Book<'_>) -> Vec<BookPage> {
    let shelves = shelves(book);
    let systems = systems(book);
    let mut pages = vec![
        parts(book, &systems),
        bags(book),
        systems_list(book, &systems),
        shelves_list(book, &shelves),
        entries(book),
    ];
    pages.extend(shelves.values().map(|shelf| shelf_page(book, shelf)));
    pages
}

/// A heading that says the vehicle where there are several.
fn heading(book: &Book<'_>, own: &VehicleSystem<'_>) -> String {
    match book.has_several_vehicles() {
        true => format!(
            "{}, {}",
            own.title(),
            book.contents.vehicles[own.vehicle].name
        ),
        false => own.title(),
    }
}

fn parts(book: &Book<'_>, systems: &[VehicleSystem<'_>]) -> BookPage {
    let up = up(names::PARTS);
    let inside = html! {
        h1 { "Parts" }
        @if systems.is_empty() { p { "No entry speaks of a part yet." } }
        @for own in systems {
            h2 { (shown(&heading(book, own))) }
            ul class="rows" { @for part in &own.parts { (part_row(part, up)) } }
        }
    };
    page(book, names::PARTS, "Parts", Part::Parts, &inside)
}

fn part_row(part: &BookPart<'_>, up: &str) -> Markup {
    html! {
        li {
            (link(up, &names::part(&part.state.key), &part.state.label()))
            span { (standing(up, &part.standing)) }
        }
    }
}

fn bags(book: &Book<'_>) -> BookPage {
    let up = up(names::BAGS);
    let (full, empty): (Vec<&Bag>, Vec<&Bag>) =
        book.bags.iter().partition(|bag| bag.emptied.is_none());
    let inside = html! {
        h1 { "Bags" }
        @if book.bags.is_empty() { p { "No entry speaks of a bag yet." } }
        ul class="rows" { @for bag in full { (bag_row(bag, up)) } }
        @if !empty.is_empty() {
            h2 { "Empty again" }
            ul class="rows" { @for bag in empty { (bag_row(bag, up)) } }
        }
    };
    page(book, names::BAGS, "Bags", Part::Bags, &inside)
}

/// How many of a bag's parts its row names.
const FEW: usize = 3;

fn bag_row(bag: &Bag, up: &str) -> Markup {
    let named: Vec<String> = bag
        .parts
        .iter()
        .take(FEW)
        .map(|part| part.label())
        .collect();
    let more = bag.parts.len().saturating_sub(FEW);
    html! {
        li {
            (link(up, &names::bag(&bag.label), &format!("Bag {}", bag.label)))
            span {
                (state_words(bag))
                @if let Some(shelf) = &bag.stored { ", " (shown(shelf)) }
                @if !named.is_empty() { "; " (shown(&named.join("; "))) }
                @if more > 0 { " and " (more) " more" }
            }
        }
    }
}

fn systems_list(book: &Book<'_>, systems: &[VehicleSystem<'_>]) -> BookPage {
    let up = up(names::SYSTEMS);
    let inside = html! {
        h1 { "Systems" }
        @if systems.is_empty() { p { "No entry speaks of a part yet." } }
        @for (number, vehicle) in book.contents.vehicles.iter().enumerate() {
            @let own: Vec<_> = systems.iter().filter(|own| own.vehicle == number).collect();
            @if !own.is_empty() {
                h2 { (shown(&vehicle.name)) }
                (system_rows(book, &own, up))
            }
        }
    };
    page(book, names::SYSTEMS, "Systems", Part::Systems, &inside)
}

/// Systems with how many steps each of them needs.
pub(super) fn system_rows(book: &Book<'_>, systems: &[&VehicleSystem<'_>], up: &str) -> Markup {
    html! {
        ul class="rows" {
            @for own in systems {
                @let slug = &book.contents.vehicles[own.vehicle].slug;
                li {
                    (link(up, &names::system(slug, own.system), &own.title()))
                    span {
                        (counted(own.parts.len(), "part", "parts")) ", "
                        @match own.steps.len() {
                            0 => { "nothing to put back" }
                            steps => { (counted(steps, "step", "steps")) " to put back" }
                        }
                    }
                }
            }
        }
    }
}

/// A shelf with what lies on it.
pub(super) struct Shelf<'s> {
    /// As first written.
    pub name: &'s str,
    /// The parts.
    pub parts: Vec<&'s BookPart<'s>>,
    /// The bags.
    pub bags: Vec<&'s Bag>,
}

/// The shelves, by name.
pub(super) fn shelves<'s>(book: &'s Book<'_>) -> BTreeMap<String, Shelf<'s>> {
    let mut shelves: BTreeMap<String, Shelf<'s>> = BTreeMap::new();
    let new = |name| Shelf {
        name,
        parts: Vec::new(),
        bags: Vec::new(),
    };
    for part in &book.parts {
        if let Some(name) = &part.standing.stored {
            let shelf = shelves.entry(fold(name)).or_insert_with(|| new(name));
            shelf.parts.push(part);
        }
    }
    for bag in &book.bags {
        if let Some(name) = &bag.stored {
            let shelf = shelves.entry(fold(name)).or_insert_with(|| new(name));
            shelf.bags.push(bag);
        }
    }
    shelves
}

fn shelves_list(book: &Book<'_>, shelves: &BTreeMap<String, Shelf<'_>>) -> BookPage {
    let up = up(names::SHELVES);
    let inside = html! {
        h1 { "Shelves" }
        @if shelves.is_empty() { p { "No entry says where anything lies yet." } }
        ul class="rows" {
            @for shelf in shelves.values() {
                li {
                    (link(up, &names::shelf(shelf.name), shelf.name))
                    span {
                        (counted(shelf.parts.len(), "part", "parts"))
                        @if !shelf.bags.is_empty() {
                            ", " (counted(shelf.bags.len(), "bag", "bags"))
                        }
                    }
                }
            }
        }
    };
    page(book, names::SHELVES, "Shelves", Part::Shelves, &inside)
}

fn shelf_page(book: &Book<'_>, shelf: &Shelf<'_>) -> BookPage {
    let path = names::shelf(shelf.name);
    let up = up(&path);
    let inside = html! {
        h1 { (shown(shelf.name)) }
        @if !shelf.parts.is_empty() {
            h2 { "Parts" }
            ul class="rows" { @for part in &shelf.parts { (part_row(part, up)) } }
        }
        @if !shelf.bags.is_empty() {
            h2 { "Bags" }
            ul class="rows" { @for bag in &shelf.bags { (bag_row(bag, up)) } }
        }
    };
    page(book, &path, shelf.name, Part::Shelves, &inside)
}

fn entries(book: &Book<'_>) -> BookPage {
    let up = up(names::ENTRIES);
    let mut all: Vec<_> = book.contents.entries.iter().collect();
    all.sort_by_key(|entry| Reverse((entry.date, &entry.path)));
    let years = all.chunk_by(|one, next| {
        let year = |entry: &crate::entry::Entry| entry.date.map(|date| date.year());
        year(one) == year(next)
    });
    let inside = html! {
        h1 { "Entries" }
        @if all.is_empty() { p { "Nothing is written yet." } }
        @for of_year in years {
            h2 {
                @match of_year[0].date {
                    Some(date) => { (date.year()) }
                    None => { "Without a day" }
                }
            }
            ul class="rows" {
                @for own in of_year {
                    li {
                        (link(up, &names::entry(&own.path), &entry::title(own)))
                        span {
                            @if let Some(date) = own.date { (date) }
                            @if book.has_several_vehicles() {
                                @if let Some(vehicle) = &own.vehicle {
                                    ", " (shown(book.vehicle_name(vehicle)))
                                }
                            }
                        }
                    }
                }
            }
        }
    };
    page(book, names::ENTRIES, "Entries", Part::Entries, &inside)
}
