//! The page of a system: its steps back, with boxes to tick, and all of its parts.
//!
//! A tick is the person's and stays on the device; the journal knows nothing of it.

use std::collections::BTreeSet;

use maud::{Markup, html};

use super::frame::{Part, link, page, standing, up};
use super::part::general;
use super::{Book, BookPage, BookPart, names};
use crate::presentation::drawing::order::drawings;
use crate::presentation::refit::RefitView;
use crate::presentation::refit::words::{
    bags, blocked_words, connect_words, distinct, hardware_words, label, link_words, new_words,
    order_words, shelf, torque_words, unit_words, wait_words,
};
use crate::presentation::text::{counted, shown};
use crate::reports::cautions::{SAFETY, once};
use crate::reports::refit::{RefitReport, Tellings, settles_on_wheels};
use crate::reports::whole::{RecordSubject, about};
use crate::vocabulary::short_name::short_name;
use crate::vocabulary::words::fold;

/// A system of a vehicle.
pub(super) struct VehicleSystem<'s> {
    /// The number of the vehicle.
    pub vehicle: usize,
    /// The system; `None` for what belongs to none.
    pub system: Option<&'s str>,
    /// Its parts.
    pub parts: Vec<&'s BookPart<'s>>,
    /// Its steps, counted from 0.
    pub steps: Vec<usize>,
}

impl VehicleSystem<'_> {
    /// Its name as a title.
    pub fn title(&self) -> String {
        match self.system {
            None => "Without a system".to_owned(),
            Some(system) => capital(system),
        }
    }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(char::to_uppercase);
    first.into_iter().flatten().chain(letters).collect()
}

/// The systems of all vehicles, in the order in which they go back.
pub(super) fn systems<'s>(book: &'s Book<'_>) -> Vec<VehicleSystem<'s>> {
    let mut all: Vec<VehicleSystem<'s>> = Vec::new();
    // They stand by vehicle and system.
    for part in &book.parts {
        if about(part.state, book.contents.context) != RecordSubject::Part {
            continue;
        }
        let system = part.system.as_deref();
        match all.last_mut() {
            Some(last)
                if last.vehicle == part.vehicle && last.system.map(fold) == system.map(fold) =>
            {
                last.parts.push(part);
            }
            Some(_) | None => all.push(VehicleSystem {
                vehicle: part.vehicle,
                system,
                parts: vec![part],
                steps: Vec::new(),
            }),
        }
    }
    for own in &mut all {
        let Some(plan) = book.plan(own.vehicle) else {
            continue;
        };
        let steps = own.parts.iter().filter_map(|part| {
            let place = plan.plan.places.number(&part.state.key)?;
            plan.plan.step_of(place)
        });
        own.steps = steps.collect();
        own.steps.sort_unstable();
    }
    all
}

/// The pages of all systems.
pub(super) fn pages(book: &Book<'_>) -> Vec<BookPage> {
    let systems = systems(book);
    systems.iter().map(|own| page_of(book, own)).collect()
}

fn page_of(book: &Book<'_>, own: &VehicleSystem<'_>) -> BookPage {
    let vehicle = &book.contents.vehicles[own.vehicle];
    let path = names::system(&vehicle.slug, own.system);
    let up = up(&path);
    let title = format!("{}, {}", own.title(), vehicle.name);
    let inside = html! {
        h1 { (shown(&own.title())) }
        p class="about" { (link(up, names::FRONT, &vehicle.name)) }
        @if let Some(plan) = book.plan(own.vehicle) {
            (order_back(book, own, plan))
            (checklist(book, own, plan, up))
            (not_put_back(book, own, plan, up))
        }
        h2 { "All parts" }
        ul class="rows" {
            @for part in &own.parts {
                li {
                    (link(up, &names::part(&part.state.key), &part.state.label()))
                    span { (standing(up, &part.standing)) }
                }
            }
        }
    };
    page(book, &path, &title, Part::Systems, &inside)
}

/// The order back, drawn.
fn order_back(book: &Book<'_>, own: &VehicleSystem<'_>, plan: &RefitReport<'_>) -> Markup {
    let view = RefitView {
        answer: plan,
        steps: own.steps.clone(),
        blocked: blocked(own, plan),
        loose: Vec::new(),
        vehicle: &book.contents.vehicles[own.vehicle].name,
        today: book.contents.today,
        as_of: None,
        options: "",
    };
    let drawings = drawings(&view, "order", Some(own.system));
    html! {
        @for drawing in &drawings {
            h2 { "Order back" }
            (drawing.in_page(false))
        }
    }
}

/// The places of a system that cannot be put back.
fn blocked(own: &VehicleSystem<'_>, plan: &RefitReport<'_>) -> Vec<usize> {
    let mine = places(own, plan);
    let mut blocked = plan.plan.blocked();
    blocked.retain(|place| mine.contains(place));
    blocked
}

/// The places of a system.
fn places(own: &VehicleSystem<'_>, plan: &RefitReport<'_>) -> BTreeSet<usize> {
    let place = |part: &&BookPart<'_>| plan.plan.places.number(&part.state.key);
    own.parts.iter().filter_map(place).collect()
}

fn checklist(book: &Book<'_>, own: &VehicleSystem<'_>, plan: &RefitReport<'_>, up: &str) -> Markup {
    if own.steps.is_empty() {
        return html! { p { "Nothing of it is off that should go back." } };
    }
    let keys = own
        .steps
        .iter()
        .map(|step| plan.plan.places.keys[plan.plan.steps[*step]]);
    let raised = keys
        .filter_map(|key| book.cautions_of(key))
        .flat_map(|known| &known.step);
    html! {
        h2 { "Back on: " (counted(own.steps.len(), "step", "steps")) }
        p class="of" {
            "Ticks stay on this device. A part is on again when an entry of the journal says so."
        }
        @for raised in once(raised.cloned().collect()) { (general(&raised)) }
        p class="of" { (SAFETY) " A figure stands here only where a record gives one." }
        ol class="steps" {
            @for step in &own.steps { (step_of(book, plan, *step, up)) }
        }
    }
}

/// A box to tick. Its name changes when the part comes off again, so that an old tick
/// counts for nothing then.
fn tick(name: &str, words: &Markup) -> Markup {
    html! {
        label class="tick" {
            input type="checkbox" data-tick=(name);
            span { (words) }
        }
    }
}

fn step_of(book: &Book<'_>, plan: &RefitReport<'_>, number: usize, up: &str) -> Markup {
    let place = plan.plan.steps[number];
    let state = plan.plan.places.states[place];
    let key = &state.key;
    let turn = state.went_on.len().to_string();
    let own = |words: &str| short_name(&[&key.vehicle, &key.name, &key.at, &turn, words]);
    let told = |list: &Tellings<'_>| -> Vec<String> {
        let told = list.get(&place).into_iter().flatten();
        told.map(|told| told.said.value.clone()).collect()
    };
    let ready = plan.now.tonight.contains(&number);
    let head = html! { b { (number + 1) ". " (shown(&label(plan, place))) } };
    html! {
        li id={ "step-" (number + 1) } {
            (tick(&own(""), &head))
            @if ready { p class="ready" { "can go on tonight" } }
            @for caution in told(&plan.cautions) {
                p class="caution" { b { "Caution: " } (shown(&caution)) }
            }
            @for wait in &plan.now.steps[number].waits {
                p class="waits" { "waits: " (shown(&wait_words(plan, wait, book.contents.today))) }
            }
            @if let Some(hands) = state.hands.filter(|hands| *hands > 1) { p { (hands) " people" } }
            @if let Some(unit) = unit_words(plan, place) { p { (shown(&unit)) } }
            @for pieces in hardware_words(plan, place) { p { (shown(&pieces)) } }
            @for pieces in new_words(plan, place) {
                (tick(&own(&pieces), &html! { "new: " (shown(&pieces)) }))
            }
            @for torque in torque_words(plan, place) { p { "torque: " (shown(&torque)) } }
            @for manual in distinct(&state.manuals) { p { "manual: " (shown(manual)) } }
            @for connect in plan.connections.get(&place).into_iter().flatten() {
                @let words = connect_words(plan, connect);
                (tick(&own(&words), &html! { "connect " (shown(&words)) }))
            }
            @if settles_on_wheels(&plan.plan, place) {
                p { "rubber bushes: tighten with the vehicle on its wheels (common practice)" }
            }
            @for lesson in told(&plan.lessons) { p { "lesson: " (shown(&lesson)) } }
            p class="of" { (shown(&order_words(plan, place))) }
            p class="ways" {
                @if book.part(key).is_some() { (link(up, &names::part(key), "The part")) }
                @for bag in bags(plan, place) {
                    (link(up, &names::bag(&bag), &format!("Bag {bag}")))
                }
                @if let Some(shelf) = shelf(plan, place) {
                    (link(up, &names::shelf(&shelf), &shelf))
                }
            }
        }
    }
}

/// What of the system has no step, and why.
fn not_put_back(
    book: &Book<'_>,
    own: &VehicleSystem<'_>,
    plan: &RefitReport<'_>,
    up: &str,
) -> Markup {
    let mine = places(own, plan);
    let blocked = blocked(own, plan);
    let known = |edge: &usize| &plan.plan.order.known[*edge];
    let is_mine = |edges: &Vec<usize>| edges.iter().any(|edge| mine.contains(&known(edge).first));
    let loops = plan.plan.knots.loops.iter().filter(|edges| is_mine(edges));
    let loops: Vec<&Vec<usize>> = loops.collect();
    let mut loose = plan.plan.loose();
    loose.retain(|place| mine.contains(place));
    html! {
        @if !(blocked.is_empty() && loops.is_empty()) {
            h2 { "Cannot be put back" }
            ul {
                @for place in blocked {
                    li {
                        (link(up, &names::part(plan.plan.places.keys[place]), &label(plan, place)))
                        ": " (shown(&blocked_words(plan, place, book.contents.today)))
                    }
                }
            }
            @for found in loops {
                p class="caution" {
                    "These records contradict each other: none of the parts can go on first"
                }
                ul { @for edge in found { li { (shown(&link_words(plan, known(edge)))) } } }
            }
        }
        @if !loose.is_empty() {
            h2 { "On, and still loose" }
            ul {
                @for place in loose {
                    li {
                        (link(up, &names::part(plan.plan.places.keys[place]), &label(plan, place)))
                        @for torque in torque_words(plan, place) { ", torque: " (shown(&torque)) }
                    }
                }
            }
        }
    }
}
