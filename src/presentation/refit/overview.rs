//! The whole plan: first what can go on tonight and what holds up the rest, then
//! every step in a line.
//!
//! For a tired person: the first screen is the answer, the rest is there.

use super::words::{blocked_words, hazards, label, lower, named, torque_words};
use super::{
    FEW, RefitView, blocker_line, blockers, figures_missing, head, loops, short_line, wanted,
};
use crate::presentation::text::{Text, TextStyle, plain};
use crate::reports::refit::Blocker;

/// The whole plan. `others` are lines about plans that are not shown.
#[must_use]
pub fn overview(shown: &RefitView<'_>, others: &[String], width: usize) -> Text {
    let mut text = Text::new(width);
    head(&mut text, shown);
    tonight_in_short(&mut text, shown);
    holding_up(&mut text, shown);
    loops(&mut text, shown);
    gone(&mut text, shown);
    all_steps(&mut text, shown);
    loose(&mut text, shown);
    text.gap();
    for other in others {
        text.line(0, TextStyle::Faint, other);
    }
    if let Some(first) = shown.steps.first() {
        text.line(
            0,
            TextStyle::Faint,
            &format!(
                "one step in full: matchmark refit{} --step {}; to print: --as page --into plan.html",
                shown.options,
                first + 1
            ),
        );
    }
    text
}

fn tonight_in_short(text: &mut Text, shown: &RefitView<'_>) {
    let answer = shown.answer;
    let tonight = wanted(shown, &answer.now.tonight);
    text.line(0, TextStyle::Title, "Can go on tonight");
    if tonight.is_empty() {
        text.line(2, TextStyle::Plain, "nothing that is sure");
    }
    for number in tonight.iter().take(FEW) {
        short_line(text, shown, *number);
    }
    more(text, tonight.len(), "`--tonight` shows all in full");
    let then = wanted(shown, &answer.now.then);
    if !then.is_empty() {
        let names: Vec<String> = then
            .iter()
            .map(|number| named(answer, answer.plan.steps[*number]))
            .collect();
        text.wrapped(
            2,
            4,
            &[
                (TextStyle::Faint, "and then: ".into()),
                plain(names.join("; ")),
            ],
        );
    }
    let bench = wanted(shown, &answer.now.bench);
    if !bench.is_empty() {
        let into = |number: &usize| {
            let place = answer.plan.steps[*number];
            let part = lower(&label(answer, place));
            match answer.plan.carrier(place) {
                Some(carrier) => format!("{part} into {}", lower(&label(answer, carrier))),
                None => part,
            }
        };
        let names: Vec<String> = bench.iter().map(into).collect();
        text.wrapped(
            2,
            4,
            &[
                (TextStyle::Faint, "on the bench: ".into()),
                plain(names.join("; ")),
            ],
        );
    }
    let raised = hazards(answer, &tonight);
    if !raised.is_empty() {
        let names: Vec<&str> = raised.iter().map(|raised| raised.caution().name).collect();
        text.wrapped(
            2,
            4,
            &[
                (TextStyle::Caution, "caution: ".into()),
                plain(format!("{} (`--tonight` says more)", names.join(", "))),
            ],
        );
    }
    let mut perhaps = wanted(shown, &answer.now.perhaps);
    perhaps.retain(|step| !then.contains(step));
    if !perhaps.is_empty() {
        let names: Vec<String> = perhaps
            .iter()
            .take(FEW * 2)
            .map(|number| named(answer, answer.plan.steps[*number]))
            .collect();
        let rest = match perhaps.len().saturating_sub(FEW * 2) {
            0 => String::new(),
            rest => format!("; and {rest} more"),
        };
        text.wrapped(
            2,
            4,
            &[
                (
                    TextStyle::Faint,
                    "perhaps (`--tonight` says why not surely): ".into(),
                ),
                plain(format!("{}{rest}", names.join("; "))),
            ],
        );
    }
    figures_missing(text, shown, &[tonight, then, bench, perhaps].concat());
}

fn more(text: &mut Text, count: usize, hint: &str) {
    if count > FEW {
        text.line(
            2,
            TextStyle::Faint,
            &format!("and {} more; {hint}", count - FEW),
        );
    }
}

fn holding_up(text: &mut Text, shown: &RefitView<'_>) {
    let most: Vec<&Blocker<'_>> = blockers(shown)
        .into_iter()
        .filter(|blocker| blocker.waiting.all > 0)
        .collect();
    if most.is_empty() {
        return;
    }
    text.line(0, TextStyle::Title, "Holds up most");
    for blocker in most.iter().take(FEW) {
        blocker_line(text, shown, blocker);
    }
    more(text, most.len(), "`matchmark needs` lists them all");
}

/// What cannot be put back as it is not there.
fn gone(text: &mut Text, shown: &RefitView<'_>) {
    let answer = shown.answer;
    if shown.blocked.is_empty() {
        return;
    }
    text.line(0, TextStyle::Title, "Cannot be put back");
    for place in shown.blocked.iter().copied() {
        text.wrapped(
            2,
            4,
            &[
                (TextStyle::Part, label(answer, place)),
                plain(format!(": {}", blocked_words(answer, place, shown.today))),
            ],
        );
    }
}

/// What is on and has to be tightened yet.
fn loose(text: &mut Text, shown: &RefitView<'_>) {
    let answer = shown.answer;
    if shown.loose.is_empty() {
        return;
    }
    text.gap();
    text.line(0, TextStyle::Title, "On, and still loose");
    for place in &shown.loose {
        let torques = torque_words(answer, *place);
        let mut pieces = vec![(TextStyle::Part, label(answer, *place))];
        if !torques.is_empty() {
            pieces.push(plain(format!(": {}", torques.join("; "))));
        }
        text.wrapped(5, 7, &pieces);
    }
}

/// Every step in one line, under its system.
fn all_steps(text: &mut Text, shown: &RefitView<'_>) {
    let plan = &shown.answer.plan;
    let mut last = None;
    for (at, step) in shown.steps.iter().enumerate() {
        let heading = plan.heading(*step);
        if last.as_ref() != Some(&heading) {
            text.gap();
            text.line(0, TextStyle::Title, &heading);
            let under = shown.steps[at..].iter();
            let under = under.take_while(|step| plan.heading(**step) == heading);
            let usual: Vec<String> = under
                .map(|step| plan.steps[*step])
                .filter(|place| plan.places.system_is_assumed(*place))
                .map(|place| label(shown.answer, place))
                .collect();
            if !usual.is_empty() {
                let words = format!("system assumed: {}", usual.join("; "));
                text.wrapped(2, 4, &[(TextStyle::Faint, words)]);
            }
            last = Some(heading);
        }
        short_line(text, shown, *step);
    }
}
