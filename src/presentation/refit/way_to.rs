//! What it takes to get one part on: the way there in short, the part in full.

use super::step::{order, step};
use super::words::{label, open_words};
use super::{RefitView, figures_missing, general_cautions, loops, short_line};
use crate::presentation::text::{Text, TextStyle, counted, plain};
use crate::reports::refit::Blocker;

/// What it takes to get one part on: the way there in short, the part in full.
#[must_use]
pub fn way_to(shown: &RefitView<'_>, targets: &[usize], width: usize) -> Text {
    let mut text = Text::new(width);
    let answer = shown.answer;
    if let Some(as_of) = shown.as_of {
        text.line(0, TextStyle::Faint, as_of);
    }
    let (off, on): (Vec<usize>, Vec<usize>) = targets
        .iter()
        .partition(|place| answer.plan.returns[**place]);
    for place in on {
        let state = answer.plan.places.states[place];
        let words = format!(
            "{} is {}: nothing to do",
            state.label(),
            state.status_word()
        );
        text.line(0, TextStyle::Plain, &words);
    }
    if off.is_empty() {
        return text;
    }
    let before: Vec<usize> = shown
        .steps
        .iter()
        .copied()
        .filter(|step| !off.contains(&answer.plan.steps[*step]))
        .collect();
    let needed = answer.plan.needed_for(&off);
    let open: Vec<&Blocker<'_>> = answer
        .blocking
        .iter()
        .filter(|blocker| needed[blocker.place])
        .collect();
    let heading = match (open.len(), before.len()) {
        (0, 0) => "Nothing stands before it".to_owned(),
        (0, _) => "Nothing is left to do but to fit what goes before".to_owned(),
        (things, _) => format!(
            "To do: {}",
            counted(things, "part needs something", "parts need something")
        ),
    };
    text.line(0, TextStyle::Title, &heading);
    for blocker in open {
        text.wrapped(
            2,
            4,
            &[
                (TextStyle::Part, label(answer, blocker.place)),
                plain(": "),
                (TextStyle::Warning, open_words(answer, blocker, shown.today)),
            ],
        );
    }
    if !before.is_empty() {
        let words = format!(
            "Goes on before it: {}, in this order",
            counted(before.len(), "part", "parts")
        );
        text.line(0, TextStyle::Title, &words);
        for number in &before {
            short_line(&mut text, shown, *number);
        }
        figures_missing(&mut text, shown, &before);
    }
    loops(&mut text, shown);
    text.gap();
    let mut full = Vec::new();
    for place in off {
        match answer.plan.step_of(place) {
            Some(number) => {
                step(&mut text, answer, number, shown.today);
                order(&mut text, answer, number);
                full.push(number);
            }
            None => text.line(
                0,
                TextStyle::Warning,
                &format!("{} has no step; see above", label(answer, place)),
            ),
        }
    }
    general_cautions(&mut text, shown, &full);
    text
}

/// One step in full.
#[must_use]
pub fn one_step(shown: &RefitView<'_>, width: usize) -> Text {
    let mut text = Text::new(width);
    if let Some(as_of) = shown.as_of {
        text.line(0, TextStyle::Faint, as_of);
    }
    for number in &shown.steps {
        step(&mut text, shown.answer, *number, shown.today);
        order(&mut text, shown.answer, *number);
    }
    general_cautions(&mut text, shown, &shown.steps);
    text
}
