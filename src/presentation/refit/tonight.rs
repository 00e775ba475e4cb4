//! What can go on now, each step in full; and what perhaps can, with the reason
//! why not surely.

use super::step::{assumed_words, order_in_short, step};
use super::{
    FEW, RefitView, blocker_line, blockers, figures_missing, general_cautions, head, loops,
    short_line, wanted,
};
use crate::presentation::text::{Text, TextStyle};

/// What can go on now, each step in full. `others` are lines about plans that
/// are not shown.
#[must_use]
pub fn tonight(shown: &RefitView<'_>, others: &[String], width: usize) -> Text {
    let mut text = Text::new(width);
    head(&mut text, shown);
    let answer = shown.answer;
    let tonight = wanted(shown, &answer.now.tonight);
    if tonight.is_empty() {
        text.line(0, TextStyle::Plain, "Nothing is sure to go on tonight.");
        if answer.now.perhaps.is_empty() {
            text.line(0, TextStyle::Plain, "What holds up most:");
            for blocker in blockers(shown).iter().take(FEW) {
                blocker_line(&mut text, shown, blocker);
            }
        }
    } else {
        text.line(0, TextStyle::Title, "Tonight");
        for number in tonight {
            step(&mut text, answer, number, shown.today);
            order_in_short(&mut text, answer, number);
            text.gap();
        }
    }
    let tonight = wanted(shown, &answer.now.tonight);
    general_cautions(&mut text, shown, &tonight);
    for (heading, steps) in [
        ("Once that is on", &answer.now.then),
        (
            "On the bench: pieces that go into what is off",
            &answer.now.bench,
        ),
    ] {
        let steps = wanted(shown, steps);
        if steps.is_empty() {
            continue;
        }
        text.line(0, TextStyle::Title, heading);
        for number in &steps {
            short_line(&mut text, shown, *number);
        }
        figures_missing(&mut text, shown, &steps);
        text.gap();
    }
    perhaps(&mut text, shown);
    loops(&mut text, shown);
    for other in others {
        text.line(0, TextStyle::Faint, other);
    }
    text
}

/// What only the assumed order holds back, each with the reason.
fn perhaps(text: &mut Text, shown: &RefitView<'_>) {
    let answer = shown.answer;
    let mut perhaps = wanted(shown, &answer.now.perhaps);
    perhaps.retain(|step| !answer.now.then.contains(step));
    if perhaps.is_empty() {
        return;
    }
    text.line(
        0,
        TextStyle::Title,
        "Perhaps: no record surely holds these back",
    );
    for number in &perhaps {
        short_line(text, shown, *number);
        if let Some(assumed) = answer.now.steps[*number].assumed {
            text.line(5, TextStyle::Faint, &assumed_words(answer, &assumed));
        }
    }
    figures_missing(text, shown, &perhaps);
}
