//! The refit plan as a person reads it: first what can go on now and what holds
//! up the rest, then every step in a line.
//!
//! What belongs in a plan is decided in `reports`.

pub mod json;
pub mod page;
mod step;
mod words;

use jiff::civil::Date;

use super::text::{Label, Piece, Text, column, counted, cut, plain};
use crate::reports::refit::{Answer, Blocker};
use words::{
    fetch_words, label, link_words, lower, named, open_words, short_wait, torque_words, wait_words,
};

/// A plan and what has to be known to show it.
pub struct Shown<'a> {
    /// The plan with all that belongs to it.
    pub answer: &'a Answer<'a>,
    /// The steps that are asked about, counted from 0, in their order.
    pub steps: Vec<usize>,
    /// The places that cannot be put back and are asked about.
    pub blocked: Vec<usize>,
    /// The parts that are on, still loose, and asked about.
    pub loose: Vec<usize>,
    /// The vehicle's full name.
    pub vehicle: &'a str,
    /// The day on which it is asked.
    pub today: Date,
    /// What the answer is about, if not about now.
    pub as_of: Option<&'a str>,
    /// Whether nobody helps.
    pub alone: bool,
    /// What to add to the command for the same plan.
    pub options: &'a str,
}

impl Shown<'_> {
    /// Whether there is nothing to say.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        let loops = &self.answer.plan.knots.loops;
        self.steps.is_empty() && self.blocked.is_empty() && loops.is_empty()
    }
}

/// How many lines of each kind stand on the first screen.
const FEW: usize = 6;

/// The whole plan. `others` are lines about plans that are not shown.
#[must_use]
pub fn overview(shown: &Shown<'_>, others: &[String], width: usize) -> Text {
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
        text.line(0, Label::Faint, other);
    }
    text.line(
        0,
        Label::Faint,
        &format!(
            "one step in full: matchmark refit{} --step 1; to print: --page plan.html",
            shown.options
        ),
    );
    text
}

/// What can go on now, each step in full. `others` are lines about plans that
/// are not shown.
#[must_use]
pub fn tonight(shown: &Shown<'_>, others: &[String], width: usize) -> Text {
    let mut text = Text::new(width);
    head(&mut text, shown);
    let answer = shown.answer;
    let tonight = wanted(shown, &answer.now.tonight);
    if tonight.is_empty() {
        text.line(0, Label::Plain, "Nothing is sure to go on tonight.");
        if answer.now.perhaps.is_empty() {
            text.line(0, Label::Plain, "What holds up most:");
            for blocker in blockers(shown).iter().take(FEW) {
                blocker_line(&mut text, shown, blocker);
            }
        }
    } else {
        text.line(0, Label::Title, "Tonight");
        for number in tonight {
            step::step(&mut text, answer, number, shown.today);
            step::order_in_short(&mut text, answer, number);
            text.gap();
        }
    }
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
        text.line(0, Label::Title, heading);
        for number in steps {
            short_line(&mut text, shown, number);
        }
        text.gap();
    }
    perhaps(&mut text, shown);
    loops(&mut text, shown);
    for other in others {
        text.line(0, Label::Faint, other);
    }
    text
}

/// What it takes to get one part on: the way there in short, the part in full.
#[must_use]
pub fn way_to(shown: &Shown<'_>, targets: &[usize], width: usize) -> Text {
    let mut text = Text::new(width);
    let answer = shown.answer;
    if let Some(as_of) = shown.as_of {
        text.line(0, Label::Faint, as_of);
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
        text.line(0, Label::Plain, &words);
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
    if open.is_empty() && before.is_empty() {
        text.line(0, Label::Title, "Nothing stands before it");
    } else {
        let words = format!(
            "{} go first, {} to do",
            counted(before.len(), "other part", "other parts"),
            counted(open.len(), "thing", "things")
        );
        text.line(0, Label::Title, &words);
    }
    for blocker in open {
        text.wrapped(
            2,
            4,
            &[
                (Label::Part, label(answer, blocker.place)),
                plain(": "),
                (Label::Warning, open_words(answer, blocker, shown.today)),
            ],
        );
    }
    if !before.is_empty() {
        text.line(0, Label::Title, "Then, in this order");
        for number in before {
            short_line(&mut text, shown, number);
        }
    }
    loops(&mut text, shown);
    text.gap();
    for place in off {
        match answer.plan.step_of(place) {
            Some(number) => {
                step::step(&mut text, answer, number, shown.today);
                step::order(&mut text, answer, number);
            }
            None => text.line(
                0,
                Label::Warning,
                &format!("{} has no step; see above", label(answer, place)),
            ),
        }
    }
    text
}

/// One step in full.
#[must_use]
pub fn one_step(shown: &Shown<'_>, width: usize) -> Text {
    let mut text = Text::new(width);
    if let Some(as_of) = shown.as_of {
        text.line(0, Label::Faint, as_of);
    }
    for number in &shown.steps {
        step::step(&mut text, shown.answer, *number, shown.today);
        step::order(&mut text, shown.answer, *number);
    }
    text
}

fn head(text: &mut Text, shown: &Shown<'_>) {
    let mut words = vec![
        shown.vehicle.to_owned(),
        counted(shown.steps.len(), "step", "steps"),
    ];
    words.extend(shown.as_of.map(str::to_owned));
    text.line(0, Label::Faint, &words.join(", "));
}

/// Those of some steps that are asked about and that these hands can do.
fn wanted(shown: &Shown<'_>, steps: &[usize]) -> Vec<usize> {
    let plan = &shown.answer.plan;
    steps
        .iter()
        .copied()
        .filter(|step| shown.steps.binary_search(step).is_ok())
        .filter(|step| {
            let hands = plan.places.states[plan.steps[*step]].hands;
            !shown.alone || hands.is_none_or(|hands| hands < 2)
        })
        .collect()
}

fn tonight_in_short(text: &mut Text, shown: &Shown<'_>) {
    let answer = shown.answer;
    let tonight = wanted(shown, &answer.now.tonight);
    text.line(0, Label::Title, "Can go on tonight");
    if tonight.is_empty() {
        text.line(2, Label::Plain, "nothing that is sure");
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
            &[(Label::Faint, "and then: ".into()), plain(names.join("; "))],
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
                    Label::Faint,
                    "perhaps (`--tonight` says why not surely): ".into(),
                ),
                plain(format!("{}{rest}", names.join("; "))),
            ],
        );
    }
}

fn more(text: &mut Text, count: usize, hint: &str) {
    if count > FEW {
        text.line(
            2,
            Label::Faint,
            &format!("and {} more; {hint}", count - FEW),
        );
    }
}

/// What only the assumed order holds back, each with the reason.
fn perhaps(text: &mut Text, shown: &Shown<'_>) {
    let answer = shown.answer;
    let mut perhaps = wanted(shown, &answer.now.perhaps);
    perhaps.retain(|step| !answer.now.then.contains(step));
    if perhaps.is_empty() {
        return;
    }
    text.line(
        0,
        Label::Title,
        "Perhaps: no record holds these back, only the assumed order",
    );
    for number in perhaps {
        short_line(text, shown, number);
        if let Some(assumed) = answer.now.steps[number].assumed {
            text.line(5, Label::Faint, &step::assumed_words(answer, &assumed));
        }
    }
}

/// The blockers of what is asked about.
fn blockers<'a>(shown: &Shown<'a>) -> Vec<&'a Blocker<'a>> {
    let answer = shown.answer;
    let places: Vec<usize> = shown
        .steps
        .iter()
        .map(|step| answer.plan.steps[*step])
        .chain(shown.blocked.iter().copied())
        .collect();
    let needed = answer.plan.needed_for(&places);
    answer
        .blocking
        .iter()
        .filter(|blocker| needed[blocker.place])
        .collect()
}

fn holding_up(text: &mut Text, shown: &Shown<'_>) {
    let most: Vec<&Blocker<'_>> = blockers(shown)
        .into_iter()
        .filter(|blocker| blocker.waiting.all > 0)
        .collect();
    if most.is_empty() {
        return;
    }
    text.line(0, Label::Title, "Holds up most");
    for blocker in most.iter().take(FEW) {
        blocker_line(text, shown, blocker);
    }
    more(text, most.len(), "`matchmark needs` lists them all");
}

fn blocker_line(text: &mut Text, shown: &Shown<'_>, blocker: &Blocker<'_>) {
    let answer = shown.answer;
    text.wrapped(
        2,
        7,
        &[
            plain(format!("{:>3}", blocker.waiting.all).replace(' ', "\u{a0}")),
            plain(if blocker.waiting.all == 1 {
                " waits for "
            } else {
                " wait for "
            }),
            (Label::Part, lower(&label(answer, blocker.place))),
            plain(": "),
            plain(open_words(answer, blocker, shown.today)),
        ],
    );
}

/// Loops, each whole, and what to do about them.
fn loops(text: &mut Text, shown: &Shown<'_>) {
    let answer = shown.answer;
    for found in &answer.plan.knots.loops {
        text.line(
            0,
            Label::Error,
            "These records contradict each other: none of the parts can go on first",
        );
        for edge in found {
            text.wrapped(
                2,
                4,
                &[plain(link_words(answer, &answer.plan.order.known[*edge]))],
            );
        }
        text.line(
            2,
            Label::Faint,
            "change one of them: `off after` says it only for the way off",
        );
    }
}

/// What cannot be put back as it is not there.
fn gone(text: &mut Text, shown: &Shown<'_>) {
    let answer = shown.answer;
    if shown.blocked.is_empty() {
        return;
    }
    text.line(0, Label::Title, "Cannot be put back");
    for place in shown.blocked.iter().copied() {
        let mut waits: Vec<String> = answer
            .plan
            .own_waits(place)
            .iter()
            .map(|wait| wait_words(answer, wait, shown.today))
            .collect();
        if answer.plan.knots.snared[place] {
            waits.push("caught up in the contradiction above".to_owned());
        }
        text.wrapped(
            2,
            4,
            &[
                (Label::Part, label(answer, place)),
                plain(format!(": {}", waits.join("; "))),
            ],
        );
    }
}

/// What is on and has to be tightened yet.
fn loose(text: &mut Text, shown: &Shown<'_>) {
    let answer = shown.answer;
    if shown.loose.is_empty() {
        return;
    }
    text.gap();
    text.line(0, Label::Title, "On, and still loose");
    for place in &shown.loose {
        let torques = torque_words(answer.plan.places.states[*place]);
        let mut pieces = vec![(Label::Part, label(answer, *place))];
        if !torques.is_empty() {
            pieces.push(plain(format!(": {}", torques.join("; "))));
        }
        text.wrapped(5, 7, &pieces);
    }
}

/// Every step in one line, under its system.
fn all_steps(text: &mut Text, shown: &Shown<'_>) {
    let sections = &shown.answer.plan.sections;
    let mut last = None;
    for step in &shown.steps {
        let section = &sections[*step];
        if last != Some(section) {
            let system = section.system.as_deref().unwrap_or("no system said");
            text.gap();
            text.line(0, Label::Title, system);
            last = Some(section);
        }
        short_line(text, shown, *step);
    }
}

/// One step in one line: number, part, whether its order is known, and what to
/// fetch or what it waits for.
fn short_line(text: &mut Text, shown: &Shown<'_>, number: usize) {
    let answer = shown.answer;
    let place = answer.plan.steps[number];
    let now = &answer.now.steps[number];
    let (label_of, rest) = match now.waits.first() {
        Some(wait) => (Label::Faint, short_wait(answer, wait)),
        None => (Label::Standing, fetch_words(answer, place)),
    };
    let rest = match answer.plan.brought_forward(number) {
        Some(system) => format!("({system}) {rest}"),
        None => rest,
    };
    let more = match now.waits.len() {
        0 | 1 => String::new(),
        many => format!(" +{}", many - 1),
    };
    let room = text.width().saturating_sub(43 + more.len());
    let order = if answer.plan.is_known(place) {
        "known"
    } else {
        "assumed"
    };
    let row: [Piece; 5] = [
        plain(format!("{:>3}  ", number + 1)),
        (Label::Part, column(&label(answer, place), 28)),
        (Label::Faint, format!(" {}", column(order, 8))),
        (label_of, cut(&rest, room)),
        (Label::Faint, more),
    ];
    text.row(&row);
}
