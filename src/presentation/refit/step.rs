//! One step in full: everything to have at hand and to know, for who stands at
//! the vehicle.

use jiff::civil::Date;

use super::words::{
    bags, connect_words, distinct, hardware_words, known_words, label, lower, named, new_words,
    order_words, shelf, spot_words, torque_words, unit_words, wait_words,
};
use crate::presentation::text::{Text, TextStyle, plain};
use crate::reports::refit::{Assumed, NotTaken, RefitReport, settles_on_wheels};
use crate::vocabulary::status::Surface;

/// One step, by its number counted from 0.
pub fn step(text: &mut Text, answer: &RefitReport<'_>, number: usize, today: Date) {
    let place = answer.plan.steps[number];
    let state = answer.plan.places.states[place];
    let mut head = vec![
        plain(format!("{} ", number + 1)),
        (TextStyle::Part, state.label()),
    ];
    if let Some(system) = answer.plan.places.system_words(place) {
        head.push((TextStyle::Faint, format!(" ({system})")));
    }
    text.wrapped(0, 5, &head);
    let mut say = |key: &str, label: TextStyle, words: &str| {
        text.wrapped(
            5,
            7,
            &[
                (TextStyle::Faint, format!("{key}: ")),
                (label, words.to_owned()),
            ],
        );
    };
    for told in answer.cautions.get(&place).into_iter().flatten() {
        say("caution", TextStyle::Caution, &told.said.value);
    }
    let now = &answer.now.steps[number];
    for wait in &now.waits {
        say(
            "waits",
            TextStyle::Warning,
            &wait_words(answer, wait, today),
        );
    }
    if let Some(hands) = state.hands.filter(|hands| *hands > 1) {
        say("hands", TextStyle::Plain, &format!("{hands} people"));
    }
    if let Some(unit) = unit_words(answer, place) {
        say("fit", TextStyle::Plain, &unit);
    }
    if let Some(shelf) = shelf(answer, place) {
        say("from", TextStyle::Standing, &shelf);
    }
    let hardware = hardware_words(answer, place);
    if hardware.is_empty() && !bags(answer, place).is_empty() {
        say("bag", TextStyle::Standing, &bags(answer, place).join(", "));
    }
    for pieces in hardware {
        say("hardware", TextStyle::Plain, &pieces);
    }
    for pieces in new_words(answer, place) {
        say("new", TextStyle::Plain, &pieces);
    }
    for torque in torque_words(answer, place) {
        say("torque", TextStyle::Plain, &torque);
    }
    for manual in distinct(&state.manuals) {
        say("manual", TextStyle::Plain, manual);
    }
    for implied in answer.plan.small_parts.get(&place).into_iter().flatten() {
        let words = format!(
            "{}, which is named only here ({})",
            implied.part.written(),
            spot_words(implied.spot)
        );
        say(
            if implied.before { "first" } else { "then" },
            TextStyle::Plain,
            &words,
        );
    }
    for connect in answer.connections.get(&place).into_iter().flatten() {
        say("connect", TextStyle::Plain, &connect_words(answer, connect));
    }
    if settles_on_wheels(&answer.plan, place) {
        say(
            "loose",
            TextStyle::Plain,
            "rubber bushes are tightened with the vehicle on its wheels (common practice)",
        );
    }
    for told in answer.lessons.get(&place).into_iter().flatten() {
        let other = told.of.filter(|of| *of != place);
        let of = other.map_or_else(String::new, |of| {
            format!(" ({})", lower(&label(answer, of)))
        });
        say(
            "lesson",
            TextStyle::Plain,
            &format!("{}{of}", told.said.value),
        );
    }
    for photo in distinct(&state.photos) {
        say("photo", TextStyle::Plain, photo);
    }
}

/// On what the order of a step rests, in a line.
pub fn order_in_short(text: &mut Text, answer: &RefitReport<'_>, number: usize) {
    let place = answer.plan.steps[number];
    let words = order_words(answer, place);
    text.wrapped(5, 7, &[(TextStyle::Faint, words)]);
}

/// On what the order of a step rests, each with its record.
pub fn order(text: &mut Text, answer: &RefitReport<'_>, number: usize) {
    let place = answer.plan.steps[number];
    let mut any = false;
    for known in answer.plan.known_of(place) {
        any = true;
        let words = known_words(answer, known, place);
        text.wrapped(
            5,
            7,
            &[
                (TextStyle::Faint, "order known: ".into()),
                plain(words),
                (TextStyle::Faint, format!(", {}", spot_words(known.spot))),
            ],
        );
    }
    if !any {
        text.line(
            5,
            TextStyle::Faint,
            "order assumed: no record says what goes before or after",
        );
    }
    for said in &answer.plan.order.not_taken {
        if said.of == place {
            text.line(5, TextStyle::Warning, &not_taken_words(answer, said));
        }
    }
    let now = &answer.now.steps[number];
    if let Some(assumed) = now.assumed.filter(|_| now.waits.is_empty()) {
        text.line(5, TextStyle::Faint, &assumed_words(answer, &assumed));
    }
}

/// An order that another record contradicts.
fn not_taken_words(answer: &RefitReport<'_>, said: &NotTaken<'_>) -> String {
    format!(
        "order not taken: after {}, {}: it was still on, {}",
        lower(&label(answer, said.other)),
        spot_words(said.spot),
        spot_words(&said.against.spot)
    )
}

/// What holds a step back without anyone knowing that it does.
#[must_use]
pub fn assumed_words(answer: &RefitReport<'_>, assumed: &Assumed) -> String {
    match assumed {
        Assumed::Step {
            before,
            same_corner,
        } => {
            let of = if *same_corner { "corner" } else { "system" };
            let before = named(answer, *before);
            format!("assumed: {before} goes first, in the same {of}")
        }
        Assumed::Surface(area) => {
            let state = answer.plan.places.states[*area];
            let surface = state.surface.map_or("open", Surface::word);
            let area = lower(&state.label());
            format!("{area} is {surface}, and does not say what waits for it (`holds up:`)")
        }
    }
}
