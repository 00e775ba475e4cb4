//! The front page: search, what can go on tonight, what is overdue, what to get, and
//! the ways to everything else; and the full lists of open work and of what to get.

use maud::{Markup, html};

use super::frame::{Part, link, page, up};
use super::lists::system_rows;
use super::system::systems;
use super::{Book, BookPage, names};
use crate::presentation::needs::what;
use crate::presentation::refit::words::{fetch_words, label};
use crate::presentation::text::shown;
use crate::reports::needs::{NeedKind, OpenNeed};
use crate::reports::purchases::Purchase;
use crate::reports::refit::{FIGURE_MISSING, RefitReport, lacks_torque};

/// How many rows of a list stand on the front page.
const FEW: usize = 12;

/// The front page.
pub(super) fn front(book: &Book<'_>) -> BookPage {
    let contents = book.contents;
    let up = up(names::FRONT);
    let systems = systems(book);
    let inside = html! {
        h1 { (shown(contents.name)) }
        p class="about" { "Made " (contents.made) }
        form id="search" role="search" hidden {
            label for="words" { "Search: words, a size, a bag" }
            input id="words" type="search" autocomplete="off" autocapitalize="none"
                spellcheck="false" enterkeyhint="search";
            p id="said" role="status" {}
            ol id="found" class="rows" {}
        }
        p id="unscripted" { "Search needs scripting. The lists lead everywhere without it." }
        div id="today" {
            (overdue(book, up))
            @for (number, vehicle) in contents.vehicles.iter().enumerate() {
                section {
                    h2 { (shown(&vehicle.name)) }
                    @if let Some(about) = &vehicle.about { p class="about" { (shown(about)) } }
                    @if let Some(plan) = book.plan(number) { (tonight(plan, up)) }
                    @let own: Vec<_> = systems.iter().filter(|own| own.vehicle == number).collect();
                    @if own.is_empty() { p { "No entry speaks of it yet." } }
                    @else { h3 { "Systems" } (system_rows(book, &own, up)) }
                }
            }
            (to_get(book, up))
            p { (link(up, names::MONTHS, "Month by month, drawn")) }
        }
    };
    page(book, names::FRONT, contents.name, Part::Front, &inside)
}

/// What can go on tonight, and what can be done on the bench.
fn tonight(plan: &RefitReport<'_>, up: &str) -> Markup {
    let now = &plan.now;
    html! {
        h3 { "Can go on tonight" }
        @if now.tonight.is_empty() {
            p { @if plan.plan.steps.is_empty() { "Nothing is off that should go back." }
                @else { "Nothing is sure to go on tonight." } }
        }
        (steps(plan, &now.tonight, up))
        @if !now.bench.is_empty() {
            h3 { "On the bench" }
            (steps(plan, &now.bench, up))
        }
    }
}

fn steps(plan: &RefitReport<'_>, steps: &[usize], up: &str) -> Markup {
    let more = steps.len().saturating_sub(FEW);
    html! {
        @if !steps.is_empty() {
            ul class="rows" {
                @for step in steps.iter().take(FEW) {
                    @let place = plan.plan.steps[*step];
                    li {
                        (link(up, &names::part(plan.plan.places.keys[place]), &label(plan, place)))
                        span {
                            (shown(&fetch_words(plan, place)))
                            @if lacks_torque(plan.plan.places.states[place], plan.plan.places.system(place)) {
                                " " b { (FIGURE_MISSING) }
                            }
                        }
                    }
                }
            }
        }
        @if more > 0 { p { "and " (more) " more, in the systems below" } }
    }
}

fn overdue(book: &Book<'_>, up: &str) -> Markup {
    let late = book.needs.iter();
    let late = late.filter(|open| open.is_overdue(book.contents.today));
    let late: Vec<&OpenNeed> = late.collect();
    let more = late.len().saturating_sub(FEW);
    html! {
        @if !late.is_empty() {
            section {
                h2 { "Overdue" }
                ul class="rows" { @for open in late.iter().take(FEW) { (need(book, open, up)) } }
                @if more > 0 { p { "and " (more) " more" } }
            }
        }
        @if !book.needs.is_empty() {
            p { (link(up, names::OPEN, &format!("All open work: {}", book.needs.len()))) }
        }
    }
}

fn need(book: &Book<'_>, open: &OpenNeed, up: &str) -> Markup {
    let words = what(open);
    let place = open.place.as_ref().and_then(|key| book.part(key));
    let to = match place {
        Some(part) => names::part(&part.state.key),
        None => names::entry(&open.spot.file),
    };
    let vehicle = open
        .vehicle
        .as_ref()
        .filter(|_| book.has_several_vehicles());
    html! {
        li {
            (link(up, &to, &words))
            span {
                @if let Some(by) = open.by {
                    @if open.is_overdue(book.contents.today) { b { "overdue: by " (by) } }
                    @else { "by " (by) }
                    ", "
                }
                @match open.waiting.all {
                    0 => {}
                    1 => { "1 part waits for it, " }
                    all => { (all) " parts wait for it, " }
                }
                "since " (open.since)
                @if let Some(vehicle) = vehicle { ", " (shown(book.vehicle_name(vehicle))) }
            }
        }
    }
}

/// What to get: parts and material that entries ask for, then hardware.
fn to_get(book: &Book<'_>, up: &str) -> Markup {
    let buy = book.needs.iter().filter(|open| open.kind == NeedKind::Buy);
    let buy: Vec<&OpenNeed> = buy.collect();
    let kinds = book.purchases.len();
    html! {
        @if !buy.is_empty() || kinds > 0 {
            section {
                h2 { "To get" }
                ul class="rows" { @for open in buy.iter().take(FEW) { (need(book, open, up)) } }
                ul class="rows" { @for own in book.purchases.iter().take(FEW) { (purchase(own)) } }
                p { (link(up, names::BUY, &format!("All of it: {}", buy.len() + kinds))) }
            }
        }
    }
}

fn purchase(own: &Purchase) -> Markup {
    let parts: Vec<String> = own
        .parts
        .iter()
        .map(|part| format!("{} for {} ({})", part.pieces, part.label(), part.why.word()))
        .collect();
    html! {
        li {
            b { (own.pieces) " " (shown(&own.kind.to_string())) }
            span { (shown(&parts.join("; "))) }
        }
    }
}

/// All open work.
pub(super) fn open(book: &Book<'_>) -> BookPage {
    let inside = html! {
        h1 { "Open work" }
        @if book.needs.is_empty() { p { "Nothing is open." } }
        ul class="rows" { @for open in &book.needs { (need(book, open, "")) } }
    };
    page(book, names::OPEN, "Open work", Part::Front, &inside)
}

/// Everything to get.
pub(super) fn buy(book: &Book<'_>) -> BookPage {
    let buy = book.needs.iter().filter(|open| open.kind == NeedKind::Buy);
    let buy: Vec<&OpenNeed> = buy.collect();
    let inside = html! {
        h1 { "To get" }
        @if buy.is_empty() && book.purchases.is_empty() { p { "Nothing is to get." } }
        @if !buy.is_empty() {
            h2 { "Parts and material" }
            ul class="rows" { @for open in buy { (need(book, open, "")) } }
        }
        @if !book.purchases.is_empty() {
            h2 { "Hardware" }
            ul class="rows" { @for own in &book.purchases { (purchase(own)) } }
        }
    };
    page(book, names::BUY, "To get", Part::Front, &inside)
}
