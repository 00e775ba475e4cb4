//! The page of a bag, for who has it in the hand: what is in it, what it belongs to,
//! and what has to be known when it goes back.

use maud::{Markup, html};

use super::frame::{Part, link, page, standing, up, words};
use super::inputs::Inputs;
use super::part::general;
use super::{Book, BookPage, BookPart, names};
use crate::ledger::PlaceKey;
use crate::presentation::bags::words::{mark_words, state_words};
use crate::presentation::part_words::{distinct, torque_words};
use crate::presentation::text::shown;
use crate::reports::bags::{Bag, BagItem, BagPart};
use crate::vocabulary::name::Name;

/// The page of a bag.
pub(super) fn page_of(book: &Book<'_>, bag: &Bag) -> BookPage {
    let mut sum = Inputs::default();
    sum.add_debug(bag);
    let earlier = bag.earlier.iter().flat_map(|earlier| &earlier.parts);
    for part in bag.parts.iter().chain(earlier) {
        sum.add_part(book, &key_of(book, part));
    }
    let path = names::bag(&bag.label);
    book.unless_it_stands(&path, sum.sum(), || made(book, bag))
}

fn made(book: &Book<'_>, bag: &Bag) -> BookPage {
    let path = names::bag(&bag.label);
    let up = up(&path);
    let title = format!("Bag {}", bag.label);
    let inside = html! {
        h1 { (shown(&title)) }
        @if bag.vehicles.len() > 1 {
            p class="caution" { "It holds hardware of two vehicles; give one of them another bag." }
        }
        p class="now" {
            b class="status" { (state_words(bag)) }
            @if let Some(shelf) = &bag.stored { ", " (link(up, &names::shelf(shelf), shelf)) }
            @if bag.filling > 1 { ", filling " (bag.filling) }
        }
        (pieces(&bag.pieces))
        (parts(book, bag, up))
        (happened(bag, up))
        @for earlier in bag.earlier.iter().rev() {
            h2 { "Filling " (earlier.filling) ": " (state_words(earlier)) }
            (pieces(&earlier.pieces))
            ul {
                @for part in &earlier.parts { li { (part_link(book, part, up)) } }
            }
        }
    };
    page(book, &path, &title, Part::Bags, &inside)
}

/// In, used, left, short: a row for each kind.
fn pieces(pieces: &[BagItem]) -> Markup {
    let (known, new): (Vec<&BagItem>, Vec<&BagItem>) = pieces
        .iter()
        .partition(|piece| piece.put_in > 0 || piece.short > 0);
    let count = |count: u64| match count {
        0 => "-".to_owned(),
        count => count.to_string(),
    };
    let new: Vec<String> = new
        .iter()
        .map(|piece| {
            let marks: Vec<&str> = piece.marks.iter().map(|mark| mark_words(*mark)).collect();
            format!("{} {} ({})", piece.new, piece.words(), marks.join(", "))
        })
        .collect();
    html! {
        @if !known.is_empty() {
            table class="counts" {
                thead {
                    tr {
                        th scope="col" { "Piece" }
                        th scope="col" { "In" }
                        th scope="col" { "Used" }
                        th scope="col" { "Left" }
                        th scope="col" { "Short" }
                    }
                }
                tbody {
                    @for piece in known {
                        tr {
                            th scope="row" { (shown(&piece.words())) }
                            td { (count(piece.put_in)) }
                            td { (count(piece.used)) }
                            td { b { (count(piece.left)) } }
                            td { (count(piece.short)) }
                        }
                    }
                }
            }
        }
        dl { (words("Not in the bag", &new)) }
    }
}

/// The page of one of its parts.
fn known<'p, 'b>(book: &'p Book<'b>, part: &BagPart) -> Option<&'p BookPart<'b>> {
    book.part(&key_of(book, part))
}

fn key_of(book: &Book<'_>, part: &BagPart) -> PlaceKey {
    let name = Name::new(&part.name);
    let name = book.ledger.aliases.resolve(&part.vehicle, name.key());
    PlaceKey {
        vehicle: part.vehicle.clone(),
        name: name.to_owned(),
        at: part.at.clone(),
    }
}

fn part_link(book: &Book<'_>, part: &BagPart, up: &str) -> Markup {
    match known(book, part) {
        Some(known) => link(up, &names::part(&known.state.key), &part.label()),
        None => html! { (shown(&part.label())) },
    }
}

/// Its parts, each with where it is and what has to be known when it goes back.
fn parts(book: &Book<'_>, bag: &Bag, up: &str) -> Markup {
    html! {
        @for part in &bag.parts {
            section class="of-part" {
                h2 { (part_link(book, part, up)) }
                @if let Some(known) = known(book, part) {
                    @let state = known.state;
                    p {
                        @if let Some(day) = part.on_since { "on again since " (day) }
                        @else { (standing(up, &known.standing)) }
                        @if book.has_several_vehicles() { " (" (book.vehicle_name(&part.vehicle)) ")" }
                    }
                    @for caution in distinct(&state.cautions) {
                        p class="caution" { b { "Caution: " } (shown(&caution)) }
                    }
                    @if part.on_since.is_none() {
                        @let raised = book.cautions_of(&state.key);
                        @for raised in raised.iter().flat_map(|known| &known.step) { (general(raised)) }
                    }
                    dl {
                        (words("Lesson", &distinct(&state.lessons)))
                        (words("Torque", &torque_words(state)))
                        (words("Manual", &distinct(&state.manuals)))
                    }
                } @else {
                    p { "no record speaks of it" }
                }
            }
        }
    }
}

/// What happened to it, the latest first.
fn happened(bag: &Bag, up: &str) -> Markup {
    html! {
        @if !bag.entries.is_empty() {
            h2 { "What happened" }
            ul {
                @for happened in bag.entries.iter().rev() {
                    li {
                        (link(up, &names::entry(&happened.entry), &happened.date.to_string()))
                        " " (shown(&happened.what))
                    }
                }
            }
        }
    }
}
