//! The page of a part: where it is, what holds it, what can hurt, what was learned, and
//! its timeline.

use maud::{Markup, html};

use super::frame::{Part, fact, link, page, standing, up, words};
use super::inputs::Inputs;
use super::{Book, BookPage, BookPart, names};
use crate::entry::Key;
use crate::ledger::{PlaceState, TimelineStep};
use crate::presentation::page::picture::figure;
use crate::presentation::page::written::{self, Page};
use crate::presentation::part_words::{
    by_key, distinct, hardware_words, in_bag, in_section, open_connections, torque_words, unit_line,
};
use crate::presentation::refit::words::{order_words, wait_words};
use crate::presentation::text::shown;
use crate::recap::Photo;
use crate::reports::cautions::{Raised, SAFETY};
use crate::reports::parts::sections;
use crate::vocabulary::money::sum_by_currency;

/// The page of a part.
pub(super) fn page_of(book: &Book<'_>, part: &BookPart<'_>) -> BookPage {
    let path = names::part(&part.state.key);
    book.unless_it_stands(&path, inputs(book, part), || made(book, part))
}

/// The sum of all that the page of a part is made from.
fn inputs(book: &Book<'_>, part: &BookPart<'_>) -> u64 {
    let state = part.state;
    let mut sum = Inputs::default();
    sum.add_part(book, &state.key);
    let aliases = &book.ledger.aliases;
    sum.add_debug(&aliases.others(&state.key.vehicle, &state.key.name));
    for bagged in sections(state, book.ledger) {
        sum.add(&in_bag(&bagged));
        sum.add(&in_section(&bagged));
    }
    let plan = book.plan(part.vehicle);
    let place = plan.and_then(|plan| plan.plan.places.number(&state.key));
    if let (Some(plan), Some(place)) = (plan, place)
        && let Some(step) = plan.plan.step_of(place)
    {
        sum.add(&step);
        sum.add(&plan.now.tonight.contains(&step));
        sum.add(&plan.now.bench.contains(&step));
        for wait in &plan.now.steps[step].waits {
            sum.add(&wait_words(plan, wait, book.contents.today));
        }
        sum.add(&order_words(plan, place));
    }
    for picture in &state.photos {
        sum.add_picture(book, &picture.value.path);
    }
    for moment in &state.timeline {
        sum.add_prose(book, book.prose(&moment.spot.file, &moment.prose));
    }
    sum.sum()
}

fn made(book: &Book<'_>, part: &BookPart<'_>) -> BookPage {
    let state = part.state;
    let path = names::part(&state.key);
    let up = up(&path);
    let aliases = &book.ledger.aliases;
    let also = aliases.others(&state.key.vehicle, &state.key.name);
    let inside = html! {
        h1 { (shown(&state.label())) }
        p class="about" {
            (link(up, names::FRONT, book.vehicle_name(&state.vehicle)))
            @if let Some(system) = &part.system {
                ", " (link(up, &names::system(&state.vehicle, Some(system)), system))
                @if state.system_is_assumed() { " (assumed)" }
            }
            @if !also.is_empty() { ", also " (shown(&also.join(", "))) }
        }
        p class="now" {
            (standing(up, &part.standing))
            @if state.unit().number > 1 { ", unit " (state.unit().number) }
            @if let Some(surface) = state.surface { ", surface " (surface.word()) }
            @if let Some(sent) = &state.sent {
                ", sent to " (shown(&sent.to))
                @if let Some(day) = sent.back_by { ", back by " (day) }
            }
        }
        (cautions(book, state))
        dl { (facts(book, state)) }
        (putting_back(book, part, up))
        (pictures(book, state, up))
        @if state.units.len() > 1 {
            h2 { "Units" }
            ul { @for unit in &state.units { li { (shown(&unit_line(unit))) } } }
        }
        h2 { "Timeline" }
        @for moment in state.timeline.iter().rev() { (moment_of(book, state, moment, up)) }
    };
    page(book, &path, &state.label(), Part::Parts, &inside)
}

/// What can hurt someone here: what the records say, then what the handbook knows.
fn cautions(book: &Book<'_>, state: &PlaceState) -> Markup {
    let raised = book.cautions_of(&state.key);
    let raised = raised.map_or(&[][..], |cautions| &cautions.place);
    html! {
        @for caution in distinct(&state.cautions) {
            p class="caution" { b { "Caution: " } (shown(&caution)) }
        }
        @for raised in raised { (general(raised)) }
        @if !(state.cautions.is_empty() && raised.is_empty()) { p class="of" { (SAFETY) } }
    }
}

/// A caution of the handbook, with the words that raised it and its source.
pub(super) fn general(raised: &Raised) -> Markup {
    let caution = raised.caution();
    html! {
        p class="general" {
            b { "General caution, " (caution.name) ": " }
            (caution.text) " "
            span class="of" { "(" (shown(&raised.word)) "; " (caution.source.words()) ")" }
        }
    }
}

/// Needs, hardware, figures, lessons.
fn facts(book: &Book<'_>, state: &PlaceState) -> Markup {
    let needs = state.open_needs().map(|need| {
        let by = need.need.by;
        html! {
            (shown(&need.need.text))
            @if let Some(day) = by {
                @if day < book.contents.today { ", " b { "overdue: by " (day) } }
                @else { ", by " (day) }
            }
            " " span class="of" { "since " (need.since) }
        }
    });
    let questions = state.questions.iter();
    let questions = questions
        .filter(|asked| asked.answer.is_none())
        .map(|asked| {
            html! { (shown(&asked.text)) " " span class="of" { "since " (asked.since) } }
        });
    let answers = state.questions.iter().filter_map(|asked| {
        let (answer, day) = asked.answer.as_ref()?;
        Some(format!("{} {answer} ({day})", asked.text))
    });
    let found = state.found.iter();
    let found = found.map(|found| format!("{} ({})", found.value, found.date));
    let costs = state.costs.iter().map(|spent| spent.cost.money);
    let costs: Vec<String> = sum_by_currency(costs)
        .iter()
        .map(ToString::to_string)
        .collect();
    html! {
        (fact("Needs", &needs.collect::<Vec<_>>()))
        (fact("Question", &questions.collect::<Vec<_>>()))
        (words("To connect", &open_connections(state)))
        (words("Hardware", &hardware_words(state)))
        @for bagged in sections(state, book.ledger) {
            (words(&format!("Hardware {}", in_bag(&bagged)), &in_section(&bagged)))
        }
        (words("Torque", &torque_words(state)))
        (words("Manual", &distinct(&state.manuals)))
        @if let Some(hands) = state.hands.filter(|hands| *hands > 1) {
            (words("People", &[hands.to_string()]))
        }
        (words("Lesson", &distinct(&state.lessons)))
        (words("Found", &found.collect::<Vec<_>>()))
        (words("Answered", &answers.collect::<Vec<_>>()))
        (words("Number", &distinct(&state.numbers)))
        @if book.contents.shows_money { (words("Spent", &costs)) }
    }
}

/// What putting it back waits for, and what its order rests on.
fn putting_back(book: &Book<'_>, part: &BookPart<'_>, up: &str) -> Markup {
    let state = part.state;
    let Some(plan) = book.plan(part.vehicle) else {
        return html! {};
    };
    let Some(place) = plan.plan.places.number(&state.key) else {
        return html! {};
    };
    let Some(step) = plan.plan.step_of(place) else {
        return html! {};
    };
    let waits = &plan.now.steps[step].waits;
    let system = names::system(&state.vehicle, part.system.as_deref());
    html! {
        h2 { "Putting it back" }
        p {
            a href={ (up) (system) "#step-" (step + 1) } { "Step " (step + 1) }
            @if plan.now.tonight.contains(&step) { ", can go on tonight" }
            @else if plan.now.bench.contains(&step) { ", can be put together on the bench" }
        }
        @if !waits.is_empty() {
            ul class="waits" {
                @for wait in waits {
                    li { "waits: " (shown(&wait_words(plan, wait, book.contents.today))) }
                }
            }
        }
        p class="of" { (shown(&order_words(plan, place))) }
    }
}

/// Its pictures, each once, with what is seen.
fn pictures(book: &Book<'_>, state: &PlaceState, up: &str) -> Markup {
    let mut seen: Vec<&str> = Vec::new();
    let mut figures: Vec<Markup> = Vec::new();
    for picture in &state.photos {
        let path = picture.value.path.as_str();
        if seen.contains(&path) {
            continue;
        }
        seen.push(path);
        let caption = picture.value.caption.clone().unwrap_or_default();
        let photo = Photo {
            path: path.to_owned(),
            caption: match caption.is_empty() {
                true => format!("{}, {}", state.label(), picture.date),
                false => format!("{caption}, {}", picture.date),
            },
        };
        figures.extend(figure(&photo, &address(book, up)));
    }
    html! {
        @if !figures.is_empty() {
            h2 { "Pictures" }
            @for figure in &figures { (figure) }
        }
    }
}

/// Where a picture of the journal lies, seen from a page.
pub(super) fn address<'b>(book: &'b Book<'_>, up: &'b str) -> impl Fn(&str) -> Option<String> + 'b {
    move |path| {
        let file = book.contents.pictures.get(path)?;
        Some(format!("{up}{file}"))
    }
}

/// Prose of an entry. Links to pages elsewhere stay, those to other entries lead to
/// their pages, and any other is only words.
pub(super) fn prose(book: &Book<'_>, up: &str, text: &str) -> Markup {
    let notes = std::collections::BTreeMap::new();
    let leads = |to: &str| {
        let scheme = to
            .split_once(':')
            .map(|(scheme, _)| scheme.to_ascii_lowercase());
        if scheme.is_some_and(|scheme| ["http", "https", "mailto"].contains(&scheme.as_str())) {
            return written::harmless(to);
        }
        let file = to.rsplit('/').next().filter(|file| file.ends_with(".md"))?;
        let mut known = book.contents.entries.iter();
        let entry = known.find(|entry| entry.path.rsplit('/').next() == Some(file))?;
        Some(format!("{up}{}", names::entry(&entry.path)))
    };
    let about = Page {
        notes: &notes,
        picture: &address(book, up),
        link: &leads,
    };
    written::blocks(&crate::entry::blocks(text), &about, &mut Vec::new())
}

/// What a timeline does not list: pictures are shown above, marks about telling are for the
/// person who keeps the journal.
const ASIDE: [Key; 3] = [Key::Photo, Key::Tell, Key::Ask];

/// One moment of its timeline.
fn moment_of(book: &Book<'_>, state: &PlaceState, moment: &TimelineStep, up: &str) -> Markup {
    let entry = names::entry(&moment.spot.file);
    let status = moment.status.map_or("at hand", |status| status.word());
    html! {
        section class="moment" {
            h3 {
                a href={ (up) (entry) "#" (names::anchor(moment.spot.line)) } { (moment.when.date) }
                ", " (status)
                @if state.units.len() > 1 { ", unit " (moment.unit) }
            }
            dl {
                @for (key, values) in by_key(&moment.facts) {
                    @if !ASIDE.iter().any(|aside| aside.word() == key) { (stated(key, &values)) }
                }
            }
            (prose(book, up, book.prose(&moment.spot.file, &moment.prose)))
        }
    }
}

/// Facts of one key as they were written.
pub(super) fn stated(key: &str, values: &[&str]) -> Markup {
    let key = if key.is_empty() { "note" } else { key };
    let values: Vec<Markup> = values
        .iter()
        .map(|value| html! { (shown(value)) })
        .collect();
    fact(key, &values)
}
