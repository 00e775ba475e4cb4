//! The refit plan as a checklist to print: boxes to tick, a page a system, large
//! enough for the bench.

use maud::{Markup, html};

use super::picture::{Picture, source};
use super::{MADE_BY, PageKind, whole};
use crate::presentation::export::{Document, Exporter};
use crate::presentation::refit::RefitView;
use crate::presentation::refit::words::{
    bags, blocked_words, connect_words, distinct, hardware_words, hazards, label, link_words,
    new_words, order_words, shelf, torque_words, unit_words, wait_words,
};
use crate::reports::cautions::{Raised, SAFETY};
use crate::reports::refit::{Wait, settles_on_wheels};

/// The plan as a checklist.
pub struct Checklist<'p> {
    /// What stands above it.
    pub title: String,
    /// Of which journal, and when it was made.
    pub about: String,
    /// Finds the bytes of a photo by its path.
    pub picture: &'p Picture<'p>,
}

impl Exporter<RefitView<'_>> for Checklist<'_> {
    fn export(&self, shown: &RefitView<'_>) -> Document {
        let page = page(shown, &self.title, &self.about, self.picture);
        Document::marked(page, MADE_BY)
    }
}

/// The checklist of the steps that are asked about.
fn page(shown: &RefitView<'_>, title: &str, about: &str, picture: &Picture<'_>) -> String {
    let sections = sections(shown);
    let under = |steps: &[usize]| &shown.answer.plan.sections[steps[0]];
    let inside = html! {
        h1 { (title) }
        p { (about) }
        p { (SAFETY) " A figure stands here only where a record gives one." }
        @for raised in hazards(shown.answer, &shown.steps) { (general(&raised)) }
        @for (index, (heading, steps)) in sections.iter().enumerate() {
            // What is needed for the next system is on the same page with it.
            @let before = index.checked_sub(1).map(|before| under(&sections[before].1));
            @let goes_on = index == 0 || before == Some(under(steps));
            section class=[goes_on.then_some("first")] {
                h2 { (heading) }
                ol { @for step in steps { (item(shown, *step, picture)) } }
            }
        }
        (not_put_back(shown))
        @if !shown.loose.is_empty() {
            section {
                h2 { "On, and still loose" }
                ol { @for place in &shown.loose { (loose(shown, *place)) } }
            }
        }
    };
    whole(title, &PageKind::Checklist, &inside)
}

/// What has no step: there is none to put back, or records contradict each other
/// about it.
fn not_put_back(shown: &RefitView<'_>) -> Markup {
    let answer = shown.answer;
    let loops = &answer.plan.knots.loops;
    if shown.blocked.is_empty() && loops.is_empty() {
        return html! {};
    }
    html! {
        section {
            h2 { "Cannot be put back" }
            ol {
                @for place in shown.blocked.iter().copied() {
                    li {
                        span class="box" {}
                        div {
                            p class="part" { (label(answer, place)) }
                            p class="waits" { (blocked_words(answer, place, shown.today)) }
                        }
                    }
                }
            }
            @for found in loops {
                p class="caution" {
                    "These records contradict each other: none of the parts can go on first"
                }
                @for edge in found {
                    p { (link_words(answer, &answer.plan.order.known[*edge])) }
                }
            }
        }
    }
}

/// A photo of a step's records; its path where there is none to show.
fn photo(path: &str, picture: &Picture<'_>) -> Markup {
    match picture(path) {
        Some(picture) => html! { img src=(source(&picture)) alt=(path); },
        None => html! { p { "photo: " (path) } },
    }
}

/// The steps under their systems.
fn sections(shown: &RefitView<'_>) -> Vec<(String, Vec<usize>)> {
    let mut sections: Vec<(String, Vec<usize>)> = Vec::new();
    for step in &shown.steps {
        let heading = shown.answer.plan.heading(*step);
        match sections.last_mut() {
            Some((last, steps)) if *last == heading => steps.push(*step),
            Some(_) | None => sections.push((heading, vec![*step])),
        }
    }
    sections
}

/// A caution of the handbook, with what raised it and its source.
fn general(raised: &Raised) -> Markup {
    let caution = raised.caution();
    html! {
        p class="general" {
            b { "Caution, " (caution.name) }
            " (" (raised.part.as_deref().unwrap_or_default()) "): "
            (caution.text) " "
            span class="of" { (caution.source.words()) }
        }
    }
}

/// A part that has to be tightened yet.
fn loose(shown: &RefitView<'_>, place: usize) -> Markup {
    html! {
        li {
            span class="box" {}
            div {
                p class="part" { (label(shown.answer, place)) }
                @for torque in torque_words(shown.answer, place) {
                    p { "torque: " (torque) }
                }
            }
        }
    }
}

/// Whether something has to happen besides the steps above.
fn is_open(wait: &Wait<'_>) -> bool {
    !matches!(wait, Wait::Part(_))
}

fn item(shown: &RefitView<'_>, number: usize, picture: &Picture<'_>) -> Markup {
    let answer = shown.answer;
    let place = answer.plan.steps[number];
    let state = answer.plan.places.states[place];
    let fetch = {
        let bags = bags(answer, place);
        let bags = (!bags.is_empty()).then(|| format!("bag {}", bags.join(", ")));
        let words: Vec<String> = bags.into_iter().chain(shelf(answer, place)).collect();
        words.join("; ")
    };
    let told = |list: &crate::reports::refit::Tellings<'_>| -> Vec<String> {
        let told = list.get(&place).into_iter().flatten();
        told.map(|told| told.said.value.clone()).collect()
    };
    html! {
        li {
            span class="box" {}
            span class="number" { (number + 1) }
            div {
                p class="part" {
                    (label(answer, place))
                    @if answer.plan.places.system_is_assumed(place) {
                        span class="of" { " system assumed" }
                    }
                }
                @for caution in told(&answer.cautions) { p class="caution" { (caution) } }
                @for wait in answer.now.steps[number].waits.iter().filter(|wait| is_open(wait)) {
                    p class="waits" { "waits: " (wait_words(answer, wait, shown.today)) }
                }
                @if let Some(hands) = state.hands.filter(|hands| *hands > 1) { p { (hands) " people" } }
                @if let Some(unit) = unit_words(answer, place) { p { (unit) } }
                @if !fetch.is_empty() { p { (fetch) } }
                @for pieces in hardware_words(answer, place) { p { (pieces) } }
                @for pieces in new_words(answer, place) {
                    p class="small" { span class="box" {} "new: " (pieces) }
                }
                @for torque in torque_words(answer, place) { p { "torque: " (torque) } }
                @for manual in distinct(&state.manuals) { p { (manual) } }
                @for connect in answer.connections.get(&place).into_iter().flatten() {
                    p class="small" { span class="box" {} "connect " (connect_words(answer, connect)) }
                }
                @if settles_on_wheels(&answer.plan, place) {
                    p { "rubber bushes: tighten with the vehicle on its wheels (common practice)" }
                }
                @for lesson in told(&answer.lessons) { p { "lesson: " (lesson) } }
                p class="of" { (order_words(answer, place)) }
                @for path in distinct(&state.photos) { (photo(path, picture)) }
            }
        }
    }
}
