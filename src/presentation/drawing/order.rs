//! The order back, drawn: a box for each part, arrows to what goes on after it, and in
//! words what holds it up.
//!
//! What is drawn and what is left out is decided in `reports`.

use maud::{Markup, html};

use super::layers::Layered;
use super::part_box::{PartBox, arrow};
use super::{Drawing, LEADING, Letters, USUAL_WIDTH, file, words};
use crate::presentation::export::{Document, Exporter};
use crate::presentation::refit::RefitView;
use crate::presentation::refit::words::{blocked_words, label, wait_words};
use crate::presentation::text::{counted, shown};
use crate::reports::refit::{
    DrawnAmount, DrawnPart, DrawnStanding, DrawnSystem, RefitReport, RefitStanding, Wait,
};
use crate::vocabulary::words::fold;

/// How much of a system is drawn where it stands alone.
pub const ONE_SYSTEM: DrawnAmount = DrawnAmount {
    parts: 24,
    beside: 12,
};

/// How much of each system is drawn where all of them stand below each other.
pub const WHOLE_VEHICLE: DrawnAmount = DrawnAmount {
    parts: 12,
    beside: 6,
};

/// The form for whoever would rather look than read: an SVG file.
#[derive(Clone, Copy, Debug)]
pub struct OrderPicture;

impl Exporter<[RefitView<'_>]> for OrderPicture {
    fn export(&self, plans: &[RefitView<'_>]) -> Document {
        let mut all = Vec::new();
        for (number, view) in plans.iter().enumerate() {
            let own = drawings(view, &format!("plan-{number}"), None);
            all.extend(own.into_iter().map(|own| match plans.len() {
                1 => own,
                _ => Drawing {
                    title: format!("{}, {}", own.title, view.vehicle),
                    ..own
                },
            }));
        }
        if all.is_empty() {
            all.push(nothing());
        }
        let title = match plans {
            [one] => format!("{}: back together", one.vehicle),
            _ => "Back together".to_owned(),
        };
        let as_of = plans.first().and_then(|view| view.as_of);
        file(
            &as_of.map_or(title.clone(), |as_of| format!("{title}, {as_of}")),
            &all,
        )
    }
}

fn nothing() -> Drawing {
    let said = "Nothing is off that should go back.";
    Drawing {
        id: "plan".to_owned(),
        title: "Order back".to_owned(),
        about: said.to_owned(),
        notes: Vec::new(),
        table: html! { p { (said) } },
        width: USUAL_WIDTH,
        height: 2.0 * LEADING,
        inside: words(said, 0.0, LEADING, &Letters::default()),
    }
}

/// A drawing for each system of a plan; `only` is the system that is drawn alone.
#[must_use]
pub fn drawings(view: &RefitView<'_>, id: &str, only: Option<Option<&str>>) -> Vec<Drawing> {
    let answer = view.answer;
    let is_one = only.is_some();
    let most = if is_one { ONE_SYSTEM } else { WHOLE_VEHICLE };
    let stuck = stuck(view);
    let mut systems = answer.drawn(&view.steps, &stuck, most);
    if systems.len() == 1 && !is_one {
        systems = answer.drawn(&view.steps, &stuck, ONE_SYSTEM);
    }
    let folded = |system: Option<&str>| system.map(fold);
    systems
        .iter()
        .filter(|own| only.is_none_or(|only| folded(only) == folded(own.system.as_deref())))
        .enumerate()
        .map(|(number, own)| drawing(view, own, &format!("{id}-{number}")))
        .collect()
}

/// The places that cannot go on, and those whose records contradict each other.
fn stuck(view: &RefitView<'_>) -> Vec<usize> {
    let plan = &view.answer.plan;
    let caught = (0..plan.places.keys.len()).filter(|place| plan.knots.caught[*place]);
    let mut stuck: Vec<usize> = caught.chain(view.blocked.iter().copied()).collect();
    stuck.sort_unstable();
    stuck.dedup();
    stuck
}

/// Why a place cannot go on.
fn stuck_words(view: &RefitView<'_>, place: usize) -> String {
    let words = blocked_words(view.answer, place, view.today);
    let is_caught = view.answer.plan.knots.caught[place];
    let caught = is_caught.then(|| "its records contradict each other".to_owned());
    let said: Vec<String> = [words]
        .into_iter()
        .filter(|said| !said.is_empty())
        .chain(caught)
        .collect();
    said.join("; ")
}

fn drawing(view: &RefitView<'_>, system: &DrawnSystem, id: &str) -> Drawing {
    let answer = view.answer;
    let boxes: Vec<PartBox> = system
        .parts
        .iter()
        .map(|part| part_box(view, part))
        .collect();
    let heights: Vec<f32> = boxes.iter().map(PartBox::height).collect();
    let layered = Layered {
        heights: &heights,
        arrows: &system.arrows,
    };
    let placed = layered.placed();
    let inside = html! {
        @for line in &placed.lines { (arrow(line)) }
        @for (own, at) in boxes.iter().zip(&placed.boxes) { (own.drawn(*at, id)) }
    };
    let name = system.system.as_deref().unwrap_or("without a system");
    let mut notes = Vec::new();
    if !system.arrows.is_empty() {
        notes.push("An arrow leads to what goes on afterwards.".to_owned());
    }
    notes.extend(left_out(system));
    let on = on_count(answer, system.system.as_deref());
    if on > 0 {
        notes.push(format!("On already: {}.", counted(on, "part", "parts")));
    }
    let rows = rows(view, system.system.as_deref());
    Drawing {
        id: id.to_owned(),
        title: format!("Order back: {name}"),
        about: in_words(system, &boxes),
        notes,
        table: table(&rows),
        width: placed.width.max(USUAL_WIDTH),
        height: placed.height,
        inside,
    }
}

/// The drawn parts in sentences.
fn in_words(system: &DrawnSystem, boxes: &[PartBox]) -> String {
    let sentences = boxes.iter().enumerate().map(|(number, own)| {
        let before = system.arrows.iter().filter(|(_, then)| *then == number);
        let before: Vec<&str> = before
            .map(|(first, _)| boxes[*first].name.as_str())
            .collect();
        let after = match before.is_empty() {
            true => String::new(),
            false => format!("; goes on after {}", before.join("; ")),
        };
        format!("{}: {}{after}.", own.name, own.said.join("; "))
    });
    sentences.collect::<Vec<String>>().join(" ")
}

/// How many parts of a system are not drawn.
fn left_out(system: &DrawnSystem) -> Option<String> {
    let said: Vec<String> = system
        .left_out
        .iter()
        .map(|(standing, count)| {
            let (one, many) = match standing {
                DrawnStanding::Tonight => ("that can go on tonight", "that can go on tonight"),
                DrawnStanding::Bench => ("for the bench", "for the bench"),
                DrawnStanding::Then => ("that goes on then", "that go on then"),
                DrawnStanding::Perhaps => ("that perhaps can go on", "that perhaps can go on"),
                DrawnStanding::Waits => ("that waits", "that wait"),
                DrawnStanding::Blocked => ("that cannot go on", "that cannot go on"),
                DrawnStanding::Elsewhere | DrawnStanding::On => ("besides", "besides"),
            };
            let which = if *count == 1 { one } else { many };
            format!("{} {which}", counted(*count, "part", "parts"))
        })
        .collect();
    (!said.is_empty()).then(|| format!("Not drawn: {}.", said.join(", ")))
}

/// How many parts of a system are on.
fn on_count(answer: &RefitReport<'_>, system: Option<&str>) -> usize {
    let places = &answer.plan.places;
    let own =
        (0..places.keys.len()).filter(|place| places.system(*place).map(fold) == system.map(fold));
    own.filter(|place| places.standings[*place] == RefitStanding::On)
        .count()
}

/// A step, or a part that cannot go on, as a row: its number, its name, how it stands.
struct OrderRow {
    step: Option<usize>,
    part: String,
    stands: String,
}

/// All steps of a system that are asked about, drawn or not, and what cannot go on.
fn rows(view: &RefitView<'_>, system: Option<&str>) -> Vec<OrderRow> {
    let answer = view.answer;
    let places = &answer.plan.places;
    let is_own = |place: &usize| places.system(*place).map(fold) == system.map(fold);
    answer
        .standings(&view.steps, &stuck(view))
        .into_iter()
        .filter(|(place, _)| is_own(place))
        .map(|(place, standing)| OrderRow {
            step: answer.step_of(place),
            part: label(answer, place),
            stands: match standing {
                DrawnStanding::Waits => waits(view, place, &|_| true).join("; "),
                DrawnStanding::Blocked => stuck_words(view, place),
                DrawnStanding::Tonight
                | DrawnStanding::Bench
                | DrawnStanding::Then
                | DrawnStanding::Perhaps
                | DrawnStanding::Elsewhere
                | DrawnStanding::On => standing_words(standing).to_owned(),
            },
        })
        .collect()
}

fn table(rows: &[OrderRow]) -> Markup {
    let mut rows: Vec<&OrderRow> = rows.iter().collect();
    rows.sort_by_key(|row| (row.step.is_none(), row.step));
    html! {
        table class="order" {
            thead { tr { th scope="col" { "Step" } th scope="col" { "Part" } th scope="col" { "How it stands" } } }
            tbody {
                @for row in rows {
                    tr {
                        td { @if let Some(step) = row.step { (step) } }
                        th scope="row" { (shown(&row.part)) }
                        td { (shown(&row.stands)) }
                    }
                }
            }
        }
    }
}

/// What a part waits for that is `asked` about.
fn waits(view: &RefitView<'_>, place: usize, asked: &dyn Fn(&Wait<'_>) -> bool) -> Vec<String> {
    let step = view.answer.plan.step_of(place);
    let waits = step.map_or(&[][..], |step| &view.answer.now.steps[step].waits);
    let waits = waits.iter().filter(|wait| asked(wait));
    waits
        .map(|wait| wait_words(view.answer, wait, view.today))
        .collect()
}

const fn standing_words(standing: DrawnStanding) -> &'static str {
    match standing {
        DrawnStanding::Tonight => "can go on tonight",
        DrawnStanding::Bench => "can be done on the bench",
        DrawnStanding::Then => "then, once those are on",
        DrawnStanding::Perhaps => "perhaps: its order is assumed",
        DrawnStanding::Waits => "after what is above",
        DrawnStanding::Blocked => "cannot go on",
        DrawnStanding::Elsewhere => "off",
        DrawnStanding::On => "is on",
    }
}

/// A drawn part as a box.
fn part_box(view: &RefitView<'_>, part: &DrawnPart) -> PartBox {
    let answer = view.answer;
    let label = shown(&label(answer, part.place));
    let name = match answer.step_of(part.place) {
        Some(step) => format!("{step} {label}"),
        None => label,
    };
    let mut said = match part.standing {
        // Arrows say which parts it waits for.
        DrawnStanding::Waits => waits(view, part.place, &|wait| !matches!(wait, Wait::Part(_))),
        DrawnStanding::Blocked => vec![stuck_words(view, part.place)],
        DrawnStanding::Elsewhere => {
            let system = answer.plan.places.system(part.place);
            vec![format!("off: {}", system.unwrap_or("without a system"))]
        }
        DrawnStanding::Tonight
        | DrawnStanding::Bench
        | DrawnStanding::Then
        | DrawnStanding::Perhaps
        | DrawnStanding::On => vec![standing_words(part.standing).to_owned()],
    };
    if part.not_drawn > 0 {
        said.push(format!(
            "after {} not drawn",
            counted(part.not_drawn, "part", "parts")
        ));
    }
    if said.is_empty() {
        said.push(standing_words(part.standing).to_owned());
    }
    PartBox::new(part.standing, name, said)
}
